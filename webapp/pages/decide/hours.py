"""When hours are short: a week's own hours filled by what contributes most for an hour. Nothing is stored."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cached_property
from typing import Annotated
from urllib.parse import urlencode

from fastapi import Depends, Query
from starlette.responses import Response

from webapp.costing.amounts import Unreadable, half_up, snap
from webapp.costing.gaps import Figure, Gap
from webapp.costing.limits import HOURS, QUANTITY_OR_NONE
from webapp.costing.ranking import Demand, Filled, Pair, Week, a_week, demands, fill, hours_a_week
from webapp.costing.ranking_working import contribution_working, hours_working, one_more_working
from webapp.costing.rows import Row
from webapp.costing.working import Working
from webapp.errors import NotFound, Unprocessable
from webapp.pages import addresses
from webapp.pages.needs import name_of
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "decide"
TITLE = "When hours are short"
JARS = "jars-"
LONGEST = 40
#: rows that have a field of their own; more would make an address too long
MOST = 100


@dataclass(frozen=True)
class Asked:
    """What the address asks for: hours of a week, and jars a week by row, as texts and as what they say."""

    desk: Desk
    texts: dict[str, str]
    hours: Figure
    jars: dict[Pair, Decimal]
    faults: dict[str, str] = field(default_factory=dict)

    def at(self, address: str) -> str:
        """An address with the same behind its question mark."""
        query = urlencode({name: text for name, text in self.texts.items() if text})
        return f"{address}?{query}" if query else address

    @cached_property
    def demands(self) -> tuple[Demand, ...]:
        """What is asked for a week."""
        return demands(self.desk.reckoning, self.jars)

    def week(self, more: int = 0) -> Week | Gap:
        """The week filled, with so many hours more; missing where it is not known how many there are."""
        return self.hours if isinstance(self.hours, Gap) else fill(self.hours + more, self.demands)


def asked_now(desk: DeskNow, hours: Annotated[str, Query()] = "") -> Asked:
    """What is asked for; a text that is no number is a fault at its field."""
    texts = {"hours": hours.strip()[:LONGEST]}
    rows = {f"{JARS}{row.product}-{row.channel}": row for row in desk.reckoning.line()[:MOST]}
    texts |= {name: desk.request.query_params.get(name, "").strip()[:LONGEST] for name in rows}
    faults: dict[str, str] = {}
    found: dict[str, Decimal] = {}
    for name, text in texts.items():
        try:
            if text:
                found[name] = (HOURS if name == "hours" else QUANTITY_OR_NONE).read(text, desk.notation)
        except Unreadable as unreadable:
            faults[name] = unreadable.sentence
    jars = {(row.product, row.channel): found[name] for name, row in rows.items() if name in found}
    return Asked(desk, texts, found.get("hours", hours_a_week(desk.reckoning)), jars, faults)


AskedNow = Annotated[Asked, Depends(asked_now)]


@dataclass(frozen=True, slots=True)
class WantedField:
    """Where the jars a week of a row are typed: its field's name, and what is taken where nothing is."""

    name: str
    label: str
    text: str
    fault: str
    taken: str


@dataclass(frozen=True, slots=True)
class MadeLine:
    """One row of the answer, in the order of the ranking. Exact jars and hours are to a hundredth."""

    name: str
    href: str
    filled: Filled
    sold: Decimal
    jars: Decimal
    hour: str

    @property
    def left_out(self) -> bool:
        """Whether less is made of it than is asked for."""
        return self.filled.jars < self.filled.demand.jars


@dataclass(frozen=True, slots=True)
class HoursView:
    """What stands on the page; no `week` where the hours are not known or nothing is asked for."""

    asked: Asked
    any: bool
    planned: str
    fields: tuple[WantedField, ...] = ()
    more_rows: int = 0
    gap: Gap | None = None
    week: Week | None = None
    made: tuple[MadeLine, ...] = ()
    free: tuple[MadeLine, ...] = ()
    losing: tuple[str, ...] = ()
    lacking: tuple[tuple[str, Gap], ...] = ()
    next: str = ""
    how: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class HowView:
    """A sum, and the page that its figure stands on."""

    product: str
    href: str
    working: Working


@router.get(addresses.HOURS)
def page(desk: DeskNow, asked: AskedNow) -> Response:
    """The week that is asked about, filled."""
    status = Unprocessable.status if asked.faults else 200
    return show(desk, View("decide/hours/page.html", TITLE, PLACE, view_of(desk, asked)), status)


@router.get(addresses.HOURS_HOW)
def how(desk: DeskNow, asked: AskedNow, figure: str) -> Response:
    """The sum behind a figure of the week."""
    week, more = asked.week(), asked.week(1)
    if isinstance(week, Gap) or isinstance(more, Gap) or figure not in SUMS:
        raise NotFound
    made = SUMS[figure](desk, week, more)
    view = HowView(TITLE, asked.at(addresses.HOURS), made)
    return show(desk, View("price/products/how.html", made.title, PLACE, view, fragment="price/products/_how.html"))


SUMS: dict[str, Callable[[Desk, Week, Week], Working]] = {
    "contribution": lambda desk, week, _: contribution_working(desk.reckoning, week),
    "used": lambda desk, week, _: hours_working(desk.reckoning, week),
    "one_more": lambda desk, week, more: one_more_working(desk.reckoning, week, more),
}


# --- what stands on the page


def view_of(desk: Desk, asked: Asked) -> HoursView:
    """The form, and below it the week where it can be filled."""
    rows = desk.reckoning.line()
    planned = hours_a_week(desk.reckoning)
    told = "" if isinstance(planned, Gap) else desk.formats.hours(half_up(snap(planned), 2))
    fields = tuple(_field(desk, asked, row) for row in rows[:MOST])
    week = asked.week()
    view = HoursView(asked, bool(rows), told, fields, max(0, len(rows) - MOST), how=_hows(asked))
    if isinstance(week, Gap):
        return replace(view, gap=week)
    return _filled(desk, view, week) if asked.demands else view


def _filled(desk: Desk, view: HoursView, week: Week) -> HoursView:
    return replace(
        view,
        week=week,
        made=tuple(_line(desk, one) for one in week.ranked),
        free=tuple(_line(desk, one) for one in week.without_hours),
        losing=tuple(_name(desk, one) for one in week.losing),
        lacking=tuple((_name(desk, one), gap) for one, gap in week.lacking),
        next=_name(desk, week.next) if week.next else "",
    )


def _hows(asked: Asked) -> dict[str, str]:
    return {figure: asked.at(addresses.HOURS_HOW.format(figure=figure)) for figure in SUMS}


def _field(desk: Desk, asked: Asked, row: Row) -> WantedField:
    name = f"{JARS}{row.product}-{row.channel}"
    sold = row.jars_a_month
    taken = "none" if sold is None else f"{desk.formats.number(half_up(snap(a_week(sold)), 2))} as sold"
    return WantedField(name, name_of(desk, row), asked.texts[name], asked.faults.get(name, ""), taken)


def _name(desk: Desk, one: Demand) -> str:
    return f"{desk.book.products[one.product].name}, {desk.book.channels[one.channel].name}"


def _line(desk: Desk, one: Filled) -> MadeLine:
    pair = (one.demand.product, one.demand.channel)
    return MadeLine(
        _name(desk, one.demand),
        f"{addresses.thing('product', pair[0])}#c-{pair[1]}",
        one,
        half_up(snap(one.demand.jars), 2),
        half_up(snap(one.jars), 2),
        addresses.how_pair(*pair, "per_labour_hour"),
    )
