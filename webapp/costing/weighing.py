"""What goes into a formula and what comes out: its lines in one unit, batch size, loss, density (method.md section 3).

Grams, millilitres and g/mL. Whatever does not add up is a gap that says by how much.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import HUNDRED, ZERO, Ratio, plain
from webapp.costing.book import Book, Formula, Material
from webapp.costing.gaps import Figure, Gap, Ref

_BARE = ("percent", "part")


class Amounts(NamedTuple):
    """What each line of a formula comes to, the rest line worked out, and what they add up to."""

    amounts: tuple[Figure, ...]
    whole: Figure


def amounts_of(book: Book, formula: Formula) -> Amounts:
    """The lines in one unit: percent, grams or parts. `whole` is a gap where they do not add up, saying by how much."""
    if formula.way == "grams":
        amounts = tuple(_in_grams(book, formula, index) for index in range(len(formula.lines)))
        whole = _sum_of(formula, amounts)
    else:
        amounts, whole = _plain_amounts(formula)
    return Amounts(amounts, whole)


def _plain_amounts(formula: Formula) -> tuple[tuple[Figure, ...], Figure]:
    """Percent or parts as typed, in one pass: it is asked of every formula."""
    amounts: list[Figure] = []
    total = ZERO
    rest = gap = None
    for index, line in enumerate(formula.lines):
        amount = line.amount
        if line.rest and rest is None:
            rest = index
            amounts.append(ZERO)
        elif amount is None or line.rest or line.unit not in _BARE:
            amounts.append(_unusable(formula, index))
            gap = gap or amounts[-1]
        else:
            amounts.append(amount)
            total += amount
    if rest is not None and formula.way == "percent":
        left = amounts[rest] = _rest(formula, rest, total)
        gap = gap or (left if isinstance(left, Gap) else None)
        total = HUNDRED
    return tuple(amounts), gap or _checked(formula, total, rest)


def _checked(formula: Formula, total: Decimal, rest: int | None) -> Figure:
    if formula.way == "percent" and total != HUNDRED:
        off, way = (total - HUNDRED, "too much") if total > HUNDRED else (HUNDRED - total, "missing")
        return Gap(
            f"The lines of “{formula.name}” add up to {plain(total)} %: {plain(off)} % {way}. "
            "Make them 100 %, or let one line take the rest.",
            Ref("formula", formula.id, "lines"),
        )
    if rest is not None and formula.way != "percent":
        return Gap(
            f"Only a formula in percent can have a line that takes the rest. Type its amount in “{formula.name}”.",
            Ref("formula", formula.id, f"lines-{rest}-amount"),
        )
    return total if total > 0 else _nothing_in(formula)


def _nothing_in(formula: Formula) -> Gap:
    return Gap(f"“{formula.name}” has no amounts yet. Type what goes in.", Ref("formula", formula.id, "lines"))


def _sum_of(formula: Formula, amounts: Iterable[Figure]) -> Figure:
    total = ZERO
    for amount in amounts:
        if isinstance(amount, Gap):
            return amount
        total += amount
    return total if total > 0 else _nothing_in(formula)


def _rest(formula: Formula, index: int, others: Decimal) -> Figure:
    if others < HUNDRED:
        return HUNDRED - others
    return Gap(
        f"The other lines of “{formula.name}” take {plain(others)} %, so nothing is left for the line that takes the "
        "rest. Lower them to below 100 % together.",
        Ref("formula", formula.id, f"lines-{index}-amount"),
    )


def _unusable(formula: Formula, index: int) -> Gap:
    wanted = {"percent": "in percent", "grams": "in g, mL or drops", "parts": "in parts"}[formula.way]
    return Gap(
        f"Line {index + 1} of “{formula.name}” has no amount {wanted} yet. Type it.",
        Ref("formula", formula.id, f"lines-{index}-amount"),
    )


def _in_grams(book: Book, formula: Formula, index: int) -> Figure:
    line = formula.lines[index]
    if line.amount is None or line.rest or line.unit not in ("g", "mL", "drops"):
        return _unusable(formula, index)
    if line.unit == "g":
        return line.amount
    if line.material is not None:
        return _material_grams(book.materials[line.material], line.amount, line.unit)
    if line.formula is not None and line.unit == "mL":
        density = _melt_density(book.formulas[line.formula])
        return density if isinstance(density, Gap) else line.amount * density
    return _unusable(formula, index)


def _material_grams(material: Material, amount: Decimal, unit: str) -> Figure:
    """Millilitres by the material's density, drops by how many of its drops make a mL and then its density."""
    if material.density is None:
        return Gap(
            f"{material.name} is measured by volume and its density is not known yet. Add its density (g/mL).",
            Ref("material", material.id, "density-value"),
        )
    if unit == "mL":
        return amount * material.density.value
    if material.drops_per_ml is None:
        return Gap(
            f"{material.name} is measured in drops. Say how many of its drops make one mL.",
            Ref("material", material.id, "drops_per_ml"),
        )
    return amount * material.density.value / material.drops_per_ml


def _melt_density(formula: Formula) -> Figure:
    if formula.density is not None:
        return formula.density
    return Gap(
        f"“{formula.name}” is measured by volume and its density is not known yet. Add its density (g/mL).",
        Ref("formula", formula.id, "density"),
    )


def finished_density(formula: Formula) -> Figure:
    """g/mL as filled: the melt's density / (1 + air whipped in)."""
    density = _melt_density(formula)
    return density if isinstance(density, Gap) else density * HUNDRED / (HUNDRED + formula.air)


def batch_of(formula: Formula) -> Figure:
    """The grams of the formula's own batch, or a gap that asks for them."""
    if formula.batch_grams is not None:
        return formula.batch_grams
    return Gap(
        f"How much one batch of “{formula.name}” weighs is not known yet. Type the batch size in grams.",
        Ref("formula", formula.id, "batch_grams"),
    )


def yield_of(batch: Decimal, loss: Decimal, loss_grams: Decimal) -> Decimal:
    """Good grams out of a batch: `loss` in percent of the batch, `loss_grams` fixed."""
    return batch - batch * loss / HUNDRED - loss_grams


def yield_grams(formula: Formula, batch: Figure) -> Figure:
    """Good grams out of the formula's own batch; a gap where the loss leaves nothing."""
    if isinstance(batch, Gap):
        return batch
    good = yield_of(batch, formula.loss, formula.loss_grams)
    if good > 0:
        return good
    return Gap(
        f"Nothing is left of a batch of “{formula.name}” after its loss. Lower the loss or make a bigger batch.",
        Ref("formula", formula.id, "loss_grams"),
    )


def weighed_per_good(formula: Formula) -> Ratio | Gap:
    """Grams weighed in per good gram out; the batch size counts only where a fixed number of grams is lost."""
    if not formula.loss_grams:
        return Ratio(HUNDRED, HUNDRED - formula.loss)
    batch = batch_of(formula)
    good = yield_grams(formula, batch)
    if isinstance(batch, Gap) or isinstance(good, Gap):
        return batch if isinstance(batch, Gap) else good  # type: ignore[return-value]  # one of the two is a gap
    return Ratio(batch, good)
