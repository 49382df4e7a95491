"""The book: every fact that a figure can come from, as frozen records, as they hold on one day.

Percentages are as typed (45 is 45 %), money in the named currency, minutes in minutes. A dated fact carries
`since`, the day from which it holds. Ids are positive; a negative id stands for a thing that is not stored yet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any, TypeAlias

Id: TypeAlias = int
WORKSHOP_ID = 1
ZERO = Decimal(0)


# --- the workshop ---


@dataclass(frozen=True, slots=True)
class Workshop:
    """How this workshop writes and prices; not dated. One record, id 1."""

    id: Id = WORKSHOP_ID
    name: str = "My workshop"
    currency: str = "EUR"
    locale: str = "en_GB"
    mass_unit: str = "kg"  # kg | lb: how unit costs are shown
    basis: str = "latest"  # latest | averaged | dearest
    basis_months: Decimal = Decimal(12)
    stale_months: Decimal = Decimal(12)  # a purchase price older than this is pointed out


@dataclass(frozen=True, slots=True)
class Terms:
    """How the workshop reckons from a day on. One record, id 1."""

    id: Id = WORKSHOP_ID
    since: date = date(1990, 1, 1)
    registered: bool = False  # registered for sales tax: tax on purchases is reclaimed
    cost: str = "full"  # full | direct: what a target margin is reckoned on
    target: Decimal = Decimal(40)  # percent
    overhead: str = "hours"  # hours | jars | left out
    making_hours: Decimal | None = None  # planned hours of making a month
    planned_jars: Decimal | None = None  # planned jars a month


@dataclass(frozen=True, slots=True)
class Wage:
    """An hour of a person, in home currency, and the employer's extra on it (percent)."""

    since: date
    per_hour: Decimal
    extra: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works: `whose` is "own" (the maker's own time) or "hired"."""

    id: Id
    name: str
    whose: str = "own"  # own | hired
    wage: Wage | None = None
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Bill:
    """A monthly overhead bill, in home currency a month."""

    id: Id
    name: str
    since: date
    a_month: Decimal
    note: str = ""
    retired: date | None = None


# --- buying ---


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


# --- making ---


@dataclass(frozen=True, slots=True)
class Work:
    """Minutes of one person. On a product None takes the formula's minutes; on a formula None is none."""

    person: Id
    per_batch: Decimal | None = None
    per_kg: Decimal | None = None
    per_jar: Decimal | None = None  # products only


@dataclass(frozen=True, slots=True)
class FormulaLine:
    """A material or another formula. `amount` in `unit`; `rest` (q.s.) takes what is left of 100 %."""

    material: Id | None = None
    formula: Id | None = None
    amount: Decimal | None = None
    unit: str = "percent"  # percent | g | mL | drops | part
    rest: bool = False
    stage: str = ""


@dataclass(frozen=True, slots=True)
class Formula:
    """How something is made: lines, one way of writing, the batch, its losses and its minutes."""

    id: Id
    name: str
    since: date
    lines: tuple[FormulaLine, ...]
    way: str = "percent"  # percent | grams | parts
    batch_grams: Decimal | None = None
    loss: Decimal = ZERO  # percent of the batch
    loss_grams: Decimal = ZERO  # fixed, per batch
    work: tuple[Work, ...] = ()
    made_ahead: bool = False
    density: Decimal | None = None  # of the melt, g/mL
    air: Decimal = ZERO  # percent whipped in, by volume
    shelf_months: Decimal | None = None
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """Pieces of a material, or one use of a group of parts; `spoiled` per 100 used well."""

    material: Id | None = None
    group: Id | None = None
    pieces: Decimal = Decimal(1)
    spoiled: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class PartGroup:
    """Parts that go together (jar, lid, label, seal), so that one change serves all sizes."""

    id: Id
    name: str
    since: date
    parts: tuple[Part, ...]
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Fill:
    """What goes in: `declared` + `overfill`, both in `unit` (g or mL)."""

    formula: Id
    declared: Decimal
    unit: str = "g"
    overfill: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Member:
    """Another product inside a gift set."""

    product: Id
    count: Decimal = Decimal(1)


@dataclass(frozen=True, slots=True)
class OneOff:
    """A cost paid once (a mould, a label plate), in home currency, and the jars it is meant to serve."""

    name: str
    amount: Decimal
    jars: Decimal


@dataclass(frozen=True, slots=True)
class Product:
    """What is sold: fillings, parts, other products, minutes, and what it changes of the formula's batch."""

    id: Id
    name: str
    since: date
    fills: tuple[Fill, ...] = ()
    parts: tuple[Part, ...] = ()
    members: tuple[Member, ...] = ()
    work: tuple[Work, ...] = ()
    one_offs: tuple[OneOff, ...] = ()
    batch_grams: Decimal | None = None  # None: the formula's
    loss: Decimal | None = None
    loss_grams: Decimal | None = None
    set_aside: Decimal = ZERO  # whole jars of a batch: tester, kept sample
    channels: tuple[Id, ...] = ()  # where it is sold; none named: on every channel
    note: str = ""
    retired: date | None = None


# --- selling ---


@dataclass(frozen=True, slots=True)
class SellingTime:
    """Minutes per order and hours per selling day of one person."""

    person: Id
    per_order: Decimal = ZERO  # minutes
    per_day: Decimal = ZERO  # hours


@dataclass(frozen=True, slots=True)
class Channel:
    """Where jars are sold, and what selling there costs. Money in home currency, shares in percent."""

    id: Id
    name: str
    since: date
    kind: str = "stall"  # stall | web shop | marketplace | wholesale | consignment
    tax: str = "none"  # in | added | none
    tax_rate: Decimal = ZERO
    share_paid: Decimal = ZERO  # of what the buyer pays
    share_net: Decimal = ZERO  # of the price net of tax
    fee: Decimal = ZERO  # per order
    fee_tax: Decimal = ZERO  # tax on the shares and the fee; a cost unless reclaimed
    jars_per_order: Decimal = Decimal(1)
    carton: Decimal = ZERO
    postage: Decimal = ZERO  # what she pays
    postage_charged: Decimal = ZERO  # what the buyer is charged, tax included
    pitch: Decimal = ZERO  # per selling day
    jars_a_day: Decimal | None = None
    work: tuple[SellingTime, ...] = ()
    endings: str = ""  # e.g. ".00 .50 .95 .99"; empty with no step: every minor unit
    step: Decimal | None = None
    target: Decimal | None = None
    stockist_margin: Decimal = Decimal(50)  # wholesale: the shop's own margin
    stockist_tax: Decimal = ZERO  # wholesale: the tax inside the shop's shelf price
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Price:
    """The accepted price of a product on a channel from a day on, with why, and what was suggested then."""

    product: Id
    channel: Id
    since: date
    amount: Decimal
    why: str = ""
    floor: Decimal | None = None
    suggested: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Target:
    """A target margin of one product on one channel (percent); None takes the channel's."""

    product: Id
    channel: Id
    since: date
    margin: Decimal | None


@dataclass(frozen=True, slots=True)
class Sales:
    """Jars sold a month of one product on one channel; None: not known."""

    product: Id
    channel: Id
    since: date
    jars: Decimal | None


@dataclass(frozen=True, slots=True)
class Registration:
    """From `since` on the maker is (not) registered for sales tax."""

    since: date
    registered: bool


Thing: TypeAlias = Workshop | Terms | Person | Bill | Supplier | Material | Order | Quote | Formula | PartGroup
Record: TypeAlias = Thing | Product | Channel | Price | Target | Sales
PairKey: TypeAlias = tuple[Id, Id]


@dataclass(frozen=True, slots=True)
class Book:
    """Everything as it holds on `day`. Orders are those up to that day; the tax status has its whole history."""

    day: date
    workshop: Workshop = Workshop()
    terms: Terms = Terms()
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
