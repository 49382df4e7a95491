"""What the form of an order starts from: nothing, a supplier, a material's last pack and price, or an older order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, TypeVar

from webapp.costing.book import Material, Order
from webapp.costing.invoices import bought_again
from webapp.pages import addresses, forms
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk

T = TypeVar("T")
#: lines that came without being ordered for a price
GIVEN = frozenset(("sample", "replacement", "credit"))


def beginning(desk: Desk, supplier: str = "", material: str = "", like: str = "") -> Form:
    """The form of an order of today; what an address names and is not there counts as not named."""
    older = _named(desk.book.orders, like)
    if older is not None:
        return _again(desk, older)
    bought = _named(desk.book.materials, material)
    if bought is not None:
        return _of_material(desk, bought)
    chosen = _named(desk.book.suppliers, supplier)
    currency = chosen.currency if chosen else desk.book.workshop.currency
    return _blank(desk, currency, supplier=str(chosen.id) if chosen else "")


def _named(shelf: Mapping[int, T], text: str) -> T | None:
    return shelf.get(int(text)) if text.isascii() and text.isdigit() and len(text) <= 9 else None


def _blank(desk: Desk, currency: str, **more: Any) -> Form:
    return forms.blank(desk, "order", day=str(desk.today), **{"currency": currency, **more})


def _again(desk: Desk, older: Order) -> Form:
    """The same things at the same prices, bought today; what was true of one delivery only is left out.

    So are samples, replacements and credits: nobody orders them, and at nothing they would be taken for a price.
    """
    ordered = [line for line in older.lines if line.not_priced not in GIVEN] or older.lines
    lines = tuple(bought_again(line) for line in ordered)
    same = replace(
        older, day=desk.today, lines=lines, number="", note="", exchange=None, tax_total=None, invoice_total=None
    )
    return forms.filled(desk, "order", same, addresses.create("order"))


def _of_material(desk: Desk, material: Material) -> Form:
    """One line of it: its last pack and price, from who sold it."""
    places = desk.reckoning.purchases(material.id)
    if not places:
        return _blank(desk, desk.book.workshop.currency, lines=[{"material": str(material.id)}])
    order, index = places[-1]
    last = desk.book.orders[order]
    return _again(desk, replace(last, lines=(last.lines[index],), charges=()))
