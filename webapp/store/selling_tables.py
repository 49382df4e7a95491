"""The tables of channels, and of prices, targets and jars sold on them.

Amounts are as typed; grams and costs are never stored. (No deferred annotations here: SQLModel reads them.)
"""

from decimal import Decimal

from webapp.store.families import Dated, DatedLine, Named, Pair, exact, to_thing


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


class TargetRow(Pair, table=True):
    """A target margin of one product on one channel."""

    margin: Decimal | None = exact()


class SalesRow(Pair, table=True):
    """Jars sold a month."""

    jars: Decimal | None = exact()
