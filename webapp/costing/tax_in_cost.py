"""Whether purchases compare as they stand: tax that isn't reclaimed is part of what one cost, reclaimed tax isn't.

Where the maker registers for sales tax between two purchases, or leaves the register, the tax alone moves the cost. No
cost is changed for that: what was paid was paid. It is only said beside the comparison.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from operator import attrgetter
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.book import Book, Id
from webapp.costing.invoices import Taxed
from webapp.costing.orders import Invoice

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class TaxSide(NamedTuple):
    """A purchase: its day, whether its tax was reclaimed, and whether any stands on its invoice for it."""

    day: date
    reclaimed: bool
    taxed: bool

    @property
    def in_cost(self) -> bool:
        """Whether tax is part of what it cost."""
        return self.taxed and not self.reclaimed


class TaxChange(NamedTuple):
    """From `since` on tax is part of the cost (`in_cost`), or was so only before."""

    since: date
    in_cost: bool


def tax_side(book: Book, invoice: Invoice, index: int) -> TaxSide:
    """How it stands with the tax of one line of an order; a charge's tax is borne by all of its lines."""
    billed = invoice.billed[index]
    own = isinstance(billed, Taxed) and bool(billed.tax)
    taxed = own or bool(invoice.tax_lump) or any(one.tax for one in invoice.charges)
    return TaxSide(invoice.order.day, book.registered_on(invoice.order.day), taxed)


def tax_sides(known: Reckoning, lines: Iterable[tuple[Id, int]]) -> tuple[TaxSide, ...]:
    """The same of (order, index of its line)."""
    return tuple(tax_side(known.book, known.invoice(order), index) for order, index in lines)


def bought_since(known: Reckoning, material: Id, since: date) -> tuple[TaxSide, ...]:
    """The price-setting purchases of a material from a day up to the book's day."""
    orders = known.book.orders
    places = [place for place in known.purchases(material) if since <= orders[place[0]].day <= known.book.day]
    return tax_sides(known, places)


def tax_change(book: Book, compared: Iterable[TaxSide]) -> TaxChange | None:
    """Where the tax of purchases that are compared is in some and was reclaimed of others; None where it is alike.

    Purchases without any tax are alike: nothing about them would have been another. Of one day's, the last one given
    is taken as the newest.
    """
    sides = sorted(compared, key=attrgetter("day"))
    if len({one.reclaimed for one in sides}) < 2 or not any(one.taxed for one in sides):
        return None
    reclaimed = sides[-1].reclaimed
    since = last_change(book, sides[-1].day)
    return TaxChange(sides[-1].day if since is None else since, not reclaimed)


def last_change(book: Book, day: date) -> date | None:
    """The day from which on the maker is registered, or is not, as on `day`; None where it was never otherwise."""
    found, before = None, False
    for entry in book.registrations:
        if entry.since > day:
            break
        if entry.registered != before:
            found = entry.since
        before = entry.registered
    return found
