"""What a maker's own sheet says is left of a batch of a formula, or lost: its loss, and what is said of it.

A batch is what its lines weigh, else what is said to be; what is left of it is compared with that. What may be grams
or percent, or is no weight, is asked where it would be a line, and said not to be taken below a total.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from webapp.costing import book as b
from webapp.costing.amounts import HUNDRED, ONE, ZERO, half_up
from webapp.costing.own import cells
from webapp.costing.own.cells import QUANTITY_PLACES
from webapp.costing.own.lines import BATCH, FormulaRows
from webapp.costing.own.lost import LEFT_PERCENT, LOST_PERCENT, MAKES, Lost
from webapp.costing.weighing import amounts_of

#: as a share of the lines: what is less away is rounding, what is more is a loss
_ROUNDING, _HALF = Decimal("0.005"), Decimal("0.5")
_LOSS_PLACES = 4
#: what all of several losses come to: "Total loss"
_SUM = re.compile(r"total|gesamt|summe|somme|suma")
_PAID = "What it costs is shown for what is left."


# --- what it comes to


def settle(formula: FormulaRows) -> None:
    """Take what is left and lost, once its lines are known; what it makes is its batch where nothing else says one."""
    if not formula.lost:
        return
    unit = "percent" if formula.way == "percent" else "g"
    formula.lost = [one if one.unit else one._replace(unit=unit) for one in dict.fromkeys(formula.lost)]
    weighed = None if formula.wrong else weight_of(formula)
    whole = weighed or formula.batch or formula.sized
    found = [one for one in formula.lost if _is_open(formula, one, whole)]
    if formula.wrong or not found:
        return
    found = _once(formula, found, whole)
    left = [one for one in found if one.is_left]
    if left:
        _take_left(formula, left[0], whole, weighed)
    losses = [one for one in found if not one.is_left]
    if left and losses:
        _compare(formula, losses, whole)
    elif losses:
        formula.loss = half_up(sum((one.value for one in losses if one.unit == "percent"), ZERO), _LOSS_PLACES)
        formula.loss_grams = cells.rounded(
            sum((one.value for one in losses if one.unit != "percent"), ZERO), QUANTITY_PLACES
        )
    if not formula.wrong:
        say(formula, whole)


def _once(formula: FormulaRows, found: list[Lost], whole: Decimal | None) -> list[Lost]:
    """The rows without those that say once more what others say, in another unit or in all; another amount is wrong."""
    kept = list[Lost]()
    for one in sorted(found, key=lambda one: (bool(_SUM.match(one.words)), one.unit == "percent", one.row)):
        same = [each for each in kept if _says_again(one, each)]
        before = sum((_grams(each, whole) for each in same), ZERO)
        if not same:
            kept.append(one)
        elif abs(before - _grams(one, whole)) > (whole or HUNDRED) * _ROUNDING:
            words = (
                f"row {same[0].row} says another amount of that. Correct one of them, or leave one of both rows out."
            )
            formula.fault(f"{formula.name}, “{one.says}”: {words}", "", one.row, one.column, one.text)
    return kept


def _says_again(one: Lost, before: Lost) -> bool:
    if one.is_left or before.is_left:
        return one.is_left and before.is_left
    return bool(_SUM.match(one.words)) or (one.words == before.words and one.unit != before.unit)


def _grams(one: Lost, whole: Decimal | None) -> Decimal:
    """What a row says in grams; in percent where nobody knows of how much."""
    return (whole or HUNDRED) * one.value / HUNDRED if one.unit == "percent" else one.value


def weight_of(formula: FormulaRows) -> Decimal | None:
    """What its lines weigh; None where one of them says no weight."""
    total = ZERO
    for line in formula.lines:
        if line.weight is not None:
            total += line.weight.grams
        elif line.unit == "g" and line.amount is not None:
            total += line.amount
        else:
            return None
    return total


def _is_by_volume(formula: FormulaRows) -> bool:
    return formula.way == "grams" and all(line.amount is not None for line in formula.lines)


def _is_open(formula: FormulaRows, one: Lost, whole: Decimal | None) -> bool:
    """Whether a row says a loss; what may be read in two ways is asked, or said not to be taken below a total."""
    is_batch = one.kind == MAKES and one.unit != "percent" and (BATCH.fullmatch(one.says.strip()) or whole is None)
    if is_batch and (formula.wrong or not _may_be_left(formula, one, whole)):
        if whole is not None and formula.batch is None and one.value < whole * _HALF:
            go, made = map(formula.written.number, (whole, one.value))
            said = f"Its lines weigh {go} g, and it is said to make {made} g, less than half of it"
            formula.remarks.append(f"{said}: that is taken for another size of its batch, and nothing for lost.")
        formula.batch = formula.batch or one.value
        return False
    words = _doubt(formula, one, whole)
    if words and one.below:
        formula.remarks.append(f"Row {one.row}, “{one.says}”: {words} It is not taken.")
    elif words:
        formula.fault(f"{formula.name}, “{one.says}”: {words}", "", one.row, one.column, one.text)
    return not words and one.value > 0


def _may_be_left(formula: FormulaRows, one: Lost, whole: Decimal | None) -> bool:
    """Whether what it makes is less than what its lines weigh, but for rounding; volumes have yet to be weighed."""
    if whole is None:
        return _is_by_volume(formula)
    return whole * _HALF <= one.value < whole * (ONE - _ROUNDING)


def _doubt(formula: FormulaRows, one: Lost, whole: Decimal | None) -> str:
    """What is to be asked of a row; "" where it says one thing."""
    number = formula.written.number
    if one.unit not in ("g", "percent"):
        return f"{one.text[:24]} is no weight. Type grams or percent, such as 50 g or 5 %."
    if one.unit == "percent" and one.value >= HUNDRED:
        return f"{one.text[:24]} is not below 100 %. Type percent below that, or grams, such as 50 g."
    share = one.value >= LEFT_PERCENT if one.is_left else one.value <= LOST_PERCENT
    if one.bare and one.unit != "percent" and one.value < HUNDRED and share and whole != HUNDRED:
        return f"are {one.text[:24]} grams or percent? Type it with its unit, such as {number(one.value)} %."
    if one.bare and one.unit == "percent" and one.value < ONE:
        return f"is {one.text[:24]} a percentage or a share? Type it with its unit, such as 5 % or 50 g."
    if one.is_left and one.unit != "percent" and whole is None and not _is_by_volume(formula):
        return f"{one.text[:24]} of how much? Type what is left in percent, such as 90 %, or say its batch."
    return ""


def _take_left(formula: FormulaRows, one: Lost, whole: Decimal | None, weighed: Decimal | None) -> None:
    """The loss by what is left: in grams, in percent where the batch is said to be another than the lines weigh."""
    if one.unit == "percent":
        formula.loss = half_up(HUNDRED - one.value, _LOSS_PLACES)
        return
    if whole is None:
        formula.left = one.value
        return
    lost = whole - one.value
    if abs(lost) <= min(one.slack, whole * _ROUNDING):
        return
    if lost < 0:
        number = formula.written.number
        words = f"more than the {number(whole)} g that go in. It is not taken."
        formula.remarks.append(f"Row {one.row}, “{one.says}”: {number(one.value)} g are {words}")
    elif weighed is not None and formula.batch is not None and formula.batch != weighed:
        formula.loss = half_up(lost * HUNDRED / whole, _LOSS_PLACES)
    else:
        formula.loss_grams = cells.rounded(lost, QUANTITY_PLACES)


def _compare(formula: FormulaRows, losses: list[Lost], whole: Decimal | None) -> None:
    """What is left and what is lost have to go together; what is left counts."""
    base = whole or HUNDRED
    if whole is None and any(one.unit != "percent" for one in losses):
        return
    said = sum((_grams(one, whole) for one in losses), ZERO)
    lost = base * formula.loss / HUNDRED + formula.loss_grams
    if abs(said - lost) > base * _ROUNDING:
        unit, number = "g" if whole else "%", formula.written.number
        words = f"{formula.name}: by what is left {number(half_up(lost, _LOSS_PLACES))} {unit} are lost, and by this "
        words += f"{number(half_up(said, _LOSS_PLACES))} {unit}. Correct one of them, or leave this row out."
        formula.fault(words, "", losses[0].row, losses[0].column, losses[0].text)


def say(formula: FormulaRows, whole: Decimal | None) -> None:
    """Say what is lost: its cost is that of what is left."""
    number, lost = formula.written.number, formula.loss_grams
    if lost and whole is not None and not formula.loss:
        out, of, left = (number(half_up(one, _LOSS_PLACES)) for one in (lost, whole, whole - lost))
        formula.remarks.append(f"{out} g of {of} g are lost: its yield is {left} g. {_PAID}")
    elif lost or formula.loss:
        parts = [f"{number(formula.loss)} %"] if formula.loss else []
        parts += [f"{number(lost)} g"] if lost else []
        formula.remarks.append(f"{' and '.join(parts)} of each batch {'is' if not lost else 'are'} lost. {_PAID}")


# --- in the book


def weigh(
    rows: FormulaRows, lines: tuple[b.FormulaLine, ...], materials: Mapping[b.Id, b.Material], today: date
) -> list[str]:
    """Take the loss by what is left where volumes stand in its lines, by their densities; what is to be said of it."""
    if rows.left is None:
        return []
    dense = all(one.unit == "g" or one.material in materials for one in lines)
    record = b.Formula(0, rows.name, today, lines, "grams")
    whole = amounts_of(b.Book(day=today, materials=materials), record).whole if dense else None
    if not isinstance(whole, Decimal):
        return ["What is lost of it is known once the densities of all that is in it are."]
    before = len(rows.remarks)
    rows.batch = cells.rounded(whole, QUANTITY_PLACES)
    if rows.left < whole * (ONE - _ROUNDING):
        rows.loss_grams = cells.rounded(rows.batch - rows.left, QUANTITY_PLACES)
        say(rows, rows.batch)
    return rows.remarks[before:]


def with_loss(record: b.Formula, rows: FormulaRows, *, used: bool) -> b.Formula:
    """The formula with what is lost of it; made ahead where others take of it, so that they pay for the loss."""
    if not (rows.loss or rows.loss_grams):
        return record
    return replace(record, loss=rows.loss, loss_grams=rows.loss_grams, made_ahead=record.made_ahead or used)
