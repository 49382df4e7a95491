"""Is another size worth offering: asked with all that it comes to, and a candidate saved as a product."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from starlette.responses import JSONResponse, Response

from webapp.api import acts, size_told
from webapp.api.asking import Asked, TodayNow, WithWorkings
from webapp.api.bodies import BodyNow, Sent, Terms, TermsNow
from webapp.api.interface import Interface
from webapp.api.things import stored
from webapp.costing.changes import Put
from webapp.costing.limits import Fault as CoreFault
from webapp.costing.size_answers import answer, offered
from webapp.costing.size_asking import read
from webapp.costing.size_facts import SizeAnswer
from webapp.costing.size_shapes import MOST_CANDIDATES
from webapp.errors import Fault, Stale, Unprocessable
from webapp.store.writing import UNCHANGED, Saved

router = Interface()
STEM = "/sizes"
QUESTION, PLACE, SALES = "question", "place", "sales"
SAID = "size offered"
CHANGED_SINCE = "Something was changed after this was asked. Nothing was saved; ask again and look at its figures."
NOTHING_NEW = "Nothing new is offered by this. Put the product away, or change how many of it go into a case."


class Placed(NamedTuple):
    """A question and which of its candidates is meant, by its place from 0."""

    question: Any
    place: int


def asked_about(asked: Asked, data: Any, at: str = "") -> SizeAnswer:
    """The answer to the question that was sent. Unprocessable with every fault of it, below `at`."""
    if not isinstance(data, dict):
        raise Unprocessable([Fault(at, "shape", "This must be an object with named fields.")])
    found = read(asked.book, data)
    if found.question is None or found.faults:
        raise Unprocessable(below(at, found.faults))
    asked.reckoning.line()  # what is known is carried over
    return answer(asked.reckoning, found.question)


def below(at: str, faults: Sequence[CoreFault]) -> list[Fault]:
    """Faults of a question that stands inside another body."""
    return [Fault("-".join(filter(None, (at, one.field))), one.code, one.sentence) for one in faults]


def placed(data: Any, more: Sequence[str] = ()) -> Placed:
    """The question and the place in a body. Unprocessable where it holds anything else than these and `more`."""
    if not isinstance(data, dict) or data.keys() - {QUESTION, PLACE, *more}:
        names = ", ".join(f'"{name}"' for name in (QUESTION, PLACE, *more))
        raise Unprocessable([Fault("", "shape", f"Send an object with these fields and no others: {names}.")])
    place = data.get(PLACE, 0)
    if not isinstance(place, int) or isinstance(place, bool) or not 0 <= place < MOST_CANDIDATES:
        sentence = "Name the candidate by its place in the question, a whole number from 0."
        raise Unprocessable([Fault(PLACE, "number-range", sentence)])
    return Placed(data.get(QUESTION), place)


def refuse_place(found: SizeAnswer, place: int) -> None:
    """Unprocessable where nothing in the answer stands at that place: a drop and a case have one place, 0."""
    if place >= max(len(found.candidates), 1):
        raise Unprocessable([Fault(PLACE, "reference", "There is no such candidate in the question. Choose another.")])


@router.post(
    STEM,
    tags=["sizes"],
    summary="Is another size worth offering; nothing is stored",
    operation_id="ask_size",
    openapi_extra=acts.taking("size_question"),
)
def ask(asked: TodayNow, body: BodyNow, workings: WithWorkings = False) -> Response:
    """The answer whole: candidates or a drop or a case, ladders, flips, the grid and cash month by month.

    A candidate is told as what would be put into the book, with numbers below zero for what is new. Shares are
    fractions. A verdict is "worth", "only if" or "not". The ETag serves the offer.
    """
    told = size_told.answer(asked_about(asked, body.data), workings=workings)
    return JSONResponse(told, headers={"ETag": asked.whole_tag})


@router.post(
    f"{STEM}/offers",
    tags=["sizes"],
    summary="Offer a candidate",
    operation_id="offer_size",
    openapi_extra=acts.taking("size_offer"),
)
def offer(asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
    """Store the candidate at `place` as a product, with what is new in it and its price: one change.

    With `sales` the jars a month that are expected of it are stored too, as what is sold; they are not, unless asked.

    If-Match is wanted, of the answer: after any change since then its figures may be others, so ask again.
    """
    saved = sent_before(asked, body, terms)
    if saved is None:
        refuse_older(asked, terms)
        saved = stored(asked, offer_of(asked, body.data), terms, body, SAID, must_match=True)
    made = sorted(set(saved.ids.values()) & asked.now().book.products.keys())
    return JSONResponse({"version": saved.version, "products": made})


def refuse_older(asked: Asked, terms: Terms) -> None:
    """Stale where anything was changed after the answer was read: what is new was not there to be changed itself."""
    if terms.version is not None and terms.version < asked.snapshot.version:
        raise Stale(CHANGED_SINCE, read_at=terms.version, now=asked.snapshot.version)


def offer_of(asked: Asked, data: Any) -> tuple[Put, ...]:
    """What an offer saves. Unprocessable where the question has a fault, or nothing to offer stands there."""
    sent = placed(data, (SALES,))
    sales = data.get(SALES, False)
    if not isinstance(sales, bool):
        raise Unprocessable([Fault(SALES, "shape", "Send true or false.")])
    found = asked_about(asked, sent.question, QUESTION)
    if not found.candidates:
        raise Unprocessable([Fault(f"{QUESTION}-ask", "choice", NOTHING_NEW)])
    refuse_place(found, sent.place)
    return offered(found, sent.place, asked.today, sales=sales)


def sent_before(asked: Asked, body: Sent, terms: Terms) -> Saved | None:
    """What the same sending stored already; its question may not fit any more, since its answer holds by now."""
    if not terms.key:
        return None
    saved = stored(asked, (), terms, body, SAID, must_match=True)
    return None if saved.change == UNCHANGED else saved
