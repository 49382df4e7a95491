"""How channels are described, and prices, targets and jars sold on them."""

from __future__ import annotations

from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing.describing import NAME, NOTE, SINCE, Field, Rows, Shape

SELLING_TIME = Shape(
    b.SellingTime,
    (
        Field("person", lim.Reference("person"), True, "Choose who sells."),
        Field("per_order", lim.MINUTES),
        Field("per_day", lim.HOURS),
    ),
)
CHANNEL = Shape(
    b.Channel,
    (
        NAME,
        SINCE,
        Field("kind", lim.Choice(("stall", "web shop", "marketplace", "wholesale", "consignment"))),
        Field("tax", lim.Choice(("in", "added", "none"))),
        Field("tax_rate", lim.TAX_RATE),
        Field("share_paid", lim.FEE),
        Field("share_net", lim.FEE),
        Field("fee", lim.MONEY),
        Field("fee_tax", lim.TAX_RATE),
        Field("jars_per_order", lim.QUANTITY),
        Field("carton", lim.MONEY),
        Field("postage", lim.MONEY),
        Field("postage_charged", lim.MONEY),
        Field("pitch", lim.MONEY),
        Field("jars_a_day", lim.QUANTITY),
        Field("work", Rows(SELLING_TIME, ("person", "per_order", "per_day"))),
        Field("endings", lim.Text(60)),
        Field("step", lim.Number(lim.MONEY.low, lim.MONEY.high, 4, above=True, money=True)),
        Field("target", lim.TARGET),
        Field("stockist_margin", lim.TARGET),
        Field("stockist_tax", lim.TAX_RATE),
        Field("least_order", lim.MONEY),
        Field("list_terms", lim.LINES),
        NOTE,
    ),
    ("id",),
)
PRICE = Shape(
    b.Price,
    (SINCE, Field("amount", lim.MONEY, True, "Type the price."), Field("why", lim.SHORT)),
    ("product", "channel"),
)
TARGET = Shape(b.Target, (SINCE, Field("margin", lim.TARGET)), ("product", "channel"))
SALES = Shape(b.Sales, (SINCE, Field("jars", lim.JARS_A_MONTH)), ("product", "channel"))
