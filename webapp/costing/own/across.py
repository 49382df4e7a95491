"""Rows of a maker's own sheet as formulas side by side: a column each, or a row each with the ingredients in the heads.

A blank cell says that the ingredient is not in that formula, and so does a 0, which is said.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ZERO, Unreadable
from webapp.costing.called import Names
from webapp.costing.limits import NAME_LENGTH, name_key
from webapp.costing.own import cells
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import (
    BLANK,
    FORMULAS,
    OF_FORMULA,
    OF_INGREDIENT,
    Layout,
    OwnTable,
    role_of,
    sort_of,
    unit_in,
    words_of,
)
from webapp.costing.own.heads import Column, columns_of, is_mass, paired, tells_figures, unit_alone
from webapp.costing.own.heads_again import is_heads
from webapp.costing.own.line_cells import read_cell
from webapp.costing.own.lines import BATCH, STAGE, Amounts, FormulaRows, LineRow, Weight, kept_name, measured, weighed
from webapp.costing.own.loss_rows import not_lines
from webapp.costing.own.numbered import unnumber
from webapp.costing.own.ounces import in_two_parts, joined
from webapp.costing.own.rows import (
    COMMENT,
    FIGURES,
    HEADS,
    NOT_IN_ANY,
    TOTAL,
    UNITS,
    WITHOUT_AMOUNTS,
    OwnRow,
    Skipped,
    filled,
    is_total,
    rows_of,
    skipped,
)
from webapp.costing.own.side_by_side import rough
from webapp.costing.own.sums import say_totals_across
from webapp.costing.own.told import Told
from webapp.costing.own.versions import with_titles
from webapp.costing.own.whole import NOISE, finish, say_percent

_NOTHING = re.compile(r"0+(?:[.,]0*)?\s*[^0-9.,]*")
_COUNTED = re.compile(r"makes|yield", re.IGNORECASE)
_UNIT_HEADS = ("", "unit", "units", "uom", "in")


@dataclass
class _Side:
    """What is known while the rows go by: of each column its formula or its ingredient, and its unit.

    `beside` are the columns of grams that stand beside another of the same formula.
    """

    sheet: int
    table: OwnTable
    layout: Layout
    places: tuple[int, ...]
    units: dict[int, str]
    beside: dict[int, int] = field(default_factory=dict)
    parts: dict[int, tuple[int, int]] = field(default_factory=dict)
    """Of those, where the weight stands in two parts: its columns of pounds and of ounces."""
    found: list[FormulaRows] = field(default_factory=list)
    passed: list[Skipped] = field(default_factory=list)
    rows: dict[str, FormulaRows] = field(default_factory=dict)
    stage: str = ""
    ended: int = 0
    """The row of the last total, where it is the sum of all above it; 0 before there is one."""
    above: dict[int, Decimal] = field(default_factory=dict)
    """The sum of the amounts of each column so far."""
    counted: int = 0
    """How many rows had any."""
    totals: list[OwnRow] = field(default_factory=list)

    def begin(self, name: str, row: int, column: int) -> FormulaRows:
        """A new formula; a name that can't be kept, or that another of this sheet has, is wrong with it."""
        kept, trouble = kept_name(name)
        made = FormulaRows(self.sheet, row, kept, column=column)
        self.found.append(made)
        before = self.rows.setdefault(name_key(kept), made)
        if before is not made:
            trouble = f"{kept} stands here twice. Call one of them something else, or leave it out."
        if trouble:
            made.fault(trouble, read=self.table.cell(row, column))
        return made


def is_side_by_side(layout: Layout) -> bool:
    """Whether a sheet has formulas or ingredients side by side."""
    return OF_FORMULA in layout.roles or OF_INGREDIENT in layout.roles


