"""What was found out about another size of a product, or sizes of a formula, kept as dated notes on it."""

from __future__ import annotations

from enum import Enum
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
from webapp.costing.size_asking import about, kept
from webapp.costing.size_figures import kept_figures
from webapp.errors import Fault, Unprocessable
from webapp.store.verdicts import KeptVerdict

router = Interface()
STEM = "/{stem}/{{ident}}/verdicts"
STEMS = {"product": "products", "formula": "formulas"}
ABOUT = "Ask about the {kind} that the note is kept on."
SENTENCE = Shape(dict, (Field("sentence", NOTE, True, "Write in a sentence what was found out."),))


class Note(NamedTuple):
    """What is kept: the sentence, what was asked, and what came of it."""

    sentence: str
    question: dict[str, Any]
    figures: dict[str, Any]


def note_of(asked: Asked, kind: str, ident: int, data: Any) -> Note:
    """A note as it was sent, with the figures of its question worked out. Unprocessable with its faults."""
    sent = sizes.placed(data, ("sentence",))
    entry = read(SENTENCE, {"sentence": data.get("sentence")}, today=asked.today)
    if entry.record is None:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in entry.faults])
    found = sizes.asked_about(asked, sent.question, sizes.QUESTION)
    sizes.refuse_place(found, sent.place)
    if (kind, ident) not in about(found.question):
        raise Unprocessable([Fault(f"question-{kind}", "reference", ABOUT.format(kind=kind))])
    return Note(entry.record["sentence"], kept(asked.book, sent.question), kept_figures(found, sent.place))


def told(one: KeptVerdict) -> Answer:
    """A note as it was kept: its figures are those of its day."""
    what = {"day": one.day.isoformat(), "sentence": one.sentence, "question": dict(one.question)}
    return {"id": one.ident, one.kind: one.thing, **what, "figures": dict(one.figures), "kept": one.when.isoformat()}


async def _verdict(verdict: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(verdict)


VerdictIdent = Annotated[int, Depends(_verdict)]


# Each of these is an operation on the notes of one kind of thing: products and formulas have them at their own address.


def _list(kind: str, at: str, more: str, tags: list[str | Enum]) -> None:
    @router.get(at, tags=tags, summary="What was found out about sizes", operation_id=f"list{more}_verdicts")
    def listed(asked: AskedNow, ident: Ident) -> Response:
        """The notes on it, the newest first; also where it was put away. They stand outside the book."""
        asked.thing(kind, ident)
        return JSONResponse({"items": [told(one) for one in asked.store.verdicts(ident)]})


def _keep(kind: str, at: str, more: str, tags: list[str | Enum]) -> None:
    @router.post(
        at,
        tags=tags,
        summary="Keep what was found out about a size",
        status_code=201,
        operation_id=f"keep{more}_verdict",
        openapi_extra=acts.taking(f"kept{more}_verdict"),
    )
    def keep(asked: TodayNow, ident: Ident, body: BodyNow) -> Response:
        """Keep a sentence and a question with its figures of today. The same again on the same day is kept once.

        A note about a set is kept on any of the jars in it.
        """
        asked.thing(kind, ident)
        number = asked.store.keep_verdict(ident, asked.today, *note_of(asked, kind, ident, body.data))
        return JSONResponse(told(asked.store.verdict(number)), 201)


def _drop(kind: str, at: str, more: str, tags: list[str | Enum]) -> None:
    @router.post(
        f"{at}/{{verdict}}/drop",
        tags=tags,
        summary="Throw a note away",
        operation_id=f"drop{more}_verdict",
        openapi_extra=ACT,
    )
    def drop(asked: TodayNow, ident: Ident, verdict: VerdictIdent, body: NoBody) -> Response:
        """It stands nowhere any more; the last few that were thrown away can be kept again."""
        del body
        asked.thing(kind, ident)
        asked.store.drop_verdict(ident, verdict)
        return JSONResponse({"dropped": verdict})


def _keep_again(kind: str, at: str, more: str, tags: list[str | Enum]) -> None:
    @router.post(
        f"{at}/{{verdict}}/keep",
        tags=tags,
        summary="Keep a note again that was thrown away",
        operation_id=f"keep{more}_verdict_again",
        openapi_extra=ACT,
    )
    def keep_again(asked: TodayNow, ident: Ident, verdict: VerdictIdent, body: NoBody) -> Response:
        """As it was, with its day and its figures. One that is kept stays as it is."""
        del body
        asked.thing(kind, ident)
        asked.store.keep_verdict_again(ident, verdict)
        return JSONResponse(told(asked.store.verdict(verdict)))


for _kind, _stem in STEMS.items():
    for _operation in (_list, _keep, _drop, _keep_again):
        _operation(_kind, STEM.format(stem=_stem), "" if _kind == "product" else f"_{_kind}", [_stem])
