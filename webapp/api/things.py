"""Things of every kind by the same routes: list, look, enter, change, put away, bring back, history, undo."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Query
from starlette.responses import JSONResponse, Response

from webapp.api import examples, schemas
from webapp.api.answers import history, with_figures
from webapp.api.asking import STEMS, Asked, AskedNow, Ident, TodayNow, VersionNumber
from webapp.api.bodies import BodyNow, NoBody, Sent, Terms, TermsNow
from webapp.costing import limits
from webapp.costing.changes import Change, Put, Restore, Retire, Withdraw
from webapp.costing.entry import read
from webapp.costing.shapes import SHAPES
from webapp.errors import Fault, Unprocessable
from webapp.store.writing import Saved

router = APIRouter()
NEW_ID = -1
PAGE_SIZE = 200
WITHDRAWN = ("order", "quote")

Page = Annotated[int, Query(ge=1, le=1_000_000, description="which page, from 1")]
PageSize = Annotated[int, Query(ge=1, le=PAGE_SIZE, description="how many on a page")]
Search = Annotated[str, Query(max_length=limits.NAME_LENGTH, description="words in the name, in any case")]


def body_of(kind: str) -> dict[str, Any]:
    """The documentation of a body: its schema and an example."""
    content = {"schema": schemas.named(kind), "example": examples.documented(kind)}
    return {"requestBody": {"required": True, "content": {"application/json": content}}}


def entered(asked: Asked, kind: str, data: Any, given: dict[str, Any]) -> Any:
    """The record that was sent. Unprocessable with every fault of it."""
    entry = read(SHAPES[kind], data, today=asked.today, given=given)
    if entry.record is None:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in entry.faults])
    return entry.record


def stored(asked: Asked, changes: Sequence[Change], terms: Terms, sent: Sent, said: str, *, must_match: bool) -> Saved:
    """Store changes under the headers that came with them."""
    return asked.store.save(changes, terms.intent(said, sent, must_match=must_match), asked.today)


def again(asked: Asked) -> Asked:
    """The same, after a change."""
    return Asked(asked.store, asked.store.snapshot(asked.day), asked.today, asked.day)


def one(asked: Asked, kind: str, ident: int, status: int = 200) -> Response:
    """A record with its figures and its ETag."""
    headers = {"ETag": asked.tag(kind, ident)}
    return JSONResponse(with_figures(asked, kind, asked.thing(kind, ident)), status, headers=headers)


def listed(asked: Asked, kind: str, page: int, page_size: int, search: str, *, retired: bool) -> dict[str, Any]:
    """A page of the things of a kind, by number."""
    words = limits.name_key(search)
    kept = [
        thing
        for _, thing in sorted(asked.shelf(kind).items())
        if words in limits.name_key(getattr(thing, "name", "")) and (getattr(thing, "retired", None) is None or retired)
    ]
    shown = kept[(page - 1) * page_size : page * page_size]
    items = [{**with_figures(asked, kind, thing), "etag": asked.tag(kind, thing.id)} for thing in shown]
    return {"items": items, "page": page, "page_size": page_size, "total": len(kept)}


def add_kind(stem: str, kind: str) -> None:
    """The routes of one kind."""
    _add_looking(stem, kind)
    _add_changing(stem, kind)
    if kind in WITHDRAWN:
        _add_act(stem, kind, "withdraw", lambda _, ident: Withdraw(kind, ident))
    else:
        _add_act(stem, kind, "retire", lambda asked, ident: Retire(kind, ident, asked.today))
        _add_act(stem, kind, "restore", lambda _, ident: Restore(kind, ident))


def _add_looking(stem: str, kind: str) -> None:
    @router.get(f"/{stem}", tags=[stem], summary=f"List {stem}", operation_id=f"list_{stem}")
    def look_through(
        asked: AskedNow, page: Page = 1, page_size: PageSize = 50, search: Search = "", retired: bool = False
    ) -> Response:
        return JSONResponse(listed(asked, kind, page, page_size, search, retired=retired))

    @router.get(f"/{stem}/{{ident}}", tags=[stem], summary=f"One of {stem}", operation_id=f"get_{kind}")
    def look(asked: AskedNow, ident: Ident) -> Response:
        return one(asked, kind, ident)

    @router.get(f"/{stem}/{{ident}}/history", tags=[stem], summary="Its history", operation_id=f"history_{kind}")
    def look_back(asked: AskedNow, ident: Ident) -> Response:
        asked.thing(kind, ident)
        return JSONResponse({"items": [history(past) for past in asked.store.history(kind, ident)]})


def _add_changing(stem: str, kind: str) -> None:
    @router.post(
        f"/{stem}",
        tags=[stem],
        summary=f"Enter one of {stem}",
        status_code=201,
        operation_id=f"create_{kind}",
        openapi_extra=body_of(kind),
    )
    def enter(asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
        record = entered(asked, kind, body.data, {"id": NEW_ID})
        saved = stored(asked, [Put(record)], terms, body, f"{kind} saved", must_match=False)
        answer = one(again(asked), kind, saved.real(NEW_ID), 201)
        answer.headers["Location"] = f"/api/{stem}/{saved.real(NEW_ID)}"
        return answer

    @router.put(
        f"/{stem}/{{ident}}",
        tags=[stem],
        summary="Change it",
        operation_id=f"change_{kind}",
        openapi_extra=body_of(kind),
    )
    def change(asked: TodayNow, ident: Ident, body: BodyNow, terms: TermsNow) -> Response:
        asked.thing(kind, ident)
        record = entered(asked, kind, body.data, {"id": ident})
        stored(asked, [Put(record)], terms, body, f"{kind} saved", must_match=True)
        return one(again(asked), kind, ident)


def _add_act(stem: str, kind: str, act: str, change: Any) -> None:
    @router.post(f"/{stem}/{{ident}}/{act}", tags=[stem], summary=act.capitalize(), operation_id=f"{act}_{kind}")
    def do(asked: TodayNow, ident: Ident, body: NoBody, terms: TermsNow) -> Response:
        asked.thing(kind, ident)
        saved = stored(asked, [change(asked, ident)], terms, body, f"{kind}: {act}", must_match=True)
        if act == "withdraw":
            return JSONResponse({"version": saved.version})
        return one(again(asked), kind, ident)


for _stem, _kind in STEMS.items():
    add_kind(_stem, _kind)


@router.get("/changes", tags=["changes"], summary="The newest changes", operation_id="list_changes")
def changes(asked: AskedNow, page_size: PageSize = 50) -> Response:
    """The newest changes of all."""
    return JSONResponse({"items": [history(past) for past in asked.store.changes(page_size)]})


@router.post("/undo/{version}", tags=["changes"], summary="Undo one change", operation_id="undo")
def undo(asked: TodayNow, version: VersionNumber, body: NoBody, terms: TermsNow) -> Response:
    """Take back what one change did; refused, naming the later change, where its rows moved on."""
    saved = asked.store.undo(version, terms.intent("undone", body, must_match=False), asked.today)
    return JSONResponse({"version": saved.version})
