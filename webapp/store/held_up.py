"""What holds up an undo: rows that moved on since, and what uses the things that a change made.

Each is asked in one statement over all tables, so that it takes no more of them for more changes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from sqlalchemy import CTE, CompoundSelect, Connection, Select, and_, bindparam, case, or_, select, union_all

from webapp.store.aspects import Aspect
from webapp.store.families import ChangeRow, ThingRow
from webapp.store.rows import ASPECTS

CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]
THING = ThingRow.__table__  # type: ignore[attr-defined]
VERSIONS, THINGS = "versions", "things"
_OURS = ("id", "made_in", "ended_in")


def held_up(connection: Connection, versions: Sequence[int], made: Mapping[int, int]) -> Iterator[tuple[int, int]]:
    """(change, a later one that is in its way); `made` is by which change each new thing was made."""
    yield from _moved_on(connection, versions)
    yield from _used(connection, made)


def asked_for(table: Any, name: str) -> CTE:
    """The rows of `table` whose numbers are sent as `name`: sent once, however often a statement looks into them."""
    return select(table.c.id).where(table.c.id.in_(bindparam(name, expanding=True))).cte(name)


def _moved_on(connection: Connection, versions: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Changes whose rows ended, or in whose place others stand by now."""
    found = connection.execute(_all_moved(), {VERSIONS: versions})
    for made, ended, now, same_as_made, same_as_next in found:
        if made in versions and not same_as_made:
            yield made, ended
        if ended in versions and now not in (None, ended) and not same_as_next:
            yield ended, now


@cache
def _all_moved() -> CompoundSelect[Any]:
    asked = asked_for(CHANGE, VERSIONS)
    return union_all(*(_moved(aspect, asked) for aspect in ASPECTS.values()))


def _moved(aspect: Aspect, asked: CTE) -> Select[Any]:
    """Rows that the changes made or ended and that held for a while, each with the row that holds in its place.

    Whether that one says the same as the row, and the same as the row that came right after it.
    """
    row, now, following = aspect.table.alias(), aspect.table.alias(), aspect.table.alias()
    versions = select(asked.c.id)
    holds = and_(now.c.ended_in.is_(None), *_in_place(aspect, row, now))
    came_after = and_(following.c.made_in == row.c.ended_in, _lasting(following), *_in_place(aspect, row, following))
    query = select(row.c.made_in, row.c.ended_in, now.c.made_in, _same(row, now), _same(following, now))
    return query.select_from(row.outerjoin(now, holds).outerjoin(following, came_after)).where(
        _lasting(row), or_(row.c.made_in.in_(versions), row.c.ended_in.in_(versions))
    )


def _in_place(aspect: Aspect, one: Any, other: Any) -> Iterable[Any]:
    return (one.c[name] == other.c[name] for name in aspect.key)


def _lasting(row: Any) -> Any:
    """What one change both made and ended never held."""
    return and_(row.c.ended_in.is_not(None), row.c.ended_in != row.c.made_in)


def _same(row: Any, now: Any) -> Any:
    """1 where both are there and say the same."""
    said = (row.c[one.name].is_not_distinct_from(now.c[one.name]) for one in row.c if one.name not in _OURS)
    return case((and_(now.c.id.is_not(None), *said), 1), else_=0)


def _used(connection: Connection, made: Mapping[int, int]) -> Iterator[tuple[int, int]]:
    """Changes that made something which another, later one refers to."""
    for thing, version in connection.execute(_all_uses(), {THINGS: list(made)}):
        if version > made[thing]:
            yield made[thing], version


@cache
def _all_uses() -> CompoundSelect[Any]:
    asked = select(asked_for(THING, THINGS).c.id)
    return union_all(*(query for aspect in ASPECTS.values() for query in _uses(aspect, asked)))


def _uses(aspect: Aspect, asked: Select[Any]) -> Iterator[Select[Any]]:
    """Each thing that a row of this table refers to and holds, and the change that made the row."""
    table = aspect.table
    for name in (*aspect.columns, *(aspect.identity if aspect.paired or aspect.about else ())):
        if any(key.target_fullname == "thing.id" for key in table.c[name].foreign_keys):
            using = and_(table.c.ended_in.is_(None), table.c[name].in_(asked))
            yield select(table.c[name], table.c.made_in).where(using).distinct()
