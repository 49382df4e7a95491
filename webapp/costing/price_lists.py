"""A price list of one channel: what stands on it as others read it, and what is left off and why.

Method.md section 5. Amounts are in the home currency and as they are printed, so that whoever reckons with them gets
the same: a price that somebody pays is a price to the smallest coin, and a case is so many times the listed price.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE, half_up, minor_places, snap
from webapp.costing.book import Book, Channel, Fill, Id, Product
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.rows import Row

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

NAME, FORMULA = "name", "formula"
_DIGITS = re.compile("([0-9]+)")
#: amounts in g or mL that a unit price may be for: 100 g or 100 mL, a kilogram or a litre
PER = (Decimal(1000), Decimal(100))


@dataclass(frozen=True, slots=True)
class ListAsked:
    """What a list is to hold: the prices of `channel`, suggested ones too if `suggested`, unit prices `per` g or mL."""

    channel: Id
    order: str = NAME
    suggested: bool = False
    per: Decimal | None = None


class Listed(NamedTuple):
    """A product on the list. `price` is for a jar, net of tax on a list for shops, else as it is marked.

    `declared` is what the label says; nothing of a set. `unit_price` is None where it is not asked for or would be of
    different things together; `case_price` is None where the product is sold by the jar.
    """

    product: Id
    name: str
    declared: tuple[Fill, ...]
    price: Decimal
    accepted: bool
    recommended_retail: Figure | None
    unit_price: Decimal | None
    case_jars: Decimal | None
    case_price: Decimal | None


class LeftOff(NamedTuple):
    """A product that is sold on the channel and not on the list."""

    product: Id
    name: str
    gap: Gap


class PriceList(NamedTuple):
    """The list of a channel as it holds on a day. `tax` says where sales tax of `rate` (a fraction) is in its prices.

    "none": none is charged; "in": it is in them; "added": it comes on top. `stockist_tax` is the tax in the recommended
    retail prices.
    """

    channel: Id
    day: date
    wholesale: bool
    currency: str
    tax: str
    rate: Decimal
    stockist_tax: Decimal
    per: Decimal | None
    rows: tuple[Listed, ...]
    left_off: tuple[LeftOff, ...]


def price_list(known: Reckoning, asked: ListAsked) -> PriceList:
    """What stands on the list, of the prices that hold on the book's day. KeyError where there is no such channel."""
    book, channel, terms = known.book, known.book.channels[asked.channel], known.terms[asked.channel]
    rows = [row for row in known.line() if row.channel == channel.id]
    rows.sort(key=lambda row: _ORDERS[asked.order](book, book.products[row.product]))
    on_it, left_off = [], []
    for row in rows:
        gap = _left_off(row, channel, asked)
        if gap is None:
            on_it.append(listed(book, row, asked))
        else:
            left_off.append(LeftOff(row.product, book.products[row.product].name, gap))
    return PriceList(
        channel.id,
        book.day,
        not terms.retail,
        book.workshop.currency,
        _tax(terms.tax, terms.rate, wholesale=not terms.retail),
        terms.rate,
        terms.stockist_tax,
        asked.per,
        tuple(on_it),
        tuple(left_off),
    )


def _left_off(row: Row, channel: Channel, asked: ListAsked) -> Gap | None:
    """Why a row is not on the list."""
    if isinstance(row.price, Gap):
        return row.price
    if row.accepted or asked.suggested:
        return None
    cure = Ref("product", row.product, f"price-{channel.id}")
    return Gap(f"No price is accepted for it on {channel.name}. Accept one, or put suggested prices on the list.", cure)


def listed(book: Book, row: Row, asked: ListAsked) -> Listed:
    """What the list says of a row whose price is known."""
    product, places = book.products[row.product], minor_places(book.workshop.currency)
    price = listed_price(row, places)
    return Listed(
        product.id,
        product.name,
        product.fills,
        price,
        row.accepted,
        None if row.terms.retail else _to_the_coin(row.recommended_retail, places),
        unit_price(price, product, asked.per, places),
        product.case_jars,
        None if product.case_jars is None else price * product.case_jars,
    )


def listed_price(row: Row, places: int) -> Decimal:
    """What a list says of a row whose price is known: for shops net of tax, to so many places, else as it is marked.

    A price that holds no tax is listed as it was decided, however finely.
    """
    if row.terms.retail or row.terms.marked == ONE:
        return row.price  # type: ignore[return-value]  # whoever is listed has a price
    return half_up(snap(row.net), places)  # type: ignore[arg-type]


def _to_the_coin(figure: Figure | None, places: int) -> Figure | None:
    return half_up(snap(figure), places) if isinstance(figure, Decimal) else figure


def unit_price(price: Decimal, product: Product, per: Decimal | None, places: int) -> Decimal | None:
    """The price of so many g or mL of what the label declares; None of several things in one.

    For 1 kg or 1 L by Directive 98/6/EC art. 2(b) and, in Great Britain from 6 April 2026, SI 2024/1055; for 100 g or
    100 mL where a rule or a custom has that. Half-up to the smallest coin; below one pound to a tenth of a penny, as
    Price Marking Order (Northern Ireland) 2004 art. 13 has it, and so wherever a coin has hundredths.
    """
    if per is None or product.members or len(product.fills) != 1:
        return None
    exact = snap(price * per / product.fills[0].declared)
    return half_up(exact, places + 1 if places == 2 and exact < ONE else places)


def _tax(tax: str, rate: Decimal, *, wholesale: bool) -> str:
    """Where sales tax stands in the listed prices: those for shops are net of it, however they are marked."""
    if not rate:
        return "none"
    return "added" if wholesale else tax


def _by_name(_: Book, product: Product) -> tuple[object, ...]:
    """Numbers in a name count as such: 50 g stands before 100 g."""
    parts = _DIGITS.split(product.name.casefold())
    return (tuple((int(part), "") if place % 2 else (0, part) for place, part in enumerate(parts)), product.id)


def _by_formula(book: Book, product: Product) -> tuple[object, ...]:
    """By the first formula and then by size; sets come last."""
    if not product.fills:
        return (1, "", "", Decimal(0), _by_name(book, product))
    first = product.fills[0]
    formula = book.formulas[first.formula].name.casefold()
    # What holds several fillings comes behind the sizes of its first one.
    return (0, formula, f"{len(product.fills):03} {first.unit}", first.declared, _by_name(book, product))


_ORDERS: dict[str, Callable[[Book, Product], tuple[object, ...]]] = {NAME: _by_name, FORMULA: _by_formula}
#: what a list can be ordered by
ORDERS = tuple(_ORDERS)
