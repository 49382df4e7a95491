"""The tables, stem by stem. Amounts are as typed; grams and costs are never stored.

(No deferred annotations here: SQLModel reads them.)
"""

from datetime import date
from decimal import Decimal

from webapp.store.families import (
    About,
    Dated,
    DatedLine,
    Held,
    Line,
    Named,
    Of,
    Pair,
    a_day,
    exact,
    rows_held,
    to_thing,
)


class RetiredRow(Dated, table=True):
    """From which day on a thing is retired, or (`away` false) is there again."""

    away: bool


class WorkshopRow(Of, table=True):
    """How the workshop writes and prices."""

    name: str
    currency: str
    locale: str
    mass_unit: str
    basis: str
    basis_months: Decimal = exact()
    stale_months: Decimal = exact()
    contact: str


class TermsRow(Dated, table=True):
    """How the workshop reckons from a day on."""

    registered: bool
    cost: str
    target: Decimal = exact()
    overhead: str
    making_hours: Decimal | None = exact()
    planned_jars: Decimal | None = exact()


class PersonRow(Named, table=True):
    """Somebody who works."""

    whose: str


class WageRow(Dated, table=True):
    """An hour of a person; `per_hour` null: none from that day on."""

    per_hour: Decimal | None = exact()
    extra: Decimal | None = exact()


class BillRow(Named, table=True):
    """A monthly bill."""


class BillAmountRow(Dated, table=True):
    """What a bill comes to a month, from a day on."""

    a_month: Decimal = exact()


class SupplierRow(Named, table=True):
    """A supplier."""

    currency: str
    url: str


class MaterialRow(Named, table=True):
    """Something bought; `starting_amount` null: no starting price."""

    kind: str
    nature: str
    inci: str
    also_known_as: str
    nut: bool
    drops_per_ml: Decimal | None = exact()
    piece_grams: Decimal | None = exact()
    holds_ml: Decimal | None = exact()
    shelf_months: Decimal | None = exact()
    starting_amount: Decimal | None = exact()
    starting_unit: str | None
    basis: str
    basis_months: Decimal | None = exact()
    quote: int | None = to_thing()


class DensityRow(Dated, table=True):
    """Grams per millilitre; `value` null: none from that day on."""

    value: Decimal | None = exact()
    temperature: Decimal | None = exact()
    source: str | None


class SupplierOrderRow(Of, table=True):
    """A supplier order."""

    supplier: int = to_thing()
    day: date = a_day()
    currency: str
    exchange_way: str | None
    exchange_amount: Decimal | None = exact()
    tax_total: Decimal | None = exact()
    invoice_total: Decimal | None = exact()
    number: str
    note: str


class OrderLineRow(Line, table=True):
    """A line of an order."""

    material: int = to_thing()
    packs: Decimal = exact()
    size: Decimal = exact()
    unit: str
    price: Decimal | None = exact()
    discount: Decimal | None = exact()
    discount_in: str
    total: Decimal | None = exact()
    tax_rate: Decimal = exact()
    tax_included: bool
    arrived: Decimal | None = exact()
    not_priced: str


class OrderChargeRow(Line, table=True):
    """Freight, duty and the like on an order."""

    kind: str
    amount: Decimal = exact()
    money: str
    share: str
    tax_rate: Decimal = exact()
    tax_included: bool
    label: str


class QuoteRow(Of, table=True):
    """A list price, valid from one day to another."""

    material: int = to_thing()
    supplier: int = to_thing()
    from_day: date = a_day()
    until: date = a_day()
    size: Decimal = exact()
    unit: str
    price: Decimal = exact()
    currency: str
    exchange_way: str | None
    exchange_amount: Decimal | None = exact()
    note: str


class FormulaRow(Named, table=True):
    """A formula."""


class FormulaContentRow(Dated, table=True):
    """How a formula is made, from a day on."""

    way: str
    batch_grams: Decimal | None = exact()
    loss: Decimal = exact()
    loss_grams: Decimal = exact()
    made_ahead: bool
    density: Decimal | None = exact()
    air: Decimal = exact()
    shelf_months: Decimal | None = exact()
    pot_grams: Decimal | None = exact()


