"""One row of a formula in a maker's own sheet: its ingredient, the amount with its unit, the grams beside it."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from webapp.costing.amounts import ZERO, Unreadable
from webapp.costing.limits import NAME_LENGTH
from webapp.costing.own import cells
from webapp.costing.own.cells import Read
from webapp.costing.own.columns import AMOUNTS, unit_in
from webapp.costing.own.lines import Amounts, FormulaRows, LineRow, Weight, measured, rest_to, weighed
from webapp.costing.own.rows import OwnRow
from webapp.costing.own.units import fraction_in, pounds_and_ounces
from webapp.costing.own.weight_heads import other_unit
from webapp.costing.units import MASS
from webapp.costing.written_units import AMOUNT, unit_of

T = TypeVar("T")


def read_line(formula: FormulaRows, row: OwnRow, amounts: Amounts, stage: str) -> LineRow | None:
    """One ingredient with its amount; None where something is wrong with it, which is noted.

    Percent counts before grams, and grams before another weight, where a row has both; they are compared.
    """
    ingredient = row.words("ingredient")
    if not ingredient and not row.text("ingredient"):
        row.fault("ingredient", "Name the ingredient, or leave this row out.")
    role = next((one for one in AMOUNTS if row.text(one)), "")
    if not role:
        row.fault("percent", "Say how much of it, or q.s. where it takes the rest.", "", "grams", "parts", "amount")
    read = _amount(amounts, formula, row, role) if role else None
    beside = _weight(row, role) if role in ("percent", "grams", "parts") else None
    at, column = (row.layout.place(one) or 0 for one in ("ingredient", role or "ingredient"))
    stage = row.words("stage") or stage
    formula.wrong += row.wrong
    formula.remarks += row.remarks
    if read is None or not ingredient:
        return None
    value, unit = (None, "percent") if read.unit == "rest" else (read.value, read.unit)
    where, sign = (row.number, column, ingredient, at), row.text(role).endswith("%")
    return LineRow(*where, value, unit, stage[:NAME_LENGTH], sign, beside, slack=read.slack)


def read_batch_of(formula: FormulaRows, row: OwnRow) -> None:
    """Take the size of its batch from a row, where one says it there; another than above is wrong."""
    text = row.text("batch")
    if not text:
        return
    before, formula.batch = formula.batch, None
    at, head = (row.number, row.layout.place("batch") or 0), row.head("batch")
    formula.read_batch(text, row.told, unit_in(head), at, head)
    if before is not None and formula.batch not in (None, before):
        here, above = map(row.told.written.number, (formula.batch or ZERO, before))
        words = f"{formula.name}: its batch stands here as {here} g, and above as {above} g."
        row.fault("batch", f"{words} Correct one of them, or choose what this column holds.")
    formula.batch = before or formula.batch


def _weight(row: OwnRow, counting: str) -> Weight | None:
    """The weight beside what counts of a row; one that is to take the rest may say so in both."""
    role = "grams" if row.text("grams") and counting != "grams" else "amount"
    text, unit = row.text(role), "g" if role == "grams" else row.text("unit") or unit_in(row.head(role))
    if cells.is_rest(text) or not (unit_of(unit) in MASS or _is_mass_said(text)):
        return None
    column = row.layout.place(role) or 0
    return row.read(role, lambda text, told: weighed(text, told, unit, column))


def _other_unit(head: str) -> str:
    """The unit that a head says beside others or that is no mass; none that stands behind a number, of a batch."""
    return "" if re.search("[0-9]", head) else other_unit(head)


def _is_mass_said(text: str) -> bool:
    """Whether a cell says a unit of mass behind its number."""
    divided, found = fraction_in(text), AMOUNT.fullmatch(text)
    said = divided[2] if divided else found["unit"] if found else ""
    return unit_of(said) in MASS or pounds_and_ounces(text) is not None


def _amount(amounts: Amounts, formula: FormulaRows, row: OwnRow, role: str) -> Read | None:
    """The amount of a line with its unit: percent, g, mL, drops, part; "" where nobody says; "rest" for q.s."""
    if whole := rest_to(row.text(role)):
        at = row.number, row.layout.place(role) or 0
        formula.read_batch(whole, row.told, "", at)  # what is filled up to is the batch
        return Read(ZERO, "rest")
    if cells.is_rest(row.text(role)):
        return Read(ZERO, "rest")
    by_role = {"percent": "%", "grams": "g", "parts": "parts"}.get(role, "")
    said, head = row.text("unit") if role == "amount" else "", row.head(role)
    beside = said or by_role or unit_in(head) or ("%" if "%" in head else "") or _other_unit(head) or amounts.unit
    read = row.read(role, lambda text, told: measured(text, told, beside))
    if read is not None and read.remark:
        row.remarks.append(read.remark)
    if read is not None and (more := cells.doubtful(row.text(role).removesuffix("%").strip(), row.told)):
        row.remarks.append(more)
    return read


def read_cell(formula: FormulaRows, row: OwnRow, place: int, how: Callable[[], T]) -> T | None:
    """What a cell says; None where that can't be read, which is wrong with its formula."""
    text = row.table.cell(row.number, place)
    if text.startswith("#"):
        words = f"{text[:20]} is what a spreadsheet writes where a formula failed. Type the value."
        formula.fault(words, "", row.number, place, text)
        return None
    try:
        return how()
    except (cells.Doubt, Unreadable) as trouble:
        formula.fault(trouble.sentence, getattr(trouble, "choice", ""), row.number, place, text)
        return None
