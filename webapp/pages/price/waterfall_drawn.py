"""A margin's move as a drawing: what a jar leaves then and now as two marks, and each step as a bar between them.

It is 360 units wide, as a phone is. The scale runs from the least to the most that is drawn, so nothing is a bar from
nothing: the two ends are marks. The table beside it has the same figures.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import ZERO
from webapp.pages.plots import Axis, Tick, amounts, short

WIDTH, LEFT, RIGHT = 360, 24, 24
HEAD, ROW = 26, 44
MARK = Decimal(4)  # how wide the mark of one of the two days is
LONGEST = 34
NONE, UP, DOWN = "", "up", "down"


@dataclass(frozen=True, slots=True)
class Stage:
    """One line of it before it is drawn: from where to where, in words; `amount` is what stands at its end."""

    words: str
    amount: str
    before: Decimal
    after: Decimal
    end: bool = False


@dataclass(frozen=True, slots=True)
class Bar:
    """One line as it is drawn; one that is no step is a mark at `at`. `at` is also where the next one begins."""

    words: str
    amount: str
    top: int
    x: str
    width: str
    at: str
    look: str
    end: bool


@dataclass(frozen=True, slots=True)
class Falling:
    """All that the template draws."""

    title: str
    words: str
    height: int
    ticks: tuple[Tick, ...]
    bars: tuple[Bar, ...]


def drawn(title: str, words: str, stages: Sequence[Stage], word: Callable[[Decimal], str]) -> Falling:
    """The drawing of the stages, the first and the last of them marks."""
    axis = amounts([value for one in stages for value in (one.before, one.after)], word)
    bars = tuple(_bar(axis, place, one) for place, one in enumerate(stages))
    shown = axis.ticks[:: 2 if len(axis.ticks) > 4 else 1]
    ticks = tuple(Tick(_x(axis, at), text) for at, text in shown)
    return Falling(title, words, HEAD + ROW * len(stages), ticks, bars)


def _bar(axis: Axis, place: int, one: Stage) -> Bar:
    low, high = sorted((one.before, one.after))
    look = NONE if one.end or low == high else UP if one.after > one.before else DOWN
    width = max(_length(axis, high - low), Decimal(1)) if look else ZERO
    words = one.words if len(one.words) <= LONGEST else one.words[: LONGEST - 1].rstrip() + "…"
    x = short(LEFT + _length(axis, low - axis.low) - (MARK / 2 if one.end else 0))
    return Bar(words, one.amount, HEAD + ROW * place, x, short(width), _x(axis, one.after), look, one.end)


def _length(axis: Axis, value: Decimal) -> Decimal:
    return value / (axis.high - axis.low) * (WIDTH - LEFT - RIGHT)


def _x(axis: Axis, value: Decimal) -> str:
    return short(LEFT + _length(axis, value - axis.low))
