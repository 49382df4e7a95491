"""Why the margin of a product on a channel moved since a day: the steps as a drawing and a table, each opened."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from webapp.costing.amounts import MINOR_UNITS, Unreadable, half_up, snap
from webapp.costing.gaps import Gap
from webapp.costing.limits import DAY
from webapp.costing.line import Row
from webapp.costing.price_history import PriceOn
from webapp.costing.waterfall import Move, Side, Waterfall, usual_day, waterfall
from webapp.costing.waterfall_working import capital, move_working, words, working
from webapp.errors import NotFound
from webapp.pages import addresses
from webapp.pages.formats import Formats
from webapp.pages.price.deciding import row_of
from webapp.pages.price.price_history import histories_of
from webapp.pages.price.products import HowView
from webapp.pages.price.waterfall_drawn import Falling, Stage, drawn
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, ProductIdent, View, show, whole_number
from webapp.routes import Routes

router = Routes()
PLACE = "price"
#: the figure that all steps together come to; a step is a figure by its number
ALL = "margin"
#: so many days on which something changed are offered
MOST_DAYS = 8
Text = Annotated[str, Query()]


@dataclass(frozen=True, slots=True)
class MoveLine:
    """One step as the table has it: what moved, by how much, and where its sum is."""

    words: str
    profit: str
    margin: str
    how: str
    less: bool


@dataclass(frozen=True, slots=True)
class End:
    """One of the two days: what the price was, what a jar left of it."""

    day: str
    price: str
    suggested: bool
    profit: str
    margin: str
    target: str


@dataclass(frozen=True, slots=True)
class Told:
    """The move between the two days."""

    then: End
    now: End
    moves: tuple[MoveLine, ...]
    profit: str
    margin: str
    month: str
    how: str
    priced_as_now: tuple[tuple[str, str], ...]
    falling: Falling | None


@dataclass(frozen=True, slots=True)
class WhyView:
    """What stands on the page. `gap`: why it can't be told; `days`: on which something changed, newest first."""

    product: str
    product_href: str
    channel: str
    since: str
    fault: str
    days: tuple[tuple[str, str], ...]
    told: Told | None
    gap: Gap | None


@router.get(addresses.WHY)
def why(desk: DeskNow, product: ProductIdent, channel: ChannelIdent, since: Text = "") -> Response:
    """The steps from the margin of a day to that of now."""
    row = row_of(desk, product, channel)
    points = _points(desk, row)
    day, fault = _day(desk, since) if since else (_usual(desk, row, points), "")
    found = None if day is None else _asked(desk, row, day)
    view = WhyView(
        desk.book.products[product].name,
        f"{addresses.thing('product', product)}#c-{channel}",
        desk.book.channels[channel].name,
        since[:40] if fault else day.isoformat() if day else "",
        fault,
        tuple(_offered(desk, row, points)),
        _told(desk, found) if isinstance(found, Waterfall) else None,
        found if isinstance(found, Gap) else None,
    )
    title = f"Why its margin moved: {view.product}, {view.channel}"
    return show(desk, View("price/waterfall/page.html", title, PLACE, view), 422 if fault else 200)


@router.get(addresses.WHY_HOW)
def why_opened(desk: DeskNow, product: ProductIdent, channel: ChannelIdent, figure: str, since: Text = "") -> Response:
    """The sums behind one step, or behind all of them."""
    row = row_of(desk, product, channel)
    day = _day(desk, since)[0] if since else _usual(desk, row, _points(desk, row))
    found = None if day is None else _asked(desk, row, day)
    number = 0 if figure == ALL else whole_number(figure)
    if not isinstance(found, Waterfall) or number > len(found.moves):
        raise NotFound
    made = working(found) if figure == ALL else move_working(found, found.moves[number - 1])
    view = HowView(desk.book.products[product].name, addresses.why(product, channel, since), made)
    return show(desk, View("price/products/how.html", made.title, PLACE, view, fragment="price/products/_how.html"))


# --- which day


def _points(desk: Desk, row: Row) -> tuple[PriceOn, ...]:
    return histories_of(desk, row.product, [row.channel])[row.channel].points


