"""A figure opened to its working: a short sum, set as on paper, each line with where it came from."""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Figure, Gap, Ref


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a sum.

    `sign` is one of "", "+", "-", "×", "÷", "=" (an intermediate result). `kind` says how the amount is shown:
    "money", "unit cost" (money per gram or piece, four significant digits), "g", "mL", "pieces", "minutes",
    "percent", "rate", "number". `unit` is written beside it where the kind does not say it ("per kg", "EUR"). `day` is
    when it was bought: a page writes it as its reader does.
    """

    sign: str
    amount: Figure
    kind: str
    words: str
    source: Ref | None = None
    working: Working | None = None
    unit: str = ""
    day: date | None = None


@dataclass(frozen=True, slots=True)
class Working:
    """The sum behind one figure; the last line under the rule is `result`, of the same `kind` as the figure.

    `day` is when it was bought, where the sum is one order line's.
    """

    title: str
    steps: tuple[Step, ...]
    result: Figure
    kind: str
    unit: str = ""
    note: str = ""
    day: date | None = None


def told_once(one: Working) -> Working:
    """The same sum without levels that say only the same figure again: a sum of one figure is that figure's own sum."""
    while len(one.steps) == 1 and (inner := one.steps[0].working) is not None and inner.kind == one.kind:
        title = f"{one.title}: {one.steps[0].words}"
        one = replace(inner, title=title, note=one.note or inner.note, result=one.result)
    steps = summed_first(one.steps)
    return one if len(steps) == len(one.steps) else replace(one, steps=steps)


def summed_first(steps: Iterable[Step]) -> tuple[Step, ...]:
    """The same steps with what was added so far on a line of its own, before it is multiplied or divided.

    Read as it is written, `a + b ÷ c` is a and b ÷ c; a sum on paper means a and b together.
    """
    laid: list[Step] = []
    so_far: Figure = ZERO
    added = False
    for step in steps:
        if added and step.sign in ("×", "÷"):
            laid.append(Step("=", so_far, laid[-1].kind, "together", unit=laid[-1].unit))
        added = step.sign in ("+", "-")
        so_far = _after(so_far, step)
        laid.append(step)
    return tuple(laid)


def come_to(steps: Iterable[Step]) -> Figure:
    """What steps come to, one after the other; a figure among them that is missing makes it missing."""
    so_far: Figure = ZERO
    for step in steps:
        so_far = _after(so_far, step)
    return so_far


def _after(so_far: Figure, step: Step) -> Figure:
    """What a sum comes to after one more step; a figure that is missing makes the rest missing."""
    if step.sign in ("", "="):
        return step.amount
    by_nothing = step.sign == "÷" and step.amount == 0
    if isinstance(so_far, Gap) or isinstance(step.amount, Gap) or by_nothing:
        return so_far if isinstance(so_far, Gap) or by_nothing else step.amount
    return _SIGNS[step.sign](so_far, step.amount)


_SIGNS: dict[str, Callable[[Decimal, Decimal], Decimal]] = {
    "+": operator.add,
    "-": operator.sub,
    "×": operator.mul,
    "÷": operator.truediv,
}
