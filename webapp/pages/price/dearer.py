"""What may get dearer: for each ingredient how far its price may rise before the first product misses its target."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from webapp.costing.amounts import MINOR_UNITS, rounded_down, snap
from webapp.costing.gaps import Gap
from webapp.costing.headroom import first_to_fall, opened, rooms
from webapp.costing.line import Row
from webapp.costing.units import MASS
from webapp.costing.working import Working
from webapp.errors import NotFound
from webapp.pages import addresses
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, Ident, ProductIdent, View, show, whole_number
from webapp.routes import Routes

router = Routes()
PLACE = "price"
HOW = f"{addresses.DEARER}/{{ident}}/{{product}}/{{channel}}"
SIGNIFICANT = 4
#: ingredient, how much dearer a gram of it may get, and where
Found = tuple[int, Decimal | Gap, Row]


@dataclass(frozen=True, slots=True)
class Rise:
    """An ingredient in a product on a channel: what it costs now, and what it may cost more. `reason`: not known."""

    material: str
    href: str
    now: str
    room: str
    share: str
    missed: bool
    sold: str
    product: str
    how: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class DearerView:
    """What stands on the page: of every ingredient the first row to fall, or of one ingredient every row."""

    material: str
    rises: tuple[Rise, ...]
    below: int
    line: bool


@dataclass(frozen=True, slots=True)
class DearerHow:
    """The sum behind one of them, and the product that it is about."""

    product: str
    href: str
    working: Working


@router.get(addresses.DEARER)
def dearer(desk: DeskNow, material: Annotated[str, Query()] = "") -> Response:
    """Every ingredient with the product that a rise would break first; with `material`, all rows of that one."""
    rows = desk.reckoning.line()
    below = sum(row.reaches is False for row in rows)
    if not material:
        found: list[Found] = [(one, room, row) for one, (room, row) in first_to_fall(desk.reckoning, rows).items()]
        view = DearerView("", _drawn(desk, found), below, bool(rows))
        return show(desk, View("price/dearer/page.html", "What may get dearer", PLACE, view))
    ident = whole_number(material)
    name = desk.thing("material", ident).name
    view = DearerView(name, _drawn(desk, _of_one(desk, rows, ident)), below, bool(rows))
    return show(desk, View("price/dearer/page.html", f"How much dearer {name} may get", PLACE, view))


@router.get(HOW)
def how(desk: DeskNow, ident: Ident, product: ProductIdent, channel: ChannelIdent) -> Response:
    """The sum behind the room of an ingredient in a product on a channel."""
    desk.thing("material", ident)
    desk.thing("product", product)
    made = opened(desk.reckoning, product, channel, ident)
    if made is None:
        raise NotFound
    view = DearerHow(desk.book.products[product].name, addresses.thing("product", product), made)
    return show(desk, View("price/products/how.html", made.title, PLACE, view, fragment="price/products/_how.html"))


def _of_one(desk: Desk, rows: Iterable[Row], material: int) -> list[Found]:
    """Every row that has the ingredient in it."""
    found = []
    for row in rows:
        held = rooms(desk.reckoning, row)
        if not isinstance(held, Gap) and material in held:
            found.append((material, held[material], row))
    return found


def _drawn(desk: Desk, found: list[Found]) -> tuple[Rise, ...]:
    """As texts; the smallest share of the present cost first, what is not known last."""
    shares = [_share(desk, material, room) for material, room, _ in found]
    ordered = sorted(zip(shares, found, strict=True), key=lambda pair: (pair[0] is None, pair[0] or Decimal(0)))
    return tuple(_rise(desk, share, *one) for share, one in ordered)


def _share(desk: Desk, material: int, room: Decimal | Gap) -> Decimal | None:
    cost = desk.reckoning.material(material).unit_cost
    return room / cost if isinstance(room, Decimal) and isinstance(cost, Decimal) and cost else None


def _rise(desk: Desk, share: Decimal | None, material: int, room: Decimal | Gap, row: Row) -> Rise:
    return Rise(
        desk.book.materials[material].name,
        f"{addresses.DEARER}?material={material}",
        desk.formats.unit_cost(desk.reckoning.material(material).unit_cost),
        _down(desk, room) if isinstance(room, Decimal) else "",
        "" if share is None else desk.formats.percent(rounded_down(snap(share), 3)),
        isinstance(room, Decimal) and snap(room) < 0,
        f"{desk.book.products[row.product].name}, {desk.book.channels[row.channel].name}",
        addresses.thing("product", row.product),
        HOW.format(ident=material, product=row.product, channel=row.channel),
        room.reason if isinstance(room, Gap) else "",
    )


def _down(desk: Desk, room: Decimal) -> str:
    """A rise per kg or lb as the workshop likes, rounded down: so far it may go, and not a hair further."""
    unit = MASS[desk.formats.mass_unit]
    whole = snap(room * unit)
    least = MINOR_UNITS.get(desk.formats.currency, 2)
    places = max(least, SIGNIFICANT - 1 - whole.adjusted()) if whole else least
    return desk.formats.unit_cost(rounded_down(whole, min(places, 12)) / unit)
