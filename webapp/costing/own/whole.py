"""What a formula of a maker's own sheet comes to as a whole: units, sums, batch, and grams that stand beside amounts.

Of two columns one is enough: percent count where they are there, but where complete weights beside them are finer, and
each is compared with the other. What contradicts them by more than both may be rounded is asked for, never guessed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ONE, ZERO, half_up
from webapp.costing.own import cells
from webapp.costing.own.cells import QUANTITY_PLACES
from webapp.costing.own.finer import ARITHMETIC, weights_are_finer
from webapp.costing.own.lines import NEAR_ONE, WAYS, Amounts, FormulaRows, LineRow, Weight
from webapp.costing.own.losses import settle
from webapp.costing.own.made import UNKNOWN, WEIGHED
from webapp.costing.own.rows import mark_of
from webapp.costing.units import MASS

#: how far from 100 the lines may be for the last digits of a spreadsheet's own arithmetic: the largest makes up for it
NOISE = Decimal("0.001")
#: to how many decimals grams that would go together with a percent are said
_SAID = 4
#: how far from 100 rounded percent are still thought to be all there, and from where on they may be no percent
ROUNDED_AWAY, MUCH = Decimal("0.5"), Decimal(5)
KINDS = {"percent": "percent", "grams": "g", "parts": "part"}
_COMPARED = {"percent": "%", "part": "parts", "g": "g"}


def finish(formula: FormulaRows, amounts: Amounts) -> None:
    """Amounts get their unit, fractions become percent, noise is made up for, the batch comes from grams."""
    formula.written = amounts.written
    if not formula.lines:
        if not formula.wrong:
            words = f"No ingredient stands below {formula.name}. Leave this row out, or correct what each column holds."
            formula.fault(words)
        return
    kind = amounts.of.get(formula.mark) or amounts.of.get(mark_of(formula.name), "")
    if kind in KINDS:
        formula.lines = [line if line.amount is None else replace(line, unit=KINDS[kind]) for line in formula.lines]
    _say_units(formula)
    _as_percent(formula)
    settle(formula)
    _size_as_batch(formula)
    _take_made(formula)
    _rest_in_grams(formula)
    if not formula.way and not formula.wrong:
        _say_mixed(formula)
    _compare(formula)
    _batch_of_grams(formula)
    if not formula.wrong and formula.way == "percent":
        _made_to_hundred(formula, kind)


def _size_as_batch(formula: FormulaRows) -> None:
    """The weight in its title is its batch, unless something else says it: a word, or grams of all of its lines."""
    if formula.batch is None and not _is_weighed(formula):
        formula.batch = formula.sized


def _is_weighed(formula: FormulaRows) -> bool:
    """Whether all of its lines say a weight, so that they say its batch."""
    lines = [line for line in formula.lines if line.amount is not None]
    return len(lines) == len(formula.lines) and all(line.weight is not None or line.unit == "g" for line in lines)


def _take_made(formula: FormulaRows) -> None:
    """How many jars it makes says nothing where its lines are weighed, else the batch where their size is a weight."""
    weighed = _is_weighed(formula)
    if formula.batch is None and not weighed:
        formula.batch = next((one.grams for one in formula.made if one.grams is not None), None)
    for one in formula.made:
        if weighed or formula.batch is not None or not one.sentence:
            formula.remarks += [WEIGHED] if weighed else [UNKNOWN] if formula.batch is None else []
        else:
            formula.fault(one.sentence, "", one.row, one.column, one.text)


def say_percent(formulas: Sequence[FormulaRows]) -> None:
    """Bare amounts of one sheet are all percent where those of most formulas come to 100: one that doesn't is wrong."""
    bare = [one for one in formulas if one.lines and not any(line.unit for line in one.lines)]
    exact = [one for one in bare if sum((line.amount or ZERO for line in one.lines), ZERO) == HUNDRED]
    if len(exact) * 2 >= len(bare):
        for one in bare:
            one.lines = [replace(line, unit="percent") for line in one.lines]
            one.bare = True


def _rest_in_grams(formula: FormulaRows) -> None:
    """What takes the rest of grams takes what the others leave of the batch."""
    rests = [line for line in formula.lines if line.amount is None]
    others = [line for line in formula.lines if line.amount is not None]
    if len(rests) != 1 or not others or formula.wrong or {line.unit for line in others} != {"g"}:
        return
    weight, number = sum((line.amount or ZERO for line in others), ZERO), formula.written.number
    if formula.batch is not None and formula.batch > weight:
        left = formula.batch - weight
        formula.lines = [
            replace(line, amount=left, unit="g") if line.amount is None else line for line in formula.lines
        ]
        said = f"the rest of {number(formula.batch)} g: {number(left)} g"
        formula.remarks.append(f"{rests[0].ingredient} takes {said}.")
        return
    whole = "of what is not said" if formula.batch is None else f"of {number(formula.batch)} g is nothing"
    words = f"{formula.name}: the others weigh {number(weight)} g, and the rest {whole}. Type the grams of "
    formula.fault(f"{words}{rests[0].ingredient}.", "", rests[0].row, rests[0].column, " ")


