"""Notes beside prices of a maker's own sheet: asked of, or answered before, each with its row."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace

from webapp.costing.own.columns import PRICES
from webapp.costing.own.material_row import NoteAsked
from webapp.costing.own.noted import AS_READ, COUNTS
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import Wrong
from webapp.pages.data.own_shown import CellView, shortened


def notes(
    reading: OwnReading, cell: Callable[[Wrong], CellView], taken: frozenset[str]
) -> tuple[tuple[CellView, ...], tuple[CellView, ...]]:
    """The notes that have to be answered and those that were: one for all rows beside which the same words stand.

    `taken` are the fields that stand elsewhere on the page: each has one place.
    """
    still_open = {one.choice for one in reading.wrong}
    found: dict[str, list[NoteAsked]] = {}
    for material in reading.materials:
        for one in material.said.row.notes:
            found.setdefault(one.choice, []).append(one)
    asked, shown = [], set(taken)
    for group in (group for choice, group in found.items() if choice in still_open):
        rows = [_once(cell(_price_at(reading, one)), shown) for one in group]
        asked.append(_asked(group, rows))
        shown |= {field for one in rows for field in (one.fix, one.leave)}
    answered = [
        _asked(group, [cell(_price_at(reading, one)) for one in group])
        for choice, group in found.items()
        if choice not in still_open
    ]
    return tuple(asked), tuple(answered)


def _once(row: CellView, shown: Collection[str]) -> CellView:
    """A row without the fields that are shown already."""
    fix, leave = ("" if field in shown else field for field in (row.fix, row.leave))
    return replace(row, fix=fix, leave=leave)


def _asked(group: list[NoteAsked], rows: list[CellView]) -> CellView:
    """The first row with what can be chosen for all of them, the others behind it; each price can be corrected."""
    one, many = group[0], len(group) > 1
    so = ((COUNTS, f"the note counts: {one.so}"),) if one.so else ()
    options = (("", "choose"), (AS_READ, "right as they are read" if many else "right as it is read"), *so)
    where = f"{'rows' if many else 'row'} {', '.join(str(each.row) for each in group)}"
    label = f"{one.head or 'Note'} \u201c{shortened(one.text, 60)}\u201d, {where}: the price is"
    return replace(rows[0], like=tuple(rows[1:]), note=one.choice, options=options, asks=label)


def _price_at(reading: OwnReading, note: NoteAsked) -> Wrong:
    """The cell of the price beside a note, else the note itself."""
    layout, table = reading.layouts[note.sheet], reading.tables[note.sheet]
    places = [place for role in PRICES for place in layout.places(role)]
    filled_in = [place for place in places if table.cell(note.row, place)]
    return Wrong(note.sheet, note.row, next(iter(filled_in), note.column), note.text, "")
