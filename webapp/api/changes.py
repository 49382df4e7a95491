"""What was changed lately, and taking it back."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query
from starlette.responses import JSONResponse, Response

from webapp.api.answers import history, record
from webapp.api.asking import AskedNow, TodayNow, VersionNumber
from webapp.api.bodies import NoBody, TermsNow
from webapp.api.describing import ACT
from webapp.api.interface import Interface
from webapp.api.things import PageSize
from webapp.store.lately import Lately, StoredPrice

router = Interface(tags=["changes"])


@router.get("/changes", summary="The newest changes", operation_id="list_changes")
def changes(
    asked: AskedNow,
    page_size: PageSize = 50,
    before: Annotated[int | None, Query(ge=1, lt=10**18, description="only changes older than this one")] = None,
) -> Response:
    """The newest changes of all, with the prices stored with each and what holds up its undo."""
    return JSONResponse({"items": [_told(one) for one in asked.store.lately(page_size, before)]})


def _told(one: Lately) -> dict[str, Any]:
    held_up_by = one.held_up_by.version if one.held_up_by else None
    about = [{"kind": kind, "id": ident} for kind, ident in one.about]
    prices = [_price(price) for price in one.prices]
    more = {"about": about, "prices": prices, "can_undo": one.can_undo, "held_up_by": held_up_by}
    return {**history(one.past), **more}


def _price(stored: StoredPrice) -> dict[str, Any]:
    price = stored.price
    return {"product": price.product, "channel": price.channel, **record(price), "holds": stored.holds}


@router.post("/undo/{version}", summary="Undo one change", operation_id="undo", openapi_extra=ACT)
def undo(asked: TodayNow, version: VersionNumber, body: NoBody, terms: TermsNow) -> Response:
    """Take back what one change did; refused, naming the later change, where its rows moved on."""
    saved = asked.store.undo(version, terms.intent("undone", body, must_match=False), asked.today)
    return JSONResponse({"version": saved.version})
