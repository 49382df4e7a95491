"""A total that a maker wrote below the weights of a formula and that isn't their sum: said at the formula."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ONE, ZERO, Unreadable, half_up
from webapp.costing.own import cells
from webapp.costing.own.columns import unit_in
from webapp.costing.own.lines import FormulaRows, LineRow, measured, weighed
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.told import Told
from webapp.costing.own.totals import is_of_all, taken_off
from webapp.costing.units import MASS

#: to how many decimals a total and a sum are said
_SAID = 4


class _Figure(NamedTuple):
    """A weight in grams, or an amount in a unit that is none of mass; half of its last place; its unit as written."""

    value: Decimal
    slack: Decimal
    unit: str


#: what a row says in one column: the text, what was said of it, the unit that is said beside it
_Cell = Callable[[OwnRow], tuple[str, Told, str]]


def say_total(formula: FormulaRows | None, row: OwnRow, bare: str) -> None:
    """Say where the total in a row of a list isn't what the weights above it come to; `bare`: the unit of bare ones."""
    if formula is None or formula.wrong:
        return
    parts = {gap.total for _, gap in formula.gaps}
    for role in ("grams", "amount"):
        place = row.layout.place(role)
        if place is not None:
            beside = "g" if role == "grams" else unit_in(row.head(role)) or bare
            _say(formula, row, place, parts, _in_list(role, beside))


def _in_list(role: str, beside: str) -> _Cell:
    def cell(row: OwnRow) -> tuple[str, Told, str]:
        return row.text(role), row.told_of(role), (row.text("unit") if role == "amount" else "") or beside

    return cell


def say_totals_across(
    formulas: Mapping[int, FormulaRows],
    units: Mapping[int, str],
    rows: Sequence[OwnRow],
    text_of: Callable[[OwnRow, int], str],
) -> None:
    """The same of formulas side by side, by the columns of their weights."""
    for row in rows:
        before = {one.number for one in rows if one.number < row.number}
        for place, formula in formulas.items():
            if not formula.wrong:
                _say(formula, row, place, before, _across(place, units[place], text_of))


def _across(place: int, unit: str, text_of: Callable[[OwnRow, int], str]) -> _Cell:
    return lambda row: (text_of(row, place), row.told, unit)


def _say(formula: FormulaRows, row: OwnRow, place: int, parts: Collection[int], cell: _Cell) -> None:
    """Compare a total with what stands above it, or above it since a total of a part or since its stage began."""
    lines = [line for line in formula.lines if line.row < row.number]
    above = [_figure(*cell(replace(row, number=line.row))) if _stands_in(line, place) else None for line in lines]
    read = [one for one in above if one is not None]
    units = {one.unit for one in read}
    text, told, beside = cell(row)
    own = _figure(text, told, beside or (units.pop() if len(units) == 1 else ""))
    if own is None or not read or len(read) < len(above) or not is_of_all(row) or not _are_alike(own, read):
        return
    starts = [0, *(at for at in range(1, len(lines)) if _begins(lines[at - 1], lines[at], parts))]
    lost = [_Figure(one.value, one.slack, "g") for one in taken_off(formula, "g")] if own.unit in MASS else []
    if any(_comes_to(own, read[start:]) for start in starts) or _comes_to(own, [*read, *lost]):
        return
    factor, unit = MASS.get(own.unit, ONE), f" {own.unit}" if own.unit else ""
    says, come = (
        told.written.number(half_up(one / factor, _SAID)) for one in (own.value, sum((one.value for one in read), ZERO))
    )
    formula.remarks.append(
        f"Row {row.number} says {says}{unit} in all, and the lines above come to {come}{unit}: the lines count."
    )


def _stands_in(line: LineRow, place: int) -> bool:
    return line.column == place or (line.weight is not None and line.weight.column == place)


def _begins(before: LineRow, line: LineRow, parts: Collection[int]) -> bool:
    """Whether a part of a formula begins with a line: a stage, or what follows a total."""
    return line.stage != before.stage or any(before.row < total < line.row for total in parts)


def _are_alike(own: _Figure, lines: Sequence[_Figure]) -> bool:
    """Whether all are weights, or all in one unit; percent are told by their own sum."""
    if own.unit in MASS:
        return all(one.unit in MASS for one in lines)
    return own.unit != "percent" and {one.unit for one in lines} == {own.unit}


def _comes_to(own: _Figure, lines: Sequence[_Figure]) -> bool:
    """Whether a total is the sum of lines, but for how far all of them may be rounded."""
    away = abs(own.value - sum((one.value for one in lines), ZERO))
    return away <= own.slack + sum((one.slack for one in lines), ZERO)


def _figure(text: str, told: Told, beside: str) -> _Figure | None:
    try:
        weight = weighed(text, told, beside, 0)
        if weight is not None:
            return _Figure(weight.grams, weight.slack, weight.unit)
        read = measured(text, told, beside)
    except (cells.Doubt, Unreadable):
        return None
    return _Figure(read.value, read.slack, read.unit)
