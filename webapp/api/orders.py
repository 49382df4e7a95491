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
from webapp.costing.difference import moved_materials, moved_rows
from webapp.costing.reckoning import Reckoning
from webapp.errors import Fault, Unprocessable

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
    if order:
        asked.holding("order", ident).thing("order", ident)
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
    return [
        {
            "material": moved.material,
            "name": new.book.materials[moved.material].name,
            "before": value(moved.before.unit_cost) if moved.before else None,
            "after": value(moved.after.unit_cost),
        }
        for moved in moved_materials(old, new)
    ]


def changed_rows(old: Reckoning, new: Reckoning) -> list[dict[str, Any]]:
    """Rows with another cost or suggestion afterwards; those that fall below their target first."""
    return [
        {
            "product": moved.after.product,
            "channel": moved.after.channel,
            "falls_below_target": moved.falls_below,
            "before": picked(moved.before, ROW) if moved.before else None,
            "after": picked(moved.after, ROW),
        }
        for moved in moved_rows(old, new)
    ]


@router.get("/orders/{ident}/working", tags=["orders"], summary="Its lines in full", operation_id="order_working")
def order_working(asked: AskedNow, ident: Ident) -> Response:
    """For each line, the working of its unit cost."""
    asked = asked.holding("order", ident)
    asked.thing("order", ident)
    found = asked.reckoning.landed(ident)
    return JSONResponse({"lines": [working(orders.working(asked.book, line, found)) for line in found.lines]})
