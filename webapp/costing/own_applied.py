"""The changes that a maker's own sheets come to, placed one after another; what is refused is said at its row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from webapp.costing.book import Book, Id
from webapp.costing.changes import Change, Put, apply
from webapp.costing.limits import Fault
from webapp.costing.own_lines import LineRow
from webapp.costing.own_planned import FormulaSaid
from webapp.costing.own_prices import Planned
from webapp.costing.own_rows import Wrong


def applied(
    book: Book, planned: Sequence[Planned], said: Sequence[FormulaSaid]
) -> tuple[Book, list[Wrong], list[Change]]:
    """The book after all of it, what was refused at its row, and the changes that hold."""
    refused: list[Wrong] = []
    kept: list[Change] = []
    formulas = {one.formula: one.rows.lines for one in said}
    for one in planned:
        after = apply(book, one.change)
        if isinstance(after, Book):
            book = after
            kept.append(one.change)
        else:
            refused.append(_refused(one, after[0], formulas))
    return book, refused, kept


def _refused(one: Planned, fault: Fault, formulas: Mapping[Id, Sequence[LineRow]]) -> Wrong:
    """What is wrong with a record, at the row that it comes from; with a line of a formula at its own."""
    record = one.change.record if isinstance(one.change, Put) else None
    lines, step = formulas.get(getattr(record, "id", 0), ()), fault.field.split("-")[1:2]
    places = (line for place, line in enumerate(lines) if step == [str(place)])
    line = next(places, None)
    row, column = (line.name_row, line.at) if line else (one.row, 0)
    return Wrong(one.sheet, row, column, getattr(record, "name", ""), fault.sentence)
