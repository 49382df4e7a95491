"""Freight and tax in rows above their order: where a sheet begins with one, each is of the order below it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import takewhile

from webapp.costing.limits import name_key
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.money_rows import FREIGHT, TAX, besides_in, place_of_amount
from webapp.costing.own.rows import OwnRow, Wrong
from webapp.costing.own.told import Told

_NONE_BELOW = (
    "This sheet begins with such a row, so each is read as that of the order below it, and nothing stands below this "
    "one. Move it above those that it is of in your sheet, write its supplier and day beside it, or leave it out."
)
_OF_SEVERAL = (
    "This stands above orders of {} and of {} of one day. Write beside it in your sheet which of them it is of, a row "
    "for each where it is of both, or leave it out."
)


def with_orders_below(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], rows: Sequence[MaterialRow]
) -> list[MaterialRow]:
    """The rows, with supplier, day and number of the order below in such freight of sheets that are kept so."""
    sheets = enumerate(zip(tables, layouts, strict=True))
    above = {number for number, (table, layout) in sheets if _begins_above(table, layout)}
    named = {row.sheet for row in rows if row.name}
    return [
        _of_below(row, rows[at + 1 :]) if row.sheet in above & named and _is_loose(row) else row
        for at, row in enumerate(rows)
    ]


def in_order(row: MaterialRow) -> tuple[int, int, bool, int]:
    """Where a row counts: in its place, but what stands above its order behind the last line of that."""
    return row.sheet, row.leads or row.row, bool(row.leads), row.row


def _begins_above(table: OwnTable, layout: Layout) -> bool:
    """Whether the first row of a sheet with an amount is freight or tax that is of no order or of that right below."""
    every = (OwnRow(0, number, table, layout, Told()) for number in range(layout.heads + 1, len(table.rows) + 1))
    rows = (row for row in every if row.text("name") and place_of_amount(row) is not None)
    first = next(rows, None)
    if first is None or besides_in(first) not in (FREIGHT, TAX):
        return False
    said = [(role, text) for role in ("supplier", "day") if (text := first.text(role))]
    below = next((row for row in rows if not besides_in(row)), first)
    return all(name_key(below.text(role)) == name_key(text) for role, text in said)


def _is_loose(row: MaterialRow) -> bool:
    """Whether freight or tax does not say itself which order it is of."""
    return bool(row.besides) and row.discount is None and not (row.supplier and row.day)


def _of_below(row: MaterialRow, below: Sequence[MaterialRow]) -> MaterialRow:
    """A row of money as that of the order below it: lines of one supplier and day, up to other freight.

    One that says another supplier or day is left as it is.
    """
    lines: list[MaterialRow] = []
    for one in below:
        if one.sheet != row.sheet or (lines and _is_loose(one)):
            break
        lines += [one] if one.name else []
    order = list(takewhile(lambda one: _key(one) == _key(lines[0]), lines))
    if (row.supplier or row.day) and not (order and _agree(row, order[0])):
        return row
    if not order:
        return _asked(row, _NONE_BELOW)
    first, last = order[0], order[-1]
    other = next((one for one in lines[len(order) :] if one.supplier and one.day == first.day), None)
    if first.day and first.supplier and other and not row.supplier and _key(other) != _key(first):
        return _asked(row, _OF_SEVERAL.format(first.supplier, other.supplier))
    return replace(row, supplier=first.supplier, day=first.day, order=row.order or first.order, leads=last.row)


def _asked(row: MaterialRow, words: str) -> MaterialRow:
    return replace(row, wrong=(*row.wrong, Wrong(row.sheet, row.row, 0, row.besides, words)))


def _agree(row: MaterialRow, line: MaterialRow) -> bool:
    """Whether what a row says of supplier and day is what a line says."""
    return (not row.supplier or name_key(row.supplier) == name_key(line.supplier)) and row.day in (None, line.day)


def _key(row: MaterialRow) -> tuple[str, date | None]:
    return name_key(row.supplier), row.day
