"""A deal in plain numbers, and what is found out about it: gains, what turns it, the verdict, its cash by months.

Money is in home currency, shares are fractions. What it is a deal of stands in size_facts; the sums are in worth.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, NamedTuple

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Figure

Verdicts = Literal["worth", "only if", "not"]


class Span(NamedTuple):
    """What is not known for certain: low <= likely <= high."""

    low: Decimal
    likely: Decimal
    high: Decimal


class Deal(NamedTuple):
    """A month of another size as plain numbers (method.md section 8): gain = jars (own + share times each) - monthly.

    `jars` a month, each of which brings `own`; a `share` (0..1) of their buyers would have bought `times` other jars
    (or do buy them now), each of which brings `each`: below zero where that contribution is lost. `monthly` is what it
    costs a month, below zero what is saved; `one_off` is to be earned back `within` so many months.
    """

    own: Decimal
    each: Decimal
    times: Decimal
    jars: Decimal
    share: Decimal
    monthly: Decimal = ZERO
    one_off: Decimal = ZERO
    within: Decimal = Decimal(12)


class Spans(NamedTuple):
    """What of a deal is not known for certain. `times` are all answers that are thought of, the likely one first."""

    jars: Span
    share: Span
    monthly: Span
    times: tuple[Decimal, ...]


class Swing(NamedTuple):
    """What the gain hangs on: the gain with one thing at its low and at its high end, all else as is likely."""

    what: str  # jars | share | monthly | times
    low: Decimal
    high: Decimal
    gain_low: Decimal
    gain_high: Decimal

    @property
    def width(self) -> Decimal:
        """How far the gain moves with it."""
        return abs(self.gain_high - self.gain_low)


class Grid(NamedTuple):
    """The gain over every combination of low, likely and high: of so many `points` `worth` are worth it."""

    points: int
    worth: int
    lowest: Decimal
    likely: Decimal
    highest: Decimal
    swings: tuple[Swing, ...]  # the widest first; what has no width is left out


class Flip(NamedTuple):
    """Where one thing alone would turn the answer, all else as is likely: from `now` to `at`.

    `up`: it is worth it from there upwards, else downwards. `far` = |at - now| / |now|; a gap where now is 0.
    """

    what: str  # price | share | jars | times | monthly | cost | one_off
    now: Decimal
    at: Decimal
    up: bool
    far: Figure


class End(NamedTuple):
    """One thing at its low or its high end."""

    what: str  # jars | share | monthly | times
    at: Decimal


class Verdict(NamedTuple):
    """Worth it at every point of the grid, at some, or at none.

    `condition` is what has to hold where it is worth it only if: the thing that it hangs on most of those that alone
    turn it between their own low and high end, and where; None where only several together do. Those are
    then `together`: the fewest that turn the likely answer when all of them come to these ends.
    `flips`: what would turn the likely answer, the nearest first. `worth_from`: the price from which it is worth it at
    the likely point; `sure_from`: at every point; both up to the channel's ending.
    """

    kind: Verdicts
    condition: Flip | None
    flips: tuple[Flip, ...]
    worth_from: Figure
    sure_from: Figure
    together: tuple[End, ...] = ()


class CashMonth(NamedTuple):
    """The end of a month: what came in and went out in it, and all so far. Month 0 is before the first jar is sold."""

    month: int
    cash_in: Decimal
    cash_out: Decimal
    so_far: Decimal


class Cash(NamedTuple):
    """Cash month by month; `paid_back` is the first month at whose end it is all back, None: in none of these."""

    months: tuple[CashMonth, ...]
    paid_back: int | None
    deepest: Decimal
