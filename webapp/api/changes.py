"""What was changed lately, and taking it back."""

from __future__ import annotations

from starlette.responses import JSONResponse, Response

from webapp.api.answers import history
from webapp.api.asking import AskedNow, TodayNow, VersionNumber
from webapp.api.bodies import NoBody, TermsNow
from webapp.api.describing import ACT
from webapp.api.interface import Interface
from webapp.api.things import PageSize

router = Interface(tags=["changes"])


@router.get("/changes", summary="The newest changes", operation_id="list_changes")
def changes(asked: AskedNow, page_size: PageSize = 50) -> Response:
    """The newest changes of all."""
    return JSONResponse({"items": [history(past) for past in asked.store.changes(page_size)]})


@router.post("/undo/{version}", summary="Undo one change", operation_id="undo", openapi_extra=ACT)
def undo(asked: TodayNow, version: VersionNumber, body: NoBody, terms: TermsNow) -> Response:
    """Take back what one change did; refused, naming the later change, where its rows moved on."""
    saved = asked.store.undo(version, terms.intent("undone", body, must_match=False), asked.today)
    return JSONResponse({"version": saved.version})
