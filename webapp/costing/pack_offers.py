"""What the book knows of offers: the newest purchase of each pack from each supplier, valid quotes, the last freight.

Prices are for one pack, in home currency, half-up to the four decimals that a price is typed with: what it would cost
today, so that tax is in them where it is not reclaimed today, whatever it was when the price was paid.
The share of freight is not in them: freight is reckoned for each order. Duty and other charges are in neither.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ZERO, Ratio, half_up, to_minor
from webapp.costing.book import Book, Id, Order, Supplier
from webapp.costing.gaps import Figure, Gap, Ref, added
from webapp.costing.orders import Landed
from webapp.costing.overhead import is_living
from webapp.costing.purchases import months_before
from webapp.costing.quantities import usable
from webapp.costing.rates import exchanged
from webapp.costing.tax_in_cost import TaxChange, TaxSide, tax_change

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

PLACES = 4


class Known(NamedTuple):
    """A pack that can be bought: `size` in `unit`, its `price`, what it holds in grams or pieces, where that stands.

    `day` is that of its price, `stale` where it was paid longer ago than the workshop looks back. `tax`: it was part of
    that price and is left out now, or the other way about.
    """

    material: Id
    supplier: Id
    size: Decimal
    unit: str
    price: Figure
    quantity: Figure
    day: date
    source: Ref
    stale: bool = False
    tax: TaxChange | None = None


class LastFreight(NamedTuple):
    """What carrying a supplier's newest order with freight on it cost, at home.

    `source` None: none had any, and the amount is 0; or nothing was bought there yet, and it is a gap.
    """

    amount: Figure
    day: date | None
    source: Ref | None


def offers_of(known: Reckoning, material: Id) -> tuple[Known, ...]:
    """The packs of a material, each supplier's from the smallest size on; a valid quote counts before a purchase.

    Suppliers that were put away are left out. What was bought by a decimal number of packs is offered in whole ones.
    """
    found: dict[tuple[Id, Decimal, str], Known] = {}
    for one in (*_purchased(known, material), *_quoted(known, material)):
        found[one.supplier, one.size, one.unit] = one
    living = [one for one in found.values() if is_living(known.book, known.book.suppliers[one.supplier])]
    return tuple(sorted(living, key=lambda one: (_name(known, one.supplier), _held(one), one.unit)))


def _name(known: Reckoning, supplier: Id) -> tuple[str, Id]:
    return known.book.suppliers[supplier].name.casefold(), supplier


def _held(one: Known) -> Decimal:
    return one.size if isinstance(one.quantity, Gap) else one.quantity


def _purchased(known: Reckoning, material: Id) -> Iterator[Known]:
    """Oldest first, up to the book's day."""
    book = known.book
    oldest = months_before(book.day, book.workshop.stale_months)
    for ident, index in known.purchases(material):
        order = book.orders[ident]
        if order.day > book.day:
            continue
        line, source = order.lines[index], Ref("order", ident, f"lines-{index}")
        quantity = usable(book.materials[material], line.size, line.unit, source)
        landed = known.landed(ident)
        found = Known(
            material, order.supplier, line.size, line.unit, _price(book, landed, index), quantity, order.day, source
        )
        yield found._replace(stale=order.day < oldest, tax=_tax(book, landed, index))


def _tax(book: Book, landed: Landed, index: int) -> TaxChange | None:
    tax, day = landed.lines[index].tax, landed.order.day
    then = TaxSide(day, book.registered_on(day), isinstance(tax, Decimal) and bool(tax))
    return tax_change(book, (then, TaxSide(book.day, book.registered_on(book.day), False)))


def _price(book: Book, landed: Landed, index: int) -> Figure:
    """Goods of a line, and its tax where that is not reclaimed today, for one of its packs."""
    line, rate = landed.lines[index], landed.rate
    cost = line.net if book.registered_on(book.day) else added((line.net, line.tax))
    if isinstance(cost, Gap):
        return cost
    return rate if isinstance(rate, Gap) else _rounded(rate.times(cost).per(line.line.packs))


def _rounded(price: Ratio) -> Figure:
    return half_up(price.value, PLACES)


def _quoted(known: Reckoning, material: Id) -> Iterator[Known]:
    """Quotes that hold on the book's day, the newest last."""
    book = known.book
    valid = [one for one in book.quotes.values() if one.material == material and one.since <= book.day <= one.until]
    for quote in sorted(valid, key=lambda one: (one.since, one.id)):
        source = Ref("quote", quote.id)
        cure = Ref("quote", quote.id, "exchange-amount")
        rate = exchanged(book, quote.currency, quote.exchange, quote.price, cure)
        price = rate if isinstance(rate, Gap) else _rounded(rate.times(quote.price))
        quantity = usable(book.materials[material], quote.size, quote.unit, Ref("quote", quote.id, "unit"))
        yield Known(material, quote.supplier, quote.size, quote.unit, price, quantity, quote.since, source)


def last_freight(known: Reckoning, supplier: Supplier) -> LastFreight:
    """Freight on the supplier's newest order that has any, with its tax where that is not reclaimed today."""
    orders = [one for one in known.book.orders.values() if one.supplier == supplier.id and one.day <= known.book.day]
    for order in sorted(orders, key=lambda one: (one.day, one.id), reverse=True):
        if any(charge.kind == "freight" for charge in order.charges):
            return LastFreight(_freight(known, order), order.day, Ref("order", order.id))
    unknown = Gap(
        f"Nothing was bought from {supplier.name} yet, so what it charges for carrying is not known. Type it."
    )
    return LastFreight(ZERO if orders else unknown, None, None)


def _freight(known: Reckoning, order: Order) -> Figure:
    landed = known.landed(order.id)
    carried = [one for one in landed.charges if one.charge.kind == "freight"]
    reclaimed = known.book.registered_on(known.book.day)
    at_home, abroad = (
        sum((one.net if reclaimed else one.net + one.tax for one in carried if one.at_home is here), ZERO)
        for here in (True, False)
    )
    if isinstance(landed.rate, Gap):
        return landed.rate if abroad else at_home
    return to_minor(at_home + landed.rate.times(abroad).value, known.book.workshop.currency)
