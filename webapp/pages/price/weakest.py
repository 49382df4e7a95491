"""The weakest three of the line, and why: one sentence for how far each is from its target, one for the cause."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from starlette.responses import Response

from webapp.costing.amounts import snap
from webapp.costing.book import Price
from webapp.costing.line_order import NAME
from webapp.costing.reckoning import Reckoning
from webapp.costing.weakest import ALONE, MANY, MOVED, SHARE, TARGET, TARGET_ROSE, Others, Ranking, Weak, weakest
from webapp.costing.weakest_working import working
from webapp.costing.working import Working
from webapp.pages import addresses
from webapp.pages.needs import name_of
from webapp.pages.price.line_asked import Asked, AskedNow
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "price"
#: what the parts are called at the head of a sentence, and whether they are many
PART_WORDS = {
    "ingredients": ("Ingredients", True),
    "packaging": ("Packaging", False),
    "labour_own": ("Own pay", False),
    "labour_hired": ("Hired work", False),
    "overhead": ("The share of the monthly bills", False),
    "one_offs": ("The share of one-off costs", False),
    "fees": ("What selling costs", False),
}


@dataclass(frozen=True, slots=True)
class WeakOne:
    """One of the weakest, in words; `how` is the sum behind its cause."""

    name: str
    href: str
    margin: str
    month: str
    cause: str
    then: str
    how: Working | None
    suggested: str


@dataclass(frozen=True, slots=True)
class WeakestView:
    """What stands on the page."""

    weak: tuple[WeakOne, ...]
    unpriced: int
    unknown: int
    any: bool
    line: str
    part: bool
    suggested: str


@router.get(addresses.WEAKEST)
def weakest_page(desk: DeskNow, asked: AskedNow) -> Response:
    """The three weakest products of the rows that are asked for."""
    title = "The weakest three"
    view = view_of(desk, asked)
    return show(desk, View("price/weakest/page.html", title, PLACE, view, fragment="price/weakest/_list.html"))


def view_of(desk: Desk, asked: Asked) -> WeakestView:
    """The ranking in words."""
    rows = asked.rows(desk)
    found = ranking(desk, asked)
    products = [str(one.row.product) for one in found.weak]
    return WeakestView(
        tuple(_one(desk, one) for one in found.weak),
        found.unpriced,
        found.unknown,
        bool(rows),
        asked.href(desk),
        len(rows) < len(desk.reckoning.line()),
        Asked(products=tuple(products)).href(desk, addresses.SUGGESTED),
    )


def ranking(desk: Desk, asked: Asked) -> Ranking:
    """The weakest of what is asked for, held against the books of the days when their prices were accepted."""

    def past(day: date) -> Reckoning:
        return desk.store.snapshot(day).reckoning

    by_name = replace(asked, sort=NAME, down=False)  # of two that are equally weak the first by name comes first
    return weakest(desk.reckoning, by_name.rows(desk), past, MANY)


# --- in words


def _one(desk: Desk, weak: Weak) -> WeakOne:
    row, money = weak.row, desk.formats.money
    lost = row.lost_a_month
    month = f"It misses {money(lost)} a month." if isinstance(lost, Decimal) and lost > 0 else ""
    return WeakOne(
        name_of(desk, row),
        f"{addresses.thing('product', row.product)}#c-{row.channel}",
        f"{desk.formats.points(row.margin, row.target)} at {money(row.price)}.",
        month,
        cause_words(desk, weak),
        then_words(desk, weak),
        working(desk.reckoning, weak),
        Asked(products=(str(row.product),)).href(desk, addresses.SUGGESTED),
    )


def cause_words(desk: Desk, weak: Weak) -> str:
    """Why it is weak, as a sentence or two."""
    return _CAUSES[weak.cause.kind](desk, weak)


def then_words(desk: Desk, weak: Weak) -> str:
    """That its price missed the target already when it was accepted, with the reason that was given; or nothing."""
    short = weak.short_then
    if short is None:
        return ""
    gap = desk.formats.trimmed(snap(short.scaleb(2)), 1)
    points = "1 point" if gap == "1" else f"{gap} points"
    price = desk.book.prices.get((weak.row.product, weak.row.channel))
    why = f" (“{price.why}”)" if isinstance(price, Price) and price.why else ""
    return f"Its price was short of its target by {points} already when it was accepted on {_day(desk, weak)}{why}."


def _day(desk: Desk, weak: Weak) -> str:
    return desk.formats.day(weak.since)


def _moved(desk: Desk, weak: Weak) -> str:
    part, many = PART_WORDS[weak.cause.part]
    cause, percent = weak.cause, desk.formats.percent
    takes = f"{'take' if many else 'takes'} {percent(cause.own)} of its price net of tax"
    rise = f"{part} {takes}; then it was {percent(cause.other)}."
    most = _material(desk, weak, "Most of that is {name}, {money} more in a jar.")
    return f"It reached its target when its price was accepted on {_day(desk, weak)}. {rise}{most}"


def _target_rose(desk: Desk, weak: Weak) -> str:
    target = desk.formats.percent(weak.then.target) if weak.then else ""
    return (
        f"It reached its target of {target} when its price was accepted on {_day(desk, weak)}, and no part of it takes "
        "more of its price than then: the target was raised."
    )


def _share(desk: Desk, weak: Weak) -> str:
    part, many = PART_WORDS[weak.cause.part]
    cause, percent = weak.cause, desk.formats.percent
    takes = f"{'take' if many else 'takes'} {percent(cause.own)} of its price net of tax"
    against = f"against {percent(cause.other)} {_over(desk, weak.others)}" if weak.others else ""
    most = _material(desk, weak, "Most of that is {name}, {money} in a jar.")
    if cause.every:
        low = "No part of it takes less of its price than in the others: its price is low for what it costs."
        return f"{low} {part} {'stand' if many else 'stands'} out most and {takes}, {against}.{most}"
    return f"{part} {takes}, {against}. No other part is so far above theirs.{most}"


def _over(desk: Desk, others: Others) -> str:
    where = "in the rest of the line" if others.channel is None else f"on {desk.book.channels[others.channel].name}"
    return f"for the {others.rows} others {where}" if others.rows > 1 else f"for the only other {where}"


def _target(desk: Desk, weak: Weak) -> str:
    cause, percent = weak.cause, desk.formats.percent
    higher = f": its target of {percent(cause.own)} is higher than theirs, {percent(cause.other)} on average"
    more = higher if snap(cause.own) > snap(cause.other) else ""
    return f"No part of it takes more of its price than in the others{more}."


def _alone(desk: Desk, weak: Weak) -> str:
    part, many = PART_WORDS[weak.cause.part]
    most = _material(desk, weak, "Most of that is {name}, {money} in a jar.")
    share = desk.formats.percent(weak.cause.own)
    return (
        f"There is no other to compare it with. {part} {'take' if many else 'takes'} most of its price, {share}.{most}"
    )


def _material(desk: Desk, weak: Weak, words: str) -> str:
    cause = weak.cause
    if cause.material is None:
        return ""
    name, money = desk.book.materials[cause.material].name, desk.formats.money(cause.amount)
    return " " + words.format(name=name, money=money)


_CAUSES = {MOVED: _moved, TARGET_ROSE: _target_rose, SHARE: _share, TARGET: _target, ALONE: _alone}
