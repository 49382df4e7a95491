"""The lines of an order in full."""

from __future__ import annotations

from starlette.responses import JSONResponse, Response

from webapp.api.answers import working
from webapp.api.asking import AskedNow, Ident
from webapp.api.interface import Interface
from webapp.costing import order_working as opened

router = Interface()


@router.get("/orders/{ident}/working", tags=["orders"], summary="Its lines in full", operation_id="order_working")
def order_working(asked: AskedNow, ident: Ident) -> Response:
    """For each line, the working of its unit cost."""
    asked = asked.holding("order", ident)
    asked.thing("order", ident)
    found = asked.reckoning.landed(ident)
    return JSONResponse({"lines": [working(opened.working(asked.book, line, found)) for line in found.lines]})
