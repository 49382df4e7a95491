"""What was found out about another size of a product, kept as dated notes on it."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from fastapi import Depends, Path
from starlette.responses import JSONResponse, Response

from webapp.api import acts, sizes
from webapp.api.answers import Answer
from webapp.api.asking import ID_PATTERN, Asked, AskedNow, Ident, TodayNow
from webapp.api.bodies import BodyNow, NoBody
from webapp.api.describing import ACT
from webapp.api.interface import Interface
from webapp.costing.describing import Field, Shape
from webapp.costing.entry import read
from webapp.costing.limits import NOTE
from webapp.costing.size_asking import kept
from webapp.costing.size_figures import kept_figures
from webapp.errors import Fault, Unprocessable
from webapp.store.verdicts import KeptVerdict

router = Interface()
AT = "/products/{ident}/verdicts"
SENTENCE = Shape(dict, (Field("sentence", NOTE, True, "Write in a sentence what was found out."),))


class Note(NamedTuple):
    """What is kept: the sentence, what was asked, and what came of it."""

    sentence: str
    question: dict[str, Any]
    figures: dict[str, Any]


def note_of(asked: Asked, product: int, data: Any) -> Note:
    """A note as it was sent, with the figures of its question worked out. Unprocessable with its faults."""
    sent = sizes.placed(data, ("sentence",))
    entry = read(SENTENCE, {"sentence": data.get("sentence")}, today=asked.today)
    if entry.record is None:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in entry.faults])
    found = sizes.asked_about(asked, sent.question, sizes.QUESTION)
    sizes.refuse_place(found, sent.place)
    if found.question.product not in (product, None):
        raise Unprocessable([Fault("question-product", "reference", "Ask about the product that the note is kept on.")])
    return Note(entry.record["sentence"], kept(asked.book, sent.question), kept_figures(found, sent.place))


def told(one: KeptVerdict) -> Answer:
    """A note as it was kept: its figures are those of its day."""
    what = {"day": one.day.isoformat(), "sentence": one.sentence, "question": dict(one.question)}
    return {"id": one.ident, "product": one.product, **what, "figures": dict(one.figures), "kept": one.when.isoformat()}


@router.get(AT, tags=["products"], summary="What was found out about other sizes", operation_id="list_verdicts")
def listed(asked: AskedNow, ident: Ident) -> Response:
    """The notes on a product, the newest first; also of one that was put away. They stand outside the book."""
    asked.thing("product", ident)
    return JSONResponse({"items": [told(one) for one in asked.store.verdicts(ident)]})


@router.post(
    AT,
    tags=["products"],
    summary="Keep what was found out about another size",
    status_code=201,
    operation_id="keep_verdict",
    openapi_extra=acts.taking("kept_verdict"),
)
def keep(asked: TodayNow, ident: Ident, body: BodyNow) -> Response:
    """Keep a sentence and a question with its figures of today. The same again on the same day is kept once."""
    asked.thing("product", ident)
    note = note_of(asked, ident, body.data)
    number = asked.store.keep_verdict(ident, asked.today, *note)
    return JSONResponse(told(asked.store.verdict(number)), 201)


def _verdict(verdict: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(verdict)


@router.post(
    f"{AT}/{{verdict}}/drop",
    tags=["products"],
    summary="Throw a note away",
    operation_id="drop_verdict",
    openapi_extra=ACT,
)
def drop(asked: TodayNow, ident: Ident, verdict: Annotated[int, Depends(_verdict)], body: NoBody) -> Response:
    """It is gone, and no undo brings it back."""
    del body
    asked.store.drop_verdict(ident, verdict)
    return JSONResponse({"dropped": verdict})
