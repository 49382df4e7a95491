"""The lines of an order in full, and the orders that were taken back."""

from __future__ import annotations

from starlette.responses import JSONResponse, Response

from webapp.api.answers import history, record, working
from webapp.api.asking import AskedNow, Ident
from webapp.api.interface import Interface
from webapp.api.things import PageSize
from webapp.costing import order_working as opened

router = Interface()


@router.get(
    "/orders/taken-back", tags=["orders"], summary="Orders that were taken back", operation_id="orders_taken_back"
)
def orders_taken_back(asked: AskedNow, page_size: PageSize = 50) -> Response:
    """Each as it was last with every change of it, the newest first; the one that was taken back last stands first."""
    gone = asked.store.gone("order", page_size)
    items = [{"order": record(one.record), "history": [history(past) for past in one.past]} for one in gone]
    return JSONResponse({"items": items})


@router.get("/orders/{ident}/working", tags=["orders"], summary="Its lines in full", operation_id="order_working")
def order_working(asked: AskedNow, ident: Ident) -> Response:
    """For each line, the working of its unit cost."""
    asked = asked.holding("order", ident)
    asked.thing("order", ident)
    found = asked.reckoning.landed(ident)
    return JSONResponse({"lines": [working(opened.working(asked.book, line, found)) for line in found.lines]})
