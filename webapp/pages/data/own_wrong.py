"""Cells of a maker's own sheets that are to be put right, or were: each once, what says the same together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from webapp.costing.own.columns import (
    ROLES,
    Layout,
    OwnTable,
)
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.rows import LEFT_OUT, Wrong, cell_mark, place_of, row_mark
from webapp.pages.data import own_named
from webapp.pages.data.own_choices import MOST_TYPED
from webapp.pages.data.own_costs import costs_offered
from webapp.pages.data.own_leaving import (
    alike,
    all_called,
    is_of_batch,
    is_title,
    leaving_all,
    name_at,
    others_of,
    rows_called,
    words_of_row,
)
from webapp.pages.data.own_shown import (
    MOST_WRONG,
    CellView,
    NameView,
    Read,
)
from webapp.pages.rendering import Desk

#: what no cell alone would cure
_OF_ALL = ("rates", "-freight", "-discount", "-shared")


def role_at(layout: Layout, place: int) -> str:
    """What a column holds; "" where it is left out."""
    return layout.roles[place] if place < len(layout.roles) else ""


def wrong_cells(desk: Desk, reading: OwnReading) -> tuple[CellView, ...]:
    """The cells that are wrong and no choice cures, each once; what says the same of rows of one name together."""
    wrong = {one.mark: one for one in reading.wrong if not one.choice}
    found, offered, costs = [], set[str](), costs_offered(reading)
    for group in alike(reading, wrong.values())[:MOST_WRONG]:
        here = [cell_of(desk, reading.tables, reading.layouts, one) for one in group]
        here[0] = leaving_all(reading, group, here[0])
        for at, one in enumerate(here):  # one box for a row, though several of its cells are wrong
            others = tuple(other for other in one.others if other.leave not in offered)
            leave, cost = "" if one.leave in offered else one.leave, costs.get(one.fix.removeprefix("fix-"))
            here[at] = replace(one, others=others, leave=leave, cost=cost)
            offered |= {one.leave, *(other.leave for other in others)}
        found.append(replace(here[0], like=tuple(here[1:])))
    return tuple(found)


def fields_of(cells: Iterable[CellView]) -> Iterator[str]:
    """The fields of some cells: what each should say, whether its row or that of another is left out."""
    for one in cells:
        yield from (one.fix, one.leave, *(other.leave for other in one.others))


def each_of(cells: Sequence[CellView]) -> tuple[CellView, ...]:
    """Each cell by itself, also where the same is said of several."""
    return tuple(each for one in cells for each in (one, *one.like))


def open_cells(desk: Desk, reading: OwnReading) -> tuple[CellView, ...]:
    """The cells that a choice would cure, each once, to be typed as they are meant where the choice doesn't fit."""
    asked = {
        one.mark: one
        for one in reading.wrong
        if one.choice and not one.choice.endswith(_OF_ALL) and "-columns-" not in one.choice
    }
    for one in reading.wrong:
        if not one.choice:
            asked.pop(one.mark, None)
    cells = (cell_of(desk, reading.tables, reading.layouts, one) for one in asked.values())
    return tuple(replace(one, leave="") for one in cells)[:MOST_WRONG]


def mended_cells(desk: Desk, read: Read, cells: Sequence[CellView]) -> tuple[CellView, ...]:
    """What was put right at other cells: what was typed there, with what the sheet says; and rows that are left out."""
    shown = set(fields_of(cells))
    found: dict[str, CellView] = {}
    gone = {(one.sheet, one.row) for one in read.reading.skipped if one.what == LEFT_OUT}
    called = rows_called(read.tables, dict(enumerate(read.reading.layouts)), read.choices.left_out)
    shown |= {f"leave-{row}" for rows in called.values() for row in rows}
    for mark, rows in called.items():
        (sheet, row, _), words = place_of(rows[0]) or (0, 0, 0), f"{len(rows)} rows"
        name = name_at(read.reading, sheet, row)
        found[mark] = CellView("", f"leave-{mark}", name, row, "", words, all_called(name, len(rows)))
    places = [(mark, place) for mark in (*read.choices.fixes, *read.choices.left_out) if (place := place_of(mark))]
    for mark, (sheet, row, column) in sorted(places, key=lambda one: one[1]):
        if sheet >= len(read.tables) or not 0 < row <= len(read.tables[sheet].rows):
            continue
        there = read.tables[sheet].cell(row, column)
        one = cell_of(desk, read.tables, read.reading.layouts, Wrong(sheet, row, column, there, ""))
        if mark in read.choices.left_out and one.leave not in shown:
            leaving = one.leaving if (sheet, row) in gone else ""
            found[mark] = replace(one, fix="", label=f"{read.tables[sheet].title}, row {row}", leaving=leaving)
        elif read.choices.fixes.get(mark, there).strip() not in ("", there) and one.fix not in shown:
            found[mark] = replace(one, leave="")
    return tuple(found.values())[:MOST_TYPED]


def cell_of(desk: Desk, tables: Sequence[OwnTable], layouts: Sequence[Layout], wrong: Wrong) -> CellView:
    """A cell with its row, to be put right or left out."""
    table, layout = tables[wrong.sheet], layouts[wrong.sheet]
    role = ROLES[layout.holds].get(role_at(layout, wrong.column), "") if wrong.row > layout.heads else "its name"
    can_go = wrong.row > layout.heads and not is_of_batch(layout, wrong)
    return CellView(
        f"fix-{cell_mark(wrong.sheet, wrong.row, wrong.column)}",
        f"leave-{row_mark(wrong.sheet, wrong.row)}" if can_go else "",
        f"{table.title}, {wrong.cell}{f': {role}' if role else ''}",
        wrong.row,
        table.cell(wrong.row, wrong.column),
        words_of_row(desk.formats, table, wrong.row),
        f"Leave row {wrong.row} out, with what stands below it" if is_title(table, layout, wrong) else "",
        others=others_of(desk.formats, tables, wrong),
    )


def faults_of(reading: OwnReading, names: Sequence[NameView], cells: Sequence[CellView]) -> tuple[tuple[str, str], ...]:
    """Everything that is wrong, each at the one field that cures it; what says the same once."""
    asked_at = {one.fix for one in cells}
    found: dict[str, str] = dict(reading.faults)
    for one in reading.wrong:
        if one.choice == "rates":
            found |= {f"rates-{code.lower()}": one.sentence for code in reading.currencies if code in one.sentence}
        elif one.choice:
            found.setdefault(one.choice, one.sentence)
        elif f"fix-{one.mark}" in asked_at:
            found.setdefault(f"fix-{one.mark}", one.sentence)
    return (*found.items(), *own_named.unanswered(reading, names))
