"""A figure opened to its working: a short sum, set as on paper, each line with where it came from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from webapp.costing.gaps import Figure, Ref


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
    return one
