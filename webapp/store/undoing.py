"""Undo: the change that ends what another made and inserts again what it ended. Nothing is changed here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, and_, or_, select

from webapp.costing.book import Book
from webapp.costing.changes import Put, apply
from webapp.errors import Conflict, NotFound
from webapp.store.aspects import Aspect
from webapp.store.assembling import SHELF
from webapp.store.difference import Plan
from webapp.store.families import ChangeRow
from webapp.store.reading import Live
from webapp.store.rows import ASPECTS, STORED

CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]
_OURS = ("id", "made_in", "ended_in")


def plan_to_undo(connection: Connection, number: int) -> Plan:
    """The rows that undoing change `number` ends and makes.

    NotFound for a change that is not there, Conflict, naming the later change, where its rows moved on.
    """
    if connection.execute(select(CHANGE.c.id).where(CHANGE.c.id == number)).one_or_none() is None:
        raise NotFound("There is no such change, so nothing was undone.")
    plan = Plan()
    for name, aspect in ASPECTS.items():
        table = aspect.table
        # What one change both made and ended never held, and needs no undoing.
        lasting = or_(table.c.ended_in.is_(None), table.c.ended_in != table.c.made_in)
        touched = and_(or_(table.c.made_in == number, table.c.ended_in == number), lasting)
        rows = [dict(row) for row in connection.execute(select(table).where(touched)).mappings()]
        made = [_as_it_lasts(connection, aspect, row) for row in rows if row["made_in"] == number]
        again = [row for row in rows if row["ended_in"] == number]
        _refuse_taken(connection, aspect, again, {row["id"] for row in made})
        if made:
            plan.ended[name] = [row["id"] for row in made]
        if again:
            plan.made[name] = [{key: row[key] for key in row if key not in _OURS} for row in again]
    return plan


def _as_it_lasts(connection: Connection, aspect: Aspect, row: dict[str, Any]) -> dict[str, Any]:
    """The row, or the one that says the same since a later change was undone. Conflict where it moved on."""
    if row["ended_in"] is None:
        return row
    table = aspect.table
    holding = table.c.ended_in.is_(None) & and_(*(table.c[name] == row[name] for name in aspect.key))
    for now in connection.execute(select(table).where(holding)).mappings():
        if all(now[name] == value for name, value in row.items() if name not in _OURS):
            return dict(now)
    raise _moved_on(connection, row["ended_in"])


def _moved_on(connection: Connection, later: int) -> Conflict:
    found = connection.execute(select(CHANGE.c.kind, CHANGE.c.at).where(CHANGE.c.id == later)).one()
    return Conflict(
        f"This was changed again on {found.at:%Y-%m-%d at %H:%M} UTC ({found.kind}). Undo that change first."
    )


def _refuse_taken(connection: Connection, aspect: Aspect, again: list[dict[str, Any]], leaving: set[int]) -> None:
    """Conflict where a row that holds now stands in the place, or has the name, of one that would come back."""
    if not again:
        return
    table = aspect.table
    holding = and_(table.c.ended_in.is_(None), table.c.id.not_in(leaving))
    first = aspect.identity[0]
    beside = holding & table.c[first].in_({row[first] for row in again})
    places = {tuple(row[name] for name in aspect.key) for row in again}
    for row in connection.execute(select(table).where(beside)).mappings():
        if tuple(row[name] for name in aspect.key) in places:
            raise _moved_on(connection, row["made_in"])
    if "name_key" in table.c:
        named = holding & table.c.name_key.in_({row["name_key"] for row in again})
        if connection.execute(select(table.c.id).where(named)).first() is not None:
            raise Conflict("Another one has that name by now. Rename it first, then undo.")


def refuse_unsound(connection: Connection, live: Live, book: Book, plan: Plan) -> None:
    """Conflict where what an undo would leave behind does not hold together.

    Something that is gone is still used, or a record has faults beside what changed since.
    """
    _refuse_used(connection, live, plan)
    for kind, identity in sorted(live.fresh, key=repr):
        record = _in_book(book, kind, identity)
        if record is None:
            continue
        after = apply(book, Put(record))
        if not isinstance(after, Book):
            raise Conflict(f"Undoing this would leave something that does not fit: {after[0].sentence}")


def _in_book(book: Book, kind: str, identity: Any) -> Any:
    shelf = getattr(book, SHELF[kind])
    return shelf.get(identity) if isinstance(shelf, Mapping) else shelf


def _refuse_used(connection: Connection, live: Live, plan: Plan) -> None:
    gone = {
        identity
        for kind, identity in live.fresh
        if not (STORED[kind].paired or STORED[kind].about) and not live.rows(STORED[kind].aspects[0], identity)
    }
    if not gone or not plan.ended:
        return
    for aspect in ASPECTS.values():
        table = aspect.table
        for name in (*aspect.columns, *(aspect.identity if aspect.paired or aspect.about else ())):
            if not any(key.target_fullname == "thing.id" for key in table.c[name].foreign_keys):
                continue
            using = table.c.ended_in.is_(None) & table.c[name].in_(gone)
            found = connection.execute(select(table.c.made_in).where(using)).first()
            if found is not None:
                raise _moved_on(connection, found.made_in)
