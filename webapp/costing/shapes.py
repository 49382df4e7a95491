"""One description of every record: its fields in order, their kinds, what an empty required one says.

Forms, JSON, seed files, HTML attributes and the documentation of the JSON interface are all made from these.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing.units import FORMULA_UNITS, PURCHASE_UNITS


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a record. `ask` is what an empty required field says."""

    name: str
    kind: lim.Kind | Part | Rows | Many
    required: bool = False
    ask: str = "Fill this in."


@dataclass(frozen=True, slots=True)
class Shape:
    """A record class and its fields; `given` are fields that the caller supplies (the identity)."""

    record: type[Any]
    fields: tuple[Field, ...]
    given: tuple[str, ...] = ()

    def field(self, name: str) -> Field:
        """The field called `name`; KeyError if there is none."""
        for entry in self.fields:
            if entry.name == name:
                return entry
        raise KeyError(name)


@dataclass(frozen=True, slots=True)
class Part:
    """A record inside a record; left out when all of `keys`, and whatever else starts empty, are empty."""

    shape: Shape
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Rows:
    """Lines of a record. A typed row in which `keys` and whatever else starts empty are empty is spare and skipped."""

    shape: Shape
    keys: tuple[str, ...]
    least: int = 0
    most: int = 50


@dataclass(frozen=True, slots=True)
class Many:
    """A list of bare values, such as ticked channels."""

    kind: lim.Reference
    most: int = 50


_SINCE = Field("since", lim.DAY)
_NAME = Field("name", lim.NAME, True, "Give it a name.")
_NOTE = Field("note", lim.NOTE)
_F = Field

