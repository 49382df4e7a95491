"""What a material has cost over time: every purchase and quote, which of them count, and offers side by side.

Costs are per gram of an ingredient and per piece of everything else, in home currency, all of them as known now: an
older day is asked of the same facts. A figure that is missing is a gap in the table and a break in the steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING, TypeVar

from webapp.costing.amounts import ZERO
from webapp.costing.basis import MaterialCost, material_cost, quoted
from webapp.costing.book import Book, Id, Material, Quote
from webapp.costing.gaps import Figure, from_known
from webapp.costing.orders import LandedLine
from webapp.costing.purchases import months_before, window
from webapp.costing.tax_in_cost import TaxChange, TaxSide, tax_change, tax_side

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: the most days that the steps are worked out for; more are thinned evenly
MOST_DAYS = 60
COUNTS = "counts now"
NOT_PRICED = "does not set the price"
QUOTE_COUNTS = "the chosen quote counts instead"
NEWER = "a newer order counts"
OUTSIDE = "older than the months that are looked at"
CHEAPER = "another one in these months was dearer"
HELD_BACK = "another one that counts with it is not known yet"

Day = TypeVar("Day")


@dataclass(frozen=True, slots=True)
class Bought:
    """One line that bought the material, whether it counts for the basis on the book's day, and why."""

    supplier: Id
    line: LandedLine
    counts: bool
    why: str
    tax: TaxSide

    @property
    def tax_in_cost(self) -> bool:
        """Whether sales tax that is not reclaimed is part of what it cost."""
        return self.tax.in_cost


@dataclass(frozen=True, slots=True)
class Quoted:
    """A quote, its cost per gram or piece, whether it is valid on the book's day, chosen, and so counting."""

    quote: Quote
    unit_cost: Figure
    valid: bool
    chosen: bool

    @property
    def counts(self) -> bool:
        """Whether it is the price now."""
        return self.valid and self.chosen


@dataclass(frozen=True, slots=True)
class CostOn:
    """What the material cost by the basis in use from `day` on, by which rule, and whether it was a quote.

    `tax`: tax is in some of the purchases of this cost and the one before, and not in others.
    """

    day: date
    unit_cost: Figure
    rule: str
    quote: Id | None
    tax: TaxChange | None = None


@dataclass(frozen=True, slots=True)
class Offer:
    """The newest price of one supplier's pack: bought, or only quoted (`quote`).

    `dearer` is the share by which its cost is above the cheapest offer's: 0 for the cheapest itself. `tax`: it is in
    one of these two and not in the other.
    """

    supplier: Id
    size: Decimal
    unit: str
    day: date
    unit_cost: Figure
    dearer: Figure
    counts: bool
    order: Id | None = None
    quote: Id | None = None
    tax: TaxChange | None = None


@dataclass(frozen=True, slots=True)
class MaterialHistory:
    """All that is known of a material's price.

    The newest purchase and quote come first, the oldest step, the cheapest offer. `thinned`: there are more days than
    `MOST_DAYS` on which the cost may have changed, and not all are in `steps`. `tax`: it is in some of the purchases
    and not in others.
    """

    material: Id
    bought: tuple[Bought, ...]
    quotes: tuple[Quoted, ...]
    steps: tuple[CostOn, ...]
    thinned: bool
    offers: tuple[Offer, ...]
    tax: TaxChange | None = None


def material_history(known: Reckoning, material: Id) -> MaterialHistory:
    """The history of one material up to the book's day. KeyError for an id that is not in the book."""
    book, held, cost = known.book, known.book.materials[material], known.material(material)
    bought = _bought(known, held, cost)
    quotes = tuple(_quoted(book, held, one) for one in _newest_first(book, material))
    days, thinned = thin(_days(book, held, bought), MOST_DAYS)
    lines = tuple(one.line for one in bought if one.line.sets_price)
    costs = [(day, material_cost(replace(book, day=day), held, lines)) for day in days]
    steps = _steps(book, costs, {(one.line.order, one.line.index): one.tax for one in bought})
    tax = tax_change(book, (one.tax for one in bought if one.line.sets_price))
    return MaterialHistory(material, bought, quotes, steps, thinned, _offers(book, bought, quotes), tax)


def offers(known: Reckoning, material: Id) -> tuple[Offer, ...]:
    """The newest of every supplier and pack of one material, cheapest first, as its history has them."""
    book, held = known.book, known.book.materials[material]
    quotes = tuple(_quoted(book, held, one) for one in _newest_first(book, material))
    return _offers(book, _bought(known, held, known.material(material)), quotes)


# --- what was bought and quoted ---------------------------------------------------------------------------------------


def _bought(known: Reckoning, material: Material, cost: MaterialCost) -> tuple[Bought, ...]:
    orders = known.book.orders.values()
    places = [
        (order, index)
        for order in sorted(orders, key=lambda one: (one.day, one.id), reverse=True)
        for index, line in enumerate(order.lines)
        if line.material == material.id and order.day <= known.book.day
    ]
    newest = max((order.day for order, index in places if not order.lines[index].not_priced), default=known.book.day)
    lines = [(order.supplier, known.landed(order.id).lines[index]) for order, index in places]
    return tuple(
        Bought(
            supplier,
            line,
            (line.order, line.index) in cost.used,
            _why(known.book, material, cost, line, newest),
            tax_side(known.book, known.invoice(line.order), line.index),
        )
        for supplier, line in lines
    )


