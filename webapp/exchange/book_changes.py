"""What a file changes of what is there, field by field, as texts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from webapp.costing import entry
from webapp.costing.book import Id
from webapp.costing.changes import Put, key_of
from webapp.costing.everything import Everything, dated_parts
from webapp.exchange.book_back import Arrived, Back
from webapp.exchange.book_rows import cell
from webapp.exchange.book_sheets import inner_sheets, main_sheet, shape_of
from webapp.exchange.book_words import HEADS


@dataclass(frozen=True, slots=True)
class Changed:
    """One field: its head, what is there, what the file says."""

    head: str
    before: str
    after: str


def called(back: Back, one: Arrived) -> str:
    """What a change is about, as the file calls it, and from which day."""
    identity = key_of(one.change.record)[1] if isinstance(one.change, Put) else one.change.id
    ids: tuple[Id, ...] = identity if isinstance(identity, tuple) else (identity,)
    name = ", ".join(filter(None, (back.naming.names.get(each, "") for each in ids)))
    day = one.version.since.isoformat() if one.version.since else ""
    return ", from ".join(filter(None, (name or main_sheet(one.version.kind).title, day)))


def differences(back: Back, one: Arrived, held: Everything) -> Iterator[Changed]:
    """The fields in which a thing that is there becomes another."""
    if not isinstance(one.change, Put):
        away = getattr(one.change, "day", None)
        yield Changed(HEADS["retired"], _day(one.before), _day(away))
        return
    kind, names, after = one.version.kind, back.naming.names, one.change.record
    for name, _ in dated_parts(kind):
        yield from _of_part(after, kind, name.name, held)
    if one.before is None:
        return
    shape = shape_of(kind)
    shown = [entry.show(shape, record) for record in (one.before, after)]
    for column in main_sheet(kind).columns:
        if column.field and column.field[0] not in {name.name for name, _ in dated_parts(kind)}:
            was, now = (cell(column, each, names) for each in shown)
            if was != now:
                yield Changed(column.head, was, now)
    for inner in inner_sheets(kind):
        had, has = (getattr(record, inner.inner, None) for record in (one.before, after))
        if isinstance(has, tuple) and had != has:
            yield Changed(inner.title, *_lines(had or (), has))


def _of_part(after: Any, kind: str, name: str, held: Everything) -> Iterator[Changed]:
    """The fields of a wage or a density that differ from what holds from the same day on, or are new."""
    part = getattr(after, name)
    known = held.part(kind, name).get(after.id, ())
    if part is None or part in known:
        return
    inner = next(one for one in inner_sheets(kind) if one.inner == name)
    was = next((one for one in known if one.since == part.since), None)
    before = {} if was is None else entry.show(inner.shape, was)
    now = entry.show(inner.shape, part)
    for column in inner.columns:
        if column.field and column.key != "since":
            texts = cell(column, before, {}) if before else "", cell(column, now, {})
            if texts[0] != texts[1]:
                yield Changed(f"{inner.title}, from {part.since.isoformat()}: {column.head}", *texts)


def _day(value: Any) -> str:
    return value.isoformat() if value else ""


def _lines(was: tuple[Any, ...], now: tuple[Any, ...]) -> tuple[str, str]:
    if len(was) != len(now):
        return f"{len(was)} rows", f"{len(now)} rows"
    others = [str(place) for place, pair in enumerate(zip(was, now, strict=True), start=1) if pair[0] != pair[1]]
    return f"{len(was)} rows", f"as many, changed in row{'s' * (len(others) > 1)} {', '.join(others)}"
