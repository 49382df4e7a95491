"""Jars sold a month of many products at once: what is sold, several kept in one change, a pasted list looked at."""

from __future__ import annotations

from starlette.responses import JSONResponse, Response

from webapp.api import acts
from webapp.api.answers import Answer, value
from webapp.api.asking import Asked, AskedNow, TodayNow
from webapp.api.bodies import BodyNow, TermsNow
from webapp.api.interface import Interface
from webapp.api.things import stored
from webapp.costing.amounts import JSON_NOTATION
from webapp.costing.called import Names, known
from webapp.costing.monthly_sales import read_sales
from webapp.costing.pasted_sales import Row, read_sales_sheet
from webapp.costing.rows import Row as LineRow
from webapp.costing.sheets import cut
from webapp.errors import Fault, Unprocessable

router = Interface()


@router.get("/sales", tags=["line"], summary="Jars sold a month", operation_id="list_sales")
def listed(asked: AskedNow) -> Response:
    """Every row of the line with its jars a month, since when; null where it is not known."""
    items = [_row(asked, row) for row in asked.reckoning.line()]
    return JSONResponse({"items": items}, headers={"ETag": asked.whole_tag})


def _row(asked: Asked, row: LineRow) -> Answer:
    held = asked.book.sales.get((row.product, row.channel))
    told = {"product": row.product, "channel": row.channel, "jars": value(row.jars_a_month)}
    return {**told, "since": None if held is None else value(held.since)}


@router.post(
    "/sales",
    tags=["line"],
    summary="Keep jars sold a month of several rows",
    operation_id="keep_sales",
    openapi_extra=acts.taking("monthly_sales"),
)
def keep(asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
    """Keep what differs from what holds, all of it in one change with one undo, or nothing. If-Match is wanted."""
    sent = acts.taken(asked, "monthly_sales", body.data)
    rows = [
        {
            "product": str(one.product),
            "channel": str(one.channel),
            "jars": None if one.jars is None else value(one.jars),
        }
        for one in sent.sales
    ]
    read = read_sales(asked.reckoning, rows, sent.since, JSON_NOTATION, asked.today)
    if read.faults:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in read.faults])
    saved = stored(asked, read.puts, terms, body, "jars sold a month", must_match=True)
    return JSONResponse({"version": saved.version})


@router.post(
    "/sales/reading",
    tags=["line"],
    summary="A pasted list of jars sold a month; nothing is stored",
    operation_id="read_sales_list",
    openapi_extra=acts.taking("pasted_sales"),
)
def look(asked: TodayNow, body: BodyNow) -> Response:
    """Each row with the product, the channel and the jars that are meant, or with what is wrong."""
    sent = acts.taken(asked, "pasted_sales", body.data)
    book = asked.book
    reading = read_sales_sheet(
        cut(sent.text), Names(known(book.products.values())), Names(known(book.channels.values())), sent.sign
    )
    rows = [_read(one) for one in reading.rows]
    return JSONResponse({"good": reading.good, "sign": reading.sign, "fault": reading.fault, "rows": rows})


def _read(row: Row) -> Answer:
    return {
        "line": row.number,
        "product": int(row.product) if row.product else None,
        "channel": int(row.channel) if row.channel else None,
        "jars": row.jars or None,
        "faults": list(row.faults),
    }
