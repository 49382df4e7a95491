"""What if: suppositions as a list, the line before and after, and their acceptance in one change."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from starlette.responses import JSONResponse, Response

from webapp.api import acts, answers, decided
from webapp.api.answers import Answer, picked
from webapp.api.asking import Asked, TodayNow
from webapp.api.bodies import BodyNow, TermsNow
from webapp.api.interface import Interface
from webapp.api.previews import difference
from webapp.api.things import stored
from webapp.costing.changes import Change
from webapp.costing.limits import Fault as CoreFault
from webapp.costing.month import Month, hour_working, margin_working, month
from webapp.costing.reckoning import Reckoning
from webapp.costing.supposing import SUPPOSITIONS, suppositions
from webapp.costing.whatif import WHY, suppose
from webapp.errors import Fault, Unprocessable
from webapp.store.writing import UNCHANGED

router = Interface()
STEM = "/what-ifs"
MONTH = ("totals", "contribution", "overhead", "own_hours", "for_hours", "an_hour")


class Wanted(NamedTuple):
    """What was sent: the changes of its suppositions, or their faults; and the prices decided beside them."""

    changes: tuple[Change, ...]
    faults: tuple[CoreFault, ...]
    prices: list[Any]
    many: int


def wanted(asked: Asked, data: Any) -> Wanted:
    """The suppositions that were sent, one after another. Unprocessable where it is no list of them."""
    data, prices = decided.parted(data)
    rows = rows_of(data)
    read = suppositions(asked.book, rows)
    asked.reckoning.line()  # what is known can be carried over
    supposed = suppose(asked.reckoning, read.found)
    faults = (*read.faults, *supposed.faults)
    if not faults and not supposed.changes:
        faults = (CoreFault(SUPPOSITIONS, "required", "Send at least one supposition that counts."),)
    return Wanted(supposed.together, faults, prices, len(supposed.changes))


def rows_of(data: Any) -> list[Any]:
    """The list of suppositions in a body that holds nothing else."""
    rows = data.get(SUPPOSITIONS) if isinstance(data, dict) and not data.keys() - {SUPPOSITIONS} else None
    if not isinstance(rows, list):
        raise Unprocessable([Fault(SUPPOSITIONS, "shape", f'Send {{"{SUPPOSITIONS}": […]}}, a list of objects.')])
    return rows


def refuse(faults: Sequence[CoreFault]) -> None:
    """Unprocessable with every fault, where there is any."""
    if faults:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in faults])


@router.post(
    f"{STEM}/preview",
    tags=["what-ifs"],
    summary="What suppositions would change; nothing is stored",
    operation_id="preview_what_if",
    openapi_extra=acts.taking("what_if"),
)
def preview(asked: TodayNow, body: BodyNow) -> Response:
    """What would be asked, every material and row that moves, and the month of the whole line before and after.

    Suppositions count in their order. The ETag serves the acceptance.
    """
    sent = wanted(asked, body.data)
    refuse(sent.faults)
    changes = decided.with_prices(asked, sent.changes, sent.prices, "")
    then = Reckoning(decided.after(asked, changes), asked.reckoning)
    months = {"now": told_month(month(asked.reckoning)), "then": told_month(month(then))}
    return JSONResponse({"month": months, **difference(asked, changes)}, headers={"ETag": asked.whole_tag})


def told_month(found: Month) -> Answer:
    """A month with the sums behind its two figures."""
    workings = {"an_hour": hour_working(found), "weighted_margin": margin_working(found)}
    told = {name: answers.working(one) for name, one in workings.items()}
    return {**picked(found, MONTH), "workings": told}


@router.post(
    f"{STEM}/accept",
    tags=["what-ifs"],
    summary="Accept suppositions",
    operation_id="accept_what_if",
    openapi_extra=acts.taking("what_if"),
)
def accept(asked: TodayNow, body: BodyNow, terms: TermsNow) -> Response:
    """Store what the suppositions change, dated today, with the prices decided: one change. If-Match is wanted."""
    sent = wanted(asked, body.data)
    if sent.faults:
        # Sent again with its key it may not fit any more, since it holds by now.
        again = stored(asked, (), terms, body, "what-if accepted", must_match=True) if terms.key else None
        if again is None or again.change == UNCHANGED:
            refuse(sent.faults)
        return JSONResponse({"version": again.version if again else 0})
    changes = decided.with_prices(asked, sent.changes, sent.prices, WHY)
    return JSONResponse({"version": stored(asked, changes, terms, body, "what-if accepted", must_match=True).version})
