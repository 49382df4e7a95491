"""The product line: one row for each product and channel, and what they add up to a month."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.asking import AskedNow
from webapp.api.things import Paged
from webapp.costing.line import totals

router = APIRouter()


@router.get("/line", tags=["line"], summary="The product line", operation_id="get_line")
def line(asked: AskedNow, window: Paged) -> Response:
    """The rows by product name, with the totals of all of them."""
    rows = asked.reckoning.line()
    names = asked.book.products
    items = [{"product_name": names[row.product].name, **answers.row(asked, row)} for row in window.part(rows)]
    return JSONResponse({**window.told(items, len(rows)), "totals": answers.value(totals(asked.book, rows))})
