"""The product line: one row for each product and channel, and what they add up to a month."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.asking import AskedNow
from webapp.api.things import Page, PageSize
from webapp.costing.line import totals

router = APIRouter()


@router.get("/line", tags=["line"], summary="The product line", operation_id="get_line")
def line(asked: AskedNow, page: Page = 1, page_size: PageSize = 200) -> Response:
    """The rows by product name, with the totals of all of them."""
    rows = asked.reckoning.line()
    shown = rows[(page - 1) * page_size : page * page_size]
    return JSONResponse(
        {
            "items": [{"product_name": asked.book.products[row.product].name, **answers.row(row)} for row in shown],
            "page": page,
            "page_size": page_size,
            "total": len(rows),
            "totals": answers.value(totals(asked.book, rows)),
        }
    )
