"""Prices without a currency in a column in which others show one: whose money they are is asked, not taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from webapp.costing.own.columns import MATERIALS, PRICES, Layout, OwnTable
from webapp.costing.own.currencies import currency_of, without_money
from webapp.costing.own.materials import MaterialRow
from webapp.costing.own.price_heads import currency_said
from webapp.costing.own.rows import Wrong, column_letters
from webapp.costing.own.told import Told


def bare_beside_others(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], rows: Sequence[MaterialRow], told: Told
) -> Iterator[Wrong]:
    """Each price that says no currency while another of its column is in one that isn't the workshop's.

    Nothing is asked where the head or a column of its own says the currency, or where it was chosen.
    """
    for sheet, (table, layout) in enumerate(zip(tables, layouts, strict=True)):
        if told.currency or layout.holds != MATERIALS or "currency" in layout.roles:
            continue
        numbers = [one.row for one in rows if one.sheet == sheet and one.price is not None]
        for place in (place for role in PRICES for place in layout.places(role)):
            if layout.heads and currency_said(table.cell(layout.heads, place)):
                continue
            signs = {number: _said_in(text, told) for number in numbers if (text := table.cell(number, place))}
            others = sorted(
                {currency_of(sign, told.home, told.currency) for sign in signs.values() if sign} - {told.home}
            )
            for number in (number for number, sign in signs.items() if others and not sign):
                text, at = table.cell(number, place), f"{table.title}, {column_letters(place)}{number}"
                words = f"{at}: {text} says no currency, and others of its column are in {' and '.join(others)}."
                yield Wrong(sheet, number, place, text, f"{words} Choose what prices without one are in.", "currency")


def _said_in(text: str, told: Told) -> str:
    """The sign or the code that a cell says."""
    return without_money(text, told.home, told.written.signs)[1] or currency_said(text)