def _say_mixed(formula: FormulaRows) -> None:
    """Amounts in different ways are wrong at the first that is not as most are."""
    ways = [WAYS[line.unit] for line in formula.lines if line.unit]
    most = max(ways, key=ways.count, default="")
    odd = next((line for line in formula.lines if line.unit and WAYS[line.unit] != most), formula.lines[0])
    words = f"{formula.name}: most amounts are in {most}, and this is not. Write all of them in one way."
    formula.fault(words, "", odd.row, odd.column, " ")


def _made_to_hundred(formula: FormulaRows, kind: str) -> None:
    """Percent that come to 100 but for noise or their own rounding are made to, and said; else each cell is asked."""
    total = sum((line.amount or ZERO for line in formula.lines), ZERO)
    away = HUNDRED - total
    largest = max(formula.lines, key=lambda line: line.amount or ZERO)
    rounding = min(line.slack for line in formula.lines) * len(formula.lines)
    if any(line.amount is None for line in formula.lines):
        if away <= 0:
            _say_sum(formula, total, kind)
    elif away and abs(away) <= NOISE:
        would = formula.written.number((largest.amount or ZERO) + away)
        formula.lines = [
            replace(one, amount=(one.amount or ZERO) + away) if one is largest else one for one in formula.lines
        ]
        formula.remarks.append(f"{largest.ingredient} is read as {would} %, so that the lines add up to 100.")
    elif away and abs(away) <= min(rounding, ROUNDED_AWAY):
        _in_proportion(formula, total)
    elif away:
        _say_sum(formula, total, kind)


def _in_proportion(formula: FormulaRows, total: Decimal) -> None:
    amounts = [half_up((line.amount or ZERO) * HUNDRED / total, QUANTITY_PLACES) for line in formula.lines]
    largest = amounts.index(max(amounts))
    amounts[largest] += HUNDRED - sum(amounts, ZERO)
    formula.lines = [replace(line, amount=one) for line, one in zip(formula.lines, amounts, strict=True)]
    comes = formula.written.number(total)
    formula.remarks.append(f"Its percent are rounded and come to {comes}: read in proportion, so that they make 100.")


def _say_sum(formula: FormulaRows, total: Decimal, kind: str) -> None:
    """Any of the amounts may be the wrong one, so each is asked; far from 100 they may be no percent at all.

    Nor may those be whose own total says what they come to.
    """
    away, rest = abs(HUNDRED - total), next((line for line in formula.lines if line.amount is None), None)
    number = formula.written.number
    how = f"{number(away)} {'short of' if total < HUNDRED else 'more than'} 100"
    how = f"so nothing is left for {rest.ingredient}" if rest else how
    words = f"{formula.name}: the lines add up to {number(total)} %, {how}."
    if (away > MUCH or formula.bare or formula.total) and not kind:
        asked = f"{words} Choose what its amounts are, or correct them."
        formula.fault(asked, f"kind-{formula.mark}", formula.lines[0].row, formula.lines[0].column)
    said = f"{words} Correct what is wrong in it."
    for line in (one for one in formula.lines if one.amount is not None):
        formula.fault(said, "", line.row, line.column, " ")
        said = f"{formula.name}: one of the amounts that add up to {number(total)} %."


def _say_units(formula: FormulaRows) -> None:
    bare = [line for line in formula.lines if not line.unit]
    if not bare:
        return
    total = sum((line.amount or ZERO for line in formula.lines), ZERO)
    rest = any(line.amount is None for line in formula.lines)
    if total == HUNDRED or rest or NEAR_ONE[0] <= total <= NEAR_ONE[1]:
        formula.lines = [replace(line, unit=line.unit or "percent") for line in formula.lines]
    else:
        words = f"The amounts of {formula.name} come to {formula.written.number(total)}. Choose what they are: "
        words += "percent, grams or parts."
        formula.fault(words, "amounts", bare[0].row, bare[0].column, " ")


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
        formula.lines = [
            replace(line, amount=(line.amount or ZERO) * HUNDRED, slack=line.slack * HUNDRED) for line in formula.lines
        ]
        formula.remarks.append("Its amounts are fractions of one: read as percent.")


# --- grams beside amounts


@dataclass(frozen=True, slots=True)
class _Beside:
    """A line with grams beside its amount: how many grams one of its unit is, at least and at most (None: any)."""

    line: LineRow
    weight: Weight
    amount: Decimal
    least: Decimal
    most: Decimal | None

    def holds(self, each: Decimal) -> bool:
        """Whether its amount and its grams go together where one of its unit is so many grams."""
        return self.least <= each and (self.most is None or each <= self.most)


