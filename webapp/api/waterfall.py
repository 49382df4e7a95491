"""Why the margin of a product on a channel moved since a day, step by step."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query
from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.answers import picked, value
from webapp.api.asking import Asked, AskedNow, ChannelIdent, Ident, WithWorkings
from webapp.api.interface import Interface
from webapp.costing.amounts import JSON_NOTATION, Unreadable
from webapp.costing.gaps import Gap
from webapp.costing.limits import DAY
from webapp.costing.waterfall import Move, Side, Waterfall, waterfall
from webapp.costing.waterfall_working import move_working, words
from webapp.errors import Fault, Unprocessable

router = Interface()
SIDE = ("price", "accepted", "net", "fees", "cost", "profit", "margin", "target")
MOVED = ("causes", "profit", "margin")


@router.get(
    "/products/{ident}/channels/{channel}/why",
    tags=["products"],
    summary="Why its margin moved",
    operation_id="why_margin_moved",
)
def why(
    asked: AskedNow,
    ident: Ident,
    channel: ChannelIdent,
    since: Annotated[str, Query(max_length=10, description="The day to begin at, YYYY-MM-DD, before the one shown.")],
    workings: WithWorkings = False,
) -> Response:
    """From a day to the one that is shown, one kind of fact after another: the steps add up to the whole move.

    Their order: formula, batch and jar, the price of each material, wage, overhead, fees and tax, own price. Of a step
    `profit` is what a jar leaves more for it, `margin` how far the margin moves, as a fraction. `priced_as_now` are
    materials that had no cost then. A gap, with the reason, where the margin of one of the days is not known.
    """
    asked.thing("product", ident)
    asked.thing("channel", channel)
    then = asked.of(_day(asked, since))
    found = waterfall(then.reckoning, asked.reckoning, ident, channel)
    if isinstance(found, Gap):
        return JSONResponse(value(found))
    told: dict[str, Any] = {
        "since": value(found.since),
        "day": value(asked.day),
        "then": _side(found.then),
        "now": _side(found.now),
        "moves": [_move(found, one, workings=workings) for one in found.moves],
        **picked(found.whole, ("profit", "margin")),
        "priced_as_now": list(found.priced_as_now),
    }
    return JSONResponse(told)


def _day(asked: Asked, since: str) -> Any:
    try:
        day = DAY.read(since, JSON_NOTATION)
    except Unreadable as unreadable:
        raise Unprocessable([Fault("since", unreadable.code, unreadable.sentence)]) from None
    if day >= asked.day:
        raise Unprocessable([Fault("since", "date-range", f"Choose a day before {asked.day}.")])
    return day


def _side(side: Side) -> dict[str, Any]:
    return picked(side.row, SIDE)


def _move(found: Waterfall, move: Move, *, workings: bool) -> dict[str, Any]:
    told = {"words": words(found.now.known.book, move), **picked(move, MOVED)}
    return {**told, "working": answers.working(move_working(found, move))} if workings else told
