"""The schemas of what is answered about break-even and pay, and about a week's hours."""

from __future__ import annotations

from collections.abc import Callable

from webapp.api import hours, pay
from webapp.api.answered import components
from webapp.api.schemas import Schema, named
from webapp.api.typed_schemas import NULL, WHOLE, exactly, joined, of_fields, several
from webapp.costing.month import Month
from webapp.costing.pay import Moved, Pay, ProductHour
from webapp.costing.ranking import Demand, Filled, Week


def _pay(_: str) -> Schema:
    lacking = joined(components()["gap"], product=WHOLE, channel=WHOLE)
    opened = {"anyOf": [named("working"), NULL]}
    changes = joined(of_fields(Moved, pay.MOVED), ("working",), product=WHOLE, channel=WHOLE, working=opened)
    month = of_fields(Pay, ("overhead", "after", "before", "income", "unsold"))
    return joined(
        month,
        month=of_fields(Month, pay.MONTH),
        lacking=several(lacking),
        products=several(joined(of_fields(ProductHour, pay.HOUR), ("working",), working=opened)),
        changes=several(changes),
    )


def _hours(_: str) -> Schema:
    demand = of_fields(Demand, hours.DEMAND)
    made = joined(of_fields(Filled, hours.MADE), demand=demand)
    lacking = joined(components()["gap"], product=WHOLE, channel=WHOLE)
    week = joined(
        of_fields(Week, hours.WEEK),
        ("workings",),
        ranked=several(made),
        without_hours=several(made),
        losing=several(demand),
        lacking=several(lacking),
        next={"anyOf": [demand, NULL]},
        workings=exactly(dict.fromkeys(hours.SUMS, named("working"))),
    )
    return exactly({"week": {"anyOf": [week, named("gap")]}})


def _working(_: str) -> Schema:
    return named("working")


ANSWERS: dict[str, Callable[[str], Schema]] = {
    "get_pay": _pay,
    "get_hours": _hours,
    "pay_working": _working,
}
