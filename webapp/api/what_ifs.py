"""What if: suppositions as a list, the line before and after, and their acceptance in one change."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from starlette.responses import JSONResponse, Response

from webapp.api import acts, answers, decided
from webapp.api.answers import Answer, picked
from webapp.api.asking import Asked, Ident, TodayNow
from webapp.api.bodies import BodyNow, NoBody, TermsNow
from webapp.api.describing import ACT
from webapp.api.interface import Interface
from webapp.api.previews import difference
from webapp.api.things import stored
from webapp.costing.changes import Change
from webapp.costing.describing import Field, Shape
from webapp.costing.entry import read
from webapp.costing.limits import NAME
from webapp.costing.limits import Fault as CoreFault
from webapp.costing.month import Month, month
from webapp.costing.reckoning import Reckoning
from webapp.costing.supposing import SUPPOSITIONS, kept, suppositions
from webapp.costing.whatif import WHY, suppose
from webapp.errors import Fault, NotFound, Unprocessable
from webapp.store.what_ifs import KeptWhatIf
from webapp.store.writing import UNCHANGED

router = Interface()
STEM = "/what-ifs"
NAMED = Shape(dict, (Field("name", NAME, True, "Give it a name."),))
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
    return JSONResponse(
        {"month": months, **difference(asked, sent.changes, sent.prices)}, headers={"ETag": asked.whole_tag}
    )


def told_month(found: Month) -> Answer:
    """A month with the sums behind its two figures."""
    workings = {"an_hour": found.hour_working, "weighted_margin": found.margin_working}
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
    saved = stored(asked, changes, terms, body, "what-if accepted", must_match=True, prices=sent.prices)
    return JSONResponse({"version": saved.version})


# --- kept under a name


def named_rows(data: Any) -> tuple[Any, list[Any]]:
    """The name and the list of suppositions in a body."""
    if not isinstance(data, dict) or data.keys() - {"name", SUPPOSITIONS}:
        raise Unprocessable([Fault("", "shape", f'Send {{"name": "…", "{SUPPOSITIONS}": […]}}.')])
    return data.get("name"), rows_of({SUPPOSITIONS: data.get(SUPPOSITIONS)})


def keeping(asked: Asked, data: Any, ident: int | None) -> Response:
    """Keep what was sent, a new one or in place of one. Unprocessable with every fault of it."""
    name, rows = named_rows(data)
    entry = read(NAMED, {"name": name}, today=asked.today)
    faults = (*entry.faults, *suppositions(asked.book, [_counting(row) for row in rows]).faults)
    refuse(faults)
    number = asked.store.keep_what_if(entry.record["name"], kept(asked.book, rows), ident)
    return JSONResponse(told_kept(_one(asked, number)), 200 if ident else 201)


def _counting(row: Any) -> Any:
    return {**row, "counts": True} if isinstance(row, dict) and row.get("counts") is False else row


def _one(asked: Asked, ident: int) -> KeptWhatIf:
    found = next((one for one in asked.store.what_ifs() if one.ident == ident), None)
    if found is None:
        raise NotFound("There is no such what-if.")
    return found


def told_kept(one: KeptWhatIf) -> Answer:
    """A kept what-if; `unread` are lines that a page keeps though they can't be read, as they were typed."""
    rows = [dict(row) for row in one.rows if "typed" not in row]
    unread = [dict(row["typed"]) for row in one.rows if "typed" in row]
    return {"id": one.ident, "name": one.name, "kept": one.when.isoformat(), SUPPOSITIONS: rows, "unread": unread}


@router.get(STEM, tags=["what-ifs"], summary="What-ifs that are kept", operation_id="list_what_ifs")
def listed(asked: TodayNow) -> Response:
    """All of them, by name. They stand outside the book: keeping one is no change and has no version."""
    return JSONResponse({"items": [told_kept(one) for one in asked.store.what_ifs()]})


@router.post(
    STEM,
    tags=["what-ifs"],
    summary="Keep a what-if",
    status_code=201,
    operation_id="keep_what_if",
    openapi_extra=acts.taking("kept_what_if"),
)
def keep(asked: TodayNow, body: BodyNow) -> Response:
    """Keep suppositions under a name that no other what-if has."""
    return keeping(asked, body.data, None)


@router.get(f"{STEM}/{{ident}}", tags=["what-ifs"], summary="One what-if", operation_id="get_what_if")
def look(asked: TodayNow, ident: Ident) -> Response:
    """Its name and its suppositions, to be sent to the preview."""
    return JSONResponse(told_kept(_one(asked, ident)))


@router.put(
    f"{STEM}/{{ident}}",
    tags=["what-ifs"],
    summary="Change a what-if",
    operation_id="change_what_if",
    openapi_extra=acts.taking("kept_what_if"),
)
def change(asked: TodayNow, ident: Ident, body: BodyNow) -> Response:
    """Its name and suppositions anew. What is kept last holds."""
    _one(asked, ident)
    return keeping(asked, body.data, ident)


@router.post(
    f"{STEM}/{{ident}}/drop",
    tags=["what-ifs"],
    summary="Throw a what-if away",
    operation_id="drop_what_if",
    openapi_extra=ACT,
)
def drop(asked: TodayNow, ident: Ident, body: NoBody) -> Response:
    """It is gone, and no undo brings it back."""
    del body
    asked.store.drop_what_if(ident)
    return JSONResponse({"dropped": ident})
