"""What an order would change, before it is stored."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Query
from starlette.responses import JSONResponse, Response

from webapp.api.answers import landed, picked, value, working
from webapp.api.asking import ID_PATTERN, Asked, AskedNow, Ident, TodayNow
from webapp.api.bodies import BodyNow
from webapp.api.describing import body_of
from webapp.api.things import NEW_ID, entered
from webapp.costing import orders
from webapp.costing.book import Book, Order
from webapp.costing.changes import Put, apply, questions
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.errors import Fault, NotFound, Unprocessable

router = APIRouter()
ROW = ("cost", "price", "margin", "reaches", "suggested", "floor")


@router.post(
    "/orders/preview",
    tags=["orders"],
    summary="What an order would change; nothing is stored",
    operation_id="preview_order",
    openapi_extra=body_of("order"),
)
def preview(
    asked: TodayNow,
    body: BodyNow,
    order: Annotated[str | None, Query(pattern=ID_PATTERN, description="an order that is to be changed")] = None,
) -> Response:
    """The order landed, and every material and row that it changes, before and after."""
    ident = int(order) if order else NEW_ID
    if order and ident not in asked.book.orders:
        raise NotFound("There is no such order.")
    record = entered(asked, "order", body.data, {"id": ident})
    after = apply(asked.book, Put(record))
    if not isinstance(after, Book):
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in after])
    return JSONResponse(difference(asked, record, after))


def difference(asked: Asked, record: Order, after: Book) -> dict[str, Any]:
    """What is different in the book after the order."""
    new = Reckoning(after, asked.reckoning)
    asking = [value(one) for one in questions(asked.book, [Put(record)])]
    return {
        "order": landed(orders.landed(after, record)),
        "questions": asking,
        "materials": changed_materials(asked.reckoning, new),
        "rows": changed_rows(asked.reckoning, new),
    }


def changed_materials(old: Reckoning, new: Reckoning) -> list[dict[str, Any]]:
    """Materials whose cost per gram or piece is another one afterwards."""
    found = []
    for ident, material in sorted(new.book.materials.items()):
        was, now = old.material(ident).unit_cost, new.material(ident).unit_cost
        if was != now:
            found.append({"material": ident, "name": material.name, "before": value(was), "after": value(now)})
    return found


def changed_rows(old: Reckoning, new: Reckoning) -> list[dict[str, Any]]:
    """Rows with another cost or suggestion afterwards; those that fall below their target first."""
    before = {(row.product, row.channel): row for row in old.line()}
    pairs = [(before.get((row.product, row.channel)), row) for row in new.line()]
    found = [(was, now) for was, now in pairs if was is None or _differs(was, now)]
    found.sort(key=lambda pair: not falls_below(*pair))
    return [
        {
            "product": now.product,
            "channel": now.channel,
            "falls_below_target": falls_below(was, now),
            "before": picked(was, ROW) if was else None,
            "after": picked(now, ROW),
        }
        for was, now in found
    ]


def _differs(was: Row, now: Row) -> bool:
    return (was.cost, was.suggested, was.margin) != (now.cost, now.suggested, now.margin)


def falls_below(was: Row | None, now: Row) -> bool:
    """Whether the row reached its target before, or was not known to miss it, and misses it now."""
    return now.reaches is False and (was is None or was.reaches is not False)


@router.get("/orders/{ident}/working", tags=["orders"], summary="Its lines in full", operation_id="order_working")
def order_working(asked: AskedNow, ident: Ident) -> Response:
    """For each line, the working of its unit cost."""
    asked.thing("order", ident)
    found = asked.reckoning.landed(ident)
    return JSONResponse({"lines": [working(orders.working(asked.book, line, found)) for line in found.lines]})
