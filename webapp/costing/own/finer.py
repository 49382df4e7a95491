"""Whether the weights beside the percent of a maker's own formula say the same to smaller steps, so that they count."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.own.lines import LineRow, Weight

#: what the arithmetic of a spreadsheet may be away by itself, as a share of a number
ARITHMETIC = Decimal("1e-9")


def weights_are_finer(lines: Sequence[LineRow], weights: Sequence[Weight]) -> bool:
    """Whether the last place of the weights, one for each line, is less of their sum than that of the percent is of it.

    What takes the rest is what the others leave of 100 %. Weights that are the percent of their sum exactly say nothing
    finer, in however many decimals, so that a formula in percent stays one; so does one of nothing but the rest.
    """
    known = [line for line in lines if line.amount is not None]
    if not known:
        return False
    total = sum((one.grams for one in weights), ZERO)
    rest = HUNDRED - sum((line.amount or ZERO for line in known), ZERO)
    percent = [rest if line.amount is None else line.amount for line in lines]
    if min(percent) <= 0 or _step(weights) * HUNDRED >= min(line.slack for line in known) * total:
        return False
    shares = [(one.grams * HUNDRED, share * total) for one, share in zip(weights, percent, strict=True)]
    return any(abs(weighed - said) > said * ARITHMETIC for weighed, said in shares)


def _step(weights: Sequence[Weight]) -> Decimal:
    """Half of the last place of the weights: in one unit as fine as the finest of them, of several the coarsest."""
    return max(min(one.slack for one in weights if one.unit == unit) for unit in {one.unit for one in weights})
