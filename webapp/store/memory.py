"""From what a database driver gives to values, column by column.

A workshop writes the same few amounts, days and yes-or-no again and again; each is made once and shared. That and
going by columns instead of rows is most of the speed of reading a book.
"""

from __future__ import annotations

import gc
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from itertools import repeat
from typing import TYPE_CHECKING, Any

from sqlalchemy import Boolean
from sqlalchemy.types import TypeEngine

from webapp.store.columns import Amount, Day, from_millionths
from webapp.store.families import FIELD_OF

if TYPE_CHECKING:
    from webapp.store.aspects import Aspect

Values = dict[str, Any]
MOST = 200_000


class _Amounts(dict[Any, Any]):
    def __missing__(self, whole: int) -> Decimal:
        if len(self) > MOST:
            self.clear()
            self[None] = None
        made = self[whole] = from_millionths(whole)
        return made


class _Days(dict[Any, Any]):
    def __missing__(self, text: str) -> date:
        made = self[text] = date.fromisoformat(text)
        return made


_AMOUNTS = _Amounts({None: None})
_DAYS = _Days({None: None})
as_day: Callable[[Any], date] = _DAYS.__getitem__
_FLAGS = {None: None, 0: False, 1: True}


@contextmanager
def without_collecting() -> Iterator[None]:
    """No garbage collection meanwhile: a book is many objects and no garbage, and looking through them is slow."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def column_reader(kind: TypeEngine[Any]) -> Callable[[Any], Any] | None:
    """What turns a raw value of a column into a value; None where it is one already."""
    if isinstance(kind, Amount):
        return _AMOUNTS.__getitem__
    if isinstance(kind, Day):
        return as_day
    if isinstance(kind, Boolean):
        return _FLAGS.__getitem__
    return None


def reader_for(aspect: Aspect) -> Callable[[list[Any], int], list[Any]]:
    """From the raw value columns of an aspect, and how many rows there are, to one value a row."""
    readers = [column_reader(aspect.table.c[name].type) for name in aspect.columns]
    build = _lines(aspect) if aspect.listed else _contents(aspect)

    def read(columns: list[Any], count: int) -> list[Any]:
        pairs = zip(readers, columns, strict=True)
        return build([values if one is None else map(one, values) for one, values in pairs], count)

    return read


def _lines(aspect: Aspect) -> Callable[[list[Any], int], list[Any]]:
    part = aspect.part
    if part is None or part is int:
        return lambda columns, _: list(columns[0])
    order = [aspect.columns.index(name) for name in part.__match_args__]
    fill = [getattr(part, name).__set__ for name in part.__match_args__]

    def lines(columns: list[Any], count: int) -> list[Any]:
        # As the class would make them, in half the time: a frozen record's own way sets each field by a call.
        made = list(map(object.__new__, repeat(part, count)))
        for one, at in zip(fill, order, strict=True):
            deque(map(one, made, columns[at]), 0)
        return made

    return lines


def _contents(aspect: Aspect) -> Callable[[list[Any], int], list[Any]]:
    names = tuple(FIELD_OF.get(column, column) for column in aspect.columns)
    within = {
        name: (kind, tuple(f"{name}_{inner}" for inner in kind.__match_args__)) for name, kind in aspect.within.items()
    }

    def content(columns: list[Any], count: int) -> list[Values]:
        if not columns:
            return [{} for _ in range(count)]
        rows = [dict(zip(names, row, strict=True)) for row in zip(*columns, strict=True)]
        for name, (kind, inner) in within.items():
            for row in rows:
                packed = [row.pop(one) for one in inner]
                row[name] = None if packed[0] is None else kind(*packed)
        return rows

    return content