class FormulaLineRow(DatedLine, table=True):
    """A line of a formula."""

    material: int | None = to_thing()
    formula: int | None = to_thing()
    amount: Decimal | None = exact()
    unit: str
    rest: bool
    stage: str


class FormulaWorkRow(DatedLine, table=True):
    """Minutes of a person at a formula."""

    person: int = to_thing()
    per_batch: Decimal | None = exact()
    per_kg: Decimal | None = exact()
    per_jar: Decimal | None = exact()


class PartGroupRow(Named, table=True):
    """Parts that go together."""


class PartGroupContentRow(Dated, table=True):
    """From which day on a group holds its parts."""


class PartGroupPartRow(DatedLine, table=True):
    """A part of a group."""

    material: int | None = to_thing()
    group: int | None = to_thing()
    pieces: Decimal = exact()
    spoiled: Decimal = exact()


class ProductRow(Named, table=True):
    """A jar, or a gift set."""


class ProductContentRow(Dated, table=True):
    """How a product is made, from a day on."""

    batch_grams: Decimal | None = exact()
    loss: Decimal | None = exact()
    loss_grams: Decimal | None = exact()
    set_aside: Decimal = exact()
    case_jars: Decimal | None = exact()


class ProductFillRow(DatedLine, table=True):
    """What goes in."""

    formula: int = to_thing()
    declared: Decimal = exact()
    unit: str
    overfill: Decimal = exact()


class ProductPartRow(DatedLine, table=True):
    """Packaging of a product."""

    material: int | None = to_thing()
    group: int | None = to_thing()
    pieces: Decimal = exact()
    spoiled: Decimal = exact()


class ProductMemberRow(DatedLine, table=True):
    """A product inside a gift set."""

    product: int = to_thing()
    count: Decimal = exact()


class ProductWorkRow(DatedLine, table=True):
    """Minutes of a person at a product."""

    person: int = to_thing()
    per_batch: Decimal | None = exact()
    per_kg: Decimal | None = exact()
    per_jar: Decimal | None = exact()


class ProductOneOffRow(DatedLine, table=True):
    """A cost paid once."""

    name: str
    amount: Decimal = exact()
    jars: Decimal = exact()


class ProductChannelRow(DatedLine, table=True):
    """Where a product is sold."""

    channel: int = to_thing()


class ChannelRow(Named, table=True):
    """A channel."""


class ChannelContentRow(Dated, table=True):
    """What selling there costs, from a day on."""

    kind: str
    tax: str
    tax_rate: Decimal = exact()
    share_paid: Decimal = exact()
    share_net: Decimal = exact()
    fee: Decimal = exact()
    fee_tax: Decimal = exact()
    jars_per_order: Decimal = exact()
    carton: Decimal = exact()
    postage: Decimal = exact()
    postage_charged: Decimal = exact()
    pitch: Decimal = exact()
    jars_a_day: Decimal | None = exact()
    endings: str
    step: Decimal | None = exact()
    target: Decimal | None = exact()
    stockist_margin: Decimal = exact()
    stockist_tax: Decimal = exact()
    least_order: Decimal | None = exact()
    list_terms: str


class ChannelWorkRow(DatedLine, table=True):
    """Time of a person at selling."""

    person: int = to_thing()
    per_order: Decimal = exact()
    per_day: Decimal = exact()


class PriceRow(Pair, table=True):
    """An accepted price."""

    amount: Decimal = exact()
    why: str
    floor: Decimal | None = exact()
    suggested: Decimal | None = exact()


class ReviewRow(About, table=True):
    """A material's price was looked at on a day and found still right."""

    answer: str
    reason: str


class TargetRow(Pair, table=True):
    """A target margin of one product on one channel."""

    margin: Decimal | None = exact()


class SalesRow(Pair, table=True):
    """Jars sold a month."""

    jars: Decimal | None = exact()


#: Table name -> row class, for every table whose rows are made and ended.
HELD: dict[str, type[Held]] = {row.table_name(): row for row in rows_held()}
