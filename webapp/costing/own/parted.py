"""Formulas of which nothing says whether they are one or several: asked at the row that parts them."""

from __future__ import annotations

from collections.abc import Sequence

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.limits import name_key
from webapp.costing.own.all_in import says_all
from webapp.costing.own.columns import AMOUNTS, OwnTable, words_of
from webapp.costing.own.lines import FormulaRows, Gap
from webapp.costing.own.rows import OwnRow, row_mark, says_total
from webapp.costing.own.stages import BEGINS


def ask_where_parted(formula: FormulaRows, left_out: frozenset[str]) -> None:
    """Ask at what parts the lines of a formula, where another seems to begin without a name.

    It does where heads stand once more, or an ingredient stands on both sides, unless that is another stage of it.
    Percent that come to 100 in all are one formula, and so is what its total says to be one. A phase that comes again
    with heads of its own may be that of another formula.
    """
    if formula.wrong or formula.way == "percent" or formula.is_whole:
        return
    keys = [(name_key(line.ingredient), line.stage) for line in formula.lines]
    last = {key: place for place, key in enumerate(keys)}
    for at, gap in formula.gaps:
        if at < formula.proved and not gap.total:
            continue
        row = gap.blank or gap.heads or gap.total
        again = next((formula.lines[last[key]] for key in keys[:at] if last[key] >= at), None)
        stage = formula.lines[at].stage
        heads = gap.heads and stage == formula.lines[at - 1].stage
        phase = stage if gap.heads and not heads and stage in {line.stage for line in formula.lines[:at]} else ""
        if row_mark(formula.sheet, row) not in left_out and (again or heads or phase):
            twice = again.ingredient if again else phase
            why = f"{twice} stands above and below this row" if twice else "heads stand here once more"
            formula.fault(f"{formula.name}: {why}. {_cure(gap)}", "", row, formula.lines[at].at, " ")


def asks_amount(formula: FormulaRows | None, row: OwnRow, gap: Gap) -> bool:
    """Ask of words without an amount right below a line whether they are one, where nothing says that a formula begins.

    Its formula is named above the heads or by its sheet, so that names among the lines are not how they are named
    here, and its lines don't come to 100 or to its batch yet.
    """
    if formula is None or not formula.lines or gap != Gap() or "formula" in row.layout.roles or row.told.method:
        return False
    place = next((place for role in AMOUNTS if (place := row.layout.place(role)) is not None), None)
    named_so, name = row.layout.heads < formula.row < formula.lines[0].name_row, row.text("ingredient")
    if not name or place is None or named_so or is_whole(formula):
        return False
    if words_of(row.table.cell(row.number, place)) == BEGINS:
        return False
    words = f"How much {name} is in {formula.name}? Type it, or “{BEGINS}” where it is the name of one that begins"
    formula.fault(f"{words} here.", "", row.number, place, "")
    return True


def is_whole(formula: FormulaRows) -> bool:
    """Whether the lines come to 100 (percent: or more) or to the batch; one that takes the rest makes them so."""
    amounts = [line.amount for line in formula.lines]
    total = sum((one or ZERO for one in amounts), ZERO)
    percent = any(line.unit == "percent" for line in formula.lines)
    return None in amounts or total in (HUNDRED, formula.batch) or (percent and total > HUNDRED)


def _cure(gap: Gap) -> str:
    one = "leave this row out where it is all one formula."
    if gap.blank:
        return f"Does a formula begin here? Type its name, or {one}"
    return f"Does a formula begin here? Write its name in a row of its own in your sheet, or {one}"


def is_only_words(table: OwnTable, formula: FormulaRows, all_of: Sequence[FormulaRows]) -> bool:
    """Whether what was taken for a name is a note: alone in its row, no line below it, a gap or a total above it."""
    lines = [line.row for one in all_of for line in one.lines if line.row < formula.row]
    alone = len([cell for cell in table.rows[formula.row - 1] if cell.strip()]) == 1
    if formula.lines or formula.wrong or not alone:
        return False
    if says_all(formula.name):
        return True
    if not lines:
        return False
    between = [[cell for cell in row if cell.strip()] for row in table.rows[max(lines) : formula.row - 1]]
    return any(not row or says_total(words_of(row[0])) for row in between)