EXCHANGE = Shape(
    b.Exchange,
    (
        _F(
            "way",
            lim.Choice(("home per unit", "units per home", "paid")),
            True,
            "Say how the rate is written.",
        ),
        _F("amount", lim.RATE, True, "Type the rate, or the amount really paid in your own currency."),
    ),
)
WORKSHOP = Shape(
    b.Workshop,
    (
        _NAME,
        _F("currency", lim.CURRENCY, True),
        _F("locale", lim.Locale(), True),
        _F("mass_unit", lim.Choice(("kg", "lb"))),
        _F("basis", lim.Choice(("latest", "averaged", "dearest"))),
        _F("basis_months", lim.MONTHS),
        _F("stale_months", lim.MONTHS),
        _F("contact", lim.LINES),
    ),
)
TERMS = Shape(
    b.Terms,
    (
        _SINCE,
        _F("registered", lim.FLAG),
        _F("cost", lim.Choice(("full", "direct"))),
        _F("target", lim.TARGET),
        _F("overhead", lim.Choice(("hours", "jars", "left out"))),
        _F("making_hours", lim.Number(lim.HOURS.low, lim.HOURS.high, 4, above=True, beside=("h",))),
        _F("planned_jars", lim.COUNT),
    ),
)
WAGE = Shape(
    b.Wage,
    (
        _SINCE,
        _F("per_hour", lim.MONEY, True, "Type what an hour is worth; 0 is an answer."),
        _F("extra", lim.EXTRA),
    ),
)
PERSON = Shape(
    b.Person,
    (_NAME, _F("whose", lim.Choice(("own", "hired"))), _F("wage", Part(WAGE, ("per_hour",))), _NOTE),
    ("id",),
)
BILL = Shape(b.Bill, (_NAME, _SINCE, _F("a_month", lim.MONEY, True, "Type what it costs a month."), _NOTE), ("id",))
SUPPLIER = Shape(b.Supplier, (_NAME, _F("currency", lim.CURRENCY, True), _F("url", lim.LINK), _NOTE), ("id",))
DENSITY = Shape(
    b.Density,
    (
        _SINCE,
        _F("value", lim.DENSITY, True, "Type the density in g/mL."),
        _F("temperature", lim.TEMPERATURE),
        _F("source", lim.SHORT),
    ),
)
STARTING = Shape(
    b.StartingPrice,
    (
        _F("amount", lim.MONEY, True, "Type about what it costs."),
        _F("unit", lim.Choice(PURCHASE_UNITS), True, "Say for how much: a kg, a lb, a piece."),
    ),
)
NATURES = ("", "butter", "oil", "wax", "essential oil", "fragrance", "antioxidant", "water", "other")
MATERIAL = Shape(
    b.Material,
    (
        _NAME,
        _F("kind", lim.Choice(("ingredient", "packaging", "bought-in"))),
        _F("nature", lim.Choice(NATURES)),
        _F("inci", lim.NAME),
        _F("also_known_as", lim.SHORT),
        _F("nut", lim.FLAG),
        _F("density", Part(DENSITY, ("value",))),
        _F("drops_per_ml", lim.DROPS),
        _F("piece_grams", lim.GRAMS),
        _F("holds_ml", lim.GRAMS),
        _F("shelf_months", lim.MONTHS),
        _F("starting", Part(STARTING, ("amount",))),
        _F("basis", lim.Choice(("", "latest", "averaged", "dearest"))),
        _F("basis_months", lim.MONTHS),
        _F("quote", lim.Reference("quote")),
        _NOTE,
    ),
    ("id",),
)
ORDER_LINE = Shape(
    b.OrderLine,
    (
        _F("material", lim.Reference("material"), True, "Choose what was bought."),
        _F("packs", lim.QUANTITY, True, "Type how many packs."),
        _F("size", lim.QUANTITY, True, "Type how much is in one pack."),
        _F("unit", lim.Choice(PURCHASE_UNITS), True, "Choose the unit of the pack."),
        _F("price", lim.MONEY),
        _F("discount", lim.MONEY),
        _F("discount_in", lim.Choice(("money", "percent"))),
        _F("total", lim.MONEY),
        _F("tax_rate", lim.TAX_RATE),
        _F("tax_included", lim.FLAG),
        _F("arrived", lim.QUANTITY),
        _F("not_priced", lim.Choice(("", "sample", "emergency", "replacement", "credit"))),
    ),
)
CHARGE = Shape(
    b.Charge,
    (
        _F("kind", lim.Choice(("freight", "duty", "handling", "other", "discount", "credit")), True),
        _F("amount", lim.MONEY, True, "Type the amount."),
        _F("money", lim.Choice(("order", "home"))),
        _F("share", lim.Choice(("value", "mass", "equally"))),
        _F("tax_rate", lim.TAX_RATE),
        _F("tax_included", lim.FLAG),
        _F("label", lim.NAME),
    ),
)
ORDER = Shape(
    b.Order,
    (
        _F("supplier", lim.Reference("supplier"), True, "Choose the supplier."),
        _F("day", lim.DAY, True, "Type the day of the order."),
        _F(
            "lines",
            Rows(ORDER_LINE, ("material", "packs", "size", "price", "total"), 1, lim.ORDER_LINES),
            True,
            "Enter at least one line.",
        ),
        _F("charges", Rows(CHARGE, ("amount",))),
        _F("currency", lim.CURRENCY, True),
        _F("exchange", Part(EXCHANGE, ("amount",))),
        _F("tax_total", lim.MONEY),
        _F("invoice_total", lim.MONEY),
        _F("number", lim.NAME),
        _NOTE,
    ),
    ("id",),
)
QUOTE = Shape(
    b.Quote,
    (
        _F("material", lim.Reference("material"), True, "Choose the material."),
        _F("supplier", lim.Reference("supplier"), True, "Choose the supplier."),
        _SINCE,
        _F("until", lim.DAY, True, "Type the last day on which it holds."),
        _F("size", lim.QUANTITY, True, "Type how much is in one pack."),
        _F("unit", lim.Choice(PURCHASE_UNITS), True),
        _F("price", lim.MONEY, True, "Type the price of one pack."),
        _F("currency", lim.CURRENCY, True),
        _F("exchange", Part(EXCHANGE, ("amount",))),
        _NOTE,
    ),
    ("id",),
)
REVIEW = Shape(b.Review, (_SINCE, _F("answer", lim.Choice(("still right",))), _F("reason", lim.SHORT)), ("material",))
FORMULA_WORK = Shape(
    b.Work,
    (
        _F("person", lim.Reference("person"), True, "Choose who does it."),
        _F("per_batch", lim.MINUTES),
        _F("per_kg", lim.MINUTES),
    ),
)
PRODUCT_WORK = Shape(b.Work, (*FORMULA_WORK.fields, _F("per_jar", lim.MINUTES)))
FORMULA_LINE = Shape(
    b.FormulaLine,
    (
        _F("material", lim.Reference("material")),
        _F("formula", lim.Reference("formula")),
        _F("amount", lim.QUANTITY),
        _F("unit", lim.Choice(FORMULA_UNITS)),
        _F("rest", lim.FLAG),
        _F("stage", lim.NAME),
    ),
)
FORMULA = Shape(
    b.Formula,
    (
        _NAME,
        _SINCE,
        _F(
            "lines",
            Rows(FORMULA_LINE, ("material", "formula", "amount"), 1, lim.FORMULA_LINES),
            True,
            "Enter at least one line.",
        ),
        _F("way", lim.Choice(("percent", "grams", "parts"))),
        _F("batch_grams", lim.GRAMS),
        _F("loss", lim.LOSS),
        _F("loss_grams", lim.GRAMS_OR_NONE),
        _F("work", Rows(FORMULA_WORK, ("person", "per_batch", "per_kg"))),
        _F("made_ahead", lim.FLAG),
        _F("density", lim.DENSITY),
        _F("air", lim.AIR),
        _F("pot_grams", lim.GRAMS),
        _F("shelf_months", lim.MONTHS),
        _NOTE,
    ),
    ("id",),
)
PART = Shape(
    b.Part,
    (
        _F("material", lim.Reference("material")),
        _F("group", lim.Reference("group")),
        _F("pieces", lim.PIECES),
        _F("spoiled", lim.SPOILED),
    ),
)
GROUP_PART = Shape(
    b.Part,
    (
        _F("material", lim.Reference("material"), True, "Choose the part."),
        _F("pieces", lim.PIECES),
        _F("spoiled", lim.SPOILED),
    ),
)
GROUP = Shape(
    b.PartGroup,
    (_NAME, _SINCE, _F("parts", Rows(GROUP_PART, ("material",), 1), True, "Enter at least one part."), _NOTE),
    ("id",),
)
FILL = Shape(
    b.Fill,
    (
        _F("formula", lim.Reference("formula"), True, "Choose what goes in."),
        _F("declared", lim.QUANTITY, True, "Type what the label declares."),
        _F("unit", lim.Choice(("g", "mL"))),
        _F("overfill", lim.QUANTITY_OR_NONE),
    ),
)
MEMBER = Shape(b.Member, (_F("product", lim.Reference("product"), True, "Choose the product."), _F("count", lim.COUNT)))
ONE_OFF = Shape(
    b.OneOff,
    (
        _F("name", lim.NAME, True, "Say what it is."),
        _F("amount", lim.MONEY, True, "Type what it costs."),
        _F("jars", lim.COUNT, True, "Type how many jars it is to serve."),
    ),
)
PRODUCT = Shape(
    b.Product,
    (
        _NAME,
        _SINCE,
        _F("fills", Rows(FILL, ("formula", "declared"))),
        _F("parts", Rows(PART, ("material", "group"))),
        _F("members", Rows(MEMBER, ("product",))),
        _F("work", Rows(PRODUCT_WORK, ("person", "per_batch", "per_kg", "per_jar"))),
        _F("one_offs", Rows(ONE_OFF, ("name", "amount", "jars"))),
        _F("batch_grams", lim.GRAMS),
        _F("loss", lim.LOSS),
        _F("loss_grams", lim.GRAMS_OR_NONE),
        _F("set_aside", lim.COUNT_OR_NONE),
        _F("channels", Many(lim.Reference("channel"))),
        _F("case_jars", lim.COUNT),
        _NOTE,
    ),
    ("id",),
)
SELLING_TIME = Shape(
    b.SellingTime,
    (
        _F("person", lim.Reference("person"), True, "Choose who sells."),
        _F("per_order", lim.MINUTES),
        _F("per_day", lim.HOURS),
    ),
)
CHANNEL = Shape(
    b.Channel,
    (
        _NAME,
        _SINCE,
        _F("kind", lim.Choice(("stall", "web shop", "marketplace", "wholesale", "consignment"))),
        _F("tax", lim.Choice(("in", "added", "none"))),
        _F("tax_rate", lim.TAX_RATE),
        _F("share_paid", lim.FEE),
        _F("share_net", lim.FEE),
        _F("fee", lim.MONEY),
        _F("fee_tax", lim.TAX_RATE),
        _F("jars_per_order", lim.QUANTITY),
        _F("carton", lim.MONEY),
        _F("postage", lim.MONEY),
        _F("postage_charged", lim.MONEY),
        _F("pitch", lim.MONEY),
        _F("jars_a_day", lim.QUANTITY),
        _F("work", Rows(SELLING_TIME, ("person", "per_order", "per_day"))),
        _F("endings", lim.Text(60)),
        _F("step", lim.Number(lim.MONEY.low, lim.MONEY.high, 4, above=True, money=True)),
        _F("target", lim.TARGET),
        _F("stockist_margin", lim.TARGET),
        _F("stockist_tax", lim.TAX_RATE),
        _F("least_order", lim.MONEY),
        _F("list_terms", lim.LINES),
        _NOTE,
    ),
    ("id",),
)
PRICE = Shape(
    b.Price,
    (_SINCE, _F("amount", lim.MONEY, True, "Type the price."), _F("why", lim.SHORT)),
    ("product", "channel"),
)
TARGET = Shape(b.Target, (_SINCE, _F("margin", lim.TARGET)), ("product", "channel"))
SALES = Shape(b.Sales, (_SINCE, _F("jars", lim.JARS_A_MONTH)), ("product", "channel"))

#: kind -> shape, by the same words as book.KINDS
SHAPES: dict[str, Shape] = {
    "workshop": WORKSHOP,
    "terms": TERMS,
    "person": PERSON,
    "bill": BILL,
    "supplier": SUPPLIER,
    "material": MATERIAL,
    "order": ORDER,
    "quote": QUOTE,
    "formula": FORMULA,
    "group": GROUP,
    "product": PRODUCT,
    "channel": CHANNEL,
    "price": PRICE,
    "target": TARGET,
    "sales": SALES,
    "review": REVIEW,
}
