"""The schemas of what is answered about break-even and pay, a week's hours and jars sold a month."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from webapp.api import hours, pay
from webapp.api.answered import components
from webapp.api.schemas import Schema, named
from webapp.api.typed_schemas import NULL, TEXT, WHOLE, exactly, items, joined, of_fields, of_type, several
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


def _sales(_: str) -> Schema:
    since: Schema = {"anyOf": [of_type(date), NULL]}
    return items(exactly({"product": WHOLE, "channel": WHOLE, "jars": of_type(Decimal | None), "since": since}))


def _read_sales(_: str) -> Schema:
    number: Schema = {"anyOf": [WHOLE, NULL]}
    text: Schema = {"anyOf": [TEXT, NULL]}
    row = exactly({"line": WHOLE, "product": number, "channel": number, "jars": text, "faults": several(TEXT)})
    return exactly({"good": of_type(bool), "sign": TEXT, "fault": TEXT, "rows": several(row)})


def _kept(_: str) -> Schema:
    return exactly({"version": WHOLE})


def _working(_: str) -> Schema:
    return named("working")


ANSWERS: dict[str, Callable[[str], Schema]] = {
    "get_pay": _pay,
    "get_hours": _hours,
    "list_sales": _sales,
    "keep_sales": _kept,
    "read_sales_list": _read_sales,
    "pay_working": _working,
}
