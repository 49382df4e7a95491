"""Facts of buying: suppliers, materials, orders as invoiced, quotes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from webapp.costing.workshop_facts import ZERO, Id


@dataclass(frozen=True, slots=True)
class Supplier:
    """Who is bought from, and the currency of their invoices."""

    id: Id
    name: str
    currency: str = "EUR"
    url: str = ""
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Density:
    """Grams per millilitre at a temperature (°C), with where the figure comes from."""

    since: date
    value: Decimal
    temperature: Decimal | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class StartingPrice:
    """A price without an invoice ("about 12 a kg"): home currency per `unit`, undated."""

    amount: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class Material:
    """Something bought. Ingredients are reckoned per gram, packaging and bought-in pieces per piece."""

    id: Id
    name: str
    kind: str = "ingredient"  # ingredient | packaging | bought-in
    nature: str = ""  # butter | oil | wax | essential oil | fragrance | antioxidant | water | other: for cautions
    inci: str = ""
    also_known_as: str = ""
    nut: bool = False  # derived from a nut: an allergen caution
    density: Density | None = None
    drops_per_ml: Decimal | None = None
    piece_grams: Decimal | None = None  # what one piece weighs, for sharing freight by mass
    holds_ml: Decimal | None = None  # what a jar holds to the brim
    shelf_months: Decimal | None = None
    starting: StartingPrice | None = None
    basis: str = ""  # "" (as the workshop) | latest | averaged | dearest
    basis_months: Decimal | None = None
    quote: Id | None = None  # a quote chosen as its price while valid
    note: str = ""
    retired: date | None = None

    @property
    def by_piece(self) -> bool:
        return self.kind != "ingredient"


@dataclass(frozen=True, slots=True)
class Review:
    """What a material costs was looked at on a day and found still right. It dates the price and never changes it."""

    material: Id
    since: date
    answer: str = "still right"
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Exchange:
    """How a foreign currency was turned into the home one.

    `way`: "home per unit" (1 USD = 0.92 home), "units per home" (1 home = 1.09 USD), or "paid" (the home amount
    really paid for all that is in the order's currency, tax included).
    """

    way: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class OrderLine:
    """`packs` of `size` `unit` each. The amounts are in the order's currency."""

    material: Id
    packs: Decimal
    size: Decimal
    unit: str
    price: Decimal | None = None  # per pack
    discount: Decimal | None = None  # typed positive
    discount_in: str = "money"  # money (off the whole line) | percent
    total: Decimal | None = None  # typed line total: wins over packs x price, after any discount
    tax_rate: Decimal = ZERO
    tax_included: bool = False
    arrived: Decimal | None = None  # usable, in `unit`, all packs together; None: all of it
    not_priced: str = ""  # "" | sample | emergency | replacement | credit: does not set the price


@dataclass(frozen=True, slots=True)
class Charge:
    """Freight, duty, handling, or a discount or credit on the whole order (typed positive, taken off)."""

    kind: str  # freight | duty | handling | other | discount | credit
    amount: Decimal
    money: str = "order"  # order | home: which currency the amount is in
    share: str = "value"  # value | mass | equally
    tax_rate: Decimal = ZERO
    tax_included: bool = False
    label: str = ""


@dataclass(frozen=True, slots=True)
class Order:
    """A supplier order as invoiced: lines, charges, tax, in one currency."""

    id: Id
    supplier: Id
    day: date
    lines: tuple[OrderLine, ...]
    charges: tuple[Charge, ...] = ()
    currency: str = "EUR"
    exchange: Exchange | None = None  # None where the order is in home currency
    tax_total: Decimal | None = None  # a lump sum of tax without rates, order currency
    invoice_total: Decimal | None = None  # to reconcile with, order currency
    number: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Quote:
    """A supplier's list price without buying: `price` for one pack, taken as landed; valid both days included."""

    id: Id
    material: Id
    supplier: Id
    since: date
    until: date
    size: Decimal
    unit: str
    price: Decimal
    currency: str = "EUR"
    exchange: Exchange | None = None
    note: str = ""