def formulas_across(
    sheet: int, table: OwnTable, layout: Layout, told: Told, left_out: frozenset[str], *, known: Names, amounts: Amounts
) -> tuple[list[FormulaRows], list[Skipped]]:
    """The formulas of such a sheet, and what was passed over. `known` are the names of materials that it may mean."""
    down = OF_FORMULA in layout.roles
    places = layout.places(OF_FORMULA if down else OF_INGREDIENT)
    named = with_titles(table, layout, columns_of(table, layout)) if down else columns_of(table, layout)
    heads = {place: Column(named[place].name, named[place].unit or amounts.unit) for place in places}
    side = _Side(sheet, table, layout, places, {place: unit for place, (_, unit) in heads.items()})
    rows = [row for row in rows_of(sheet, table, layout, told, left_out) if not _is_passed(side, row)]
    if down:
        side.beside = _beside(side, rows, paired(heads, places))
        side.parts = in_two_parts(table, layout.heads, side.units, side.beside)
        formulas = _begun(side, heads)
        _down(side, rows, formulas, known)
        say_totals_across(_weighed_in(side, formulas), side.units, side.totals, lambda row, at: _text(side, row, at))
    else:
        _across(side, rows, {place: name for place, (name, _) in heads.items()})
    say_percent(side.found)
    unnumber(side.found, known)
    for one in side.found:
        if one.lines or one.wrong:
            finish(one, amounts)
        else:
            side.passed.append(Skipped(sheet, one.row, WITHOUT_AMOUNTS, one.name))
    return [one for one in side.found if one.lines or one.wrong], side.passed


def _is_passed(side: _Side, row: OwnRow) -> bool:
    """Whether a row is a total, or the heads once more, or says the units of the columns."""
    here = _amounts_of(side, row)
    named = row.text("ingredient") or row.text("formula")
    heading = words_of(named) in _UNIT_HEADS or role_of(named, FORMULAS) == "ingredient"
    if here and heading and all(map(unit_alone, here.values())):
        side.units |= {place: unit_alone(text) for place, text in here.items()}
        side.passed.append(skipped(row, UNITS))
        return True
    sums = _sums(side, here, row.told.sign) if is_total(row) or not named else []
    unnamed = not named and side.counted > 1 and OF_FORMULA in side.layout.roles
    if is_heads(row) or is_total(row) or (unnamed and sums and len(sums) == len(here)):
        if is_mass(unit_in(named)):
            side.units |= {place: unit_in(named) for place in sums if not side.units[place]}
        side.ended = row.number if sums and len(sums) == len(here) else 0
        side.passed.append(skipped(row, HEADS if is_heads(row) else TOTAL))
        side.totals += [] if is_heads(row) else [row]
        return True
    if not here and not named and filled(row):
        side.passed.append(skipped(row, COMMENT))
        return True
    for place, text in here.items() if not BATCH.fullmatch(named) else ():
        side.above[place] = side.above.get(place, ZERO) + (rough(text, row.told.sign) or ZERO)
    side.counted += bool(here)
    return False


def _sums(side: _Side, here: Mapping[int, str], sign: str) -> list[int]:
    """The columns of formulas in which a row says the sum of all amounts above it."""
    figures = {place: rough(text, sign) for place, text in here.items() if place in side.above}
    return [one for one, figure in figures.items() if figure is not None and abs(figure - side.above[one]) <= NOISE]


def _amounts_of(side: _Side, row: OwnRow) -> dict[int, str]:
    """The cells of a row that are not blank, by their columns."""
    return {place: text for place in side.places if (text := row.table.cell(row.number, place)) not in BLANK}


# --- a column a formula, or two


def _beside(side: _Side, rows: Sequence[OwnRow], pairs: dict[int, int]) -> dict[int, int]:
    """The columns of grams that are compared with another; where that one is empty the grams alone count."""
    here = {place for row in rows if not BATCH.fullmatch(row.text("ingredient")) for place in _amounts_of(side, row)}
    return {(main if main in here else grams): (grams if main in here else main) for main, grams in pairs.items()}


