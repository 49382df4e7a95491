"""A formula of a maker's own sheet while its lines are gathered, and what the whole comes to: sums, units, batch."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing import own_cells as cells
from webapp.costing.amounts import HUNDRED, ONE, ZERO, Unreadable, plain
from webapp.costing.own_cells import QUANTITY_PLACES, Read, Told
from webapp.costing.own_rows import Wrong
from webapp.costing.units import MASS

#: how far from 100 the lines may be for the last digits of a spreadsheet's own arithmetic: the largest makes up for it
NOISE = Decimal("0.001")
#: from where to where amounts are thought to be fractions of one
NEAR_ONE = (Decimal("0.95"), Decimal("1.05"))
BATCH = re.compile(r"(?:batch(?: size)?|makes|yield|total batch|ansatz|charge)\b[\s:=]*(.*)", re.IGNORECASE)
STAGE = re.compile(r"(?:phase|stage)\s*\w*.*|.*\bphase|cool[- ]?down|heated", re.IGNORECASE)
#: what is written for the amount -> the unit of a formula's line, and its factor
_UNITS: dict[str, tuple[str, Decimal]] = {
    **dict.fromkeys(("%", "percent", "pct", "prozent", "% w/w"), ("percent", ONE)),
    **dict.fromkeys(("drop", "drops", "gtt", "tropfen", "gouttes", "gotas", "gocce"), ("drops", ONE)),
    **dict.fromkeys(("part", "parts", "teil", "teile", "partes", "parti"), ("part", ONE)),
    "ml": ("mL", ONE),
    "l": ("mL", Decimal(1000)),
}
#: what can be written for the unit of an amount beside what `written_units` knows
UNITS_SAID = frozenset(_UNITS)
WAYS = {"percent": "percent", "part": "parts", "g": "grams", "mL": "grams", "drops": "grams"}


@dataclass(frozen=True, slots=True)
class LineRow:
    """An ingredient of a formula as its cells say it; `amount` None where it takes the rest. `percent_sign`: 42 %.

    Its amount stands in `row` and `column`, its name in the column `at`, of the same row or of `named`.
    """

    row: int
    column: int
    ingredient: str
    at: int
    amount: Decimal | None
    unit: str
    stage: str = ""
    percent_sign: bool = False
    grams: Decimal | None = None
    named: int = 0

    @property
    def name_row(self) -> int:
        """The row in which its ingredient is named."""
        return self.named or self.row


@dataclass
class FormulaRows:
    """A formula while its rows are gathered, and what is wrong with it."""

    sheet: int
    row: int
    name: str
    lines: list[LineRow] = field(default_factory=list)
    batch: Decimal | None = None
    remarks: list[str] = field(default_factory=list)
    wrong: list[Wrong] = field(default_factory=list)
    column: int = 0

    @property
    def way(self) -> str:
        """How it is written; "" where its rows are written in different ways."""
        ways = {WAYS[line.unit] for line in self.lines if line.unit}
        return ways.pop() if len(ways) == 1 else ""

    def fault(self, sentence: str, choice: str = "", row: int = 0, column: int | None = None, read: str = "") -> None:
        """Note what is wrong with it, at a cell of one of its rows or at its name."""
        place = self.column if column is None else column
        self.wrong.append(Wrong(self.sheet, row or self.row, place, read or self.name, sentence, choice))


def measured(text: str, told: Told, beside: str) -> Read:
    """An amount of a formula with its unit: what is written behind it, else `beside`; "" where nobody says."""
    parted = re.fullmatch(r"([-0-9.,][-0-9., '\u2019]*?)\s*([^0-9.,\s].*)?", text.strip())
    if parted is None:
        raise Unreadable("number-format", f"{text[:40]} is no amount. Type digits, or q.s. for the rest.")
    value = cells.number(parted[1].strip(), told)
    word = (parted[2] or beside).strip(" .").casefold()
    if word in _UNITS:
        unit, factor = _UNITS[word]
    elif word:
        read = cells.amount(f"1 {parted[2] or beside}", told)
        grams = cells.in_grams(read)
        if grams is None:
            raise Unreadable("unit", f"{word[:24]}: write a formula in percent, grams, mL, drops or parts.")
        unit, factor = "g", MASS[read.unit]
    else:
        unit, factor = "", ONE
    return Read(cells.fitting(value * factor, lim.QUANTITY, text), unit)


def batch_grams(text: str, told: Told, beside: str) -> Decimal:
    """The size of a batch in grams; a bare number is in `beside`, else grams. Doubt or Unreadable where it is none."""
    try:
        grams = cells.in_grams(cells.amount(BATCH.sub(r"\1", text).strip(), told, beside or "g"))
    except cells.Doubt as doubt:
        raise cells.Doubt(doubt.choice, f"The size of the batch: {doubt.sentence}") from None
    except Unreadable as trouble:
        raise Unreadable(trouble.code, f"The size of the batch: {trouble.sentence}") from None
    if grams is None:
        raise Unreadable("unit", f"The size of a batch is a mass, not {text[:24]}. Type grams or kg.")
    return grams


# --- the whole formula


def finish(formula: FormulaRows) -> None:
    """Bare amounts get their unit, fractions become percent, noise is made up for, the batch comes from grams."""
    if not formula.lines:
        if not formula.wrong:
            words = f"No ingredient stands below {formula.name}. Leave this row out, or correct what each column holds."
            formula.fault(words)
        return
    _say_units(formula)
    _as_percent(formula)
    if not formula.way and not formula.wrong:
        formula.fault(f"The amounts of {formula.name} are written in different ways. Write all of them in one.")
    weights = [line.grams for line in formula.lines if line.grams is not None]
    if formula.batch is None and formula.way == "percent" and len(weights) == len(formula.lines) and all(weights):
        formula.batch = cells.rounded(sum(weights, ZERO), QUANTITY_PLACES)
    if formula.wrong or formula.way != "percent" or any(line.amount is None for line in formula.lines):
        return
    away = HUNDRED - sum((line.amount or ZERO for line in formula.lines), ZERO)
    largest = max(formula.lines, key=lambda line: line.amount or ZERO)
    would = plain((largest.amount or ZERO) + away)
    if away and abs(away) <= NOISE:
        formula.lines = [
            replace(one, amount=(one.amount or ZERO) + away) if one is largest else one for one in formula.lines
        ]
        formula.remarks.append(f"{largest.ingredient} is read as {would} %, so that the lines add up to 100.")
    elif away:
        word = "short of" if away > 0 else "more than"
        words = (
            f"{formula.name}: the lines add up to {plain(HUNDRED - away)} %, {plain(abs(away))} {word} 100. Correct an "
            f"amount: {largest.ingredient} would be {would} %."
        )
        formula.fault(words, "", largest.row, largest.column, plain(largest.amount or ZERO))


def _say_units(formula: FormulaRows) -> None:
    bare = [line for line in formula.lines if not line.unit]
    if not bare:
        return
    total = sum((line.amount or ZERO for line in formula.lines), ZERO)
    rest = any(line.amount is None for line in formula.lines)
    if total == HUNDRED or rest or NEAR_ONE[0] <= total <= NEAR_ONE[1]:
        formula.lines = [replace(line, unit=line.unit or "percent") for line in formula.lines]
    else:
        words = f"The amounts of {formula.name} come to {plain(total)}. Choose what they are: percent, grams or parts."
        formula.fault(words, "amounts", bare[0].row, bare[0].column, plain(bare[0].amount or ZERO))


def _as_percent(formula: FormulaRows) -> None:
    """Fractions of one, as spreadsheets keep percent, times a hundred."""
    shares = [line for line in formula.lines if line.amount is not None]
    total = sum((line.amount or ZERO for line in shares), ZERO)
    if (
        formula.way == "percent"
        and not any(line.percent_sign for line in shares)
        and NEAR_ONE[0] <= total <= NEAR_ONE[1]
    ):
        if any(line.amount is None for line in formula.lines):
            return
        formula.lines = [replace(line, amount=(line.amount or ZERO) * HUNDRED) for line in formula.lines]
        formula.remarks.append("Its amounts are fractions of one: read as percent.")
