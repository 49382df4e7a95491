"""From rows that hold to records, and from records to a book for a day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from operator import attrgetter
from typing import Any

from webapp.costing.book import ABOUT, PAIRS, SHELVES, WORKSHOP_ID, Book, Registration
from webapp.store.aspects import Aspect, Identity, Kept, Stored
from webapp.store.reaching_back import reaching_back
from webapp.store.reading import Key, Live
from webapp.store.rows import STORED

#: kind -> the name in the book of what holds its records
SHELF: dict[str, str] = dict((*SHELVES.values(), *PAIRS.values(), *ABOUT.values()))
_POSITION = attrgetter("position")
_SINGLE = frozenset(("workshop", "terms"))


def record_of(live: Live, stored: Stored, identity: Identity, day: date) -> Any:
    """The record as it holds on `day`; None where nothing of it does."""
    values: dict[str, Any] = {}
    if stored.head is not None:
        head = live.rows(stored.head, identity)
        if not head:
            return None
        values.update(head[0].value)
    since: date | None = None
    if stored.content is not None:
        content = newest(live.rows(stored.content, identity), day)
        if content is None:
            return None
        since = content.day
        values.update(content.value, since=since)
    for name, aspect in stored.parts.items():
        values[name] = _part(aspect, newest(live.rows(aspect, identity), day))
    for name, aspect in stored.lines.items():
        values[name] = lines_of(live.rows(aspect, identity), since)
    if stored.retired is not None:
        gone = newest(live.rows(stored.retired, identity), day)
        values["retired"] = gone.day if gone is not None and gone.value["away"] else None
    return stored.record(**_named(stored, identity), **values)


def holds(record: Any, day: date) -> bool:
    """Whether a record belongs in the book of `day`: orders and quotes come with their day."""
    begins = getattr(record, "day", None) or getattr(record, "since", None)
    return begins is None or begins <= day


def _named(stored: Stored, identity: Identity) -> dict[str, Any]:
    if stored.paired:
        return {"product": identity[0], "channel": identity[1]}
    return {stored.about or "id": identity}


def newest(rows: Sequence[Kept], day: date) -> Kept | None:
    """The row in force on `day`: the latest that does not begin after it."""
    if len(rows) == 1:
        return rows[0] if rows[0].day <= day else None
    return max((row for row in rows if row.day <= day), key=lambda row: row.day, default=None)


def lines_of(rows: Sequence[Kept], since: date | None) -> tuple[Any, ...]:
    """The lines that belong to the content of `since`, in their order."""
    own = [row for row in rows if row.day == since]
    if len(own) > 1:
        own.sort(key=_POSITION)
    return tuple([row.value for row in own])


def _part(aspect: Aspect, kept: Kept | None) -> Any:
    if kept is None or kept.value[aspect.columns[0]] is None or aspect.part is None:
        return None
    return aspect.part(since=kept.day, **kept.value)


def book_of(live: Live, day: date) -> Book:
    """The book of `day`, every record made anew."""
    shelves: dict[str, Any] = {}
    for kind, stored in STORED.items():
        if kind not in _SINGLE:
            first = live.tables[stored.aspects[0].table.name]
            shelves[SHELF[kind]] = _records(live, stored, sorted(first), day)
    return reaching_back(_with_singles(live, Book(day, **shelves)), partial(_first, live))


def _first(live: Live, kind: str, identity: Identity) -> Any:
    stored = STORED[kind]
    days = [row.day for row in live.rows(stored.content, identity)] if stored.content else []
    return record_of(live, stored, identity, min(days))


def _records(live: Live, stored: Stored, identities: Sequence[Identity], day: date) -> dict[Identity, Any]:
    made = ((identity, record_of(live, stored, identity, day)) for identity in identities)
    return {identity: record for identity, record in made if record is not None and holds(record, day)}


def _with_singles(live: Live, book: Book) -> Book:
    """`book` with the workshop and its terms as they hold; what a row does not say is as for a new workshop."""
    found: dict[str, Any] = {"registrations": _registrations(live, book.day)}
    for kind in _SINGLE:
        record = record_of(live, STORED[kind], WORKSHOP_ID, book.day) or STORED[kind].record()
        found[kind] = _same(getattr(book, kind), record)
    return replace(book, **found)


def _same(held: Any, record: Any) -> Any:
    """What is held already where it says the same: results that rest on it stay good."""
    return held if held == record else record


def _registrations(live: Live, day: date) -> tuple[Registration, ...]:
    aspect = STORED["terms"].content
    rows = [] if aspect is None else [row for row in live.rows(aspect, WORKSHOP_ID) if row.day <= day]
    return tuple(Registration(row.day, row.value["registered"]) for row in sorted(rows))


def book_after(live: Live, before: Book) -> Book:
    """`before` brought to `live`, which is the version right after it: only what moved is made anew."""
    shelves: dict[str, dict[Any, Any]] = {}
    single = False
    for kind, identity in live.fresh:
        if kind in _SINGLE:
            single = True
            continue
        shelf = SHELF[kind]
        if shelf not in shelves:
            shelves[shelf] = dict(getattr(before, shelf))
        _replace(shelves[shelf], live, (kind, identity), before.day)
    ordered: dict[str, Any] = {name: _in_order(shelf, getattr(before, name)) for name, shelf in shelves.items()}
    book = reaching_back(replace(before, **ordered), partial(_first, live), before, live.fresh) if ordered else before
    return _with_singles(live, book) if single else book


def book_on(live: Live, before: Book, day: date, touched: Iterable[Key]) -> Book:
    """`before`, of the same rows, as it holds on an earlier `day`: only what is `touched` is made anew.

    Its orders are left for the caller, who knows which are wanted; quotes are those that had begun.
    """
    shelves: dict[str, dict[Any, Any]] = {}
    for kind, identity in touched:
        if kind not in _SINGLE:
            shelf = shelves.setdefault(SHELF[kind], dict(getattr(before, SHELF[kind])))
            _replace(shelf, live, (kind, identity), day)
    ordered: dict[str, Any] = {name: _in_order(shelf, getattr(before, name)) for name, shelf in shelves.items()}
    quotes = {key: one for key, one in before.quotes.items() if one.since <= day}
    book = replace(before, day=day, quotes=quotes, **ordered)
    return _with_singles(live, reaching_back(book, partial(_first, live), before, touched))


def _replace(shelf: dict[Any, Any], live: Live, key: Key, day: date) -> None:
    kind, identity = key
    stored = STORED[kind]
    record = record_of(live, stored, identity, day)
    if record is None or not holds(record, day):
        shelf.pop(identity, None)
    elif shelf.get(identity) != record:
        shelf[identity] = record


def _in_order(shelf: dict[Any, Any], before: Mapping[Any, Any]) -> dict[Any, Any]:
    """By identity, as when read afresh; only sorted where something was added."""
    return shelf if shelf.keys() <= before.keys() else dict(sorted(shelf.items()))
