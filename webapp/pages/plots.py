"""Plots: points to a drawing of lines, axes and words. Exact amounts all the way; pixels are made in one place.

A plot is 360 units wide, as a phone is, and its words are set for that: it is drawn no wider than reads well. A table
with the same figures always stands beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

from webapp.costing.amounts import ONE, ZERO, half_up

WIDTH, HEIGHT = 360, 220
LEFT, RIGHT, TOP, BOTTOM = 66, 14, 12, 26
MOST_UP, MOST_ACROSS = 5, 3
#: how many months lie between the words below a plot of days
_MONTHS = (1, 2, 3, 6, 12, 24, 36, 60, 120, 240, 600, 1200)


@dataclass(frozen=True, slots=True)
class Point:
    """A figure at a place; `y` None is a break in the line. `words` are told where one points at it; marked: ringed."""

    x: Decimal
    y: Decimal | None
    words: str = ""
    marked: bool = False
    to: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """One line. `key` is its look: first, second or aim. A stepped one holds its figure until the next point.

    A loose one is no line: its points stand by themselves. Where a point has somewhere `to` go, pressing it goes there.
    """

    name: str
    key: str
    points: tuple[Point, ...]
    stepped: bool = False
    loose: bool = False


@dataclass(frozen=True, slots=True)
class Axis:
    """From where to where an axis goes, and what stands at which places of it."""

    low: Decimal
    high: Decimal
    ticks: tuple[tuple[Decimal, str], ...]


@dataclass(frozen=True, slots=True)
class Dot:
    """A point as it is drawn."""

    x: str
    y: str
    words: str
    marked: bool
    to: str = ""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line as it is drawn: `path` is what an SVG path is told, "" where only its dots are drawn."""

    name: str
    key: str
    path: str
    dots: tuple[Dot, ...]


@dataclass(frozen=True, slots=True)
class Tick:
    """A word at an axis, and where; `anchor` keeps it inside the drawing."""

    at: str
    words: str
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Plot:
    """All that the template draws."""

    title: str
    words: str
    strokes: tuple[Stroke, ...]
    across: tuple[Tick, ...]
    up: tuple[Tick, ...]


def plot(title: str, words: str, series: Sequence[Series], across: Axis, up: Axis) -> Plot | None:
    """A drawing of `series` between two axes; None where no point has a figure, since there is nothing to draw."""
    if not any(point.y is not None for one in series for point in one.points):
        return None
    return Plot(
        title,
        words,
        tuple(_stroke(one, across, up) for one in series),
        tuple(Tick(_x(across, at), word, _anchor(across, at)) for at, word in across.ticks),
        tuple(Tick(_y(up, at), word) for at, word in up.ticks),
    )


# --- axes -------------------------------------------------------------------------------------------------------------


def amounts(values: Iterable[Decimal], word: Callable[[Decimal], str]) -> Axis:
    """An axis of amounts, its ends and the steps between them round numbers (1, 2 or 5 and zeros)."""
    found = sorted(values)
    low, high = (found[0], found[-1]) if found else (ZERO, ONE)
    if low == high:
        low, high = min(low, ZERO), max(high, ZERO) or ONE
    step = _round_step((high - low) / (MOST_UP - 1))
    first = (low / step).to_integral_value(ROUND_FLOOR)
    last = (high / step).to_integral_value(ROUND_CEILING)
    places = [(first + count) * step for count in range(int(last - first) + 1)]
    return Axis(places[0], places[-1], tuple((at, word(at)) for at in places))


def _round_step(least: Decimal) -> Decimal:
    """The smallest of 1, 2, 5, 10, 20 … (or 0.5, 0.2 …) that is not below `least`, which is above zero."""
    whole = ONE.scaleb(least.adjusted())
    return next(whole * times for times in (1, 2, 5, 10) if whole * times >= least)


def days(first: date, last: date, word: Callable[[date], str]) -> Axis:
    """An axis of days, with words at firsts of a month, few enough to stand beside each other."""
    if first >= last:
        first = date.fromordinal(max(1, last.toordinal() - 30))
    count = (last.year - first.year) * 12 + last.month - first.month
    apart = next((step for step in _MONTHS if count // step < MOST_ACROSS), count)
    begin, end = first.year * 12 + first.month - 1, last.year * 12 + last.month - 1
    firsts = [date(at // 12, at % 12 + 1, 1) for at in range(begin, end + 1) if at % apart == 0]
    shown = [one for one in firsts if first <= one <= last] or [first]
    return Axis(at_day(first), at_day(last), tuple((at_day(one), word(one)) for one in shown))


def at_day(day: date) -> Decimal:
    """Where a day lies on an axis of days."""
    return Decimal(day.toordinal())


# --- from figures to the drawing --------------------------------------------------------------------------------------


def short(value: Decimal) -> str:
    """A length in the drawing: a tenth is finer than anybody sees."""
    text = f"{half_up(value, 1) + ZERO:f}"
    return text.removesuffix(".0")


def _share(axis: Axis, value: Decimal) -> Decimal:
    return (value - axis.low) / (axis.high - axis.low)


def _x(axis: Axis, value: Decimal) -> str:
    return short(LEFT + _share(axis, value) * (WIDTH - LEFT - RIGHT))


def _y(axis: Axis, value: Decimal) -> str:
    return short(HEIGHT - BOTTOM - _share(axis, value) * (HEIGHT - TOP - BOTTOM))


def _anchor(axis: Axis, value: Decimal) -> str:
    return "end" if _share(axis, value) > Decimal("0.92") else "middle"


def _stroke(series: Series, across: Axis, up: Axis) -> Stroke:
    dots = tuple(
        Dot(_x(across, one.x), _y(up, one.y), one.words, one.marked, one.to)
        for one in series.points
        if one.y is not None and one.words
    )
    return Stroke(series.name, series.key, "" if series.loose else _path(series, across, up), dots)


def _path(series: Series, across: Axis, up: Axis) -> str:
    """Straight from point to point, or first across and then up; a break where a figure is missing."""
    parts: list[str] = []
    drawing = False
    for point in series.points:
        x = _x(across, point.x)
        if drawing and series.stepped:
            parts.append(f"H{x}")
        if point.y is None:
            drawing = False
            continue
        y = _y(up, point.y)
        parts.append((f"V{y}" if series.stepped else f"L{x} {y}") if drawing else f"M{x} {y}")
        drawing = True
    return "".join(parts)
