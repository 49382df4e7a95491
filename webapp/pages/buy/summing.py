"""The sum of an order that is still being typed: of the lines that hold together already, and how many do not yet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from webapp.costing import orders as landing
from webapp.costing.book import Book, Order, OrderLine
from webapp.costing.gaps import Figure, Gap
from webapp.costing.invoices import goods_before_rounding
from webapp.costing.shapes import SHAPES
from webapp.pages import forms
from webapp.pages.buy.on_the_spot import Prepared, book_with
from webapp.pages.filled_in import Fill
from webapp.pages.rendering import Desk
from webapp.pages.typed import closed_up


@dataclass(frozen=True, slots=True)
class Sum:
    """What the typed order comes to, beside what the invoice says."""

    total: Figure | None = None
    currency: str = ""
    difference: Figure | None = None
    left: int = 0
    """How many lines and charges are not in the sum, because something of them is missing or wrong."""
    faults: tuple[str, ...] = ()
    currency_words: str = ""
    fills: tuple[Fill, ...] = ()
    taxed: bool = False
    """Whether there is tax in the total, so that it is said."""


def sum_of(book: Book, order: Order, left: int = 0, faults: tuple[str, ...] = ()) -> Sum:
    """What an order comes to in its own currency, tax included."""
    landed = landing.landed(book, order)
    supplier = book.suppliers.get(order.supplier)
    words = ""
    if supplier is not None and supplier.currency != order.currency:
        words = f"The invoices of {supplier.name} are usually in {supplier.currency}; this one says {order.currency}."
    difference = landed.difference if not left else None
    taxed = isinstance(landed.tax, Decimal) and landed.tax != 0
    return Sum(landed.total, order.currency, difference, left, faults, words, taxed=taxed)


def so_far(desk: Desk, made: Prepared, faults: Iterable[tuple[str, str]] = ()) -> Sum:
    """The sum of what is right already. `faults` are what the whole order was refused for."""
    book = book_with(desk, made.puts)
    reading = forms.read(desk, made.typed, "order")
    said = tuple(sentence for _, sentence in faults)
    given = {"supplier": "1", "day": str(desk.today), "currency": book.workshop.currency}
    typed = closed_up(SHAPES["order"], made.typed.data)
    kept = _without({**typed}, [at for at, _ in reading.form.faults], given)
    order = forms.read(desk, replace(made.typed, data=kept), "order").record
    if order is None:
        return Sum(left=_rows(typed), faults=said)
    lines = tuple(line for line in order.lines if line.material in book.materials and _has_goods(line))
    if not lines:
        return Sum(left=_rows(typed), faults=said)
    left = _rows(typed) - len(lines) - len(order.charges)
    found = sum_of(book, replace(order, lines=lines), left, said)
    return found if not isinstance(found.total, Gap) else Sum(faults=said)


def _has_goods(line: OrderLine) -> bool:
    goods = goods_before_rounding(line)
    return goods is not None and goods >= 0


def _without(data: dict[str, Any], wrong: list[str], given: Mapping[str, str]) -> dict[str, Any]:
    """The fields without those that are wrong, and without the lines that have one."""
    for name in ("lines", "charges"):
        bad = {at.split("-")[1] for at in wrong if at.startswith(f"{name}-")}
        if bad and isinstance(data.get(name), list):
            data[name] = [row for number, row in enumerate(data[name]) if str(number) not in bad]
    for name in {at.split("-")[0] for at in wrong} - {"lines", "charges"}:
        data.pop(name, None)
    return {**given, **data}


def _rows(data: Mapping[str, Any]) -> int:
    """How many lines and charges were begun."""
    return sum(len(rows) for name in ("lines", "charges") if isinstance(rows := data.get(name), list))
