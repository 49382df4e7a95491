"""What a jar costs by the size of its batch, as steps in a plot and as a table; the present size is marked."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from starlette.responses import Response

from webapp.costing.amounts import JSON_NOTATION, ZERO, Unreadable
from webapp.costing.batch_sizes import BatchSizes, Size, batch_sizes, pot_of, resized
from webapp.costing.gaps import Gap
from webapp.costing.limits import GRAMS
from webapp.costing.material_history import thin
from webapp.costing.price_working import working
from webapp.errors import NotFound
from webapp.pages import addresses
from webapp.pages.plots import Axis, Plot, Point, Series, amounts, plot
from webapp.pages.price.deciding import row_of
from webapp.pages.price.products import HowView
from webapp.pages.price.waterfall import signed_money
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, ProductIdent, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "price"
#: so many steps can be pointed at; more would hide the line
MOST_DOTS = 12


@dataclass(frozen=True, slots=True)
class SizeLine:
    """One size as the table has it; `than`: what a jar costs more or less than now."""

    grams: str
    present: bool
    pot: bool
    jars: str
    left: str
    cost: str
    than: str
    how: str


@dataclass(frozen=True, slots=True)
class SizesView:
    """What stands on the page."""

    product: str
    product_href: str
    lines: tuple[SizeLine, ...]
    plot: Plot | None
    thinned: bool
    cheapest: str
    pot: str
    lower: str
    gap: Gap | None


@router.get(addresses.BATCH_SIZES)
def sizes(desk: DeskNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """A jar's cost by the size of its batch."""
    row_of(desk, product, channel)
    found = batch_sizes(desk.reckoning, product, channel)
    known = found if isinstance(found, BatchSizes) else None
    name, where = desk.book.products[product].name, desk.book.channels[channel].name
    at = pot_of(desk.reckoning, product)
    view = SizesView(
        name,
        f"{addresses.thing('product', product)}#c-{channel}",
        tuple(_line(desk, known, one) for one in known.sizes) if known else (),
        _drawn(desk, known) if known else None,
        known is not None and known.thinned,
        _cheapest(desk, known) if known else "",
        addresses.href(at) if at and known and known.pot is None else "",
        addresses.lower(product, channel),
        found if isinstance(found, Gap) else None,
    )
    title = f"By the size of its batch: {name}, {where}"
    return show(desk, View("price/batch_sizes/page.html", title, PLACE, view))


@router.get(addresses.BATCH_SIZES_HOW)
def size_opened(desk: DeskNow, product: ProductIdent, channel: ChannelIdent, figure: str) -> Response:
    """What a jar costs in a batch of so many grams, opened."""
    row = row_of(desk, product, channel)
    try:
        grams = GRAMS.read(figure, JSON_NOTATION)
    except Unreadable:
        raise NotFound from None
    if len(desk.book.products[product].fills) != 1 or row.sheet.gap:
        raise NotFound
    known = resized(desk.reckoning, product, grams)
    made = working(known, known.row(product, channel), "cost")
    view = HowView(desk.book.products[product].name, addresses.batch_sizes(product, channel), made)
    return show(desk, View("price/products/how.html", made.title, PLACE, view, fragment="price/products/_how.html"))


def _line(desk: Desk, found: BatchSizes, one: Size) -> SizeLine:
    write, present = desk.formats, one.grams == found.present.grams
    row = one.row
    there = addresses.BATCH_SIZES_HOW.format(
        product=row.product, channel=row.channel, figure=GRAMS.show(one.grams, JSON_NOTATION)
    )
    more = ZERO if present else one.cost - found.present.cost
    return SizeLine(
        write.grams(one.grams),
        present,
        one.grams == found.pot,
        write.count(one.jars) if isinstance(one.jars, Decimal) else "",
        write.grams(one.left_grams),
        write.money(one.cost) if isinstance(one.cost, Decimal) else one.cost.reason,
        signed_money(write, more) if isinstance(more, Decimal) and not present else "",
        desk.at(there) if isinstance(one.cost, Decimal) else "",
    )


def _cheapest(desk: Desk, found: BatchSizes) -> str:
    best, write = found.cheapest, desk.formats
    if best is found.present:
        return "No other size makes a jar cheaper."
    jars = write.count(best.jars) if isinstance(best.jars, Decimal) else ""
    cheaper = found.present.cost - best.cost
    gain = write.money(cheaper) if isinstance(cheaper, Decimal) else ""
    return f"A jar costs least in a batch of {write.grams(best.grams)}, which fills {jars}: {gain} less than now."


def _drawn(desk: Desk, found: BatchSizes) -> Plot | None:
    """Down where a jar more is filled, up with every gram that fills none; the present size is a ring."""
    others = [one for one in found.steps if one.grams != found.present.grams]
    told = {one.grams for one in thin([one for one in others if one.fewest], MOST_DOTS)[0]}
    drawn = sorted((found.present, *others), key=_grams)
    points = [_point(desk, one, told=one.grams in told, marked=one is found.present) for one in drawn]
    values = [one.y for one in points if one.y is not None]
    across = amounts([ZERO, found.most], desk.formats.grams)
    series = [Series("Cost of a jar", "first", tuple(points))]
    words = f"{_cheapest(desk, found)} The figures stand in the table below."
    title = "What a jar costs by the grams of its batch"
    return plot(title, words, series, _fewer(across), amounts(values, desk.formats.money))


def _grams(one: Size) -> Decimal:
    return one.grams


def _fewer(axis: Axis) -> Axis:
    """Words few enough to stand beside each other on a phone."""
    return Axis(axis.low, axis.high, axis.ticks[:: 2 if len(axis.ticks) > 4 else 1])


def _point(desk: Desk, one: Size, *, told: bool, marked: bool) -> Point:
    """A place of the line; with words where one can point at it."""
    if not isinstance(one.cost, Decimal) or not isinstance(one.jars, Decimal):
        return Point(one.grams, None)
    write = desk.formats
    words = f"{write.grams(one.grams)}: {write.count(one.jars)} jars, {write.money(one.cost)} each"
    return Point(one.grams, one.cost, f"{words}, as it is now" if marked else words if told else "", marked)
