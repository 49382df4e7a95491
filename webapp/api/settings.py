"""The two single records: the workshop, and how it reckons."""

from __future__ import annotations

from starlette.responses import JSONResponse, Response

from webapp.api.answers import history, record, value
from webapp.api.asking import Asked, AskedNow, TodayNow
from webapp.api.bodies import BodyNow, TermsNow
from webapp.api.describing import body_of
from webapp.api.interface import Interface
from webapp.api.things import entered, stored
from webapp.costing.book import WORKSHOP_ID
from webapp.costing.changes import Put

router = Interface()


def single(asked: Asked, kind: str) -> Response:
    """One of the two records, with its dated facts."""
    dated = [record(one) for one in asked.store.facts(kind, WORKSHOP_ID)] if kind == "terms" else []
    told = {**record(getattr(asked.book, kind)), "dated": dated, "overhead_a_month": value(asked.reckoning.overhead)}
    return JSONResponse(told, headers={"ETag": asked.tag(kind, WORKSHOP_ID)})


def add_single(kind: str) -> None:
    """The routes of one of them."""

    @router.get(f"/settings/{kind}", tags=["settings"], summary=f"The {kind}", operation_id=f"get_{kind}")
    def look(asked: AskedNow) -> Response:
        return single(asked, kind)

    @router.get(f"/settings/{kind}/history", tags=["settings"], summary="Its history", operation_id=f"history_{kind}")
    def look_back(asked: AskedNow) -> Response:
        return JSONResponse({"items": [history(one) for one in asked.store.history(kind, WORKSHOP_ID)]})

    @router.put(
        f"/settings/{kind}",
        tags=["settings"],
        summary=f"Change the {kind}",
        operation_id=f"change_{kind}",
        openapi_extra=body_of(kind),
    )
    def change(asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
        entry = entered(asked, kind, body.data, {})
        stored(asked, [Put(entry)], terms, body, f"{kind} saved", must_match=True)
        return single(asked.now(), kind)


for _kind in ("workshop", "terms"):
    add_single(_kind)
