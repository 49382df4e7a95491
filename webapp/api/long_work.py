"""A whole book looked at or taken over as long work, which pages and programs share: begun, asked after, stopped."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Depends, Request
from starlette.responses import JSONResponse, Response

from webapp import importing
from webapp.api.answers import Answer
from webapp.api.asking import Asked, AskedNow, TodayNow
from webapp.api.bodies import BodyNow, NoBody, TermsNow
from webapp.api.describing import ACT
from webapp.api.interface import PREFIX, Interface
from webapp.api.whole_book import BODY, refused, taken, told
from webapp.errors import Busy, Conflict, NotFound, Unprocessable
from webapp.exchange.book_rows import Document
from webapp.jobs import DONE, Job, Jobs, Progress, known_afterwards
from webapp.store import arriving

router = Interface()
TAGS: list[Any] = ["whole book"]
LOOKED, BROUGHT, WORK = "/import/preview", "/import", "/work"
#: seconds that a stop waits for the work to take it
SOON = 1
MOVED_ON = "Something was saved after it was looked at, or another day has begun. Have it looked at once more."
PATTERN = "^[0-9a-f]{32}$"
#: described by hand: a pattern that is checked would answer 422 where there is just no such work
NAMED: dict[str, Any] = {
    "parameters": [{"name": "token", "in": "path", "required": True, "schema": {"type": "string", "pattern": PATTERN}}]
}


async def _token(request: Request) -> str:
    return str(request.path_params["token"])


TokenNow = Annotated[str, Depends(_token)]


@router.post(
    f"{LOOKED}/begin",
    tags=TAGS,
    summary="Begin to look at what a large document would change; nothing is stored",
    operation_id="begin_preview_import",
    openapi_extra=BODY,
    status_code=202,
)
def begin_looking(request: Request, asked: TodayNow, body: BodyNow) -> Response:
    """The same look as by `/api/import/preview`, without a request that lasts. Ask how far it is at `work`.

    One piece of long work is done at a time, of pages and programs together: 409 while another is. What was seen is
    kept for a day at the address that `result` names once it is done.
    """
    document, _ = taken(body.data)
    folder = request.app.state.settings.data
    token = arriving.keep(folder, "document", b"")

    def work(job: Job) -> str:
        looked = importing.look(asked.store, document, asked.today, step=job.say)
        job.say("Working out costs and margins.")
        of = [looked.epoch, looked.version, asked.today.isoformat()]
        arriving.note(folder, token, {"of": of, "preview": told(asked.now(), looked)})
        return f"{PREFIX}{LOOKED}/{token}"

    return _begun(request, f"Look at a document of {document.rows} rows", work)


@router.post(
    f"{BROUGHT}/begin",
    tags=TAGS,
    summary="Begin to take over a large document as one change",
    operation_id="begin_import",
    openapi_extra=BODY,
    status_code=202,
)
def begin_bringing(request: Request, asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
    """As by `/api/import`, without a request that lasts: all of it or nothing. If-Match is wanted.

    A stop is taken until it stores. Where a row is wrong the work fails with a sentence: a look says which row.
    """
    intent = terms.intent("Import", body, must_match=True)
    document, take_doubtful = taken(body.data)
    folder = request.app.state.settings.data
    token = arriving.keep(folder, "document", b"")

    def work(job: Job) -> str:
        looked = importing.look(asked.store, document, asked.today, step=job.say)
        if wrong := refused(looked, take_doubtful=take_doubtful):
            many = "One row is" if len(wrong) == 1 else f"{len(wrong)} rows are"
            words = f"{many} wrong or doubtful, and nothing was changed. Have it looked at to see which."
            raise Unprocessable(wrong, words)
        job.store()
        saved = importing.take(asked.store, looked, intent, asked.today)
        arriving.note(folder, token, {"brought": {"version": saved.version, "change": saved.change}})
        return f"{PREFIX}{BROUGHT}/{token}"

    return _begun(request, _title(document), work, intent.token)


def _title(document: Document) -> str:
    return f"Import of {document.rows} rows"


def _begun(request: Request, title: str, work: Any, stores: str = "") -> Response:
    try:
        job = _jobs(request).start(title, "", work, stores)
    except Busy as busy:  # nothing is wrong with the program, so it is no 503: one waits for that work, or stops it
        raise Conflict(busy.sentence) from None
    at = f"{PREFIX}{WORK}/{job.token}"
    return JSONResponse({"work": at, "stop": f"{at}/stop"}, 202, {"Location": at})


def _jobs(request: Request) -> Jobs:
    found: Jobs = request.app.state.jobs
    return found


# --- asked after


@router.get(
    f"{WORK}/{{token}}", tags=TAGS, summary="How far long work is", operation_id="read_work", openapi_extra=NAMED
)
def read(request: Request, asked: AskedNow, token: TokenNow) -> Response:
    """`state` is at work, stopping, storing, done, stopped or failed; `done` of `of` (0: not known) in this `step`.

    Once it is done `result` is the address of what was made; `sentence` says how else it ended.
    """
    return JSONResponse(_progress(asked, _jobs(request).find(token).progress))


@router.post(
    f"{WORK}/{{token}}/stop",
    tags=TAGS,
    summary="Stop long work",
    operation_id="stop_work",
    openapi_extra={**ACT, **NAMED},
)
def stop(request: Request, asked: TodayNow, token: TokenNow, body: NoBody) -> Response:
    """It stops between two of its steps, and nothing is changed then; once it stores it is not stopped any more."""
    del body
    job = _jobs(request).find(token)
    job.stop()
    return JSONResponse(_progress(asked, job.wait(SOON)))


def _progress(asked: Asked, progress: Progress) -> Answer:
    known, _ = known_afterwards(progress, asked.store.change_of)
    return {
        "title": known.title,
        "state": known.state,
        "has_ended": known.has_ended,
        "step": known.step,
        "done": known.done,
        "of": known.of,
        "sentence": known.sentence,
        "result": known.goes_to if known.state == DONE else None,
    }


@router.get(
    f"{LOOKED}/{{token}}",
    tags=TAGS,
    summary="What a document would change, as it was looked at",
    operation_id="read_preview_import",
    openapi_extra=NAMED,
)
def read_looked(request: Request, asked: TodayNow, token: TokenNow) -> Response:
    """As `/api/import/preview` answers; 409 where something was saved since, or another day began."""
    noted = _noted(request, token, "preview")
    if noted["of"] != [asked.snapshot.epoch, asked.snapshot.version, asked.today.isoformat()]:
        raise Conflict(MOVED_ON)
    return JSONResponse(noted["preview"], headers={"ETag": asked.whole_tag})


@router.get(
    f"{BROUGHT}/{{token}}",
    tags=TAGS,
    summary="What became of a document that was taken over",
    operation_id="read_import",
    openapi_extra=NAMED,
)
def read_brought(request: Request, asked: TodayNow, token: TokenNow) -> Response:
    """As `/api/import` answers."""
    del asked
    return JSONResponse(_noted(request, token, "brought")["brought"])


def _noted(request: Request, token: str, what: str) -> Any:
    noted = arriving.noted(request.app.state.settings.data, token)
    if noted is None or what not in noted:
        raise NotFound("There is nothing at this address, or not any more.")
    return noted
