"""Things of every kind by the same routes: list, look, enter, change, put away, bring back, history."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Any

from fastapi import Depends, Path, Query
from starlette.responses import JSONResponse, Response

from webapp.api import decided
from webapp.api.answers import history, with_figures
from webapp.api.asking import STEMS, Asked, AskedNow, Ident, TodayNow
from webapp.api.bodies import BodyNow, NoBody, PricesOnly, Sent, Terms, TermsNow
from webapp.api.describing import ACT, BODY, PRICED
from webapp.api.interface import Interface
from webapp.costing import limits
from webapp.costing.book import EVENTS
from webapp.costing.changes import Change, Put, Restore, Retire, Withdraw
from webapp.costing.entry import read
from webapp.costing.shapes import SHAPES
from webapp.errors import Fault, NotFound, Questions, Unprocessable
from webapp.store.writing import Saved

router = Interface()
NEW_ID = -1
PAGE_SIZE = 200
STEM_OF = {kind: stem for stem, kind in STEMS.items()}

PageSize = Annotated[int, Query(ge=1, le=PAGE_SIZE, description="how many on a page")]
Search = Annotated[str, Query(max_length=limits.NAME_LENGTH, description="words in the name, in any case")]
Retired = Annotated[bool, Query(description="those that were put away as well")]


@dataclass(frozen=True, slots=True)
class Window:
    """Which part of a long list is wanted."""

    number: int
    size: int

    def part(self, found: Sequence[Any]) -> Sequence[Any]:
        """That part of it."""
        return found[(self.number - 1) * self.size : self.number * self.size]

    def told(self, items: list[Any], total: int) -> dict[str, Any]:
        """The part with where it stands in the whole."""
        return {"items": items, "page": self.number, "page_size": self.size, "total": total}


async def _window(
    page: Annotated[int, Query(ge=1, le=1_000_000, description="which page, from 1")] = 1, page_size: PageSize = 50
) -> Window:
    return Window(page, page_size)


Paged = Annotated[Window, Depends(_window)]


def entered(asked: Asked, kind: str, data: Any, given: dict[str, Any]) -> Any:
    """The record that was sent. Unprocessable with every fault of it."""
    entry = read(SHAPES[kind], data, today=asked.today, given=given)
    if entry.record is None:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in entry.faults])
    return entry.record


def stored(
    asked: Asked,
    changes: Sequence[Change],
    terms: Terms,
    sent: Sent,
    said: str,
    *,
    must_match: bool,
    prices: Sequence[Any] = (),
) -> Saved:
    """Store changes under the headers that came with them; questions about `prices` decided with them at their rows."""
    try:
        return asked.store.save(changes, terms.intent(said, sent, must_match=must_match), asked.today)
    except Questions as unsure:
        raise Questions(decided.at_their_rows(unsure.questions, prices)) from None


def reason(kind: str, record: Any) -> str:
    """What a price that is decided with a record keeps as its reason, where none was sent."""
    day = getattr(record, "day", None)
    return f"the {kind} of {day}" if day else f"the {kind} {getattr(record, 'name', '')}".strip()


def one(asked: Asked, kind: str, ident: int, status: int = 200) -> Response:
    """A record with its figures and its ETag."""
    asked = asked.holding(kind, ident)
    headers = {"ETag": asked.tag(kind, ident)}
    return JSONResponse(with_figures(asked, kind, asked.thing(kind, ident)), status, headers=headers)


def listed(asked: Asked, kind: str, window: Window, search: str, *, retired: bool) -> dict[str, Any]:
    """A page of the things of a kind, by number; those that lie ahead among them."""
    words = limits.name_key(search)
    holding = dict.fromkeys(asked.shelf(kind), asked) | asked.ahead(kind)
    every = [(there, there.thing(kind, ident)) for ident, there in sorted(holding.items())]
    kept = [
        (there, thing)
        for there, thing in every
        if words in limits.name_key(getattr(thing, "name", "")) and (getattr(thing, "retired", None) is None or retired)
    ]
    shown = window.part(kept)
    items = [{**with_figures(there, kind, thing), "etag": there.tag(kind, thing.id)} for there, thing in shown]
    return window.told(items, len(kept))


async def _kind(stem: Annotated[str, Path(description="the word for a kind of thing")]) -> str:
    """The kind that a word in the address names."""
    if stem not in STEMS:
        raise NotFound
    return STEMS[stem]


Kind = Annotated[str, Depends(_kind)]


@router.get("/{stem}", summary="List {stem}", operation_id="list_{kind}")
def look_through(asked: AskedNow, kind: Kind, window: Paged, search: Search = "", retired: Retired = False) -> Response:
    """The things of a kind in pages, by number; those put away only where they are asked for."""
    return JSONResponse(listed(asked, kind, window, search, retired=retired))


@router.get("/{stem}/{ident}", summary="One of {stem}", operation_id="get_{kind}")
def look(asked: AskedNow, kind: Kind, ident: Ident) -> Response:
    """A record with its figures. Its ETag is wanted to change it."""
    return one(asked, kind, ident)


@router.get("/{stem}/{ident}/history", summary="Its history", operation_id="history_{kind}")
def look_back(asked: AskedNow, kind: Kind, ident: Ident) -> Response:
    """Every change of it, newest first, with the facts that it made; also of an order that was taken back."""
    found = asked.store.history(kind, ident)
    if kind not in EVENTS or not found:
        asked.holding(kind, ident).thing(kind, ident)
    return JSONResponse({"items": [history(past) for past in found]})


@router.post(
    "/{stem}", summary="Enter one of {stem}", status_code=201, operation_id="create_{kind}", openapi_extra=BODY
)
def enter(asked: TodayNow, kind: Kind, body: BodyNow, terms: TermsNow) -> Response:
    """Enter a new one."""
    data, prices = decided.parted(body.data)
    record = entered(asked, kind, data, {"id": NEW_ID})
    changes = decided.with_prices(asked, [Put(record)], prices, f"After {reason(kind, record)}")
    saved = stored(asked, changes, terms, body, f"{kind} saved", must_match=False, prices=prices)
    ident = saved.real(NEW_ID)
    answer = one(asked.now(), kind, ident, 201)
    answer.headers["Location"] = f"/api/{STEM_OF[kind]}/{ident}"
    return answer


@router.put("/{stem}/{ident}", summary="Change it", operation_id="change_{kind}", openapi_extra=BODY)
def change(asked: TodayNow, kind: Kind, ident: Ident, body: BodyNow, terms: TermsNow) -> Response:
    """Change it whole: what is left out is as for a new one."""
    asked.holding(kind, ident).thing(kind, ident)
    data, prices = decided.parted(body.data)
    record = entered(asked, kind, data, {"id": ident})
    changes = decided.with_prices(asked, [Put(record)], prices, f"After {reason(kind, record)}")
    stored(asked, changes, terms, body, f"{kind} saved", must_match=True, prices=prices)
    return one(asked.now(), kind, ident)


@router.post("/{stem}/{ident}/retire", summary="Put it away", operation_id="retire_{kind}", openapi_extra=ACT)
def retire(asked: TodayNow, kind: Kind, ident: Ident, body: NoBody, terms: TermsNow) -> Response:
    """From today on it is offered no more; what was reckoned with it stays."""
    return _act(asked, Retire(kind, ident, asked.today), "put away", body, terms)


@router.post("/{stem}/{ident}/restore", summary="Bring it back", operation_id="restore_{kind}", openapi_extra=ACT)
def restore(asked: TodayNow, kind: Kind, ident: Ident, body: NoBody, terms: TermsNow) -> Response:
    """What was put away is offered again."""
    return _act(asked, Restore(kind, ident), "brought back", body, terms)


def withdrawing(asked: Asked, kind: str, ident: int, *, known: bool = True) -> tuple[Change, ...]:
    """What takes something back that has one day. `known`: it must be there; sent again with its key, it is gone."""
    if kind not in EVENTS:
        raise NotFound
    there = asked.holding(kind, ident)
    if known:
        there.thing(kind, ident)
    if there is asked:
        return (Withdraw(kind, ident),)
    # What today's book does not hold cannot leave it: what lies ahead is first taken into it.
    day = {"since" if kind == "quote" else "day": asked.today}
    return Put(replace(there.thing(kind, ident), **day)), Withdraw(kind, ident)


def _act(asked: Asked, act: Retire | Restore, said: str, body: Sent, terms: Terms) -> Response:
    if act.kind in EVENTS:
        raise NotFound
    if act.id not in asked.shelf(act.kind) and (ahead := asked.store.not_yet(act.kind, act.id, asked.today)):
        raise ahead
    asked.thing(act.kind, act.id)
    stored(asked, [act], terms, body, f"{act.kind} {said}", must_match=True)
    return one(asked.now(), act.kind, act.id)


@router.post("/{stem}/{ident}/withdraw", summary="Take it back", operation_id="withdraw_{kind}", openapi_extra=PRICED)
def withdraw(asked: TodayNow, kind: Kind, ident: Ident, body: PricesOnly, terms: TermsNow) -> Response:
    """What should not be there goes: an order, a quote, a batch; the undo of the answered version returns it."""
    changes = withdrawing(asked, kind, ident, known=not terms.key)
    _, prices = decided.parted(body.data)
    changes = decided.with_prices(asked, changes, prices, f"After the {kind} was taken back")
    saved = stored(asked, changes, terms, body, f"{kind} taken back", must_match=True, prices=prices)
    return JSONResponse({"version": saved.version})
