"""Rows of a maker's own sheet as formulas: a row an ingredient.

The formula's name stands in a column, as a heading above its rows, or is the title of the sheet.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing import own_cells as cells
from webapp.costing.amounts import HUNDRED, ONE, ZERO, Unreadable, plain
from webapp.costing.called import Names
from webapp.costing.limits import NAME_LENGTH, name_key
from webapp.costing.own_cells import QUANTITY_PLACES, Read, Told
from webapp.costing.own_columns import Layout, OwnTable, unit_in
from webapp.costing.own_rows import (
    COMMENT,
    HEADS,
    TOTAL,
    OwnRow,
    Skipped,
    Wrong,
    filled,
    is_heads,
    is_total,
    rows_of,
    skipped,
)
from webapp.costing.units import MASS

#: how far from 100 the lines may be for the last digits of a spreadsheet's own arithmetic: the largest makes up for it
NOISE = Decimal("0.001")
#: from where to where amounts are thought to be fractions of one
NEAR_ONE = (Decimal("0.95"), Decimal("1.05"))
_AMOUNTS = ("percent", "grams", "parts", "amount")
_BATCH = re.compile(r"(?:batch(?: size)?|makes|yield|total batch|ansatz|charge)\b[\s:=]*(.*)", re.IGNORECASE)
_NAMED = re.compile(r"(?:formula|recipe|product|rezept|recette|receta|ricetta)\s*[:\-\u2013#]\s*(.+)", re.IGNORECASE)
_STAGE = re.compile(r"(?:phase|stage)\s*\w*.*|.*\bphase|cool[- ]?down|heated", re.IGNORECASE)
#: what is written for the amount -> the unit of a formula's line, and its factor
_UNITS: dict[str, tuple[str, Decimal]] = {
    **dict.fromkeys(("%", "percent", "pct", "prozent", "% w/w"), ("percent", ONE)),
    **dict.fromkeys(("drop", "drops", "gtt", "tropfen", "gouttes", "gotas", "gocce"), ("drops", ONE)),
    **dict.fromkeys(("part", "parts", "teil", "teile", "partes", "parti"), ("part", ONE)),
    "ml": ("mL", ONE),
    "l": ("mL", Decimal(1000)),
}
WAYS = {"percent": "percent", "part": "parts", "g": "grams", "mL": "grams", "drops": "grams"}


@dataclass(frozen=True, slots=True)
class LineRow:
    """An ingredient of a formula as its row says it; `amount` None where it takes the rest. `percent_sign`: 42 %."""

    row: int
    column: int
    ingredient: str
    at: int
    amount: Decimal | None
    unit: str
    stage: str = ""
    percent_sign: bool = False
    grams: Decimal | None = None


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


@dataclass
class _Reader:
    """What is known while the rows of a sheet go by."""

    sheet: int
    table: OwnTable
    layout: Layout
    known: Names
    amounts: str
    found: dict[str, FormulaRows] = field(default_factory=dict)
    passed: list[Skipped] = field(default_factory=list)
    here: FormulaRows | None = None
    stage: str = ""

    def begin(self, name: str, row: int, column: int) -> FormulaRows:
        """The formula of that name, a new one where there is none yet; a name that can't be kept is wrong with it."""
        self.stage = ""
        try:
            kept, trouble = cells.words(name), ""
        except Unreadable as unreadable:
            kept, trouble = name[:NAME_LENGTH], unreadable.sentence
        self.here = self.found.setdefault(name_key(kept), FormulaRows(self.sheet, row, kept, column=column))
        if trouble:
            self.here.fault(trouble)
        return self.here


def formulas_in(
    sheet: int, table: OwnTable, layout: Layout, told: Told, left_out: frozenset[str], *, known: Names, amounts: str
) -> tuple[list[FormulaRows], list[Skipped]]:
    """The formulas of a sheet, and the rows that were passed over. `amounts` is what bare amounts were said to be."""
    reader = _Reader(sheet, table, layout, known, amounts)
    _named_above(reader)
    for row in rows_of(sheet, table, layout, told, left_out):
        _take(reader, row)
    for one in reader.found.values():
        _finish(one)
    return list(reader.found.values()), reader.passed


def _named_above(reader: _Reader) -> None:
    """A lone cell right above the heads names the first formula, where no column does."""
    above = reader.layout.heads - 1
    cells_above = reader.table.rows[above - 1] if above > 0 else ()
    texts = [(place, text) for place in range(len(cells_above)) if (text := reader.table.cell(above, place))]
    if len(texts) == 1 and "formula" not in reader.layout.roles:
        named = _NAMED.fullmatch(texts[0][1])
        reader.begin((named[1] if named else texts[0][1]).strip(" :"), above, texts[0][0])


def _take(reader: _Reader, row: OwnRow) -> None:
    here = filled(row)
    if is_heads(row) or is_total(row):
        reader.passed.append(skipped(row, TOTAL if is_total(row) else HEADS))
        return
    if reader.here is not None and _is_batch(reader, row, here):
        return
    ingredient = row.text("ingredient")
    said = any(row.text(role) for role in _AMOUNTS)
    named = row.text("formula")
    if not said and not (named and ingredient) and _is_heading(reader, row, here):
        return
    if named:
        reader.begin(named, row.number, reader.layout.place("formula") or 0)
    if not ingredient and not said:
        if not named:
            reader.passed.append(skipped(row, COMMENT))
        elif row.text("batch"):
            _batch(reader, row)
        return
    formula = reader.here or reader.begin(reader.table.title or "Formula", row.number, 0)
    _batch(reader, row)
    _line(reader, formula, row)


