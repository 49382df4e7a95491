"""One product on one channel: decide its price, its own target, type the jars sold a month, or try a price first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Annotated, Any

from fastapi import Query
from starlette.responses import Response

from webapp.costing import price_working
from webapp.costing.amounts import ONE, Unreadable, percent, rounded_down, snap
from webapp.costing.book import Price
from webapp.costing.changes import Put
from webapp.costing.decisions import with_reasons
from webapp.costing.gaps import Figure, from_known
from webapp.costing.limits import COUNT, FEE, MONEY, Number
from webapp.costing.line import Row
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Working
from webapp.costing.working_back import worked_back
from webapp.costing.working_back import working as back_working
from webapp.errors import NotFound
from webapp.pages import addresses, forms, vessels
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.opened_sums import opened_in_turn
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, Ident, ProductIdent, View, show
from webapp.pages.typed import Typed
from webapp.routes import Routes

router = Routes()
PLACE = "price"
TRY = f"{addresses.ONE['product']}/try"
#: the figures that a tried price is judged by; the margin's sum is in sight, so all that it is made of opens there
OPENED = ("margin", "contribution", "floor", "per_labour_hour")
#: what a tried price allows, by figure: words, and what stands below
BACK = (
    ("highest_cost", "The jar may cost at most", "for its target at this price"),
    ("ingredients", "Its ingredients may cost", "all else in it as it is"),
    ("wage", "An hour of yours then pays", "one rate for all of your own"),
)
TITLES = {"price": "Decide the price", "target": "A target of its own", "sales": "Jars sold a month"}


@dataclass(frozen=True, slots=True)
class PairView:
    """What stands beside one of the forms: the row as it is now. `kind` is "price", "target" or "sales"."""

    kind: str
    product: str
    channel: str
    product_href: str
    row: Row
    vessel: vessels.Vessel
    sums: dict[str, Working]
    facts: tuple[Any, ...]
    try_href: str


def row_of(desk: Desk, product: int, channel: int) -> Row:
    """The row of a product on a channel; NotFound where it isn't sold."""
    desk.thing("product", product)
    desk.thing("channel", channel)
    for row in desk.reckoning.rows(product):
        if row.channel == channel:
            return row
    raise NotFound


def _sums(known: Reckoning, row: Row) -> dict[str, Working]:
    """The figures of a row beside its forms, opened; what one opens stays closed in those that stand below it."""
    names = ["margin", "suggested", "floor"] + ["recommended_retail"] * (row.recommended_retail is not None)
    found = (price_working.working(known, row, name) for name in names)
    return dict(zip(names, opened_in_turn(found, "opened above"), strict=True))


def page(kind: str, product: int, channel: int) -> Callable[[Desk, Form], View]:
    """What draws the form of `kind` for this pair."""

    def draw(desk: Desk, form: Form) -> View:
        row = row_of(desk, product, channel)
        view = PairView(
            kind,
            desk.book.products[product].name,
            desk.book.channels[channel].name,
            addresses.thing("product", product),
            row,
            vessels.vessel(desk.formats, row.margin, row.target),
            _sums(desk.reckoning, row),
            desk.store.facts(kind, (product, channel)),
            f"{addresses.thing('product', product)}/try?channel={channel}",
        )
        return View("price/products/pair.html", TITLES[kind], PLACE, view, form, f"price/products/_{kind}.html")

    return draw


def _form(desk: Desk, kind: str, product: int, channel: int) -> Form:
    """The form with what holds now; a price starts with what is suggested."""
    row = row_of(desk, product, channel)
    action = addresses.pair(kind, product, channel)
    held = getattr(desk.book, {"price": "prices", "target": "targets", "sales": "sales"}[kind]).get((product, channel))
    if held is not None:
        today = replace(held, since=desk.today)
        return forms.filled(desk, kind, replace(today, why="") if isinstance(today, Price) else today, action)
    amount = MONEY.show(row.suggested, desk.notation) if kind == "price" and isinstance(row.suggested, Decimal) else ""
    return forms.blank(desk, kind, action, **({"amount": amount} if amount else {}))


def _save(desk: Desk, typed: Typed, kind: str, product: int, channel: int) -> Response:
    row = row_of(desk, product, channel)
    return forms.save(
        desk,
        typed,
        kind,
        page(kind, product, channel),
        given={"product": product, "channel": channel},
        changes=lambda record: (Put(_with_reasons(record, row)),),
        to=lambda _: addresses.thing("product", product),
        action=addresses.pair(kind, product, channel),
    )


def _with_reasons(record: Any, row: Row) -> Any:
    return with_reasons(record, row) if isinstance(record, Price) else record


