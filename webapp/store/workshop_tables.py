"""The tables of the workshop itself: its terms, people and bills.

Amounts are as typed; grams and costs are never stored. (No deferred annotations here: SQLModel reads them.)
"""

from decimal import Decimal

from webapp.store.families import Dated, Named, Of, exact


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
