"""Supplier orders: the list, one of them landed line by line, and taking one back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from webapp.costing import order_working as opening
from webapp.costing.amounts import half_up
from webapp.costing.book import Order
from webapp.costing.changes import Change, Put, Withdraw
from webapp.costing.gaps import Figure, Gap
from webapp.costing.orders import Landed, LandedLine
from webapp.costing.working import Working
from webapp.pages import addresses, drafts, impact
from webapp.pages.buy.ahead import desk_of, desk_of_all
from webapp.pages.buy.past import Lines, past_of, told
from webapp.pages.forms import TypedNow
from webapp.pages.needs import Need, next_step
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.routes import Routes
from webapp.store.history import Gone

router = Routes()
PLACE = "buy"
RATE_PLACES = 5
#: what the address of the list asks for, and how many it then shows
TAKEN_BACK, MOST_GONE = "taken-back", 200


@dataclass(frozen=True, slots=True)
class OrderRow:
    """One order in the list."""

    order: Order
    supplier: str
    total: Figure
    home: Figure
    what: str
    ahead: bool


@dataclass(frozen=True, slots=True)
class GoneRow:
    """An order that was taken back, as it was last: when and why, where that change is told, and all its changes."""

    order: Order
    supplier: str
    what: str
    when: date
    why: str
    href: str
    past: Lines


@dataclass(frozen=True, slots=True)
class OrdersView:
    """What stands on the list of orders; `gone` are those taken back, where they are asked for."""

    rows: tuple[OrderRow, ...]
    gone: tuple[GoneRow, ...] | None = None


@dataclass(frozen=True, slots=True)
class LineOpened:
    """One line of an order, with its working."""

    name: str
    href: str
    by_piece: bool
    line: LandedLine
    working: Working
    landed: Working


@dataclass(frozen=True, slots=True)
class OrderView:
    """What stands on an order's page."""

    order: Order
    supplier: str
    landed: Landed
    lines: tuple[LineOpened, ...]
    withdraw: str
    rate: str
    past: Lines
    ahead: bool
    next_step: Need | None


@router.get(addresses.LIST["order"])
def orders(desk: DeskNow, show_only: Annotated[str, Query(alias="show")] = "") -> Response:
    """All orders, the newest first; or those that were taken back, the last one first."""
    if show_only == TAKEN_BACK:
        gone = tuple(_gone(desk, one) for one in desk.store.gone("order", MOST_GONE))
        return show(desk, View("buy/orders/gone.html", "Orders taken back", PLACE, OrdersView((), gone)))
    wide = desk_of_all(desk)
    view = OrdersView(tuple(_row(wide, order) for order in wide.things("order")))
    half = drafts.half_entered(desk, "order")
    return show(desk, View("buy/orders/list.html", "Supplier orders", PLACE, view, more=half))


def _row(desk: Desk, order: Order) -> OrderRow:
    landed = desk.reckoning.landed(order.id)
    supplier, what = _called(desk, order)
    return OrderRow(order, supplier, landed.total, landed.home_total, what, order.day > desk.day)


def _called(desk: Desk, order: Order) -> tuple[str, str]:
    """Who it is from and what is on it; what was taken back itself has no name any more."""
    book = desk.book
    names = [book.materials[line.material].name for line in order.lines if line.material in book.materials]
    more = len(order.lines) - len(names[:3])
    what = ", ".join(names[:3]) + (f" and {more} more" if more and names else "" if names else "nothing in the book")
    return book.suppliers[order.supplier].name if order.supplier in book.suppliers else "a supplier taken back", what


def _gone(desk: Desk, one: Gone) -> GoneRow:
    last = one.past[0]
    why = ". ".join(words for words in (last.kind, last.why) if words)
    return GoneRow(
        one.record, *_called(desk, one.record), last.when.date(), why, addresses.change(last.version), told(one.past)
    )


@router.get(addresses.ONE["order"])
def order_page(desk: DeskNow, ident: Ident) -> Response:
    """One order, landed line by line."""
    desk = desk_of(desk, ident)
    order = desk.thing("order", ident)
    landed = desk.reckoning.landed(ident)
    lines = tuple(_opened(desk, landed, line) for line in landed.lines)
    withdraw = addresses.WITHOUT.format(ident=ident)
    past = past_of(desk, "order", ident)
    supplier = desk.book.suppliers[order.supplier].name
    rate, ahead = _rate(desk, landed), order.day > desk.day
    view = OrderView(order, supplier, landed, lines, withdraw, rate, past, ahead, next_step(desk))
    title = f"{view.supplier}, {desk.formats.day(order.day)}"
    return show(desk, View("buy/orders/one.html", title, PLACE, view))


def _opened(desk: Desk, landed: Landed, line: LandedLine) -> LineOpened:
    material = desk.book.materials[line.line.material]
    href = addresses.thing("material", material.id)
    unit_cost = opening.working(desk.book, line, landed)
    whole = opening.landed_working(desk.book, line, landed)
    return LineOpened(material.name, href, material.by_piece, line, unit_cost, whole)


def _rate(desk: Desk, landed: Landed) -> str:
    """What one unit of the order's money was in ours; "" where it is ours, or not known."""
    home, currency = desk.book.workshop.currency, landed.order.currency
    if currency == home or isinstance(landed.rate, Gap):
        return ""
    return f"1 {currency} was {desk.formats.number(half_up(landed.rate.value, RATE_PLACES))} {home}."


def _taking_back(desk: Desk, ident: int) -> tuple[impact.Act, list[Change]]:
    """What taking an order back is: its page, and what it changes."""
    there = desk_of(desk, ident)
    order = there.thing("order", ident)
    changes: list[Change] = [Withdraw("order", ident)]
    if there is not desk:
        # What today's book does not hold cannot leave it: an order of a day ahead is first taken into it.
        changes.insert(0, Put(replace(order, day=desk.today)))
    name = f"the order of {desk.formats.day(order.day)} from {there.book.suppliers[order.supplier].name}"
    words = "It is taken out of every figure; prices that were decided with it stay as they are. It can be undone."
    page = addresses.thing("order", ident)
    act = impact.Act(
        f"Take back {name}", words, "Take the order back", addresses.thing("order", ident, "withdraw"), page, PLACE
    )
    return act, changes


@router.get(addresses.WITHOUT)
def look_at_withdrawing(desk: DeskNow, ident: Ident) -> Response:
    """What taking the order back would change. Nothing is stored."""
    return impact.act_page(desk, *_taking_back(desk, ident))


@router.post(addresses.WITHDRAW["order"])
def withdraw_order(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Take an order back; every figure is again as it was before, and the prices that were decided with it hold."""
    act, changes = _taking_back(desk, ident)
    why = f"After taking back {act.title.removeprefix('Take back ')}"
    return impact.act(desk, typed, act, changes, to=addresses.listing("order"), said="Order taken back", why=why)
