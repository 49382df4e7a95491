"""Prices for one g or kg beside the lines of a maker's own formulas: what is another than on her price sheets is said.

The price sheets count.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ONE, Unreadable, half_up
from webapp.costing.called import written_alike
from webapp.costing.own import cells
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.lines import FormulaRows, LineRow
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.told import Told
from webapp.costing.units import MASS
from webapp.costing.written_units import unit_of

#: a head of a price for one: "\u20ac/g", "cost per kg"
_FOR_ONE = re.compile(
    r"(?:[^\w\s]|[A-Z]{2,3}|(?:unit )?(?:cost|price)|preis|kosten|prix|precio|prezzo)(?:\s*[^\w\s/])?\s*"
    r"(?:/|per|pro|je|par|por|al)\s*([a-z]+)\.?",
    re.IGNORECASE,
)
#: from how much of a price on another is no rounding
_AWAY = ONE / HUNDRED
_PLACES = 6
MANY = "The prices beside its lines are others than those of your price sheets, which count."


def say_other_prices(
    tables: Sequence[OwnTable],
    layouts: Sequence[Layout],
    formulas: Sequence[FormulaRows],
    rows: Sequence[MaterialRow],
    told: Told,
) -> None:
    """Say at each formula which line has another price beside it than its own sheet of prices; of most of them once."""
    found = {one.name: one for one in rows if one.name}
    count = Counter(written_alike(one.name) for one in rows)
    known = {written_alike(one.name): one for one in found.values() if count[written_alike(one.name)] == 1}
    said = [
        (
            formula,
            _other(OwnRow(formula.sheet, line.row, tables[formula.sheet], layouts[formula.sheet], told), line, of),
        )
        for formula in formulas
        for line in formula.lines
        if (of := known.get(written_alike(line.ingredient))) is not None and of.sheet != formula.sheet
    ]
    compared = [(formula, words) for formula, words in said if words is not None]
    others = [(formula, words) for formula, words in compared if words]
    for formula, words in others:
        formula.remarks.append(MANY if len(others) * 2 > len(compared) else words)


def _other(row: OwnRow, line: LineRow, material: MaterialRow) -> str | None:
    """What is said of a price beside a line that is another; "" where it is the same, None where there is none."""
    of, grams = material, (material.size or ONE) * MASS.get(material.unit, ONE)
    for place, unit in _places(row):
        typed = _typed(row, place)
        if typed is None or of.price is None or of.unit not in MASS or unit not in MASS or line.named:
            continue
        own = of.price * MASS[unit] / grams
        slack = ONE.scaleb(int(typed.as_tuple().exponent)) / 2 + own * _AWAY
        if abs(typed - own) <= slack:
            return ""
        number, counts = row.told.written.number, half_up(own, _PLACES)
        words = f"{line.ingredient}: {number(typed)} for 1 {unit} stands here, and {number(counts)} by your price sheet"
        return f"{words}, which counts."
    return None


def _places(row: OwnRow) -> Iterator[tuple[int, str]]:
    """The columns that are headed as a price for one of a unit, each with that."""
    heads = row.layout.heads
    for place in range(row.table.width) if heads else ():
        found = _FOR_ONE.fullmatch(row.table.cell(heads, place).strip())
        if found:
            yield place, unit_of(found[1])


def _typed(row: OwnRow, place: int) -> Decimal | None:
    """The price of a cell in home money; None where it is none."""
    try:
        read, unit = cells.money(row.table.cell(row.number, place), row.told_at(place))
    except (cells.Doubt, Unreadable):
        return None
    return None if unit or read.unit not in ("", row.told.home) else read.whole
