"""How the workshop, its terms, people and monthly bills are described."""

from __future__ import annotations

from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing.describing import NAME, NOTE, SINCE, Field, Part, Shape

WORKSHOP = Shape(
    b.Workshop,
    (
        NAME,
        Field("currency", lim.CURRENCY, True),
        Field("locale", lim.Locale(), True),
        Field("mass_unit", lim.Choice(("kg", "lb"))),
        Field("basis", lim.Choice(("latest", "averaged", "dearest"))),
        Field("basis_months", lim.MONTHS),
        Field("stale_months", lim.MONTHS),
        Field("contact", lim.LINES),
    ),
)
TERMS = Shape(
    b.Terms,
    (
        SINCE,
        Field("registered", lim.FLAG),
        Field("cost", lim.Choice(("full", "direct"))),
        Field("target", lim.TARGET),
        Field("overhead", lim.Choice(("hours", "jars", "left out"))),
        Field("making_hours", lim.Number(lim.HOURS.low, lim.HOURS.high, 4, above=True, beside=("h",))),
        Field("planned_jars", lim.COUNT),
    ),
)
WAGE = Shape(
    b.Wage,
    (
        SINCE,
        Field("per_hour", lim.MONEY, True, "Type what an hour is worth; 0 is an answer."),
        Field("extra", lim.EXTRA),
    ),
)
PERSON = Shape(
    b.Person,
    (NAME, Field("whose", lim.Choice(("own", "hired"))), Field("wage", Part(WAGE, ("per_hour",))), NOTE),
    ("id",),
)
BILL = Shape(b.Bill, (NAME, SINCE, Field("a_month", lim.MONEY, True, "Type what it costs a month."), NOTE), ("id",))
