"""What is asked and answered about packs: needs, offers, freight; and plans with what becomes of what is bought.

Money is home currency net of reclaimed tax, amounts are grams of an ingredient and pieces of everything else.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ZERO
from webapp.costing.book import Id
from webapp.costing.gaps import Figure, Gap

NO_USE = Gap("How much of it is used in a month is not known yet. Type it, or how many jars are sold a month.")
NO_SHELF = Gap("How many months it keeps is not known yet. Type them, or its shelf life at the material.")


@dataclass(frozen=True, slots=True)
class Break:
    """From so many packs on, all of them cost `price` each."""

    packs: Decimal
    price: Decimal


@dataclass(frozen=True, slots=True)
class Offer:
    """A pack of `quantity` grams or pieces at `price`, and its price breaks, the highest last."""

    material: Id
    supplier: Id
    quantity: Decimal
    price: Decimal
    breaks: tuple[Break, ...] = ()

    def each(self, packs: int) -> Decimal:
        """The price of one pack where so many are bought."""
        return next((one.price for one in reversed(self.breaks) if packs >= one.packs), self.price)


@dataclass(frozen=True, slots=True)
class Freight:
    """What a supplier charges for carrying an order; free from goods of `free_from` on; no order below `least`."""

    supplier: Id
    amount: Decimal = ZERO
    free_from: Decimal | None = None
    least: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Need:
    """How much of a material is wanted, of which `at_once` goes into planned batches.

    `a_month` is its use in a month, `months` is how many months it keeps (None: for good).
    """

    material: Id
    amount: Decimal
    a_month: Figure = NO_USE
    months: Figure | None = NO_SHELF
    at_once: Decimal = ZERO


class Line(NamedTuple):
    """So many packs of the offer at `place` among the offers, at `price` each."""

    place: int
    packs: int
    price: Decimal
    cost: Decimal


class SupplierOrder(NamedTuple):
    """What is bought from one supplier, its freight, and the freight that its goods make free."""

    supplier: Id
    goods: Decimal
    freight: Decimal
    spared: Decimal

    @property
    def total(self) -> Decimal:
        """Goods and freight."""
        return self.goods + self.freight


class Bought(NamedTuple):
    """One material in a plan; `freight` is its share, by value of the goods of the order.

    `left` is beyond the need; `lasts` are the months until all of it is used and `left_lasts` those that what is left
    takes; `spoils` is the part that is not used in time, `used` the rest, `per_used` the cost of one of that.
    """

    need: Need
    amount: Decimal
    goods: Decimal
    freight: Decimal
    left: Decimal
    lasts: Figure
    left_lasts: Figure
    used: Figure
    spoils: Figure
    per_used: Figure

    @property
    def cost(self) -> Decimal:
        """Goods and the share of freight."""
        return self.goods + self.freight

    @property
    def per_bought(self) -> Decimal:
        """The cost of one gram or piece of all that is bought."""
        return self.cost / self.amount


class Plan(NamedTuple):
    """One way to buy all of it."""

    lines: tuple[Line, ...]
    orders: tuple[SupplierOrder, ...]
    bought: tuple[Bought, ...]
    goods: Decimal
    freight: Decimal

    @property
    def total(self) -> Decimal:
        """Goods and freight of all orders."""
        return self.goods + self.freight


class Plans(NamedTuple):
    """The cheapest plan and the next best ones; not `complete` where there may be plans between those listed."""

    plans: tuple[Plan, ...]
    complete: bool
