"""A price list of a channel, as it holds on a day."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from fastapi import Query
from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.answers import Answer, value
from webapp.api.asking import Asked, AskedNow, ChannelIdent, WithWorkings
from webapp.api.interface import Interface
from webapp.costing.cautions import OF_PRICE_LIST
from webapp.costing.price_list_working import FIGURES, working
from webapp.costing.price_lists import NAME, ORDERS, PER, ListAsked, Listed, price_list
from webapp.errors import Fault, Unprocessable
from webapp.exchange.price_list_sheet import contents

router = Interface()
_PERS = {str(one): one for one in PER}


@router.get(
    "/price-lists/{channel}", tags=["line"], summary="The price list of a channel", operation_id="get_price_list"
)
def get_price_list(
    asked: AskedNow,
    channel: ChannelIdent,
    *,
    order: Annotated[str, Query(description=f"One of: {', '.join(ORDERS)}.")] = NAME,
    suggested: Annotated[bool, Query(description="With suggested prices, marked.")] = False,
    per: Annotated[str, Query(description=f"Unit prices for so many g or mL, one of: {', '.join(_PERS)}.")] = "",
    workings: WithWorkings = False,
) -> Response:
    """What the price list of a channel says on the day of `on`, to the last digit as it is printed.

    Only accepted prices stand on it unless suggested ones are asked for. `left_off` names what is sold there and is not
    on the list, with the reason. `declared` is what the label says; nothing of a set.
    """
    found = asked.thing("channel", channel)
    listing = ListAsked(found.id, _order(order), suggested, _per(per))
    listed = price_list(asked.reckoning, listing)
    book = asked.book
    around = {
        "channel_name": found.name,
        "workshop_name": book.workshop.name,
        "contact": book.workshop.contact,
        "least_order": value(found.least_order),
        "terms": found.list_terms,
        "cautions": list(OF_PRICE_LIST),
    }
    rows = [_row(asked, one, listing, workings=workings) for one in listed.rows]
    return JSONResponse({**value(listed), "rows": rows, **around})


def _order(order: str) -> str:
    if order not in ORDERS:
        raise Unprocessable([Fault("order", "choice", f"Ask for one of: {', '.join(ORDERS)}.")])
    return order


def _per(per: str) -> Decimal | None:
    if per and per not in _PERS:
        raise Unprocessable([Fault("per", "choice", f"Ask for one of: {', '.join(_PERS)}. Leave it out for none.")])
    return _PERS.get(per)


def _row(asked: Asked, one: Listed, listing: ListAsked, *, workings: bool) -> Answer:
    told: Answer = {**value(one), "contents": contents(one, ".")}
    if workings:
        row = asked.reckoning.row(one.product, listing.channel)
        sums = {figure: working(asked.reckoning, row, listing, figure) for figure in FIGURES}
        told["workings"] = {figure: answers.working(found) for figure, found in sums.items() if found is not None}
    return told
