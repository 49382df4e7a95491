"""Rows to books. Everything that holds now is read once and kept; afterwards only rows that moved are read.

What is kept is never changed in place: a refresh makes a new `Live` and publishes it by one assignment, so that
readers need no lock. Records of things that did not move stay the same objects from book to book.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, partial
from typing import Any, cast

from sqlalchemy import (
    BindParameter,
    ColumnElement,
    CompoundSelect,
    Connection,
    Executable,
    Integer,
    Select,
    and_,
    bindparam,
    exists,
    func,
    literal_column,
    or_,
    select,
    type_coerce,
    union_all,
)
from sqlalchemy.types import NULLTYPE

from webapp.store.aspects import Aspect, Identity, Kept
from webapp.store.families import ThingRow
from webapp.store.memory import as_day
from webapp.store.rows import ASPECTS, STORED

Key = tuple[str, Identity]
Rows = dict[Identity, list[Kept]]
_KIND_OF = {aspect.table.name: stored.kind for stored in STORED.values() for aspect in stored.aspects}
_SHARED = "retired"


@dataclass(frozen=True, slots=True)
class Live:
    """All rows that hold at a version: by table, then by what they are about; and when each thing last moved."""

    epoch: str
    version: int
    kinds: Mapping[int, str]
    tables: Mapping[str, Rows]
    moved: Mapping[Key, int]
    fresh: frozenset[Key] = field(default_factory=frozenset)
    """What moved since the state that this one `follows`; empty when everything was read."""
    follows: tuple[str, int] | None = None

    def rows(self, aspect: Aspect, identity: Identity) -> list[Kept]:
        """The rows of one table about one thing or pair."""
        return self.tables[aspect.table.name].get(identity, [])


#: a row to keep from its four parts, without a call into Python for each
_keep: Callable[[tuple[Any, ...]], Kept] = partial(tuple.__new__, Kept)


def _number(name: str) -> BindParameter[int]:
    """A whole number given when a statement is asked. Statements are kept: making one takes longer than its answer."""
    return bindparam(name, type_=Integer())


def _fetched(connection: Connection, statement: Executable, **given: int) -> list[Any]:
    """All rows as the driver gives them: the library's own rows would only be taken apart at once."""
    found = connection.execute(statement, given)
    rows = cast("list[Any]", cast("Any", found).cursor.fetchall())
    found.close()
    return rows


def _raw(aspect: Aspect) -> Select[*tuple[Any, ...]]:
    """The columns of an aspect as the driver gives them: the library's own way through each value is slow."""
    key = [name for name in ("from_day", "position") if name in aspect.key]
    names = (*aspect.identity, *key, "id", "made_in", "ended_in", *aspect.columns)
    return select(*(type_coerce(aspect.table.c[name], NULLTYPE).label(f"c_{name}") for name in names))


def _taken(aspect: Aspect, rows: list[Any]) -> tuple[list[Identity], list[Any], list[Any], list[Kept]]:
    """(about, made in, ended in, what is kept) of raw rows."""
    columns: list[Any] = list(zip(*rows, strict=True))
    count = len(aspect.identity)
    about = list(columns[0]) if count == 1 else list(zip(*columns[:count], strict=True))
    at = count
    nothing: list[Any] = [None] * len(rows)
    days, positions = nothing, nothing
    if "from_day" in aspect.key:
        days, at = list(map(as_day, columns[at])), at + 1
    if "position" in aspect.key:
        positions, at = columns[at], at + 1
    numbers, made, ended = columns[at : at + 3]
    values = aspect.decode(columns[at + 3 :], len(rows))
    return about, made, ended, list(map(_keep, zip(days, positions, numbers, values, strict=True)))


def raw_rows(
    connection: Connection, aspect: Aspect, where: ColumnElement[bool]
) -> Iterator[tuple[Identity, int, int | None, Kept]]:
    """(about, made in, ended in, what is kept) of the rows of a table, ended ones too, in the order of making."""
    found = connection.execute(_raw(aspect).where(where).order_by(aspect.table.c.id)).fetchall()
    return zip(*_taken(aspect, list(found)), strict=True) if found else iter(())


def _grouped(about: Iterable[Identity], kept: Iterable[Kept]) -> Rows:
    rows: Rows = {}
    for one, row in zip(about, kept, strict=True):
        held = rows.get(one)
        if held is None:
            rows[one] = [row]
        else:
            held.append(row)
    return rows


def _key(table: str, kinds: Mapping[int, str], about: Identity) -> Key:
    return (kinds[about] if table == _SHARED else _KIND_OF[table]), about


@cache
def _holding(aspect: Aspect, past: bool) -> Select[*tuple[Any, ...]]:
    """The rows that hold now; with `past`, those that held at a version."""
    table = aspect.table
    holds: ColumnElement[bool] = table.c.ended_in.is_(None)
    if past:
        holds = and_(table.c.made_in <= _number("version"), or_(holds, table.c.ended_in > _number("version")))
    return _raw(aspect).where(holds).order_by(table.c.id)