def _day(desk: Desk, since: str) -> tuple[date | None, str]:
    """The day that is typed, or what is wrong with it."""
    try:
        day = DAY.read(since, desk.notation)
    except Unreadable as unreadable:
        return None, unreadable.sentence
    if day >= desk.day:
        return None, f"Choose a day before {desk.formats.day(desk.day)}."
    return day, ""


def _usual(desk: Desk, row: Row, points: tuple[PriceOn, ...]) -> date | None:
    return usual_day(desk.book, (row.product, row.channel), [one.day for one in points])


def _offered(desk: Desk, row: Row, points: tuple[PriceOn, ...]) -> list[tuple[str, str]]:
    earlier = [one.day for one in reversed(points) if one.day < desk.day][:MOST_DAYS]
    return [(desk.formats.day(day), addresses.why(row.product, row.channel, day.isoformat())) for day in earlier]


def _asked(desk: Desk, row: Row, day: date) -> Waterfall | Gap:
    return waterfall(desk.store.snapshot(day).reckoning, desk.reckoning, row.product, row.channel)


# --- in words


def _told(desk: Desk, found: Waterfall) -> Told:
    whole, write = found.whole, desk.formats
    jars = found.now.row.jars_a_month
    month = "" if not jars or not snap(whole.profit) else _month(write, whole.profit, jars)
    return Told(
        _end(desk, found.then),
        _end(desk, found.now),
        tuple(_line(desk, found, place, move) for place, move in enumerate(found.moves, 1)),
        signed_money(write, whole.profit),
        signed_points(write, whole.margin),
        month,
        _how(desk, found, ALL),
        tuple((desk.book.materials[one].name, addresses.thing("material", one)) for one in found.priced_as_now),
        _falling(desk, found) if found.moves else None,
    )


def _month(write: Formats, profit: Decimal, jars: Decimal) -> str:
    return f"At {write.count(jars)} jars a month that is {signed_money(write, profit * jars)} a month."


def _end(desk: Desk, side: Side) -> End:
    row, write = side.row, desk.formats
    return End(
        write.day(side.known.book.day),
        write.money(row.price),
        not row.accepted,
        write.money(row.profit),
        write.percent(row.margin),
        write.percent(row.target),
    )


def _line(desk: Desk, found: Waterfall, place: int, move: Move) -> MoveLine:
    write = desk.formats
    named = capital(words(desk.book, move))
    how = _how(desk, found, str(place))
    return MoveLine(named, signed_money(write, move.profit), signed_points(write, move.margin), how, move.profit < 0)


def _how(desk: Desk, found: Waterfall, figure: str) -> str:
    there = addresses.WHY_HOW.format(product=found.product, channel=found.channel, figure=figure)
    return desk.at(f"{there}?since={found.since}")


def signed_money(write: Formats, amount: Decimal) -> str:
    """Money with its sign, with as many places as show that it is not nothing."""
    places = MINOR_UNITS.get(write.currency, 2)
    text = write.money(amount)
    if snap(amount) and not half_up(snap(amount), places):
        text = write.in_sum(amount, "money") if half_up(snap(amount), places + 2) else write.fine_money(amount)
    return f"+{text}" if snap(amount) > 0 else text


def signed_points(write: Formats, margin: Decimal) -> str:
    """A difference of margins in percentage points with its sign, likewise."""
    points = snap(margin.scaleb(2))
    places = next((one for one in range(1, 9) if half_up(points, one)), 1)
    return f"{'+' if points > 0 else ''}{write.fixed(points, places)}"


def _falling(desk: Desk, found: Waterfall) -> Falling:
    write, then, now = desk.formats, found.then, found.now
    stages = [
        Stage(write.day(found.since), write.money(then.profit), then.profit, then.profit, end=True),
        *(
            Stage(capital(words(desk.book, one)), signed_money(write, one.profit), one.before.profit, one.after.profit)
            for one in found.moves
        ),
        Stage(write.day(desk.day), write.money(now.profit), now.profit, now.profit, end=True),
    ]
    said = "; ".join(f"{one.words} {one.amount}" for one in stages)
    return drawn(
        "What a jar leaves, step by step", f"{said}. The figures stand in the table below.", stages, write.money
    )
