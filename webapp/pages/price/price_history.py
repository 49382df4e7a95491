"""Price and cost of a product over time as its page shows them: two lines, and the same as a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.book import Id
from webapp.costing.gaps import Figure
from webapp.costing.price_history import PriceOn
from webapp.pages.plots import Plot, Point, Series, amounts, at_day, days, plot
from webapp.pages.rendering import Desk
from webapp.store.price_histories import histories


@dataclass(frozen=True, slots=True)
class PriceView:
    """The history of one product on one channel; `thinned`: not all days are in it."""

    points: tuple[PriceOn, ...]
    plot: Plot | None
    thinned: bool


def histories_of(desk: Desk, product: Id, channels: Sequence[Id]) -> dict[Id, PriceView]:
    """The history on each of the channels, all from the books of the same days."""
    found = histories(desk.store, desk.snapshot, product, *channels)
    return {
        channel: PriceView(points, drawn(desk, channel, points), found.thinned) for channel, points in found.on.items()
    }


def drawn(desk: Desk, channel: Id, points: Sequence[PriceOn]) -> Plot | None:
    """Price without tax and what it must bear, as steps up to the day that is looked at."""
    if not points:
        return None
    lines = [
        _line(desk, "Price without tax", "first", [(one, one.net) for one in points]),
        _line(desk, "Cost and fees", "second", [(one, one.outlay) for one in points]),
    ]
    values = [point.y for line in lines for point in line.points if point.y is not None]
    name = desk.book.channels[channel].name
    first, last = points[0], points[-1]
    told = f"The margin was {desk.formats.percent(first.margin)} from {desk.formats.day(first.day)}"
    now = "" if first is last else f", {desk.formats.percent(last.margin)} from {desk.formats.day(last.day)} on"
    across = days(first.day, desk.day, desk.formats.day)
    words = f"{told}{now}. The figures stand in the table below."
    return plot(f"Price and cost of a jar over time, {name}", words, lines, across, amounts(values, desk.formats.money))


def _line(desk: Desk, name: str, key: str, figures: Sequence[tuple[PriceOn, Figure]]) -> Series:
    points = [_point(desk, name, one, figure) for one, figure in figures]
    return Series(name, key, (*points, Point(at_day(desk.day), points[-1].y)), stepped=True)


def _point(desk: Desk, name: str, one: PriceOn, figure: Figure) -> Point:
    if not isinstance(figure, Decimal):
        return Point(at_day(one.day), None)
    words = f"{name} from {desk.formats.day(one.day)}: {desk.formats.money(figure)}"
    if name == "Price without tax":
        return Point(at_day(one.day), figure, words + ("" if one.accepted else ", suggested"))
    return Point(at_day(one.day), figure, words + (", a quote in it" if one.quoted else ""), one.quoted)