def _begun(side: _Side, heads: dict[int, Column]) -> dict[int, FormulaRows]:
    """A formula for each column, the same one for two that stand beside each other; in the order of the columns."""
    found: dict[int, FormulaRows] = {}
    mains = {grams: main for main, grams in side.beside.items()}
    for place, (name, _) in heads.items():
        main = mains.get(place, place)
        if main not in found:
            found[main] = side.begin(name, side.layout.heads, place)
        found[place] = found[main]
    return found


def _down(side: _Side, rows: Sequence[OwnRow], formulas: dict[int, FormulaRows], known: Names) -> None:
    money = {row.number for row in rows if {*map(sort_of, _amounts_of(side, row).values())} == {"money"}}
    figures, sides = money if len(money) < len(rows) else set(), {at: (formulas[at], side.units[at]) for at in formulas}
    for row in rows:
        here, name = _amounts_of(side, row), row.text("ingredient")
        batch = BATCH.fullmatch(name) if name else None
        if tells_figures(name) or row.number in figures:
            side.passed.append(skipped(row, FIGURES))
        elif what := not_lines(row, here, sides, known, below=_is_below(side, row)):
            side.passed.append(skipped(row, what))
        elif batch and _COUNTED.match(name) and not all(map(cells.sort_is_amount, here.values())):  # "Makes | 12 jars"
            side.passed.append(skipped(row, FIGURES))
        elif batch is not None:
            for place in here:
                unit = unit_in(name) or (side.units[place] if is_mass(side.units[place]) else "")
                formulas[place].read_batch(_text(side, row, place), row.told, unit, (row.number, place), name)
        elif here and _is_below(side, row) and not known.meant(name).value:  # "Jars | 9 | 8"
            side.passed.append(skipped(row, FIGURES))
        elif STAGE.fullmatch(name) and not (here and known.meant(name).value):
            side.stage = name[:NAME_LENGTH]
            _subtotals(side, row, rows, formulas)
        elif not here:
            side.passed.append(skipped(row, NOT_IN_ANY))
        else:
            _ingredient(side, row, here, formulas)


def _weighed_in(side: _Side, formulas: dict[int, FormulaRows]) -> dict[int, FormulaRows]:
    """The formula of each column with amounts or weights; of two that hold one weight in two parts the first."""
    second = {side.beside[main] for main in side.parts}
    return {place: one for place, one in formulas.items() if place not in second}


def _subtotals(side: _Side, row: OwnRow, rows: Sequence[OwnRow], formulas: dict[int, FormulaRows]) -> None:
    """What stands beside a stage is what its rows come to, or wrong."""
    below = [one for one in rows if one.number > row.number]
    names = [one.text("ingredient") for one in below]
    ends = next((at for at, one in enumerate(names) if _ends_stage(one)), len(below))
    here = _amounts_of(side, row)
    side.passed += [skipped(row, TOTAL)] if here else []
    for place, text in here.items():
        total = sum((rough(one.table.cell(one.number, place), row.told.sign) or ZERO for one in below[:ends]), ZERO)
        if rough(text, row.told.sign) != total:
            words, sums = f"{side.stage}: {text[:24]} stands here, and", row.told.written.number(total)
            cure = f"the rows below it come to {sums}. Correct one of them, or leave this row out."
            formulas[place].fault(f"{words} {cure}", "", row.number, place, text)


def _ends_stage(name: str) -> bool:
    return bool(STAGE.fullmatch(name) or BATCH.fullmatch(name)) or tells_figures(name)


def _is_below(side: _Side, row: OwnRow) -> bool:
    """Whether a row without a price stands below the total of all columns, which is what stands above it."""
    return 0 < side.ended < row.number and not row.text("unit_price")


def _ingredient(side: _Side, row: OwnRow, here: dict[int, str], formulas: dict[int, FormulaRows]) -> None:
    """A row of amounts: a line in each formula that has one; what is wrong with its name is wrong with all of them."""
    ingredient = row.words("ingredient")
    if not row.text("ingredient"):
        row.fault("ingredient", "Name the ingredient, or leave this row out.")
    stage, at = row.words("stage") or side.stage, side.layout.place("ingredient") or 0
    mains = {grams: main for main, grams in side.beside.items()}
    for place in dict.fromkeys(mains.get(place, place) for place in here):
        formulas[place].wrong += row.wrong
        if ingredient:
            _line(side, formulas[place], row, place, _Named(ingredient, at, 0, stage))


