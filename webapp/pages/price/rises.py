"""How far each thing that a jar pays for may rise before its target is missed, the tightest first."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from starlette.responses import Response

from webapp.costing.amounts import MINOR_UNITS, rounded_down, snap
from webapp.costing.gaps import Figure, Gap
from webapp.costing.line import Row
from webapp.costing.rises import MATERIAL, PERSON, SHARES, Rise, name_of, rises, spare, spare_working, working
from webapp.costing.units import MASS
from webapp.costing.waterfall_working import capital
from webapp.errors import NotFound
from webapp.pages import addresses
from webapp.pages.price.deciding import row_of
from webapp.pages.price.products import HowView
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, ProductIdent, View, show
from webapp.pages.vessels import Vessel, vessel
from webapp.routes import Routes

router = Routes()
PLACE = "price"
#: the figure that all of them are divided from
SPARE = "margin"
SIGNIFICANT = 4


@dataclass(frozen=True, slots=True)
class RiseLine:
    """One thing as the table has it; `reason`: why its rise is not known."""

    name: str
    href: str
    now: str
    rise: str
    share: str
    missed: bool
    how: str
    reason: str


@dataclass(frozen=True, slots=True)
class RisesView:
    """What stands on the page."""

    product: str
    product_href: str
    channel: str
    vessel: Vessel
    accepted: bool
    spare: Figure
    spare_how: str
    lines: tuple[RiseLine, ...]
    every: str


@router.get(addresses.ROOM)
def room(desk: DeskNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """Everything that this jar pays for there, with how far it may rise."""
    row = row_of(desk, product, channel)
    name, where = desk.book.products[product].name, desk.book.channels[channel].name
    view = RisesView(
        name,
        f"{addresses.thing('product', product)}#c-{channel}",
        where,
        vessel(desk.formats, row.margin, row.target),
        row.accepted,
        spare(row),
        _how(desk, row, SPARE),
        tuple(_line(desk, row, one) for one in rises(desk.reckoning, row)),
        addresses.DEARER,
    )
    return show(desk, View("price/rises/page.html", f"What may still rise: {name}, {where}", PLACE, view))


@router.get(addresses.ROOM_HOW)
def room_opened(desk: DeskNow, product: ProductIdent, channel: ChannelIdent, figure: str) -> Response:
    """The sum behind one rise, or what all are divided from."""
    row = row_of(desk, product, channel)
    found = {_key(one): one for one in rises(desk.reckoning, row)}
    if figure != SPARE and figure not in found:
        raise NotFound
    known = desk.reckoning
    made = spare_working(known, row) if figure == SPARE else working(known, row, found[figure])
    view = HowView(desk.book.products[product].name, addresses.room(product, channel), made)
    return show(desk, View("price/products/how.html", made.title, PLACE, view, fragment="price/products/_how.html"))


def _key(one: Rise) -> str:
    return f"{one.kind}-{one.field or one.thing}"


def _how(desk: Desk, row: Row, figure: str) -> str:
    return desk.at(addresses.ROOM_HOW.format(product=row.product, channel=row.channel, figure=figure))


def _line(desk: Desk, row: Row, one: Rise) -> RiseLine:
    share, rise, write = one.share, one.may_rise, desk.formats
    return RiseLine(
        capital(name_of(desk.reckoning, one)),
        addresses.thing(one.kind if one.kind in (MATERIAL, PERSON) else "channel", one.thing),
        _written(desk, one, one.now),
        _written(desk, one, _down(desk, one, rise)) if isinstance(rise, Decimal) else "",
        write.percent(rounded_down(snap(share), 3)) if isinstance(share, Decimal) else "",
        isinstance(rise, Decimal) and snap(rise) < 0,
        _how(desk, row, _key(one)),
        rise.reason if isinstance(rise, Gap) else "",
    )


def _written(desk: Desk, one: Rise, figure: Figure) -> str:
    """A cost per kg or piece, a wage an hour, a share, or a fee."""
    write = desk.formats
    if one.kind == MATERIAL:
        return write.unit_cost(figure, desk.book.materials[one.thing].by_piece)
    if one.field in SHARES:
        return write.typed_percent(figure.scaleb(2)) if isinstance(figure, Decimal) else write.percent(figure)
    return write.money(figure) + (" an hour" if one.kind == PERSON else "")


def _down(desk: Desk, one: Rise, rise: Decimal) -> Decimal:
    """Rounded down at the last digit that is written: so far it may go, and not a hair further."""
    least = MINOR_UNITS.get(desk.formats.currency, 2)
    if one.field in SHARES:
        return rounded_down(snap(rise), 3)
    if one.kind != MATERIAL:
        return rounded_down(snap(rise), least)
    unit = Decimal(1) if desk.book.materials[one.thing].by_piece else MASS[desk.formats.mass_unit]
    whole = snap(rise * unit)
    places = max(least, SIGNIFICANT - 1 - whole.adjusted()) if whole else least
    return rounded_down(whole, min(places, 12)) / unit
