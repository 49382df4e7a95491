"""The product line: one row for each product and channel, and what they add up to a month."""

from __future__ import annotations

from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.asking import AskedNow, WithWorkings
from webapp.api.interface import Interface
from webapp.api.things import Paged
from webapp.costing.line import known_totals, left_out
from webapp.errors import Fault, Unprocessable

router = Interface()
#: all workings of one row may be half a megabyte
MOST_WITH_WORKINGS = 10


@router.get("/line", tags=["line"], summary="The product line", operation_id="get_line")
def line(asked: AskedNow, window: Paged, workings: WithWorkings = False) -> Response:
    """The rows by product name, with the totals of all of them.

    A row that sells and can't be worked out makes `totals` missing, by its name. `left_out` names all such rows with
    their reason, and `known_totals` are the totals of the others.
    """
    if workings and window.size > MOST_WITH_WORKINGS:
        sentence = f"With workings ask for at most {MOST_WITH_WORKINGS} rows on a page, or for a figure's own address."
        raise Unprocessable([Fault("page_size", "too-many", sentence)])
    rows = asked.reckoning.line()
    names = asked.book.products
    items = [
        {"product_name": names[row.product].name, **answers.row(asked, row, workings=workings)}
        for row in window.part(rows)
    ]
    lacking = [{"product": row.product, "channel": row.channel, **answers.value(gap)} for row, gap in left_out(rows)]
    summed, known = asked.reckoning.totals, known_totals(asked.book, rows)
    told = {"totals": answers.value(summed), "known_totals": answers.value(known), "left_out": lacking}
    return JSONResponse({**window.told(items, len(rows)), **told})