# --- a row a formula


def _across(side: _Side, rows: Sequence[OwnRow], heads: dict[int, str]) -> None:
    heading = side.layout.heads
    for row in rows:
        here, name = _amounts_of(side, row), row.text("formula")
        if not here or tells_figures(name):
            side.passed.append(skipped(row, FIGURES if here else WITHOUT_AMOUNTS))
            continue
        column = side.layout.place("formula") or 0
        formula = side.begin(name or f"Row {row.number}", row.number, column)
        if not name:
            formula.fault("Name the formula, or leave this row out.", read=" ")
        if text := row.text("batch"):
            at = row.number, side.layout.place("batch") or 0
            formula.read_batch(text, row.told, unit_in(row.head("batch")), at, row.head("batch"))
        for place in here:
            try:
                ingredient = cells.words(heads[place])
            except Unreadable as unreadable:
                formula.fault(unreadable.sentence, "", heading, place, heads[place])
                continue
            _line(side, formula, row, place, _Named(ingredient, place, heading, ""))


# --- a cell


class _Named(NamedTuple):
    """An ingredient, the column and the row of its name (0: that of its amount), and its stage."""

    ingredient: str
    at: int
    row: int
    stage: str


def _line(side: _Side, formula: FormulaRows, row: OwnRow, place: int, named: _Named) -> None:
    """One cell as a line of a formula."""
    text, beside = _text(side, row, place), _text_beside(side, row, place)
    none_beside = beside in BLANK or bool(_NOTHING.fullmatch(beside))
    if text in BLANK or _NOTHING.fullmatch(text):
        if not none_beside:
            words = f"{beside[:24]} stand beside it, and no amount of {named.ingredient} here. Type it, or leave the "
            formula.fault(f"{words}column of grams out.", "", row.number, place, text or " ")
        elif text not in BLANK:
            formula.remarks.append(f"{named.ingredient} stands at 0: it is not in it.")
        return
    read = _amount(side, formula, row, place, text)
    if read is None:
        return
    value, unit = (None, "percent") if read.unit == "rest" else (read.value, read.unit)
    more = cells.doubtful(text.removesuffix("%").strip(), row.told), read.remark
    formula.remarks += filter(None, more)
    where = (row.number, place, named.ingredient, named.at)
    stage, weight = named.stage[:NAME_LENGTH], _weight(side, formula, row, place, beside)
    formula.lines.append(LineRow(*where, value, unit, stage, text.endswith("%"), weight, named.row, read.slack))


def _text(side: _Side, row: OwnRow, place: int) -> str:
    """The cell of an amount, or those of its pounds and ounces as one."""
    cells_here = [row.table.cell(row.number, one) for one in side.parts.get(place, ())]
    said = [one for one in cells_here if one not in BLANK and not _NOTHING.fullmatch(one)]
    return joined(cells_here[0], cells_here[1]) if said else row.table.cell(row.number, place)


def _text_beside(side: _Side, row: OwnRow, place: int) -> str:
    """The cell with the grams beside that of an amount; "" where there is no such column."""
    apart = place in side.beside and place not in side.parts
    return row.table.cell(row.number, side.beside[place]) if apart else ""


def _amount(side: _Side, formula: FormulaRows, row: OwnRow, place: int, text: str) -> Read | None:
    if cells.is_rest(text):
        return Read(ZERO, "rest")
    return read_cell(formula, row, place, lambda: measured(text, row.told, side.units[place]))


def _weight(side: _Side, formula: FormulaRows, row: OwnRow, place: int, text: str) -> Weight | None:
    """The grams beside an amount; one that takes the rest may say so in both columns."""
    if text in BLANK or cells.is_rest(text):
        return None
    column = side.beside[place]
    return read_cell(formula, row, column, lambda: weighed(text, row.told, side.units[column], column))
