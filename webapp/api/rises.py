"""How far each thing that a product pays for on a channel may rise before its target is missed."""

from __future__ import annotations

from typing import Any

from starlette.responses import JSONResponse, Response

from webapp.api import answers
from webapp.api.answers import picked, value
from webapp.api.asking import Asked, AskedNow, ChannelIdent, Ident, WithWorkings
from webapp.api.interface import Interface
from webapp.costing.rises import Rise, name_of, rises, spare, working
from webapp.costing.rows import Row

router = Interface()
RISE = ("kind", "thing", "field", "now", "each", "may_rise", "highest", "share")


@router.get(
    "/products/{ident}/channels/{channel}/room",
    tags=["products"],
    summary="What may still rise",
    operation_id="product_room",
)
def room(asked: AskedNow, ident: Ident, channel: ChannelIdent, workings: WithWorkings = False) -> Response:
    """How far each ingredient, part, wage and fee may rise, all else as it is; the tightest by its `share` first.

    `spare` is what a jar may still cost more; below zero the target is missed already. `thing` is the number of the
    material, the person or the channel, whose fee `field` names. Of shares, `now` and `may_rise` are fractions.
    """
    asked.thing("product", ident)
    asked.thing("channel", channel)
    row = asked.reckoning.row(ident, channel)
    items = [_rise(asked, row, one, workings=workings) for one in rises(asked.reckoning, row)]
    return JSONResponse({"items": items, "spare": value(spare(row))})


def _rise(asked: Asked, row: Row, one: Rise, *, workings: bool) -> dict[str, Any]:
    told = {"name": name_of(asked.reckoning, one), **picked(one, RISE)}
    return {**told, "working": answers.working(working(asked.reckoning, row, one))} if workings else told
