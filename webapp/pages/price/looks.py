"""The line to look at rather than read: margins at their brim, hours against sales, make-ups side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from markupsafe import Markup
from starlette.responses import Response

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.line import Row
from webapp.costing.line_order import MARGIN, NAME
from webapp.pages import addresses
from webapp.pages.needs import name_of
from webapp.pages.plots import Axis, Plot, Point, Series, amounts, plot
from webapp.pages.price import makeup
from webapp.pages.price.line_asked import Asked, AskedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.pages.symbols import NBSP
from webapp.routes import Routes

router = Routes()
PLACE = "price"
#: more dots than these are no picture any more
MOST = 200


@dataclass(frozen=True, slots=True)
class Look:
    """One row with all that the drawings show of it, as texts; "" where it is not known."""

    name: str
    href: str
    margin: str
    full: str
    hour: str
    jars: str
    bar: Markup


@dataclass(frozen=True, slots=True)
class LooksView:
    """What stands on the page. `left` rows are not drawn: there are too many, and these are not the weakest."""

    looks: tuple[Look, ...]
    brims: Plot | None
    hours: Plot | None
    unknown: int
    left: int
    key: tuple[tuple[str, str], ...]
    line: str
    part: bool


@router.get(addresses.LOOKS)
def looks(desk: DeskNow, asked: AskedNow) -> Response:
    """The drawings of the rows that are asked for."""
    return show(desk, View("price/looks/page.html", "The line to look at", PLACE, view_of(desk, asked)))


def view_of(desk: Desk, asked: Asked) -> LooksView:
    """The weakest first, so that where there are too many the weakest are drawn."""
    wanted = replace(asked, sort=MARGIN) if asked.sort == NAME and not asked.down else asked
    rows = replace(asked, sort=MARGIN, down=False).rows(desk)
    worst = {(row.product, row.channel) for row in rows[:MOST]}
    shown = [row for row in wanted.rows(desk) if (row.product, row.channel) in worst]
    return LooksView(
        tuple(_look(desk, row) for row in shown),
        brims(desk, shown),
        hours(desk, shown),
        sum(row.gap is not None for row in shown),
        len(rows) - len(shown),
        makeup.KEY,
        asked.href(desk),
        bool(asked.words()),
    )


def full_of(row: Row) -> Decimal | None:
    """How full its vessel stands: the margin as a part of its target; None where either says nothing."""
    return row.margin / row.target if isinstance(row.margin, Decimal) and row.target > ZERO else None


def _look(desk: Desk, row: Row) -> Look:
    formats, full, hour = desk.formats, full_of(row), row.per_labour_hour
    name = name_of(desk, row)
    return Look(
        name,
        _href(row),
        formats.points(row.margin, row.target),
        "" if full is None else formats.percent(full),
        formats.bare(hour) if isinstance(hour, Decimal) else "",
        "" if row.jars_a_month is None else formats.number(row.jars_a_month),
        makeup.small_bar(makeup.parts(formats, row), name),
    )


def _href(row: Row) -> str:
    return f"{addresses.thing('product', row.product)}#c-{row.channel}"


def brims(desk: Desk, rows: Sequence[Row]) -> Plot | None:
    """Every margin as a part of its target, in the order of the table; at the brim runs a line."""
    known = [(row, full) for row in rows if (full := full_of(row)) is not None]
    points = tuple(
        Point(
            Decimal(place), full, f"{name_of(desk, row)}: {desk.formats.points(row.margin, row.target)}", to=_href(row)
        )
        for place, (row, full) in enumerate(known, 1)
    )
    last = Decimal(max(2, len(points)))
    brim = Series("Brim: the target", "aim", (Point(ONE, ONE), Point(last, ONE)))
    up = amounts([ZERO, ONE, *(full for _, full in known)], lambda at: f"{desk.formats.count(at.scaleb(2))}{NBSP}%")
    across = Axis(ONE, last, ())
    words = (
        f"{len(points)} margins, each as a part of its target. {sum(full < ONE for _, full in known)} stand below it."
    )
    title = "How full each margin stands, its target being the brim"
    dots = Series("Margin of a product", "first", points, loose=True)
    return plot(title, words, (dots, brim), across, up) if points else None


def hours(desk: Desk, rows: Sequence[Row]) -> Plot | None:
    """What an hour of one's own brings in, against the jars sold a month."""
    known = [
        (row, hour, row.jars_a_month)
        for row in rows
        if isinstance(hour := row.per_labour_hour, Decimal) and row.jars_a_month is not None
    ]
    formats = desk.formats
    points = tuple(
        Point(
            jars,
            hour,
            f"{name_of(desk, row)}: {formats.money(hour)} an hour, {formats.number(jars)} jars",
            to=_href(row),
        )
        for row, hour, jars in known
    )
    across = amounts([ZERO, *(jars for _, _, jars in known)], formats.count)
    up = amounts([ZERO, *(hour for _, hour, _ in known)], formats.money)
    words = f"{len(points)} products where they are sold: to the right what sells more, above what brings more an hour."
    title = "Contribution before own pay for an own hour, against jars sold a month"
    return plot(title, words, (Series("A product", "first", points, loose=True),), across, up) if points else None
