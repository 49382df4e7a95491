"""Why the margin of a product on a channel moved since a day, step by step."""

from __future__ import annotations

from datetime import date
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
from webapp.costing.waterfall import Move, Side, Waterfall, usual_day, waterfall
from webapp.costing.waterfall_working import move_working, words
from webapp.errors import Fault, Unprocessable
from webapp.store.price_histories import histories

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
    since: Annotated[str, Query(max_length=10, description="the day to begin at, YYYY-MM-DD")] = "",
    workings: WithWorkings = False,
) -> Response:
    """From a day to the one that is shown, one kind of fact after another: the steps add up to the whole move.

    Their order: formula, batch and jar, the price of each material, wage, overhead, fees and tax, own price. Of a step
    `profit` is what a jar leaves more for it, `margin` how far the margin moves, as a fraction. `priced_as_now` are
    materials that had no cost then. Where no day is named it begins when the price was accepted. A gap, with the
    reason, where the margin of one of the days is not known.
    """
    asked.thing("product", ident)
    asked.thing("channel", channel)
    day = _day(asked, since) if since else _usual(asked, ident, channel)
    if day is None:
        return JSONResponse(value(Gap("Nothing of it changed before. Name a day with `since`.")))
    found = waterfall(asked.of(day).reckoning, asked.reckoning, ident, channel)
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


def _usual(asked: Asked, product: int, channel: int) -> date | None:
    points = histories(asked.store, asked.snapshot, product, channel).on[channel]
    return usual_day(asked.book, (product, channel), [one.day for one in points])


def _day(asked: Asked, since: str) -> date:
    try:
        day: date = DAY.read(since, JSON_NOTATION)
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
