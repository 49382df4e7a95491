"""Break-even and pay: what a month has to sell, what an hour pays, how far a price change may cost jars."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Annotated
from urllib.parse import urlencode

from fastapi import Depends, Query
from starlette.responses import Response

from webapp.costing.amounts import Unreadable, half_up, minor_places, rounded_down, rounded_up, snap
from webapp.costing.break_even import Needed
from webapp.costing.gaps import Figure, Gap
from webapp.costing.limits import MONEY, PRICE_CHANGE, Number
from webapp.costing.line import Row
from webapp.costing.pay import Covering, Moved, Pay, ProductHour, moved, pay, sold_rows
from webapp.costing.pay_working import AFTER, BEFORE, INCOME, hour_working, move_working, working
from webapp.costing.working import Working
from webapp.errors import NotFound, Unprocessable
from webapp.pages import addresses
from webapp.pages.decide.pay_plots import sales_and_costs
from webapp.pages.decide.pay_words import outcome_words
from webapp.pages.needs import name_of
from webapp.pages.plots import Plot
from webapp.pages.price.looks import MOST as MOST_DOTS
from webapp.pages.price.looks import hours as hours_plot
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, ProductIdent, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "decide"
TITLE = "Break-even and pay"
TEMPLATE = "decide/pay/page.html"
#: what is typed, in the address: an amount a month, and a percentage
LONGEST = 40
FIELDS: dict[str, Number] = {"income": MONEY, "by": PRICE_CHANGE}


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for: texts as they were typed, what they say, and what is wrong with them."""

    texts: dict[str, str]
    income: Decimal | None = None
    by: Decimal | None = None
    faults: dict[str, str] = field(default_factory=dict)

    def at(self, address: str) -> str:
        """An address with the same behind its question mark."""
        query = urlencode({name: text for name, text in self.texts.items() if text})
        return f"{address}?{query}" if query else address


def asked_now(desk: DeskNow, income: Annotated[str, Query()] = "", by: Annotated[str, Query()] = "") -> Asked:
    """What is asked for; a text that is no number is a fault at its field."""
    texts = {"income": income.strip()[:LONGEST], "by": by.strip()[:LONGEST]}
    found: dict[str, Decimal] = {}
    faults: dict[str, str] = {}
    for name, kind in FIELDS.items():
        try:
            if texts[name]:
                found[name] = kind.read(texts[name], desk.notation)
        except Unreadable as unreadable:
            faults[name] = unreadable.sentence
    return Asked(texts, found.get("income"), found.get("by"), faults)


AskedNow = Annotated[Asked, Depends(asked_now)]


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure as it is shown, and where its sum is."""

    value: Figure
    kind: str
    how: str


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the month: by the contribution after own pay, and before it."""

    words: str
    under: str
    after: Cell
    before: Cell


@dataclass(frozen=True, slots=True)
class ProductLine:
    """One product: jars sold now, jars that break even and that bring the income, what an hour of it pays."""

    name: str
    href: str
    hour: ProductHour
    even: Figure
    income: Figure | None
    how: str


@dataclass(frozen=True, slots=True)
class MoveLine:
    """One row at another price, and what that may cost; no `how` where there is no share to open."""

    name: str
    href: str
    moved: Moved
    words: str
    how: str


@dataclass(frozen=True, slots=True)
class PayView:
    """What stands on the page. No `pay`: nothing is sold; `any`: though there is something to sell."""

    asked: Asked
    currency: str
    any: bool
    pay: Pay | None = None
    lines: tuple[Line, ...] = ()
    hour: str = ""
    net_sales: str = ""
    bills: str = ""
    wanted: tuple[Cell, ...] = ()
    products: tuple[ProductLine, ...] = ()
    moves: tuple[MoveLine, ...] = ()
    costs: Plot | None = None
    hours: Plot | None = None
    not_drawn: int = 0
    lacking: tuple[tuple[str, Gap], ...] = ()


@dataclass(frozen=True, slots=True)
class HowView:
    """A sum, and the page that its figure stands on."""

    product: str
    href: str
    working: Working


@router.get(addresses.PAY)
def page(desk: DeskNow, asked: AskedNow) -> Response:
    """A month of what is sold, and what is asked about it."""
    status = Unprocessable.status if asked.faults else 200
    return show(desk, View(TEMPLATE, TITLE, PLACE, view_of(desk, asked)), status)


@router.get(addresses.PAY_HOW)
def how(desk: DeskNow, asked: AskedNow, way: str, figure: str) -> Response:
    """The sum behind a figure of the month."""
    return opened(desk, asked, lambda: working(desk.reckoning, pay(desk.reckoning, asked.income), figure, way))


@router.get(addresses.PAY_HOUR)
def how_hour(desk: DeskNow, asked: AskedNow, product: ProductIdent) -> Response:
    """The sum behind what an hour of one product pays."""
    return opened(desk, asked, lambda: hour_working(desk.reckoning, pay(desk.reckoning), product))