@cache
def _moved_since(aspect: Aspect) -> Select[*tuple[Any, ...]]:
    """The rows that were made or ended after a version."""
    return _raw(aspect).where(_since(aspect)).order_by(aspect.table.c.id)


def _since(aspect: Aspect) -> ColumnElement[bool]:
    columns = aspect.table.c
    return or_(columns.made_in > _number("version"), columns.ended_in > _number("version"))


@cache
def _where_something_moved() -> CompoundSelect[*tuple[Any, ...]]:
    """The names of the tables of which a row was made or ended after a version: to ask each takes most of the time."""
    queries = []
    for name, aspect in ASPECTS.items():
        named: ColumnElement[str] = literal_column(f"'{name}'")  # a name of our own, no one's input
        queries.append(select(named).where(exists().where(_since(aspect))))
    return union_all(*queries)


def read_all(connection: Connection, epoch: str, version: int, *, past: bool = False) -> Live:
    """Everything that holds at `version`; with `past`, as it was known at that earlier version."""
    kinds = _kinds(connection)
    tables: dict[str, Rows] = {}
    moved: dict[Key, int] = {}
    at = {"version": version} if past else {}
    for name, aspect in ASPECTS.items():
        found = _fetched(connection, _holding(aspect, past), **at)
        if not found:
            tables[name] = {}
            continue
        about, made, _, kept = _taken(aspect, found)
        tables[name] = _grouped(about, kept)
        # Rows are numbered in the order of their making, so the last of a thing is the latest.
        for one, when in dict(zip(about, made, strict=True)).items():
            _raise(moved, _key(name, kinds, one), when)
    for name, about, when in _ended(connection, version):
        _raise(moved, _key(name, kinds, about), when)
    return Live(epoch, version, kinds, tables, moved)


def _raise(moved: dict[Key, int], key: Key, when: int) -> None:
    if when > moved.get(key, 0):
        moved[key] = when


def _kinds(connection: Connection) -> dict[int, str]:
    return dict(_fetched(connection, _things(), newest=0))


@cache
def _things() -> Select[int, str]:
    """Things that are newer than the `newest` that is known."""
    things = ThingRow.__table__  # type: ignore[attr-defined]
    return select(things.c.id, things.c.kind).where(things.c.id > _number("newest"))


@cache
def _endings() -> CompoundSelect[*tuple[Any, ...]]:
    queries = []
    for name, aspect in ASPECTS.items():
        table = aspect.table
        one = [table.c[column] for column in aspect.identity]
        both = one if aspect.paired else [*one, literal_column("0")]
        last = func.max(table.c.ended_in)
        ended = table.c.ended_in <= _number("version")
        named: ColumnElement[str] = literal_column(f"'{name}'")  # a name of our own, no one's input
        queries.append(select(named, *both, last).where(ended).group_by(*one))
    return union_all(*queries)


def _ended(connection: Connection, version: int) -> Iterator[tuple[str, Identity, int]]:
    """(table, about, when) of the last ending of each thing in each table, in one statement."""
    for name, first, second, when in _fetched(connection, _endings(), version=version):
        yield name, ((first, second) if ASPECTS[name].paired else first), when


def refresh(connection: Connection, live: Live, version: int) -> Live:
    """`live` brought to `version` by the rows made or ended since; what did not move is shared with it."""
    kinds = {**live.kinds, **_new_kinds(connection, live)}
    tables, moved = dict(live.tables), dict(live.moved)
    fresh: set[Key] = set()
    for (name,) in _fetched(connection, _where_something_moved(), version=live.version):
        aspect, rows = ASPECTS[name], tables[name]
        found = _fetched(connection, _moved_since(aspect), version=live.version)
        touched: dict[Identity, dict[int, Kept]] = {}
        for one, made, ended, kept in zip(*_taken(aspect, found), strict=True):
            held = touched.get(one)
            if held is None:
                held = touched[one] = {row.row: row for row in rows.get(one, ())}
            if ended is None:
                held[kept.row] = kept
            else:
                held.pop(kept.row, None)
            key = _key(name, kinds, one)
            fresh.add(key)
            _raise(moved, key, max(made, ended or 0))
        tables[name] = _with(rows, touched)
    return Live(live.epoch, version, kinds, tables, moved, frozenset(fresh), (live.epoch, live.version))


def _with(rows: Rows, touched: Mapping[Identity, dict[int, Kept]]) -> Rows:
    changed = {**rows, **{one: list(held.values()) for one, held in touched.items()}}
    return {one: held for one, held in changed.items() if held}


def _new_kinds(connection: Connection, live: Live) -> dict[int, str]:
    return dict(_fetched(connection, _things(), newest=max(live.kinds, default=0)))
