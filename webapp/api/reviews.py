"""What a material costs was looked at again and found still right: a dated answer that changes no cost."""

from __future__ import annotations

from typing import Any

from starlette.responses import JSONResponse, Response

from webapp.api import answers, examples, schemas
from webapp.api.asking import Asked, AskedNow, Ident, TodayNow
from webapp.api.bodies import BodyNow, TermsNow
from webapp.api.describing import body_of, described_body
from webapp.api.interface import Interface
from webapp.api.products import since_of
from webapp.api.things import entered, stored
from webapp.costing.changes import Put, Withdraw
from webapp.errors import NotFound

router = Interface()
KIND = "review"
PATH = "/materials/{ident}/review"


def dated(asked: Asked, material: int) -> tuple[Any, ...]:
    """Every review of the material that is kept, newest first. NotFound where there is no such material."""
    asked.thing("material", material)
    return asked.store.facts(KIND, material)


def told(asked: Asked, material: int) -> Response:
    """The newest review, with all of them, and its ETag."""
    kept = [answers.record(one) for one in dated(asked, material)]
    held = asked.book.reviews.get(material)
    now = answers.record(held) if held else None
    return JSONResponse({"now": now, "dated": kept}, headers={"ETag": asked.tag(KIND, material)})


@router.get(PATH, tags=["materials"], summary="When its price was found still right", operation_id="get_review")
def look(asked: AskedNow, ident: Ident) -> Response:
    """The newest review of its price and those before."""
    return told(asked, ident)


@router.get(f"{PATH}/history", tags=["materials"], summary="The history of its reviews", operation_id="history_review")
def look_back(asked: AskedNow, ident: Ident) -> Response:
    """Every change of them, newest first."""
    asked.thing("material", ident)
    return JSONResponse({"items": [answers.history(one) for one in asked.store.history(KIND, ident)]})


@router.put(
    PATH,
    tags=["materials"],
    summary="Its price is still right",
    operation_id="set_review",
    openapi_extra=body_of(KIND),
)
def put(asked: TodayNow, ident: Ident, body: BodyNow, terms: TermsNow) -> Response:
    """Say that its price is still right: from that day on it is not old. No cost changes. If-Match is wanted."""
    asked.thing("material", ident)
    record = entered(asked, KIND, body.data, {"material": ident})
    stored(asked, [Put(record)], terms, body, "price found still right", must_match=True)
    return told(asked.now(), ident)


@router.post(
    f"{PATH}/withdraw",
    tags=["materials"],
    summary="Take back the review of one day",
    operation_id="withdraw_review",
    openapi_extra=described_body(schemas.named("since"), examples.WITHDRAW),
)
def take_back(asked: TodayNow, ident: Ident, body: BodyNow, terms: TermsNow) -> Response:
    """Take back what was said on one day; the review before it holds again."""
    since = since_of(asked, body.data)
    kept = dated(asked, ident)
    if not terms.key and all(one.since != since for one in kept):  # with a key it may be gone by the first sending
        raise NotFound("There is no review of that day to take back.")
    stored(asked, [Withdraw(KIND, ident, since)], terms, body, "review taken back", must_match=True)
    return told(asked.now(), ident)
