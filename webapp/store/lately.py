"""What was saved lately, change by change: what it is about, the prices stored with it, and what holds up its undo.

A page of changes takes the same number of statements however many there are and however many rows they touched. What is
said here is what an undo would be refused for; the undo itself looks once more (`undoing`).
"""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import CTE, CompoundSelect, Connection, Select, String, literal, or_, select, union_all

from webapp.costing.book import Price
from webapp.costing.changes import Change, Put, Withdraw
from webapp.store.families import ChangeRow
from webapp.store.held_up import VERSIONS, asked_for, held_up
from webapp.store.history import Past, past_changes
from webapp.store.reading import Key
from webapp.store.rows import STORED
from webapp.store.selling_tables import PriceRow

CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]
PRICE = PriceRow.__table__  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True)
class StoredPrice:
    """A selling price that a change stored, whether that row holds still, and the one of the same day before it."""

    price: Price
    holds: bool
    before: Price | None = None

    @property
    def taken_back(self) -> Change:
        """What takes it back: the one of the same day holds again, or the one of an earlier day."""
        one = self.price
        return Put(self.before) if self.before else Withdraw("price", (one.product, one.channel), one.since)


@dataclass(frozen=True, slots=True)
class Lately:
    """A change, the things that it is about, its prices, and the later change that holds up its undo."""

    past: Past
    about: tuple[Key, ...]
    prices: tuple[StoredPrice, ...]
    held_up_by: Past | None

    @property
    def can_undo(self) -> bool:
        """Whether nothing known stands against taking it back."""
        return self.past.undone_by is None and self.past.undoes is None and self.held_up_by is None


def lately(connection: Connection, most: int, before: int | None = None) -> tuple[Lately, ...]:
    """The newest changes, newest first; only those older than `before`, where that is named."""
    query = select(CHANGE.c.id, CHANGE.c.ids).order_by(CHANGE.c.id.desc()).limit(most)
    if before is not None:
        query = query.where(CHANGE.c.id < before)
    made = {row.id: json.loads(row.ids) for row in connection.execute(query)}
    if not made:
        return ()
    versions = tuple(made)
    things = {int(one): version for version, ids in made.items() for one in ids.values()}
    later: dict[int, int] = {}
    for version, other in held_up(connection, versions, things):
        later[version] = max(other, later.get(version, 0))
    told = {past.version: past for past in past_changes(connection, {*versions, *later.values()})}
    about, prices = _about(connection, versions), _prices(connection, versions)
    return tuple(
        Lately(told[one], tuple(sorted(about[one])), tuple(prices[one]), told.get(later.get(one, 0)))
        for one in versions
    )


def _about(connection: Connection, versions: Collection[int]) -> Mapping[int, set[Key]]:
    """The things, not the facts about pairs, whose rows each change made or ended."""
    found: dict[int, set[Key]] = defaultdict(set)
    for kind, thing, made, ended in connection.execute(_all_touched(), {VERSIONS: list(versions)}):
        for version in {made, ended} & set(versions):
            found[version].add((kind, thing))
    return found


@cache
def _all_touched() -> CompoundSelect[Any]:
    asked = asked_for(CHANGE, VERSIONS)
    heads = {kind: one.aspects[0].table for kind, one in STORED.items() if not (one.paired or one.about)}
    return union_all(*(_touched(kind, table, asked) for kind, table in heads.items()))


def _touched(kind: str, table: Any, asked: CTE) -> Select[Any]:
    versions = select(asked.c.id)
    query = select(literal(kind, String), table.c.thing, table.c.made_in, table.c.ended_in)
    return query.where(or_(table.c.made_in.in_(versions), table.c.ended_in.in_(versions)))


def _prices(connection: Connection, versions: Collection[int]) -> Mapping[int, list[StoredPrice]]:
    query = select(PRICE).where(or_(PRICE.c.made_in.in_(versions), PRICE.c.ended_in.in_(versions)))
    rows = connection.execute(query.order_by(PRICE.c.product, PRICE.c.channel, PRICE.c.from_day)).all()
    before = {(row.ended_in, row.product, row.channel, row.from_day): _price(row) for row in rows}
    found: dict[int, list[StoredPrice]] = defaultdict(list)
    for row in rows:
        if row.made_in in versions and row.made_in != row.ended_in:
            was = before.get((row.made_in, row.product, row.channel, row.from_day))
            found[row.made_in].append(StoredPrice(_price(row), row.ended_in is None, was))
    return found


def _price(row: Any) -> Price:
    return Price(row.product, row.channel, row.from_day, row.amount, row.why, row.floor, row.suggested)


def prices_of(connection: Connection, version: int) -> tuple[StoredPrice, ...]:
    """The prices that one change stored."""
    return tuple(_prices(connection, (version,))[version])


def left_behind(connection: Connection, version: int) -> tuple[StoredPrice, ...]:
    """Prices that were decided with an order which this change took back, and hold all the same."""
    head, *others = (aspect.table for aspect in STORED["order"].aspects)
    there = select(head.c.thing).where(head.c.ended_in.is_(None))
    gone = select(head.c.thing).where(head.c.ended_in == version, head.c.thing.not_in(there))
    orders = tuple(connection.execute(gone).scalars())
    if not orders:
        return ()
    tables = (head, *others)
    made = {one for table in tables for one in _made(connection, table, orders) if one != version}
    return tuple(one for found in _prices(connection, made).values() for one in found if one.holds)


def _made(connection: Connection, table: Any, things: Sequence[int]) -> set[int]:
    return set(connection.execute(select(table.c.made_in).where(table.c.thing.in_(things))).scalars())


def saved_in(
    connection: Connection, version: int
) -> tuple[Past, tuple[StoredPrice, ...], tuple[StoredPrice, ...]] | None:
    """One change, the prices stored with it, and those of an order that it took back which hold all the same."""
    found = past_changes(connection, (version,))
    return (found[0], prices_of(connection, version), left_behind(connection, version)) if found else None
