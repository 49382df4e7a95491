"""The rows of formulas in a maker's own sheets that are understood: each can be left out on the page."""

from __future__ import annotations

from collections.abc import Collection

from webapp.costing.own_across import is_side_by_side
from webapp.costing.own_columns import FORMULAS
from webapp.costing.own_rows import row_mark
from webapp.costing.own_seen import FormulaSeen
from webapp.costing.own_sheets import OwnReading
from webapp.pages.data.own_shown import MOST_LINES, LineView, shortened

_SAID = 60


def rows_of_each(reading: OwnReading, elsewhere: Collection[str]) -> list[tuple[str, tuple[LineView, ...]]]:
    """For each formula what its rows are called, and the rows; none whose field stands `elsewhere` on the page.

    What several formulas stand in stands once, at the first of them: it goes from all.
    """
    left, taken = MOST_LINES, set(elsewhere)
    found = []
    for seen in reading.formulas:
        rows = [one for one in _rows(reading, seen) if one.leave not in taken][:left]
        taken |= {one.leave for one in rows}
        left -= len(rows)
        found.append((_called(reading, seen, rows), tuple(rows)))
    return found


def _rows(reading: OwnReading, seen: FormulaSeen) -> list[LineView]:
    """The rows of a formula, with its total; of a sheet with formulas side by side those of all of them."""
    sheet = seen.said.rows.sheet
    formulas = [seen]
    if _is_shared(reading, sheet):
        formulas = [one for one in reading.formulas if one.said.rows.sheet == sheet]
    numbers = {line.row for one in formulas for line in one.said.rows.lines}
    table, total = reading.tables[sheet], seen.said.rows.total
    found = []
    for number in sorted(numbers | ({total} - {0})):
        words = ", ".join(text for place in range(table.width) if (text := table.cell(number, place)))
        more = " (the total: without it, what stands below is read too)" if number == total else ""
        found.append(LineView(f"leave-{row_mark(sheet, number)}", number, shortened(words, _SAID) + more))
    return found


def _is_shared(reading: OwnReading, sheet: int) -> bool:
    """Whether a row of a sheet is of several formulas, or of a material too."""
    return reading.layouts[sheet].holds != FORMULAS or is_side_by_side(reading.layouts[sheet])


def _called(reading: OwnReading, seen: FormulaSeen, rows: Collection[LineView]) -> str:
    """What stands over its rows while they are folded."""
    sheet, count = seen.said.rows.sheet, f"{len(rows)} row{'' if len(rows) == 1 else 's'}"
    if _is_shared(reading, sheet):
        return f"Of all formulas of {shortened(reading.tables[sheet].title, 40)}: {count}"
    return f"Of {shortened(seen.said.rows.name, 40)}: {count}"