@router.get(addresses.PAIR["price"])
def decide_price(desk: DeskNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """Decide the price on this channel."""
    return show(desk, page("price", product, channel)(desk, _form(desk, "price", product, channel)))


@router.post(addresses.PAIR["price"])
def save_price(desk: DeskNow, typed: TypedNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """Accept a price from a day on."""
    return _save(desk, typed, "price", product, channel)


@router.get(addresses.PAIR["target"])
def decide_target(desk: DeskNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """A target of its own on this channel."""
    return show(desk, page("target", product, channel)(desk, _form(desk, "target", product, channel)))


@router.post(addresses.PAIR["target"])
def save_target(desk: DeskNow, typed: TypedNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """Keep the target; empty takes the channel's again."""
    return _save(desk, typed, "target", product, channel)


@router.get(addresses.PAIR["sales"])
def type_sales(desk: DeskNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """The jars sold a month on this channel."""
    return show(desk, page("sales", product, channel)(desk, _form(desk, "sales", product, channel)))


@router.post(addresses.PAIR["sales"])
def save_sales(desk: DeskNow, typed: TypedNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """Keep the jars sold a month."""
    return _save(desk, typed, "sales", product, channel)


# --- trying a price


@dataclass(frozen=True, slots=True)
class Tried:
    """What a tried price leaves."""

    row: Row
    each: Decimal
    vessel: vessels.Vessel
    hows: dict[str, Working]
    back: tuple[tuple[str, Figure, str, Working], ...]


@dataclass(frozen=True, slots=True)
class TryView:
    """What stands on the page that tries a price."""

    product: str
    product_href: str
    channels: tuple[tuple[str, str], ...]
    channel: str
    typed: dict[str, str]
    faults: dict[str, str]
    now: Row | None
    how: str
    tried: Tried | None
    lower: str


@router.get(TRY)
def try_price(  # noqa: PLR0917 - one argument a field of the address
    desk: DeskNow,
    ident: Ident,
    channel: Annotated[str, Query()] = "",
    amount: Annotated[str, Query()] = "",
    jars: Annotated[str, Query()] = "",
    off: Annotated[str, Query()] = "",
) -> Response:
    """What a price would leave, or an offer such as 2 for 25, or a discount. Nothing is stored."""
    product = desk.thing("product", ident)
    rows = desk.reckoning.rows(ident)
    now = next((row for row in rows if str(row.channel) == channel), rows[0] if rows else None)
    typed = {"amount": amount, "jars": jars, "off": off}
    each, faults = _each(desk, typed, now)
    view = TryView(
        product.name,
        addresses.thing("product", ident),
        tuple((str(row.channel), desk.book.channels[row.channel].name) for row in rows),
        str(now.channel) if now else "",
        {name: text[:40] for name, text in typed.items()},
        faults,
        now,
        addresses.how_pair(now.product, now.channel, "suggested") if now else "",
        _tried(desk, now, each) if now and each is not None else None,
        addresses.lower(now.product, now.channel) if now else "",
    )
    return show(desk, View("price/products/try.html", "Try a price", PLACE, view), 422 if faults else 200)


def _each(desk: Desk, typed: dict[str, str], now: Row | None) -> tuple[Decimal | None, dict[str, str]]:
    """The price of one jar in an offer; the present price where only a discount is typed."""
    read: dict[str, Decimal] = {}
    faults: dict[str, str] = {}
    kinds: dict[str, Number] = {"amount": MONEY, "jars": COUNT, "off": FEE}
    for name, kind in kinds.items():
        try:
            if typed[name].strip():
                read[name] = kind.read(typed[name], desk.notation)
        except Unreadable as unreadable:
            faults[name] = unreadable.sentence
    present = now.price if now is not None and isinstance(now.price, Decimal) else None
    start = read.get("amount", present if "off" in read else None)
    if faults or start is None:
        return None, faults
    return start * (ONE - percent(read.get("off", Decimal(0)))) / read.get("jars", ONE), faults


def _tried(desk: Desk, now: Row, each: Decimal) -> Tried:
    pair = (now.product, now.channel)
    prices = {**desk.book.prices, pair: Price(*pair, desk.today, each)}
    known = Reckoning(replace(desk.book, prices=prices), desk.reckoning)
    row = known.row(*pair)
    vessel = vessels.vessel(desk.formats, row.margin, row.target)
    opened = [price_working.working(known, row, figure) for figure in OPENED]
    back = list(_back(known, row))
    told = list(opened_in_turn([*opened, *(one[-1] for one in back)], "opened elsewhere on this page"))
    hows = dict(zip(OPENED, told[: len(OPENED)], strict=True))
    closed = zip(back, told[len(OPENED) :], strict=True)
    return Tried(row, each, vessel, hows, tuple((*one[:-1], below) for one, below in closed))


def _back(known: Reckoning, row: Row) -> Iterator[tuple[str, Figure, str, Working]]:
    """What the price allows to be spent, rounded down: the words, the figure, what stands below it, its sum."""
    found = worked_back(known, row)
    for figure, words, below in BACK:
        down = from_known(lambda most: rounded_down(snap(most), row.terms.places), getattr(found, figure))
        yield words, down, below, back_working(known, row, figure)