def _compare(formula: FormulaRows) -> None:
    """Grams that no batch makes of the amounts beside them are wrong; where most agree, only those that don't."""
    if formula.wrong or not {line.unit for line in formula.lines} <= set(_COMPARED):
        return
    pairs = _pairs(formula)
    same = all(one.line.unit == "g" for one in pairs)  # the same weight in two units, not a share of a batch
    best = (
        ONE
        if same
        else max((one.least for one in pairs), key=lambda each: sum(one.holds(each) for one in pairs), default=ZERO)
    )
    if not same and sum(one.holds(best) for one in pairs) * 2 <= len(pairs):
        best = sum((one.weight.grams for one in pairs), ZERO) / (sum((one.amount for one in pairs), ZERO) or ONE)
    agreeing = [one for one in pairs if one.holds(best)]
    for one in pairs:
        if not one.holds(best):
            each = _each(agreeing) if agreeing and not same else best
            _say_beside(formula, one, each)


def _each(pairs: list[_Beside]) -> Decimal:
    return sum((one.weight.grams for one in pairs), ZERO) / sum((one.amount for one in pairs), ZERO)


def _pairs(formula: FormulaRows) -> list[_Beside]:
    """The lines with grams beside them. Percent are as fine as the finest of the formula, parts exact."""
    known = [line for line in formula.lines if line.amount is not None]
    finest = min((line.slack for line in known if line.unit != "part"), default=ZERO)
    rest = HUNDRED - sum((line.amount or ZERO for line in known), ZERO)
    found = []
    for line in formula.lines:
        amount = rest if line.amount is None else line.amount
        if line.weight is not None and amount > 0:
            within = (finest if line.amount is not None else finest * len(known)) + amount * ARITHMETIC
            grams, around = line.weight.grams, line.weight.slack + line.weight.grams * ARITHMETIC
            most = (grams + around) / (amount - within) if amount > within else None
            found.append(_Beside(line, line.weight, amount, (grams - around) / (amount + within), most))
    return found


def _say_beside(formula: FormulaRows, one: _Beside, each: Decimal) -> None:
    unit, factor, number = one.weight.unit, MASS[one.weight.unit], formula.written.number
    amount = f"{number(one.amount)} {_COMPARED[one.line.unit]}"
    would, stands = number(half_up(one.amount * each / factor, _SAID)), number(one.weight.grams / factor)
    column = "grams" if unit == "g" else "weights"
    others = "" if one.line.unit == "g" else "as the other rows have it, "
    words = (
        f"{formula.name}: {amount} of {one.line.ingredient} would be {would} {unit}, {others}and "
        f"{stands} {unit} stand here. Correct one of them, or leave the column of {column} out."
    )
    formula.fault(words, "", one.line.row, one.weight.column, " ")


def _batch_of_grams(formula: FormulaRows) -> None:
    """The batch is what the grams come to, where all are there; where percent are coarser or miss 100, they count."""
    weights = [line.weight for line in formula.lines if line.weight is not None and line.weight.grams]
    if formula.way == "grams" and formula.batch is None and all(line.unit == "g" for line in formula.lines):
        formula.batch = cells.rounded(sum((line.amount or ZERO for line in formula.lines), ZERO), QUANTITY_PLACES)
    if formula.wrong or formula.way != "percent" or len(weights) != len(formula.lines):
        return
    total = cells.rounded(sum((one.grams for one in weights), ZERO), QUANTITY_PLACES)
    if formula.batch is None:
        formula.batch = total
    elif abs(formula.batch - total) > sum((one.slack for one in weights), ZERO):
        comes, said = map(formula.written.number, (total, formula.batch))
        formula.remarks.append(f"Its grams come to {comes} g; its batch is said to be {said} g.")
    known = [line for line in formula.lines if line.amount is not None]
    away = abs(HUNDRED - sum((line.amount or ZERO for line in known), ZERO))
    if len(known) == len(weights) and NOISE < away <= sum((line.slack for line in known), ZERO):
        _by_weight(formula, weights)
        formula.remarks.append(
            f"Its percent are rounded, {formula.written.number(away)} away from 100: its grams count."
        )
    elif (len(known) < len(weights) or away <= NOISE) and weights_are_finer(formula.lines, weights):
        _by_weight(formula, weights)
        named = "grams" if {one.unit for one in weights} == {"g"} else "weights"
        formula.remarks.append(f"Its {named} are finer than its percent, which agree with them: its {named} count.")


def _by_weight(formula: FormulaRows, weights: Sequence[Weight]) -> None:
    """Each line weighs what stands beside its percent, which stays known for the unit that it is written in."""
    formula.lines = [
        replace(line, amount=cells.rounded(one.grams, QUANTITY_PLACES), unit="g", slack=one.slack)
        for line, one in zip(formula.lines, weights, strict=True)
    ]
    formula.is_whole = True
