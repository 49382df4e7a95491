"""Break-even and pay: what a month has to sell, what an hour pays, what a price change may cost in jars."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from decimal import Decimal
from functools import partial
from typing import Annotated

from fastapi import Depends, Query
from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.answers import Answer, picked, value
from webapp.api.asking import Asked, AskedNow, WithWorkings
from webapp.api.interface import Interface
from webapp.costing.amounts import JSON_NOTATION, Unreadable
from webapp.costing.limits import MONEY, PRICE_CHANGE, Number
from webapp.costing.pay import Moved, Pay, ProductHour, moved, pay, sold_rows
from webapp.costing.pay_working import hour_working, move_working, working
from webapp.costing.working import Working
from webapp.errors import Fault, NotFound, Unprocessable

router = Interface()
MONTH = ("own_hours", "for_hours", "an_hour")
HOUR = ("product", "jars", "contribution", "bills", "own_hours", "an_hour")
MOVED = ("price", "contribution", "change", "outcome")
LONGEST = 40
_INCOME = Query(max_length=LONGEST, description="Wanted for oneself a month, in home currency, before own pay.")
_BY = Query(max_length=LONGEST, description="Every marked price changed by so many percent; below 0 for a discount.")


def read(name: str, kind: Number, text: str) -> Decimal | None:
    """An amount in the address; None where nothing is asked. Unprocessable where it is none."""
    try:
        return kind.read(text, JSON_NOTATION) if text else None
    except Unreadable as unreadable:
        raise Unprocessable([Fault(name, unreadable.code, unreadable.sentence)]) from None


async def _income_now(income: Annotated[str, _INCOME] = "") -> Decimal | None:
    return read("income", MONEY, income)


async def _by_now(by: Annotated[str, _BY] = "") -> Decimal | None:
    return read("by", PRICE_CHANGE, by)


IncomeNow = Annotated[Decimal | None, Depends(_income_now)]
ByNow = Annotated[Decimal | None, Depends(_by_now)]


@router.get("/pay", tags=["line"], summary="Break-even and pay", operation_id="get_pay")
def get_pay(asked: AskedNow, income: IncomeNow, by: ByNow, workings: WithWorkings = False) -> Response:
    """A month of what is sold: `after` own pay as a cost, and `before` it; what has to be sold for an `income`.

    A row that sells and is missing makes the month missing and is in `lacking`. `products` say what an own hour pays
    in each; `changes` what a price change means for its jars: a rise may lose the share of them, a cut needs it beside.
    Jars are rounded up per product, all else is unrounded. Workings end at the figures of a jar, which have their own.
    """
    found = pay(asked.reckoning, income)
    known, rows = asked.reckoning, sold_rows(asked.reckoning)
    told: Answer = {
        **picked(found, ("overhead", "after", "before", "income", "unsold")),
        "month": picked(found.month, MONTH),
        "lacking": [{"product": row.product, "channel": row.channel, **value(gap)} for row, gap in found.lacking],
        "products": [
            {**picked(one, HOUR), **_opened(partial(_hour, asked, found, one), workings)} for one in found.hours
        ],
        "changes": [_moved(asked, one, workings) for one in (() if by is None else moved(known, rows, by))],
    }
    return JSONResponse(told)


def _hour(asked: Asked, found: Pay, one: ProductHour) -> Working:
    return hour_working(asked.reckoning, found, one.product, deep=False)


def _moved(asked: Asked, one: Moved, workings: bool) -> Answer:
    told = {"product": one.row.product, "channel": one.row.channel, **picked(one, MOVED)}
    return {**told, **_opened(partial(move_working, asked.reckoning, one, deep=False), workings)}


def _opened(make: Callable[[], Working], wanted: bool) -> Answer:
    """The sum where it is wanted; None where there is no such figure."""
    if not wanted:
        return {}
    with suppress(KeyError):
        return {"working": answers.working(make())}
    return {"working": None}


@router.get(
    "/pay/workings/{way}/{figure}", tags=["line"], summary="How a figure came about", operation_id="pay_working"
)
def pay_working(asked: AskedNow, way: str, figure: str, income: IncomeNow) -> Response:
    """The sum behind a figure of the month: `way` is after, before or income, `figure` one of those of the month.

    These are overhead, net_sales, contribution, jars, net_sales_needed, times, safety_jars, safety_net_sales,
    safety_share, leverage and an_hour; of an income jars, net_sales_needed and times.
    """
    try:
        found = working(asked.reckoning, pay(asked.reckoning, income), figure, way)
    except KeyError:
        raise NotFound("There is no such figure.") from None
    return JSONResponse(answers.working(found))