def _is_batch(reader: _Reader, row: OwnRow, here: Sequence[str]) -> bool:
    """A row that says the size of the batch: "Batch: 2 kg", "Batch size | 2000"."""
    found = _BATCH.fullmatch(here[0])
    if found is None or reader.here is None:
        return False
    text = found[1].strip() or (here[1] if len(here) > 1 else "")
    if not cells.sort_is_amount(text):  # "Makes 12 jars"
        reader.passed.append(skipped(row, COMMENT))
        return True
    _read_batch(reader.here, row, text, "ingredient")
    return True


def _is_heading(reader: _Reader, row: OwnRow, here: Sequence[str]) -> bool:
    """A row with words and no amount above the rows of a formula, or of one of its stages."""
    text = here[0]
    if _STAGE.fullmatch(text) and reader.here is not None:
        reader.stage = text[:NAME_LENGTH]
        return True
    mapped = row.text("ingredient")
    if "formula" in reader.layout.roles and not _NAMED.fullmatch(text):
        return False
    if mapped and reader.known.meant(mapped).value.startswith("material"):
        return False
    named = _NAMED.fullmatch(text)
    place = next(place for place in range(reader.table.width) if reader.table.cell(row.number, place))
    formula = reader.begin((named[1] if named else text).strip(" :"), row.number, place)
    more = [cell for cell in here[1:] if cells.sort_is_amount(cell)]
    if row.text("batch"):
        _batch(reader, row)
    elif more:
        _read_batch(formula, row, more[0], "ingredient")
    return True


def _batch(reader: _Reader, row: OwnRow) -> None:
    text = row.text("batch")
    if text and reader.here is not None:
        _read_batch(reader.here, row, text, "batch")


def _read_batch(formula: FormulaRows, row: OwnRow, text: str, role: str) -> None:
    """The size of a batch in grams; a bare number is grams, as the head may say otherwise."""
    beside = unit_in(row.head("batch")) or "g"
    try:
        read = cells.amount(_BATCH.sub(r"\1", text).strip(), row.told, beside)
    except (cells.Doubt, Unreadable) as trouble:
        row.fault(role, f"The size of the batch: {trouble.sentence}", getattr(trouble, "choice", ""), "ingredient")
        formula.wrong += row.wrong
        return
    grams = cells.in_grams(read)
    if grams is None:
        row.fault(role, f"The size of a batch is a mass, not {text[:24]}. Type grams or kg.", "", "ingredient")
        formula.wrong += row.wrong
    formula.batch = formula.batch or grams


# --- lines


def _line(reader: _Reader, formula: FormulaRows, row: OwnRow) -> None:
    """One ingredient with its amount; percent counts before grams, where a row has both."""
    ingredient = row.words("ingredient")
    if not ingredient and not row.text("ingredient"):
        row.fault("ingredient", "Name the ingredient, or leave this row out.")
    role = next((one for one in _AMOUNTS if row.text(one)), "")
    if not role:
        row.fault("percent", "Say how much of it, or q.s. where it takes the rest.", "", "grams", "parts", "amount")
    read = _amount(reader, row, role) if role else None
    grams = row.read("grams", cells.number) if role == "percent" and row.text("grams") else None
    at, column = (reader.layout.place(one) or 0 for one in ("ingredient", role or "ingredient"))
    stage = row.words("stage") or reader.stage
    formula.wrong += row.wrong
    formula.remarks += row.remarks
    if read is not None and ingredient:
        value, unit = (None, "percent") if read.unit == "rest" else (read.value, read.unit)
        sign = row.text(role).endswith("%")
        formula.lines.append(LineRow(row.number, column, ingredient, at, value, unit, stage[:NAME_LENGTH], sign, grams))


def _amount(reader: _Reader, row: OwnRow, role: str) -> Read | None:
    """The amount of a line with its unit: percent, g, mL, drops, part; "" where nobody says; "rest" for q.s."""
    if cells.is_rest(row.text(role)):
        return Read(ZERO, "rest")
    by_role = {"percent": "%", "grams": "g", "parts": "parts"}.get(role, "")
    said = row.text("unit") if role == "amount" else ""
    beside = said or by_role or unit_in(row.head(role)) or ("%" if "%" in row.head(role) else "") or _chosen(reader)
    read = row.read(role, lambda text, told: _measured(text, told, beside))
    if read is not None and (more := cells.doubtful(row.text(role).removesuffix("%").strip(), row.told)):
        row.remarks.append(more)
    return read


def _chosen(reader: _Reader) -> str:
    return {"percent": "%", "grams": "g", "parts": "parts"}.get(reader.amounts, "")


def _measured(text: str, told: Told, beside: str) -> Read:
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


# --- the whole formula


def _finish(formula: FormulaRows) -> None:
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
