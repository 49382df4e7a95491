"""Which packs to buy: the cheapest plans for what is needed, with what the book adds. Nothing is stored."""

from __future__ import annotations

from typing import Any

from starlette.responses import JSONResponse, Response

from webapp.api import acts, answers
from webapp.api.answers import Answer, picked, value
from webapp.api.asking import Asked, TodayNow
from webapp.api.bodies import BodyNow
from webapp.api.interface import Interface
from webapp.costing.entry import show
from webapp.costing.gaps import Gap
from webapp.costing.pack_asking import FREIGHT, OFFER, Taken, answered
from webapp.costing.pack_facts import Bought, Line, Plan
from webapp.costing.pack_named import asked_by_name
from webapp.costing.pack_working import total_working, used_working
from webapp.errors import Fault, Unprocessable

router = Interface()
PLAN = ("total", "goods", "freight")
ORDER = ("supplier", "goods", "freight", "spared", "total")
BOUGHT = "amount goods freight cost left lasts left_lasts used spoils per_bought per_used".split()
OFFERED = ("material", "supplier", "size", "unit")
LINE = ("packs", "price", "cost")
SOURCE = ("day", "stale", "tax", "source")


@router.post(
    "/packs",
    tags=["materials"],
    summary="Which packs to buy; nothing is stored",
    operation_id="find_packs",
    openapi_extra=acts.taking("packs"),
)
def find_packs(asked: TodayNow, body: BodyNow) -> Response:
    """The cheapest whole packs over suppliers, price breaks and freight, and the next best plans.

    A material is named by its number or by any of its names, as on the pages: a part of one is enough where only one
    material has it, and what may have been meant is said at its field. Offers of a material, and the freight of a
    supplier, are those of the book where none are sent. `prices_of` says of each offer how old the book's price is;
    null of one that the book doesn't have at that price.
    """
    read = asked_by_name(asked.reckoning, body.data, asked.today)
    found = read.taken
    if found is None:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in read.faults])
    answer = answered(asked.reckoning, found)
    told: Answer = {"plans": value(answer), "complete": True}
    if not isinstance(answer, Gap):
        told = {"plans": [plan(asked, found, one) for one in answer.plans], "complete": answer.complete}
    return JSONResponse(
        {
            **told,
            "left_out": value(found.left_out),
            "offers": [show(OFFER, one) for one in found.typed],
            "prices_of": [None if one is None else picked(one, SOURCE) for one in found.sources],
            "freights": [show(FREIGHT, one) for one in found.freights],
        }
    )


def plan(asked: Asked, found: Taken, one: Plan) -> Answer:
    """One plan: its lines, its orders, what becomes of each material, and the sum."""
    return {
        **picked(one, PLAN),
        "lines": [line(found, each) for each in one.lines],
        "orders": [picked(each, ORDER) for each in one.orders],
        "bought": [bought(asked, each) for each in one.bought],
        "working": answers.working(total_working(asked.book, found.typed, one)),
    }


def line(found: Taken, one: Line) -> dict[str, Any]:
    """So many packs of an offer."""
    return {**picked(found.typed[one.place], OFFERED), **picked(one, LINE)}


def bought(asked: Asked, one: Bought) -> dict[str, Any]:
    """One material: what is needed, bought, left over and used, and the sum behind what the used costs."""
    need = {"material": one.need.material, "needed": value(one.need.amount), "at_once": value(one.need.at_once)}
    use = {"a_month": value(one.need.a_month), "months": value(one.need.months)}
    return {**need, **use, **picked(one, BOUGHT), "working": answers.working(used_working(asked.book, one))}