def _why(book: Book, material: Material, cost: MaterialCost, line: LandedLine, newest: date) -> str:
    if not line.sets_price:
        return NOT_PRICED
    if (line.order, line.index) in cost.used:
        return COUNTS
    if cost.quote is not None:
        return QUOTE_COUNTS
    after = window(book, material)
    if line.day != newest and (after is None or line.day <= after):
        return NEWER if after is None else OUTSIDE
    return CHEAPER if isinstance(cost.unit_cost, Decimal) else HELD_BACK


def _newest_first(book: Book, material: Id) -> list[Quote]:
    found = [one for one in book.quotes.values() if one.material == material]
    return sorted(found, key=lambda one: (one.since, one.id), reverse=True)


def _quoted(book: Book, material: Material, quote: Quote) -> Quoted:
    valid = quote.since <= book.day <= quote.until
    return Quoted(quote, quoted(book, material, quote).unit_cost, valid, material.quote == quote.id)


# --- the cost over time -----------------------------------------------------------------------------------------------


def _days(book: Book, material: Material, bought: Sequence[Bought]) -> list[date]:
    """Every day on which the cost may have changed: bought, come into a quote or out of it, or left the window."""
    days = moving_days(book, material, (one.line.day for one in bought if one.line.sets_price))
    return sorted(day for day in days if day <= book.day)


def moving_days(book: Book, material: Material, bought: Iterable[date]) -> set[date]:
    """Days on which a material's cost may change, given those on which it was bought; some may be after the book's."""
    days = set(bought)
    if window(book, material) is not None:
        months = material.basis_months or book.workshop.basis_months
        days |= {left for day in days if (left := _leaves(day, months)) is not None}
    chosen = book.quotes.get(material.quote) if material.quote is not None else None
    if chosen is not None:
        days |= {chosen.since, chosen.until + timedelta(days=1)} if chosen.until < book.day else {chosen.since}
    return days


def _leaves(day: date, months: Decimal) -> date | None:
    """The first day whose window does not hold a purchase of `day` any more; None after the last day there is."""
    try:
        left = months_before(day, -months)
        while months_before(left, months) < day:
            left += timedelta(days=1)
    except (ValueError, OverflowError):
        return None
    return left


def thin(days: Sequence[Day], most: int) -> tuple[list[Day], bool]:
    """At most so many of `days`, evenly, the first and the last kept; and whether any was left out."""
    if len(days) <= most:
        return list(days), False
    last = len(days) - 1
    return [days[last * place // (most - 1)] for place in range(most)], True


def _steps(
    book: Book, costs: Sequence[tuple[date, MaterialCost]], taxes: Mapping[tuple[Id, int], TaxSide]
) -> tuple[CostOn, ...]:
    """Only those that differ from the one before."""
    first = [_on(day, cost, None) for day, cost in costs[:1]]
    changed = [
        _on(day, cost, tax_change(book, (taxes[one] for one in (*before.used, *cost.used))))
        for (_, before), (day, cost) in pairwise(costs)
        if _on(day, before, None) != _on(day, cost, None)
    ]
    return (*first, *changed)


def _on(day: date, cost: MaterialCost, tax: TaxChange | None) -> CostOn:
    return CostOn(day, cost.unit_cost, cost.rule, cost.quote, tax)


# --- suppliers and packs side by side ---------------------------------------------------------------------------------


def _offers(book: Book, bought: Sequence[Bought], quotes: Sequence[Quoted]) -> tuple[Offer, ...]:
    """The newest of every supplier and pack, cheapest first, those without a cost last; lapsed quotes are none."""
    found: dict[tuple[Id, Decimal, str, bool], Offer] = {}
    taxes: dict[tuple[Id, Decimal, str, bool], TaxSide] = {}
    for one in bought:
        if one.line.sets_price:
            made = _of_line(one)
            found.setdefault((made.supplier, made.size, made.unit, True), made)
            taxes.setdefault((made.supplier, made.size, made.unit, True), one.tax)
    for quote in quotes:
        if quote.valid:
            told = _of_quote(quote)
            found.setdefault((told.supplier, told.size, told.unit, False), told)
    costs = [one.unit_cost for one in found.values() if isinstance(one.unit_cost, Decimal)]
    least = min(costs, default=Decimal(0))
    first = min(found, key=lambda key: _cheapest(found[key]), default=None)
    offers = [
        replace(
            one,
            dearer=_dearer(one.unit_cost, least),
            tax=tax_change(book, (taxes[each] for each in (first, key) if each in taxes)),
        )
        for key, one in found.items()
    ]
    return tuple(sorted(offers, key=_cheapest))


def _cheapest(offer: Offer) -> tuple[bool, Decimal]:
    cost = offer.unit_cost
    return (False, cost) if isinstance(cost, Decimal) else (True, ZERO)


def _dearer(cost: Figure, least: Decimal) -> Figure:
    return from_known(lambda known: known / least - 1 if least else Decimal(0), cost)


def _of_line(one: Bought) -> Offer:
    line, typed = one.line, one.line.line
    cost = line.unit_cost
    return Offer(one.supplier, typed.size, typed.unit, line.day, cost, cost, one.counts, order=line.order)


def _of_quote(one: Quoted) -> Offer:
    quote, cost = one.quote, one.unit_cost
    return Offer(quote.supplier, quote.size, quote.unit, quote.since, cost, cost, one.counts, quote=quote.id)
