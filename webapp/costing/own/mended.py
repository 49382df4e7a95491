"""What a person typed in place of cells of her own sheets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from webapp.costing.own.columns import OwnTable
from webapp.costing.own.rows import place_of


def changing(tables: Sequence[OwnTable], fixes: Mapping[str, str]) -> dict[str, str]:
    """What was typed in place of cells and is something else than what stands there."""
    found = {}
    for mark, text in fixes.items():
        place = place_of(mark)
        if place and place[0] < len(tables) and tables[place[0]].cell(place[1], place[2]) != text.strip():
            found[mark] = text
    return found


def corrected(tables: tuple[OwnTable, ...], fixes: Mapping[str, str]) -> tuple[OwnTable, ...]:
    """The tables with what a person typed in place of some cells; blank, of no cell, or as there: no change."""
    found = list(tables)
    for mark, text in fixes.items():
        place = place_of(mark)
        if place is None or "_c" not in mark or not text.strip() or place[0] >= len(found):
            continue
        sheet, row, column = place[0], place[1] - 1, place[2]
        table = found[sheet]
        if not 0 <= row < len(table.rows) or table.cell(row + 1, column) == text.strip():
            continue
        cells = [*table.rows[row], *[""] * (column + 1 - len(table.rows[row]))]
        cells[column] = text.strip()
        rows = (*table.rows[:row], tuple(cells), *table.rows[row + 1 :])
        found[sheet] = replace(table, rows=rows, typed=table.typed | {(row + 1, column)})
    return tuple(found)
