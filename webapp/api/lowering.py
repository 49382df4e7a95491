"""What would lower the cost of a product on a channel, and what a jar costs by the size of its batch."""

from __future__ import annotations

from typing import Any

from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.answers import picked, value
from webapp.api.asking import AskedNow, ChannelIdent, Ident, WithWorkings
from webapp.api.interface import Interface
from webapp.costing.batch_sizes import Size, batch_sizes
from webapp.costing.gaps import Gap
from webapp.costing.lowering import lowerings, working

router = Interface()
PAIR = "/products/{ident}/channels/{channel}"
LOWERING = ("kind", "thing", "now", "then", "other", "holder", "offer", "tax", "gain", "month")
SIZE = ("grams", "jars", "left_grams", "cost", "fewest")


@router.get(f"{PAIR}/lower", tags=["products"], summary="What would lower its cost", operation_id="product_lower")
def lower(asked: AskedNow, ident: Ident, channel: ChannelIdent, workings: WithWorkings = False) -> Response:
    """Each change that the book offers, by itself, what gains most a jar first; none where the cost is not known.

    Of an "overfill", jars "set aside" and a "batch" (of the formula `thing`, or of the product `holder`) `now` and
    `then` are amounts; of a "cheaper pack" and an "other jar" (`other`, in the group `holder`) they are unit costs.
    `gain` is what a jar costs less, `month` that of all jars of whatever it touches. To do it, send it as a what-if.
    """
    asked.thing("product", ident)
    asked.thing("channel", channel)
    known = asked.reckoning
    row = known.row(ident, channel)
    items: list[dict[str, Any]] = []
    for one in lowerings(known, row):
        told = picked(one, LOWERING)
        items.append({**told, "working": answers.working(working(known, row, one))} if workings else told)
    return JSONResponse({"items": items, "cost": value(row.cost)})


@router.get(
    f"{PAIR}/batches", tags=["products"], summary="Its cost by the size of its batch", operation_id="product_batches"
)
def batches(asked: AskedNow, ident: Ident, channel: ChannelIdent) -> Response:
    """What a jar costs in batches of other sizes, up to the pot's or three of now; a gap where it has no batch.

    Of each step `fewest` is its cheapest end: no smaller batch fills as many jars. `left_grams` fill no jar.
    """
    asked.thing("product", ident)
    asked.thing("channel", channel)
    found = batch_sizes(asked.reckoning, ident, channel)
    if isinstance(found, Gap):
        return JSONResponse(value(found))
    told = {
        "present": _size(found.present),
        "sizes": [_size(one) for one in found.sizes],
        "steps": [_size(one) for one in found.steps],
        "cheapest": _size(found.cheapest),
        **picked(found, ("most", "pot", "thinned")),
    }
    return JSONResponse(told)


def _size(one: Size) -> dict[str, Any]:
    return picked(one, SIZE)
