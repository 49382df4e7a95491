"""The tables of what is bought: suppliers, materials, orders, quotes, reviews.

Amounts are as typed; grams and costs are never stored. (No deferred annotations here: SQLModel reads them.)
"""

from datetime import date
from decimal import Decimal

from webapp.store.families import About, Dated, Line, Named, Of, a_day, exact, to_thing


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


class ReviewRow(About, table=True):
    """A material's price was looked at on a day and found still right."""

    answer: str
    reason: str
