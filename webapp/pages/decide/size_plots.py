"""Another size drawn: its gain by how many trade up, the price ladder, and the cash in and out over months."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO, half_up, snap
from webapp.costing.deal_facts import Cash
from webapp.costing.gaps import Gap
from webapp.costing.size_facts import Rung, Trade
from webapp.pages.decide.size_words import Words
from webapp.pages.plots import Axis, Plot, Point, Series, amounts, plot

HALF = Decimal("0.5")
KEYS = ("first", "second")


def by_share(words: Words, trades: Sequence[tuple[str, Trade]]) -> Plot | None:
    """The gain a month by the share of buyers that trade up, a line for each answer; each break-even is marked."""
    lines = [(name, one.deal, one) for name, one in trades if not isinstance(one.deal, Gap)]
    if not lines:
        return None
    series, heights, told = [], [ZERO], []
    for key, (name, deal, one) in zip(KEYS, lines, strict=False):
        ends = [(at, deal.jars * (deal.own + at * deal.times * deal.each) - deal.monthly) for at in (ZERO, ONE)]
        heights += [gain for _, gain in ends]
        likely = _likely(words, name, one)
        series.append(Series(name, key, tuple(sorted((*(Point(at, gain) for at, gain in ends), *likely), key=_x))))
        if isinstance(one.break_even_share, Decimal) and ZERO <= one.break_even_share <= ONE:
            said = f"{name}: break-even at {words.percent(one.break_even_share)} of its buyers"
            told.append(Point(one.break_even_share, ZERO, said, marked=True))
    series.append(Series("No gain and no loss", "aim", (Point(ZERO, ZERO), *told, Point(ONE, ZERO))))
    across = Axis(ZERO, ONE, tuple((at, words.percent(at)) for at in (ZERO, HALF, ONE)))
    said = ". ".join(point.words for point in told) or "No share of trade-up turns it"
    title = f"Gain a month by the share of its buyers that come from {words.other}, in {words.formats.currency}"
    return plot(title, f"{said}. The figures stand in the table.", series, across, _up(words, heights))


def _x(point: Point) -> Decimal:
    return point.x


def _likely(words: Words, name: str, one: Trade) -> tuple[Point, ...]:
    if isinstance(one.deal, Gap) or isinstance(one.gain, Gap):
        return ()
    said = f"{name}, {words.percent(one.deal.share)} as you expect: {words.formats.money(one.gain)} a month"
    return (Point(one.deal.share, one.gain, said),)


def _up(words: Words, heights: Sequence[Decimal]) -> Axis:
    return amounts(heights, words.formats.number)


def per_hundred(words: Words, unit: str, rungs: Sequence[tuple[str, Rung]]) -> Plot | None:
    """Price and cost of 100 g by what a jar declares; None where there are no two sizes to see it fall."""
    known = [(name, one) for name, one in rungs if isinstance(one.declared, Decimal)]
    if len(known) < 2:
        return None
    series, heights = [], [ZERO]
    for key, title, figure in (("first", "Price", "price_100"), ("second", "Cost", "cost_100")):
        points = []
        for name, one in known:
            at, declared = getattr(one, figure), one.declared
            if isinstance(at, Gap) or isinstance(declared, Gap):
                continue
            heights.append(at)
            points.append(Point(declared, at, f"{name}: {title.lower()} {words.formats.money(at)} per 100 {unit}"))
        series.append(Series(title, key, tuple(sorted(points, key=_x))))
    sizes = [one.declared for _, one in known if isinstance(one.declared, Decimal)]
    across = _sizes(words, unit, sizes)
    title = f"Price and cost of 100 {unit} by the size of the jar, in {words.formats.currency}"
    said = "Price and cost of 100 of it down the sizes. The figures stand in the table."
    return plot(title, said, series, across, _up(words, heights))


def _sizes(words: Words, unit: str, sizes: Sequence[Decimal]) -> Axis:
    """From nothing to the biggest, with words at the smallest and the biggest."""
    top = max(sizes)
    ends = dict.fromkeys((min(sizes), top))
    return Axis(ZERO, top, tuple((at, words.formats.shown(at, unit)) for at in ends))


def over_months(words: Words, cash: Cash) -> Plot | None:
    """Cash so far at the end of each month; where it is all back it is marked."""
    if not cash.months:
        return None
    money = words.formats.money
    points = tuple(
        Point(Decimal(one.month), one.so_far, f"After {_month(one.month)}: {money(half_up(snap(one.so_far), 2))}")
        for one in cash.months
    )
    back = next((one for one in cash.months if one.month == cash.paid_back), None)
    last = Decimal(max(cash.months[-1].month, 1))
    even = (Point(ZERO, ZERO), Point(last, ZERO))
    series = [Series("Cash so far", "first", points), Series("All paid back", "aim", even)]
    said = "It is not paid back in these months"
    if back is not None and back.month:
        said = f"Paid back after {_month(back.month)}"
        at = Point(Decimal(back.month), back.so_far, said, marked=True)
        series.append(Series("Paid back", "aim", (at,), loose=True))
    across = Axis(ZERO, last, tuple((at, words.formats.number(at)) for at in dict.fromkeys((ZERO, last))))
    title = f"Cash so far at the end of each month, in {words.formats.currency}"
    heights = [ZERO, *(one.so_far for one in cash.months)]
    return plot(title, f"{said}. The months stand in the table.", series, across, _up(words, heights))


def _month(number: int) -> str:
    return "one month" if number == 1 else f"{number} months"
