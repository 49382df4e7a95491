"""Charges on a supplier order: each is shared out on its own, with its unreclaimed tax, over the lines.

By value of the goods net of tax, by mass as billed, or equally; largest remainder in the minor unit of the charge's own
currency, so that the shares add up to the charge exactly (method.md sections 0 and 1).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple, TypeAlias

from webapp.costing.amounts import ONE, ZERO, minor_places, share_out, to_minor
from webapp.costing.book import Book, Charge, Order
from webapp.costing.gaps import Figure, Gap, first_gap
from webapp.costing.invoices import Taxed, taxed
from webapp.costing.quantities import mass

#: charges that are taken off
TAKEN_OFF = ("discount", "credit")
Lines: TypeAlias = Sequence[Taxed | Gap]


class Share(NamedTuple):
    """A line's part of a charge (`charge` is its index) or of the lump sum of tax (None), in `currency`."""

    charge: int | None
    amount: Figure
    currency: str
    at_home: bool  # already in home money, not to be exchanged
    of: Charge | None

    @property
    def words(self) -> str:
        """What the share is called in a working."""
        return "share of the order's sales tax, by value" if self.of is None else share_words(self.of)


@dataclass(frozen=True, slots=True)
class LandedCharge:
    """A charge with its sign; `shared` is what is shared out: net and unreclaimed tax as one amount."""

    index: int
    charge: Charge
    currency: str
    amount: Decimal
    net: Decimal
    tax: Decimal
    tax_cost: Decimal
    shared: Decimal
    shares: tuple[Figure, ...]

    @property
    def at_home(self) -> bool:
        """Paid in home currency, beside the supplier's invoice."""
        return self.charge.money == "home"


def charge(book: Book, order: Order, index: int, lines: Lines, reclaimed: bool) -> LandedCharge:
    """Charge `index` of `order`, shared over `lines`; each share is a gap where a weight is missing."""
    one = order.charges[index]
    currency = book.workshop.currency if one.money == "home" else order.currency
    amount = to_minor(-one.amount if one.kind in TAKEN_OFF else one.amount, currency)
    split = taxed(amount, one.tax_rate, one.tax_included, currency, reclaimed)
    shares = shared_out(split.cost, WEIGHTS[one.share](book, order, lines), currency)
    return LandedCharge(index, one, currency, amount, split.net, split.tax, split.tax_cost, split.cost, shares)


def shared_out(amount: Decimal, weights: Sequence[Figure], currency: str) -> tuple[Figure, ...]:
    """`amount` in `currency` by the weights of the lines, in its minor unit; nothing needs no weights."""
    if not amount:
        return tuple(ZERO for _ in weights)
    gap = first_gap(weights)
    if gap:
        return tuple(gap for _ in weights)
    known = [weight for weight in weights if not isinstance(weight, Gap)]
    return share_out(amount, known, minor_places(currency))


def _by_value(book: Book, order: Order, lines: Lines) -> list[Figure]:
    del book, order
    return [one if isinstance(one, Gap) else one.net for one in lines]


def _by_mass(book: Book, order: Order, lines: Lines) -> list[Figure]:
    """Grams as billed, breakages and all: that is what was carried."""
    del lines
    return [mass(book.materials[line.material], line.packs * line.size, line.unit) for line in order.lines]


def _equally(book: Book, order: Order, lines: Lines) -> list[Figure]:
    del book, lines
    return [ONE for _ in order.lines]


#: what a charge is shared by -> the weight of every line
WEIGHTS: dict[str, Callable[[Book, Order, Lines], list[Figure]]] = {
    "value": _by_value,
    "mass": _by_mass,
    "equally": _equally,
}


def missing_mass(book: Book, order: Order) -> tuple[int, ...]:
    """Indexes of the lines without a mass, where a charge is shared by mass; else none."""
    if all(charge.share != "mass" for charge in order.charges):
        return ()
    return tuple(index for index, one in enumerate(_by_mass(book, order, ())) if isinstance(one, Gap))


def shares_of(order: Order, charges: Sequence[LandedCharge], lump: Sequence[Figure], index: int) -> tuple[Share, ...]:
    """What line `index` bears of every charge, and of a lump sum of tax (`lump`, by line)."""
    shares = [Share(one.index, one.shares[index], one.currency, one.at_home, one.charge) for one in charges]
    if order.tax_total is not None:
        shares.append(Share(None, lump[index], order.currency, False, None))
    return tuple(shares)


def share_words(charge: Charge) -> str:
    """What a share of this charge is called in a working."""
    how = {"value": "by value", "mass": "by mass", "equally": "equally"}[charge.share]
    return f"share of {charge.label or charge.kind}, {how}"
