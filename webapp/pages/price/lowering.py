"""What would lower the cost of a product on a channel: what the book itself offers, each tried in a what-if."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from starlette.responses import Response

from webapp.costing.amounts import half_up
from webapp.costing.batch_sizes import pot_of
from webapp.costing.gaps import Figure, Gap
from webapp.costing.limits import GRAMS_OR_NONE, MONEY
from webapp.costing.line import Row
from webapp.costing.lowering import ASIDE, BATCH, OVERFILL, PACK, PART, Lowering, lowerings, working
from webapp.costing.units import MASS, PIECES
from webapp.errors import NotFound
from webapp.pages import addresses
from webapp.pages.offers import tax_words
from webapp.pages.price.deciding import row_of
from webapp.pages.price.products import HowView
from webapp.pages.rendering import ChannelIdent, Desk, DeskNow, ProductIdent, View, show, whole_number
from webapp.pages.vessels import Vessel, vessel
from webapp.routes import Routes

router = Routes()
PLACE = "price"


@dataclass(frozen=True, slots=True)
class LoweringLine:
    """One of them in words: what it gains, where its sum is, and where it is done."""

    words: str
    gain: str
    month: str
    margin: str
    how: str
    act: str
    href: str


@dataclass(frozen=True, slots=True)
class LowerView:
    """What stands on the page. `pot`: where the size of its pot is typed, while it is not said."""

    product: str
    product_href: str
    channel: str
    vessel: Vessel
    cost: Figure
    cost_how: str
    lines: tuple[LoweringLine, ...]
    pot: str
    batch: str
    gap: Gap | None


@router.get(addresses.LOWER)
def lower(desk: DeskNow, product: ProductIdent, channel: ChannelIdent) -> Response:
    """Every change that would lower what this row costs, what gains most first."""
    row = row_of(desk, product, channel)
    name, where = desk.book.products[product].name, desk.book.channels[channel].name
    view = LowerView(
        name,
        f"{addresses.thing('product', product)}#c-{channel}",
        where,
        vessel(desk.formats, row.margin, row.target),
        row.cost,
        desk.at(addresses.how_pair(product, channel, "cost")),
        tuple(_line(desk, row, place, one) for place, one in enumerate(lowerings(desk.reckoning, row), 1)),
        _pot(desk, product),
        addresses.batch_sizes(product, channel),
        row.cost if isinstance(row.cost, Gap) else None,
    )
    return show(desk, View("price/lowering/page.html", f"What would lower its cost: {name}, {where}", PLACE, view))


@router.get(addresses.LOWER_HOW)
def lower_opened(desk: DeskNow, product: ProductIdent, channel: ChannelIdent, figure: str) -> Response:
    """The sum behind what one of them gains."""
    row = row_of(desk, product, channel)
    found, number = lowerings(desk.reckoning, row), whole_number(figure)
    if number > len(found):
        raise NotFound
    made = working(desk.reckoning, row, found[number - 1])
    view = HowView(desk.book.products[product].name, addresses.lower(product, channel), made)
    return show(desk, View("price/products/how.html", made.title, PLACE, view, fragment="price/products/_how.html"))


def _pot(desk: Desk, product: int) -> str:
    at = pot_of(desk.reckoning, product)
    return addresses.href(at) if at is not None and desk.book.formulas[at.id].pot_grams is None else ""


def _line(desk: Desk, row: Row, place: int, one: Lowering) -> LoweringLine:
    write = desk.formats
    how = addresses.LOWER_HOW.format(product=row.product, channel=row.channel, figure=place)
    act, href = _DONE[one.kind](desk, row, one)
    then = one.after[1].margin_at(row.price) if one.after else row.margin
    return LoweringLine(
        WORDS[one.kind](desk, row, one),
        write.money(one.gain) if one.gain >= Decimal("0.005") else write.in_sum(one.gain, "money"),
        write.money(one.month) if isinstance(one.month, Decimal) else "",
        write.points(then, row.target),
        desk.at(how),
        act,
        href,
    )


# --- in words ---


def _overfill(desk: Desk, row: Row, one: Lowering) -> str:
    unit = next(fill.unit for fill in desk.book.products[row.product].fills)
    now, then = desk.formats.number(one.now, unit), desk.formats.number(one.then, unit)
    return f"Overfill of {then} instead of {now}" if one.then else f"No overfill instead of {now}"


def _aside(desk: Desk, row: Row, one: Lowering) -> str:
    del row
    now, then = desk.formats.count(one.now), desk.formats.count(one.then)
    return (
        f"{then} set aside of a batch instead of {now}" if one.then else f"No jar of a batch set aside instead of {now}"
    )


def _batch(desk: Desk, row: Row, one: Lowering) -> str:
    sizes = f"A batch of {desk.formats.grams(one.then)} instead of {desk.formats.grams(one.now)}"
    jars, now = one.after[1].sheet.fills[0].jars if one.after else None, row.sheet.fills[0].jars
    if not isinstance(jars, Decimal) or not isinstance(now, Decimal):
        return sizes
    if jars == now:
        return f"{sizes}: the same {desk.formats.count(now)} jars, and less that fills none"
    return f"{sizes}: {desk.formats.count(jars)} jars instead of {desk.formats.count(now)}"


def _pack(desk: Desk, row: Row, one: Lowering) -> str:
    del row
    book, write, offer = desk.book, desk.formats, one.offer
    material = book.materials[one.thing]
    now, then = (write.unit_cost(cost, material.by_piece) for cost in (one.now, one.then))
    if offer is None:
        return f"{material.name} at {then} instead of {now}"
    pack = f"{write.trimmed(offer.size, 6)}\u00a0{offer.unit}"
    came = "quoted" if offer.quote is not None else f"bought on {write.day(offer.day)}"
    tax = f"; {words}" if (words := tax_words(desk, one.tax)) else ""
    return f"{material.name}, {pack} from {book.suppliers[offer.supplier].name}: {then} instead of {now}, {came}{tax}"


def _part(desk: Desk, row: Row, one: Lowering) -> str:
    del row
    book = desk.book
    other = book.materials[one.other].name if one.other is not None else ""
    where = f", in {book.groups[one.holder].name}" if one.holder is not None else ""
    return f"{other} instead of {book.materials[one.thing].name}{where}"


Words = Callable[[Desk, Row, Lowering], str]
WORDS: dict[str, Words] = {OVERFILL: _overfill, ASIDE: _aside, BATCH: _batch, PACK: _pack, PART: _part}

# --- where it is done ---

TRY = "Try it in a what-if"


def _typed(desk: Desk, amount: Decimal) -> str:
    return GRAMS_OR_NONE.show(amount, desk.notation)


def _of_product(desk: Desk, row: Row, one: Lowering) -> tuple[str, str]:
    part = "overfill" if one.kind == OVERFILL else "set_aside"
    there = addresses.supposing(kind="product", product=row.product, part=part, amount=_typed(desk, one.then))
    return TRY, there


def _of_batch(desk: Desk, row: Row, one: Lowering) -> tuple[str, str]:
    """A product that has a size of its own is changed in its form."""
    if one.holder == row.product:
        return "Change the product", addresses.edit("product", row.product, "batch_grams")
    amount = _typed(desk, one.then)
    return TRY, addresses.supposing(kind="formula", formula=one.thing, part="batch_grams", amount=amount)


def _of_pack(desk: Desk, row: Row, one: Lowering) -> tuple[str, str]:
    """At what a kilogram or a piece of it comes to, which is how a price is supposed."""
    del row
    by_piece = desk.book.materials[one.thing].by_piece
    amount = MONEY.show(half_up(one.then if by_piece else one.then * MASS["kg"], MONEY.places), desk.notation)
    unit = PIECES if by_piece else "kg"
    return TRY, addresses.supposing(kind="cost to", material=one.thing, amount=amount, unit=unit)


def _of_part(desk: Desk, row: Row, one: Lowering) -> tuple[str, str]:
    del desk
    holder = {"product": row.product} if one.holder is None else {"group": one.holder}
    return TRY, addresses.supposing(kind="pack", material=one.thing, other=one.other or 0, **holder)


_DONE: dict[str, Callable[[Desk, Row, Lowering], tuple[str, str]]] = {
    OVERFILL: _of_product,
    ASIDE: _of_product,
    BATCH: _of_batch,
    PACK: _of_pack,
    PART: _of_part,
}
