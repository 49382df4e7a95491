"""What a question is asked about: the book as it holds today, or as it held on the day of `?on=`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated, Any

from fastapi import Depends, Path, Query
from fastapi.dependencies.models import Dependant
from starlette.requests import Request

from webapp.costing import limits
from webapp.costing.amounts import JSON_NOTATION, Unreadable
from webapp.costing.book import KINDS, SHELVES, Book
from webapp.costing.reckoning import Reckoning
from webapp.errors import Busy, Fault, NotFound, Unprocessable
from webapp.store.ahead import first_day
from webapp.store.opening import Store
from webapp.store.snapshots import Snapshot

#: the word in the address -> the kind of record
STEMS: dict[str, str] = {
    "people": "person",
    "bills": "bill",
    "suppliers": "supplier",
    "materials": "material",
    "orders": "order",
    "quotes": "quote",
    "formulas": "formula",
    "groups": "group",
    "channels": "channel",
    "products": "product",
    "batches": "batch",
}
ID_PATTERN = r"^[1-9][0-9]{0,8}$"


@dataclass(frozen=True)
class Asked:
    """One snapshot of the data and the day it shows."""

    store: Store
    snapshot: Snapshot
    today: date
    day: date

    @property
    def book(self) -> Book:
        """All facts as they hold on `day`."""
        return self.snapshot.book

    @property
    def reckoning(self) -> Reckoning:
        """The answers of the core about that book."""
        return self.snapshot.reckoning

    def shelf(self, kind: str) -> Mapping[int, Any]:
        """All things of a kind."""
        found: Mapping[int, Any] = getattr(self.book, SHELVES[KINDS[kind]][1])
        return found

    def thing(self, kind: str, ident: int) -> Any:
        """One of them; NotFound where it is not there."""
        shelf = self.shelf(kind)
        if ident not in shelf:
            raise NotFound("There is no such record.")
        return shelf[ident]

    def holding(self, kind: str, ident: int) -> Asked:
        """The same, of its first day where a thing lies ahead: today's book does not hold it, yet it can be changed."""
        if self.day != self.today or ident in self.shelf(kind) or (kind, ident) not in self.snapshot.moved:
            return self
        days = [first_day(fact) for fact in self.store.facts(kind, ident)]
        return self.of(min(days)) if days else self

    def ahead(self, kind: str) -> dict[int, Asked]:
        """Things of a kind that today's book does not hold yet: each with the same data of its first day."""
        held = self.shelf(kind)
        waiting = [key for one, key in self.snapshot.moved if one == kind and key not in held]
        found = {key: self.holding(kind, key) for key in waiting}
        return {key: there for key, there in found.items() if there is not self}

    def of(self, day: date) -> Asked:
        """The same data as it holds on another day."""
        return replace(self, snapshot=self.store.snapshot(day))

    def now(self) -> Asked:
        """The same, read again after a change."""
        return self.of(self.day)

    def supposing(self, book: Book) -> Asked:
        """The same, as if `book` were what is stored."""
        return replace(self, snapshot=Snapshot(book, self.snapshot, self.reckoning))  # type: ignore[arg-type]  # it takes from it what a snapshot has too

    @property
    def whole_tag(self) -> str:
        """The ETag of everything: when anything was changed last."""
        return f'"{self.snapshot.epoch}.{self.snapshot.version}"'

    def tag(self, kind: str, key: object) -> str:
        """The ETag of a record: when it was changed last."""
        return f'"{self.snapshot.epoch}.{self.snapshot.moved.get((kind, key), 0)}"'


#: which words a route knows behind the question mark, looked up once
_KNOWN: dict[Callable[..., Any], frozenset[str]] = {}


def _asked_by(route: Dependant) -> Iterator[str]:
    yield from (one.alias for one in route.query_params)
    for inner in route.dependencies:
        yield from _asked_by(inner)


def refuse_unknown(request: Request) -> None:
    """Refuse a word behind the question mark that the route does not know: what is mistyped must not be passed over."""
    sent = request.query_params.keys()
    if not sent:
        return
    route = request.scope["route"]
    if route.endpoint not in _KNOWN:
        _KNOWN[route.endpoint] = frozenset(_asked_by(route.dependant))
    known = _KNOWN[route.endpoint]
    listed = ", ".join(sorted(known))
    sentence = f"This is not asked for here. What may be asked: {listed}." if known else "Nothing is asked for here."
    faults = [Fault(name[:64], "unknown-parameter", sentence) for name in sent if name not in known]
    if faults:
        raise Unprocessable(faults)


def ask(
    request: Request,
    on: Annotated[str | None, Query(description="another day, YYYY-MM-DD: as it held then", max_length=10)] = None,
) -> Asked:
    """The book of a day."""
    refuse_unknown(request)
    store = request.app.state.store
    if store is None:
        raise Busy
    today = request.app.state.today()
    try:
        day = limits.DAY.read(on, JSON_NOTATION) if on else today
    except Unreadable as unreadable:
        raise Unprocessable([Fault("on", unreadable.code, unreadable.sentence)]) from None
    found = Asked(store, store.snapshot(day), today, day)
    if request.app.state.upkeep is not None:
        request.app.state.upkeep.used(today)
    return found


def ask_today(request: Request) -> Asked:
    """The book of today: what is changed is changed now, and another day is only looked at."""
    if "on" in request.query_params:
        raise Unprocessable([Fault("on", "read-only", "Another day can only be looked at. Leave `on` out to change.")])
    return ask(request)


async def _ident(ident: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(ident)


async def _channel(channel: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(channel)


async def _material(material: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(material)


async def _version(version: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(version)


AskedNow = Annotated[Asked, Depends(ask)]
TodayNow = Annotated[Asked, Depends(ask_today)]
Ident = Annotated[int, Depends(_ident)]
ChannelIdent = Annotated[int, Depends(_channel)]
MaterialIdent = Annotated[int, Depends(_material)]
VersionNumber = Annotated[int, Depends(_version)]
WithWorkings = Annotated[bool, Query(description="with the working of each figure, which is long")]
