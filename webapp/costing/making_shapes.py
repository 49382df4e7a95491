"""How what is made is described: formulas, parts that go together, products."""

from __future__ import annotations

from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing.describing import NAME, NOTE, SINCE, Field, Many, Rows, Shape
from webapp.costing.units import FORMULA_UNITS

FORMULA_WORK = Shape(
    b.Work,
    (
        Field("person", lim.Reference("person"), True, "Choose who does it."),
        Field("per_batch", lim.MINUTES),
        Field("per_kg", lim.MINUTES),
    ),
)
PRODUCT_WORK = Shape(b.Work, (*FORMULA_WORK.fields, Field("per_jar", lim.MINUTES)))
FORMULA_LINE = Shape(
    b.FormulaLine,
    (
        Field("material", lim.Reference("material")),
        Field("formula", lim.Reference("formula")),
        Field("amount", lim.QUANTITY),
        Field("unit", lim.Choice(FORMULA_UNITS)),
        Field("rest", lim.FLAG),
        Field("stage", lim.NAME),
    ),
)
FORMULA = Shape(
    b.Formula,
    (
        NAME,
        SINCE,
        Field(
            "lines",
            Rows(FORMULA_LINE, ("material", "formula", "amount"), 1, lim.FORMULA_LINES),
            True,
            "Enter at least one line.",
        ),
        Field("way", lim.Choice(("percent", "grams", "parts"))),
        Field("batch_grams", lim.GRAMS),
        Field("loss", lim.LOSS),
        Field("loss_grams", lim.GRAMS_OR_NONE),
        Field("work", Rows(FORMULA_WORK, ("person", "per_batch", "per_kg"))),
        Field("made_ahead", lim.FLAG),
        Field("density", lim.DENSITY),
        Field("air", lim.AIR),
        Field("pot_grams", lim.GRAMS),
        Field("shelf_months", lim.MONTHS),
        NOTE,
    ),
    ("id",),
)
PART = Shape(
    b.Part,
    (
        Field("material", lim.Reference("material")),
        Field("group", lim.Reference("group")),
        Field("pieces", lim.PIECES),
        Field("spoiled", lim.SPOILED),
    ),
)
GROUP_PART = Shape(
    b.Part,
    (
        Field("material", lim.Reference("material"), True, "Choose the part, or take this line out."),
        Field("pieces", lim.PIECES),
        Field("spoiled", lim.SPOILED),
    ),
)
GROUP = Shape(
    b.PartGroup,
    (NAME, SINCE, Field("parts", Rows(GROUP_PART, ("material",), 1), True, "Enter at least one part."), NOTE),
    ("id",),
)
FILL = Shape(
    b.Fill,
    (
        Field("formula", lim.Reference("formula"), True, "Choose what goes in, or take this line out."),
        Field("declared", lim.QUANTITY, True, "Type what the label declares."),
        Field("unit", lim.Choice(("g", "mL"))),
        Field("overfill", lim.QUANTITY_OR_NONE),
    ),
)
MEMBER = Shape(
    b.Member,
    (
        Field("product", lim.Reference("product"), True, "Choose the product, or take this line out."),
        Field("count", lim.COUNT),
    ),
)
ONE_OFF = Shape(
    b.OneOff,
    (
        Field("name", lim.NAME, True, "Say what it is."),
        Field("amount", lim.MONEY, True, "Type what it costs."),
        Field("jars", lim.COUNT, True, "Type how many jars it is to serve."),
    ),
)
PRODUCT = Shape(
    b.Product,
    (
        NAME,
        SINCE,
        Field("fills", Rows(FILL, ("formula", "declared"))),
        Field("parts", Rows(PART, ("material", "group"))),
        Field("members", Rows(MEMBER, ("product",))),
        Field("work", Rows(PRODUCT_WORK, ("person", "per_batch", "per_kg", "per_jar"))),
        Field("one_offs", Rows(ONE_OFF, ("name", "amount", "jars"))),
        Field("batch_grams", lim.GRAMS),
        Field("loss", lim.LOSS),
        Field("loss_grams", lim.GRAMS_OR_NONE),
        Field("set_aside", lim.COUNT_OR_NONE),
        Field("channels", Many(lim.Reference("channel"))),
        Field("case_jars", lim.COUNT),
        NOTE,
    ),
    ("id",),
)
WEIGHED = Shape(
    b.Weighed,
    (
        Field("material", lim.Reference("material")),
        Field("formula", lim.Reference("formula")),
        Field("planned", lim.GRAMS_OR_NONE),
        Field("grams", lim.GRAMS_OR_NONE, True, "Type what was weighed, or tick that it was as planned."),
    ),
)
FILLED = Shape(
    b.Filled,
    (
        Field("product", lim.Reference("product"), True, "Choose the product, or take this line out."),
        Field("jars", lim.COUNT, True, "Type how many jars were filled."),
    ),
)
SPENT = Shape(
    b.Spent,
    (
        Field("person", lim.Reference("person"), True, "Choose who worked at it."),
        Field("minutes", lim.MINUTES, True, "Type the minutes."),
    ),
)
BATCH = Shape(
    b.MadeBatch,
    (
        Field("day", lim.DAY, True, "Type the day on which it was made."),
        Field("formula", lim.Reference("formula"), True, "Choose the formula."),
        Field(
            "lines",
            Rows(WEIGHED, ("material", "formula", "grams"), 1, lim.FORMULA_LINES),
            True,
            "Weigh in at least one ingredient.",
        ),
        Field("filled", Rows(FILLED, ("jars",), alike=("product",))),
        Field("spent", Rows(SPENT, ("minutes",), alike=("person",))),
        NOTE,
    ),
    ("id",),
)
