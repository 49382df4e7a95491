"""Several tables side by side on one sheet of a maker's own, parted by an empty column: each read as a sheet.

Rows and columns keep their places, so that a cell is called as its spreadsheet calls it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from webapp.costing.own.below import stacked
from webapp.costing.own.columns import NOTHING, OwnTable
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.rows import column_letters


def parted(tables: Iterable[OwnTable]) -> tuple[OwnTable, ...]:
    """The tables, each that holds several things side by side or below each other as several of them."""
    return tuple(part for table in tables for beside in _parts(table) for part in stacked(beside))


def _parts(table: OwnTable) -> tuple[OwnTable, ...]:
    """The table, or what stands left and right of the first empty column on both sides of which something is known."""
    used = {place for row in table.rows for place, text in enumerate(row) if text.strip()}
    for gap in range(min(used, default=0), max(used, default=0)):
        if gap in used or table.hidden:
            continue
        left, right = _columns(table, 0, gap), _columns(table, gap, table.width)
        if _is_known(left) and _is_known(right):
            letters = column_letters(min(place for place in used if place > gap))
            return (left, *_parts(replace(right, title=f"{table.title}, from column {letters}")))
    return (table,)


def _is_known(table: OwnTable) -> bool:
    """Whether a part holds something by itself: with names, not only amounts of what is named elsewhere."""
    layout = laid_out(table)
    return layout.holds != NOTHING and bool({"name", "inci", "ingredient", "formula"} & {*layout.roles})


def _columns(table: OwnTable, since: int, to: int) -> OwnTable:
    rows = tuple(tuple(text if place >= since else "" for place, text in enumerate(row[:to])) for row in table.rows)
    return replace(table, rows=rows)
