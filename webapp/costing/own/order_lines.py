"""The rows of a maker's own list of orders: lines, heads of orders, what parts them, and freight."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace

from webapp.costing.own.columns import BLANK, Layout, OwnTable
from webapp.costing.own.freight import FREE
from webapp.costing.own.heads_again import is_heads
from webapp.costing.own.materials import is_heading, is_title
from webapp.costing.own.money_rows import FREIGHT, TAX, besides_in
from webapp.costing.own.order_heads import head_of_order
from webapp.costing.own.rows import (
    OwnRow,
    filled,
    is_footnote,
    is_total,
    is_units,
    mentioned,
    row_mark,
)
from webapp.costing.own.told import Told

OF_ORDER = ("supplier", "day")
#: a line of an order, a row that says supplier and day of lines below it, one that seems to, what parts orders
LINE, HEADING, UNCLEAR, GAP, FREIGHT_ROW, NEITHER = "line", "heading", "unclear", "gap", "freight", ""
#: what stands in a cell that says the same as the one above
DITTO = frozenset(('"', "''", "\u3003", "\u201d", "\u201e", "ditto", "do.", "idem", "dito", "dto.", "s.o.", "s. o."))


@dataclass(frozen=True, slots=True)
class Line:
    """A row, what it is, and what it says itself of supplier and day."""

    row: OwnRow
    what: str
    said: Mapping[str, str] = field(default_factory=dict)
    ditto: tuple[str, ...] = ()
    """Of which of them it says that they are as above."""
    freight: bool = False
    first: int = 0
    """Of a heading the first row below it."""


def lines_of(sheet: int, table: OwnTable, layout: Layout, left_out: Collection[str]) -> Iterator[Line]:
    """The rows below the heads up to others that are none of them; a row that is left out may be the head of lines."""
    found: list[Line] = []
    for number in range(layout.heads + 1, len(table.rows) + 1):
        row = OwnRow(sheet, number, table, layout, Told())
        if is_heads(row) and table.rows[number - 1] != table.rows[layout.heads - 1]:
            break
        found.append(_line(row, left_out=row_mark(sheet, number) in left_out))
    for place, one in enumerate(found):
        yield one if one.what not in (HEADING, UNCLEAR) else _with_lines(one, found[place + 1 :])


def _line(row: OwnRow, *, left_out: bool) -> Line:
    between = not filled(row) or is_units(row) or is_heads(row) or is_total(row)
    head = None if between else head_of_order(row)
    if head is not None:
        said = {role: text for role, text in (("supplier", head.supplier), ("day", head.day)) if text}
        return Line(row, GAP if left_out else HEADING if head.clear else UNCLEAR, said, (), _has_freight(row))
    if between or is_title(row) or is_heading(row):
        return Line(row, GAP)
    if what := besides_in(row):
        return Line(row, FREIGHT_ROW, freight=True) if what in (FREIGHT, TAX) else Line(row, NEITHER)
    return _of_material(row)


def _of_material(row: OwnRow) -> Line:
    """A row with a name and more, or with less than that."""
    here = [role for role in mentioned(row) if row.text(role) not in BLANK]
    if not {"name", "inci"} & {*here}:
        return Line(row, NEITHER)
    if len(here) == 1:  # a word alone, which may be a supplier too
        return Line(row, NEITHER if is_footnote(row) else GAP)
    texts = {role: row.text(role) for role in OF_ORDER if role in here}
    said = {role: text for role, text in texts.items() if text.casefold() not in DITTO}
    ditto = tuple(role for role in texts if role not in said)
    return Line(row, LINE, said, ditto, _has_freight(row))


def _with_lines(head: Line, below: list[Line]) -> Line:
    """A head of an order where a line follows it; else it is what it was taken for before."""
    first = next((one for one in below if filled(one.row)), None)
    if first is None or first.what != LINE or (head.freight and first.freight):
        return replace(head, what=NEITHER, said={}, freight=False)
    return replace(head, first=first.row.number)


def _has_freight(row: OwnRow) -> bool:
    text = row.text("freight") if row.layout.place("freight") is not None else row.text("order_tax")
    return text not in BLANK and text.casefold().strip(" .") not in FREE