@router.get(addresses.PAY_PRICE)
def how_price(desk: DeskNow, asked: AskedNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """The sum behind what a price change means for the jars of a row."""
    rows = [row for row in sold_rows(desk.reckoning) if (row.product, row.channel) == (product, channel)]
    if not rows or asked.by is None:
        raise NotFound
    (one,) = moved(desk.reckoning, rows, asked.by)
    return opened(desk, asked, lambda: move_working(desk.reckoning, one))


def opened(desk: Desk, asked: Asked, make: Callable[[], Working]) -> Response:
    """A sum by itself, or where htmx asked for it; NotFound where there is none of that name."""
    try:
        made = make()
    except KeyError:
        raise NotFound from None
    view = HowView(TITLE, asked.at(addresses.PAY), made)
    return show(desk, View("price/products/how.html", made.title, PLACE, view, fragment="price/products/_how.html"))


# --- what stands on the page


def view_of(desk: Desk, asked: Asked) -> PayView:
    """The page: empty where nothing is sold."""
    rows, currency = sold_rows(desk.reckoning), desk.formats.currency
    if not rows:
        return PayView(asked, currency, bool(desk.reckoning.line()))
    found = pay(desk.reckoning, asked.income)
    return PayView(
        asked,
        currency,
        True,
        found,
        month_lines(desk, asked, found),
        hour=_how(asked, BEFORE, "an_hour"),
        net_sales=_how(asked, AFTER, "net_sales"),
        bills=_how(asked, AFTER, "overhead"),
        wanted=() if found.income is None else _needed(desk, asked, INCOME, found.income),
        products=product_lines(desk, asked, found),
        moves=() if asked.by is None else move_lines(desk, asked, asked.by),
        costs=sales_and_costs(desk.formats, found.after, found.overhead),
        hours=hours_plot(desk, _most_sold(rows)),
        not_drawn=max(0, len(rows) - MOST_DOTS),
        lacking=tuple((name_of(desk, row), gap) for row, gap in found.lacking),
    )


def _most_sold(rows: Sequence[Row]) -> list[Row]:
    """As many as a picture can hold, those that sell most."""
    return sorted(rows, key=lambda row: row.jars_a_month or Decimal(0), reverse=True)[:MOST_DOTS]


def _how(asked: Asked, way: str, figure: str) -> str:
    return asked.at(addresses.PAY_HOW.format(way=way, figure=figure))


def month_lines(desk: Desk, asked: Asked, found: Pay) -> tuple[Line, ...]:
    """The month by both contributions, beside one another."""
    words = (
        ("Contribution", "after fees, materials and hired work"),
        ("Jars that break even", "whole jars of each product"),
        ("Net sales that break even", ""),
        ("Room above it, in jars", "margin of safety"),
        ("Room above it, in net sales", ""),
        ("Room above it, as a part of the sales", ""),
        ("Operating leverage", "one percent more sales leave so many percent more"),
    )
    sides = (_cells(desk, asked, AFTER, found.after), _cells(desk, asked, BEFORE, found.before))
    return tuple(Line(*said, *pair) for said, pair in zip(words, zip(*sides, strict=True), strict=True))


def _cells(desk: Desk, asked: Asked, way: str, one: Covering) -> tuple[Cell, ...]:
    return (
        Cell(one.mix.contribution, "money", _how(asked, way, "contribution")),
        *_needed(desk, asked, way, one.even),
        Cell(_to(one.safety.jars, rounded_down, 1), "number", _how(asked, way, "safety_jars")),
        Cell(one.safety.net_sales, "money", _how(asked, way, "safety_net_sales")),
        Cell(one.safety.share, "percent", _how(asked, way, "safety_share")),
        Cell(_to(one.leverage, half_up, 2), "number", _how(asked, way, "leverage")),
    )


def _needed(desk: Desk, asked: Asked, way: str, one: Needed) -> tuple[Cell, Cell]:
    """Jars and net sales that have to be made; what is needed is shown rounded up."""
    shown = _to(one.net_sales, rounded_up, minor_places(desk.formats.currency))
    return Cell(one.jars, "number", _how(asked, way, "jars")), Cell(
        shown, "money", _how(asked, way, "net_sales_needed")
    )


def _to(figure: Figure, rounded: Callable[[Decimal, int], Decimal], places: int) -> Figure:
    """A figure as it is shown: what is needed is rounded up, what there is room for down."""
    return figure if isinstance(figure, Gap) else rounded(snap(figure), places)


def product_lines(desk: Desk, asked: Asked, found: Pay) -> tuple[ProductLine, ...]:
    """The products that sell, the best paid hour first; what is not known last."""
    even = {one.product: one.whole for one in found.before.even.products}
    income = {} if found.income is None else {one.product: one.whole for one in found.income.products}
    lines = [
        ProductLine(
            desk.book.products[one.product].name,
            addresses.thing("product", one.product),
            one,
            even[one.product],
            income.get(one.product),
            asked.at(addresses.PAY_HOUR.format(product=one.product)),
        )
        for one in found.hours
    ]
    return tuple(sorted(lines, key=lambda one: _highest_first(one.hour.an_hour)))


def _highest_first(figure: Figure) -> tuple[bool, Decimal]:
    return (True, Decimal(0)) if isinstance(figure, Gap) else (False, -snap(figure))


def move_lines(desk: Desk, asked: Asked, by: Decimal) -> tuple[MoveLine, ...]:
    """The rows that sell, with every price changed."""
    return tuple(
        MoveLine(
            name_of(desk, one.row),
            f"{addresses.thing('product', one.row.product)}#c-{one.row.channel}",
            one,
            outcome_words(desk.formats, one),
            asked.at(addresses.PAY_PRICE.format(product=one.row.product, channel=one.row.channel))
            if not isinstance(one.outcome, Gap) and one.outcome.share is not None
            else "",
        )
        for one in moved(desk.reckoning, sold_rows(desk.reckoning), by)
    )
