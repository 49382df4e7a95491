"""The tables of what is made: formulas, parts that go together, products.

Amounts are as typed; grams and costs are never stored. (No deferred annotations here: SQLModel reads them.)
"""

from datetime import date
from decimal import Decimal

from webapp.store.families import Dated, DatedLine, Line, Named, Of, a_day, exact, to_thing


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


class BatchRow(Of, table=True):
    """A batch that was made."""

    day: date = a_day()
    formula: int = to_thing()
    note: str


class BatchWeighedRow(Line, table=True):
    """A line of a batch that was made."""

    material: int | None = to_thing()
    formula: int | None = to_thing()
    planned: Decimal = exact()
    grams: Decimal = exact()


class BatchFilledRow(Line, table=True):
    """Good jars that a batch filled."""

    product: int = to_thing()
    jars: Decimal = exact()


class BatchSpentRow(Line, table=True):
    """Minutes of a person at a batch that was made."""

    person: int = to_thing()
    minutes: Decimal = exact()
