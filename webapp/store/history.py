"""What happened to a thing, and the facts about it by their day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, and_, func, select

from webapp.costing.limits import LAST_DAY
from webapp.store.aspects import Aspect, Identity, Kept, Stored
from webapp.store.assembling import record_of
from webapp.store.families import ChangeRow
from webapp.store.reading import Live, raw_rows
from webapp.store.rows import STORED

CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True)
class Past:
    """A change: when (UTC), what and why; what it undoes and by what it was undone; the facts that it made."""

    version: int
    when: datetime
    kind: str
    why: str
    device: str
    undoes: int | None
    undone_by: int | None
    facts: tuple[Any, ...] = ()


@dataclass(frozen=True, slots=True)
class Gone:
    """A thing that is not in the book any more: as it was last, and every change of it, newest first."""

    record: Any
    past: tuple[Past, ...]


@dataclass(frozen=True, slots=True)
class _Span:
    aspect: Aspect
    kept: Kept
    made: int
    ended: int | None

    def holds_at(self, version: int) -> bool:
        return self.made <= version and (self.ended is None or self.ended > version)


def history_of(connection: Connection, kind: str, identity: Identity) -> tuple[Past, ...]:
    """Every change of a thing or pair, newest first, with the facts that it made as they stood then."""
    stored = STORED[kind]
    spans = _spans(connection, stored, identity)
    versions = _versions(spans)
    facts = {version: _made_in(stored, identity, spans, version) for version in versions}
    return _changes(connection, facts)


def gone_of(connection: Connection, kind: str, most: int) -> tuple[Gone, ...]:
    """The things of a kind that were taken back, the one that went last first; `most` of them."""
    stored = STORED[kind]
    first = stored.aspects[0].table
    holding = select(first.c.thing).where(first.c.ended_in.is_(None))
    went = func.max(first.c.ended_in)
    query = select(first.c.thing).where(first.c.thing.not_in(holding)).group_by(first.c.thing)
    idents = tuple(connection.execute(query.order_by(went.desc()).limit(most)).scalars())
    spans = _spans_of(connection, stored, idents)
    versions = {version for every in spans.values() for version in _versions(every)}
    changes = {one.version: one for one in _changes(connection, dict.fromkeys(versions, ()))}
    found = []
    for ident in idents:
        past = tuple(changes[version] for version in sorted(_versions(spans[ident]), reverse=True))
        live = _held(stored, ident, spans[ident], past[0].version - 1)
        found += [Gone(record, past) for record in _records(live, stored, ident, {LAST_DAY})]
    return tuple(found)


def newest_changes(connection: Connection, most: int) -> tuple[Past, ...]:
    """The newest changes of all, newest first, without their facts."""
    query = select(CHANGE.c.id).order_by(CHANGE.c.id.desc()).limit(most)
    return _changes(connection, dict.fromkeys(connection.execute(query).scalars(), ()))


def change_of(connection: Connection, token: str) -> int | None:
    """The change that was stored with a token; None where there is none."""
    found: int | None = connection.execute(select(CHANGE.c.id).where(CHANGE.c.token == token)).scalar_one_or_none()
    return found


def past_changes(connection: Connection, versions: Iterable[int]) -> tuple[Past, ...]:
    """The changes of these numbers, newest first, without their facts."""
    return _changes(connection, dict.fromkeys(versions, ()))


def facts_of(live: Live, kind: str, identity: Identity) -> tuple[Any, ...]:
    """The dated facts of a thing or pair that hold now, newest first; one record where nothing of it is dated."""
    stored = STORED[kind]
    days = {row.day for aspect in _dated(stored) for row in live.rows(aspect, identity)}
    return _records(live, stored, identity, days or {LAST_DAY})


def _dated(stored: Stored) -> tuple[Aspect, ...]:
    return tuple(aspect for aspect in (stored.content, *stored.parts.values()) if aspect is not None)


def _records(live: Live, stored: Stored, identity: Identity, days: set[date]) -> tuple[Any, ...]:
    found = (record_of(live, stored, identity, day) for day in sorted(days, reverse=True))
    return tuple(record for record in found if record is not None)


def _spans(connection: Connection, stored: Stored, identity: Identity) -> list[_Span]:
    spans = []
    for aspect in stored.aspects:
        about = identity if aspect.paired else (identity,)
        columns = zip(aspect.identity, about, strict=True)
        own = and_(*(aspect.table.c[name] == value for name, value in columns))
        for _, made, ended, kept in raw_rows(connection, aspect, own):
            spans.append(_Span(aspect, kept, made, ended))
    return spans


def _spans_of(connection: Connection, stored: Stored, idents: Iterable[int]) -> dict[int, list[_Span]]:
    """The same of several things at once, in no more statements than one takes."""
    found: dict[int, list[_Span]] = {ident: [] for ident in idents}
    for aspect in stored.aspects if found else ():
        for about, made, ended, kept in raw_rows(connection, aspect, aspect.table.c.thing.in_(list(found))):
            found[about].append(_Span(aspect, kept, made, ended))
    return found


def _versions(spans: Iterable[_Span]) -> set[int]:
    ends = [(span.made, span.ended) for span in spans]
    return {version for both in ends for version in both if version is not None}


def _held(stored: Stored, identity: Identity, spans: Iterable[_Span], version: int) -> Live:
    """What held of one thing at a version."""
    tables: dict[str, dict[Identity, list[Kept]]] = {aspect.table.name: {} for aspect in stored.aspects}
    for span in spans:
        if span.holds_at(version):
            tables[span.aspect.table.name].setdefault(identity, []).append(span.kept)
    return Live("", version, {}, tables, {})


def _made_in(stored: Stored, identity: Identity, spans: list[_Span], version: int) -> tuple[Any, ...]:
    live = _held(stored, identity, spans, version)
    days = {span.kept.day or LAST_DAY for span in spans if span.made == version}
    return tuple(dict.fromkeys(_records(live, stored, identity, days)))


def _changes(connection: Connection, facts: Mapping[int, tuple[Any, ...]]) -> tuple[Past, ...]:
    wanted = list(facts)
    query = select(CHANGE).where(CHANGE.c.id.in_(wanted)).order_by(CHANGE.c.id.desc())
    undone = select(CHANGE.c.undoes, CHANGE.c.id).where(CHANGE.c.undoes.in_(wanted))
    by: dict[int | None, int] = dict(connection.execute(undone).all())
    return tuple(
        Past(row.id, row.at, row.kind, row.why, row.device, row.undoes, by.get(row.id), facts[row.id])
        for row in connection.execute(query)
    )
