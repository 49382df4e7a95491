"""What a file changes of what is there, field by field, as texts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from webapp.costing import entry
from webapp.costing.book import Id
from webapp.costing.changes import Put, key_of
from webapp.costing.everything import dated_parts
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


def differences(back: Back, one: Arrived) -> Iterator[Changed]:
    """The fields in which a thing that is there becomes another."""
    if not isinstance(one.change, Put):
        away = getattr(one.change, "day", None)
        yield Changed(HEADS["retired"], _day(one.before), _day(away))
        return
    kind, names, after = one.version.kind, back.naming.names, one.change.record
    for name, _ in dated_parts(kind):
        part = getattr(after, name.name)
        if part is not None:
            title = next(inner.title for inner in inner_sheets(kind) if inner.inner == name.name)
            yield Changed(title, "", f"from {part.since.isoformat()}")
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


def _day(value: Any) -> str:
    return value.isoformat() if value else ""


def _lines(was: tuple[Any, ...], now: tuple[Any, ...]) -> tuple[str, str]:
    if len(was) != len(now):
        return f"{len(was)} rows", f"{len(now)} rows"
    others = [str(place) for place, pair in enumerate(zip(was, now, strict=True), start=1) if pair[0] != pair[1]]
    return f"{len(was)} rows", f"as many, with another {', '.join(others)}"
