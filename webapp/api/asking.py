"""What a question is asked about: the book as it holds today, or as it held on the day of `?on=`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from fastapi import Depends, Path, Query
from starlette.requests import Request

from webapp.costing import limits
from webapp.costing.amounts import JSON_NOTATION, Unreadable
from webapp.costing.book import KINDS, SHELVES, Book
from webapp.costing.reckoning import Reckoning
from webapp.errors import Busy, Fault, NotFound, Unprocessable
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

    def tag(self, kind: str, key: object) -> str:
        """The ETag of a record: when it was changed last."""
        return f'"{self.snapshot.epoch}.{self.snapshot.moved.get((kind, key), 0)}"'


def ask(
    request: Request,
    on: Annotated[str | None, Query(description="another day, YYYY-MM-DD: as it held then", max_length=10)] = None,
) -> Asked:
    """The book of a day."""
    store = request.app.state.store
    if store is None:
        raise Busy
    today = request.app.state.today()
    try:
        day = limits.DAY.read(on, JSON_NOTATION) if on else today
    except Unreadable as unreadable:
        raise Unprocessable([Fault("on", unreadable.code, unreadable.sentence)]) from None
    return Asked(store, store.snapshot(day), today, day)


def ask_today(request: Request) -> Asked:
    """The book of today: what is changed is changed now, and another day is only looked at."""
    if "on" in request.query_params:
        raise Unprocessable([Fault("on", "read-only", "Another day can only be looked at. Leave `on` out to change.")])
    return ask(request)


def _ident(ident: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(ident)


def _channel(channel: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(channel)


def _version(version: Annotated[str, Path(pattern=ID_PATTERN)]) -> int:
    return int(version)


AskedNow = Annotated[Asked, Depends(ask)]
TodayNow = Annotated[Asked, Depends(ask_today)]
Ident = Annotated[int, Depends(_ident)]
ChannelIdent = Annotated[int, Depends(_channel)]
VersionNumber = Annotated[int, Depends(_version)]
