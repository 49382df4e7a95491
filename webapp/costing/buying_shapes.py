"""How what is bought is described: suppliers, materials, orders, quotes."""

from __future__ import annotations

from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing.describing import NAME, NOTE, SINCE, Field, Part, Rows, Shape
from webapp.costing.units import PURCHASE_UNITS

EXCHANGE = Shape(
    b.Exchange,
    (
        Field(
            "way",
            lim.Choice(("home per unit", "units per home", "paid")),
            True,
            "Say how the rate is written.",
        ),
        Field("amount", lim.RATE, True, "Type the rate, or the amount really paid in your own currency."),
    ),
)
SUPPLIER = Shape(b.Supplier, (NAME, Field("currency", lim.CURRENCY, True), Field("url", lim.LINK), NOTE), ("id",))
DENSITY = Shape(
    b.Density,
    (
        SINCE,
        Field("value", lim.DENSITY, True, "Type the density in g/mL."),
        Field("temperature", lim.TEMPERATURE),
        Field("source", lim.SHORT),
    ),
)
STARTING = Shape(
    b.StartingPrice,
    (
        Field("amount", lim.MONEY, True, "Type about what it costs."),
        Field("unit", lim.Choice(PURCHASE_UNITS), True, "Say for how much: a kg, a lb, a piece."),
    ),
)
NATURES = ("", "butter", "oil", "wax", "essential oil", "fragrance", "antioxidant", "water", "other")
MATERIAL = Shape(
    b.Material,
    (
        NAME,
        Field("kind", lim.Choice(("ingredient", "packaging", "bought-in"))),
        Field("nature", lim.Choice(NATURES)),
        Field("inci", lim.NAME),
        Field("also_known_as", lim.SHORT),
        Field("nut", lim.FLAG),
        Field("density", Part(DENSITY, ("value",))),
        Field("drops_per_ml", lim.DROPS),
        Field("piece_grams", lim.GRAMS),
        Field("holds_ml", lim.GRAMS),
        Field("shelf_months", lim.MONTHS),
        Field("starting", Part(STARTING, ("amount",))),
        Field("basis", lim.Choice(("", "latest", "averaged", "dearest"))),
        Field("basis_months", lim.MONTHS),
        Field("quote", lim.Reference("quote")),
        NOTE,
    ),
    ("id",),
)
ORDER_LINE = Shape(
    b.OrderLine,
    (
        Field("material", lim.Reference("material"), True, "Choose what was bought."),
        Field("packs", lim.QUANTITY, True, "Type how many packs."),
        Field("size", lim.QUANTITY, True, "Type how much is in one pack."),
        Field("unit", lim.Choice(PURCHASE_UNITS), True, "Choose the unit of the pack."),
        Field("price", lim.MONEY),
        Field("discount", lim.MONEY),
        Field("discount_in", lim.Choice(("money", "percent"))),
        Field("total", lim.MONEY),
        Field("tax_rate", lim.TAX_RATE),
        Field("tax_included", lim.FLAG),
        Field("arrived", lim.QUANTITY),
        Field("not_priced", lim.Choice(("", "sample", "emergency", "replacement", "credit"))),
    ),
)
CHARGE = Shape(
    b.Charge,
    (
        Field("kind", lim.Choice(("freight", "duty", "handling", "other", "discount", "credit")), True),
        Field("amount", lim.MONEY, True, "Type the amount."),
        Field("money", lim.Choice(("order", "home"))),
        Field("share", lim.Choice(("value", "mass", "equally"))),
        Field("tax_rate", lim.TAX_RATE),
        Field("tax_included", lim.FLAG),
        Field("label", lim.NAME),
    ),
)
ORDER = Shape(
    b.Order,
    (
        Field("supplier", lim.Reference("supplier"), True, "Choose the supplier."),
        Field("day", lim.DAY, True, "Type the day of the order."),
        Field(
            "lines",
            Rows(ORDER_LINE, ("material", "packs", "size", "price", "total"), 1, lim.ORDER_LINES, ("tax_rate",)),
            True,
            "Enter at least one line.",
        ),
        Field("charges", Rows(CHARGE, ("amount",), alike=("tax_rate",))),
        Field("currency", lim.CURRENCY, True),
        Field("exchange", Part(EXCHANGE, ("amount",))),
        Field("tax_total", lim.MONEY),
        Field("invoice_total", lim.MONEY),
        Field("number", lim.NAME),
        NOTE,
    ),
    ("id",),
)
QUOTE = Shape(
    b.Quote,
    (
        Field("material", lim.Reference("material"), True, "Choose the material."),
        Field("supplier", lim.Reference("supplier"), True, "Choose the supplier."),
        SINCE,
        Field("until", lim.DAY, True, "Type the last day on which it holds."),
        Field("size", lim.QUANTITY, True, "Type how much is in one pack."),
        Field("unit", lim.Choice(PURCHASE_UNITS), True),
        Field("price", lim.MONEY, True, "Type the price of one pack."),
        Field("currency", lim.CURRENCY, True),
        Field("exchange", Part(EXCHANGE, ("amount",))),
        NOTE,
    ),
    ("id",),
)
REVIEW = Shape(
    b.Review, (SINCE, Field("answer", lim.Choice(("still right",))), Field("reason", lim.SHORT)), ("material",)
)
