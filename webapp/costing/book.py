"""The book: every fact that a figure can come from, as frozen records, as they hold on one day.

Percentages are as typed (45 is 45 %), money in the named currency, minutes in minutes. A dated fact carries
`since`, the day from which it holds. Ids are positive; a negative id stands for a thing that is not stored yet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, TypeAlias

from webapp.costing.buying_facts import (
    Charge,
    Density,
    Exchange,
    Material,
    Order,
    OrderLine,
    Quote,
    Review,
    StartingPrice,
    Supplier,
)
from webapp.costing.making_facts import (
    Fill,
    Filled,
    Formula,
    FormulaLine,
    MadeBatch,
    Member,
    OneOff,
    Part,
    PartGroup,
    Product,
    Spent,
    Weighed,
    Work,
)
from webapp.costing.selling_facts import Channel, Price, Sales, SellingTime, Target
from webapp.costing.workshop_facts import WORKSHOP_ID, ZERO, Bill, Id, Person, Registration, Terms, Wage, Workshop

__all__ = [
    "ABOUT",
    "EVENTS",
    "KINDS",
    "PAIRS",
    "SHELVES",
    "WORKSHOP_ID",
    "ZERO",
    "Bill",
    "Book",
    "Channel",
    "Charge",
    "Density",
    "Exchange",
    "Fill",
    "Filled",
    "Formula",
    "FormulaLine",
    "Id",
    "MadeBatch",
    "Material",
    "Member",
    "OneOff",
    "Order",
    "OrderLine",
    "PairKey",
    "Part",
    "PartGroup",
    "Person",
    "Price",
    "Product",
    "Quote",
    "Record",
    "Registration",
    "Review",
    "Sales",
    "SellingTime",
    "Spent",
    "StartingPrice",
    "Supplier",
    "Target",
    "Terms",
    "Thing",
    "Wage",
    "Weighed",
    "Work",
    "Workshop",
]

Thing: TypeAlias = Workshop | Terms | Person | Bill | Supplier | Material | Order | Quote | Formula | PartGroup
Record: TypeAlias = Thing | Product | Channel | MadeBatch | Price | Target | Sales | Review
PairKey: TypeAlias = tuple[Id, Id]


@dataclass(frozen=True, slots=True)
class Book:
    """Everything as it holds on `day`: orders and batches up to that day, the tax status with its whole history."""

    day: date
    workshop: Workshop = field(default_factory=Workshop)
    terms: Terms = field(default_factory=Terms)
    registrations: tuple[Registration, ...] = ()  # by day, earliest first
    people: Mapping[Id, Person] = field(default_factory=dict)
    bills: Mapping[Id, Bill] = field(default_factory=dict)
    suppliers: Mapping[Id, Supplier] = field(default_factory=dict)
    materials: Mapping[Id, Material] = field(default_factory=dict)
    orders: Mapping[Id, Order] = field(default_factory=dict)
    quotes: Mapping[Id, Quote] = field(default_factory=dict)
    formulas: Mapping[Id, Formula] = field(default_factory=dict)
    groups: Mapping[Id, PartGroup] = field(default_factory=dict)
    products: Mapping[Id, Product] = field(default_factory=dict)
    channels: Mapping[Id, Channel] = field(default_factory=dict)
    prices: Mapping[PairKey, Price] = field(default_factory=dict)
    targets: Mapping[PairKey, Target] = field(default_factory=dict)
    sales: Mapping[PairKey, Sales] = field(default_factory=dict)
    reviews: Mapping[Id, Review] = field(default_factory=dict)  # by material
    batches: Mapping[Id, MadeBatch] = field(default_factory=dict)

    def registered_on(self, day: date) -> bool:
        """Whether tax on purchases was reclaimed on `day`; before the first entry: no."""
        known = [entry.registered for entry in self.registrations if entry.since <= day]
        return known[-1] if known else False


#: record class -> (kind, the mapping of the book that holds it). Workshop and Terms are single.
SHELVES: dict[type[Any], tuple[str, str]] = {
    Person: ("person", "people"),
    Bill: ("bill", "bills"),
    Supplier: ("supplier", "suppliers"),
    Material: ("material", "materials"),
    Order: ("order", "orders"),
    Quote: ("quote", "quotes"),
    Formula: ("formula", "formulas"),
    PartGroup: ("group", "groups"),
    Product: ("product", "products"),
    Channel: ("channel", "channels"),
    MadeBatch: ("batch", "batches"),
    Workshop: ("workshop", "workshop"),
    Terms: ("terms", "terms"),
}
#: kind -> record class
KINDS: dict[str, type[Any]] = {kind: record for record, (kind, _) in SHELVES.items()}
#: facts about a pair of product and channel -> the mapping of the book that holds them
PAIRS: dict[type[Any], tuple[str, str]] = {
    Price: ("price", "prices"),
    Target: ("target", "targets"),
    Sales: ("sales", "sales"),
}
#: facts about a material beside its own record -> the mapping of the book that holds them, by the material's id
ABOUT: dict[type[Any], tuple[str, str]] = {Review: ("review", "reviews")}
#: kinds that happen on one day and have no name: they are taken back, not put away
EVENTS = ("order", "quote", "batch")
