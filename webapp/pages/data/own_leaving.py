"""Rows of formulas in a maker's own sheets that can be left out on the page: understood ones, and all of one name."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from webapp.costing.limits import name_key
from webapp.costing.own.across import is_side_by_side
from webapp.costing.own.columns import AMOUNTS, FORMULAS, Layout, OwnTable
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import Wrong, mark_of, place_of, row_mark
from webapp.costing.own.seen import FormulaSeen
from webapp.pages.data.own_shown import MOST_LINES, CellView, LineView, shortened

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


# --- all rows of one name


def alike(reading: OwnReading, wrong: Iterable[Wrong]) -> list[list[Wrong]]:
    """What is wrong, with what says the same of the same words in rows of formulas that are called the same."""
    found: dict[tuple[str, ...], list[Wrong]] = {}
    for one in wrong:
        layout = reading.layouts[one.sheet]
        alone = is_title(reading.tables[one.sheet], layout, one) or is_of_batch(layout, one)
        name = "" if alone else name_at(reading, one.sheet, one.row)
        said = one.sentence.partition(": ")[2] or one.sentence
        found.setdefault((name_key(name), one.read, said) if name else (one.mark,), []).append(one)
    return list(found.values())


def leaving_all(reading: OwnReading, group: Sequence[Wrong], cell: CellView) -> CellView:
    """The first cell of a group, with the box of leaving out all rows of its name where the group has several rows."""
    name, rows = name_at(reading, group[0].sheet, group[0].row), {(one.sheet, one.row) for one in group}
    if len(rows) < 2:
        return cell
    every = rows_called(reading.tables, dict(enumerate(reading.layouts)), {mark_of(name)})[mark_of(name)]
    return replace(cell, leave=f"leave-{mark_of(name)}", leaving=all_called(name, len(every)))


def is_title(table: OwnTable, layout: Layout, wrong: Wrong) -> bool:
    """Whether what is wrong stands at words without an amount: the title of what stands below them."""
    if layout.holds != FORMULAS or is_side_by_side(layout) or "formula" in layout.roles or wrong.row <= layout.heads:
        return False
    first = next((place for place in range(table.width) if table.cell(wrong.row, place)), None)
    amounts = [place for role in AMOUNTS for place in layout.places(role)]
    return wrong.column == first and not any(table.cell(wrong.row, place) for place in amounts)


def is_of_batch(layout: Layout, wrong: Wrong) -> bool:
    """Whether a cell says a batch: its row is an ingredient, and leaving that out is no cure."""
    return layout.holds == FORMULAS and layout.roles[wrong.column : wrong.column + 1] == ("batch",)


def all_called(name: str, count: int) -> str:
    """What leaving out all rows of a name is called."""
    return f"Leave all {count} rows called {shortened(name, 40)} out"


def name_at(reading: OwnReading, sheet: int, row: int) -> str:
    """The ingredient that a row of formulas names; "" in other sheets, and at heads."""
    return _name_in(reading.tables[sheet], reading.layouts[sheet], row)


def _name_in(table: OwnTable, layout: Layout, row: int) -> str:
    place = layout.place("ingredient")
    return "" if layout.holds != FORMULAS or place is None or row <= layout.heads else table.cell(row, place)


def rows_called(
    tables: Sequence[OwnTable], layouts: Mapping[int, Layout], marks: Collection[str]
) -> dict[str, list[str]]:
    """The rows of formulas whose names have these marks: the mark of the name -> those of its rows."""
    found: dict[str, list[str]] = {}
    wanted = {one for one in marks if place_of(one) is None}
    for sheet, layout in layouts.items() if wanted else ():
        for row in range(1, len(tables[sheet].rows) + 1):
            name = _name_in(tables[sheet], layout, row)
            if name and (mark := mark_of(name)) in wanted:
                found.setdefault(mark, []).append(row_mark(sheet, row))
    return found
