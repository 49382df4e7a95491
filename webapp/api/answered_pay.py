"""The schemas of what is answered about break-even and pay."""

from __future__ import annotations

from collections.abc import Callable

from webapp.api import pay
from webapp.api.answered import components
from webapp.api.schemas import Schema, named
from webapp.api.typed_schemas import NULL, WHOLE, joined, of_fields, several
from webapp.costing.month import Month
from webapp.costing.pay import Moved, Pay, ProductHour


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


def _working(_: str) -> Schema:
    return named("working")


ANSWERS: dict[str, Callable[[str], Schema]] = {
    "get_pay": _pay,
    "pay_working": _working,
}
