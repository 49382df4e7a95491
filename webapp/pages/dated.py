"""What is changed holds from today, unless another day is typed: what was stays as it was."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from webapp.costing.book import KINDS, SHELVES, Person
from webapp.pages.rendering import Desk

#: kinds whose forms begin with today; how the workshop reckons is mostly put right and not changed, so it is not one
DATED = frozenset(("person", "bill", "channel", "formula", "product", "group"))
#: what is not dated: to change it makes no other fact from today on
_UNDATED = ("name", "note")


def from_today(desk: Desk, record: Any) -> Any:
    """The record as its form begins: what is changed holds from today. Another day is only looked at, as it was."""
    return record if desk.read_only else _since(record, desk.today)


def as_held(desk: Desk, kind: str, ident: int | None, record: Any) -> Any:
    """The record with the day of what holds already, where nothing that is dated was changed in a form of today."""
    held = _held(desk, kind, ident)
    if held is None or _day(record) != desk.today or _day(held) is None:
        return record
    same = replace(record, **{name: getattr(held, name) for name in _UNDATED if hasattr(held, name)})
    return _since(record, _day(held)) if _since(same, _day(held)) == held else record


def _held(desk: Desk, kind: str, ident: int | None) -> Any:
    if kind not in DATED:
        return None
    return getattr(desk.book, SHELVES[KINDS[kind]][1]).get(ident)


def _day(record: Any) -> Any:
    if isinstance(record, Person):
        return record.wage.since if record.wage else None
    return record.since


def _since(record: Any, day: Any) -> Any:
    if isinstance(record, Person):
        return record if record.wage is None else replace(record, wage=replace(record.wage, since=day))
    return replace(record, since=day)
