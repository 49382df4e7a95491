"""All of the data to another place: from a folder to a PostgreSQL, back, or to another of either.

Every table is copied whole into a target that is empty, in one transaction: before it ends, rows are counted and
hashed on both sides, and the book of both is costed. What fails or is broken off leaves the target empty. Nothing of
the source is changed; the target gets a new epoch, so that a page that was read in the old place is stale in the new.
"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Table, delete, func, insert, inspect, select, text, update
from sqlalchemy.exc import SQLAlchemyError

from webapp.costing.all_costs import AllCosts, all_costs
from webapp.costing.book import Book
from webapp.costing.reckoning import Reckoning
from webapp.errors import CannotStart, Problem
from webapp.settings import Settings
from webapp.store import engine as doors
from webapp.store import migrations
from webapp.store.assembling import book_of
from webapp.store.at_rest import unseal
from webapp.store.backup import BackupFailed, examine_file, sync, sync_folder
from webapp.store.data_file import examine_data
from webapp.store.drafts import DRAFT
from webapp.store.families import LedgerRow
from webapp.store.opening import FILE
from webapp.store.reading import read_all
from webapp.store.refusing import newer

LEDGER: Table = LedgerRow.__table__  # type: ignore[attr-defined]
#: rows that are read and written at once
AT_ONCE = 1_000
#: tables that may have one row in data that nobody has used yet
_NEW_ROW = frozenset({"ledger", "thing", "door"})
NOTHING_MOVED = "Nothing was moved, and what is there is as it was."


@dataclass(frozen=True, slots=True)
class Copied:
    """A table as it came out of one place: its name, how many rows it has, and the SHA-256 of their content."""

    name: str
    rows: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Moved:
    """What was moved: all tables, how many changes they know, and what costing every product came to in both."""

    tables: tuple[Copied, ...]
    changes: int
    costs: AllCosts

    @property
    def rows(self) -> int:
        """All rows of all tables."""
        return sum(one.rows for one in self.tables)


def tables() -> tuple[Table, ...]:
    """Every table there is, each after those that it refers to."""
    from webapp.store.migrations.wanted import metadata  # noqa: PLC0415 - a start does not need it

    return tuple(metadata().sorted_tables)


def where(settings: Settings) -> str:
    """A place in words; of a PostgreSQL its name and machine, never its password."""
    if settings.database is None:
        return str(settings.data)
    with _asked_for(settings) as engine:
        url = engine.url
    machine = (url.host or "this machine") + (f":{url.port}" if url.port else "")
    return f"the PostgreSQL database {url.database or url.username or ''} at {machine}"


def move(source: Settings, target: Settings, today: date) -> Moved:
    """Copy all of `source` to `target`, which must be empty. CannotStart says what stood in the way.

    Nobody else may write to a folder meanwhile: the caller holds both. Of a PostgreSQL the writers wait.
    """
    with _troubles(), _read(source) as out, _filled(target) as into:
        epoch, version = out.execute(select(LEDGER.c.epoch, LEDGER.c.version)).one()
        _clear(into)
        copied = tuple(_copied(table, out, into) for table in tables())
        _refuse_unequal(copied, tuple(_content(table, into) for table in tables()))
        _go_on_counting(into)
        costs = _same_costs(*(_book(connection, epoch, version, today) for connection in (out, into)))
        _begin_anew(into, epoch)
    return Moved(copied, version, costs)


@contextmanager
def _troubles() -> Iterator[None]:
    try:
        with doors.situations():
            yield
    except BackupFailed as problem:
        raise CannotStart(f"What was written could not be read again. {NOTHING_MOVED}") from problem
    except Problem as problem:
        raise CannotStart(f"{problem.sentence} {NOTHING_MOVED}") from problem
    except SQLAlchemyError as failure:
        raise CannotStart(f"One of both places can't be read or written. {NOTHING_MOVED}") from failure
    except OSError as failure:
        raise CannotStart(f"The folder can't be used ({failure.strerror}). {NOTHING_MOVED}") from failure


@contextmanager
def _asked_for(settings: Settings) -> Iterator[Any]:
    """The engine of a PostgreSQL, given back at the end."""
    engine = doors.postgres_engine(settings.database.get_secret_value() if settings.database else "")
    try:
        yield engine
    finally:
        engine.dispose()


# --- the source


@contextmanager
def _read(source: Settings) -> Iterator[Connection]:
    """The source, all of it as at one moment."""
    if source.database is None:
        path = source.data / FILE
        if not path.exists():
            raise CannotStart(f"There is no data in {source.data} yet, so there is nothing to move.")
        _refuse_layout(examine_data(path), str(path))
        engine = doors.sqlite_engine(path)
        try:
            with doors.reading(engine).connect() as connection, connection.begin():
                yield connection
        finally:
            engine.dispose()
        return
    with _asked_for(source) as engine, doors.reading(engine).connect() as connection, connection.begin():
        # First of all: what is seen is what stands there at the first question, and the last writer is done by then.
        _hold_writers(connection, "There is no data in that PostgreSQL database yet, so there is nothing to move.")
        _refuse_layout(migrations.revision_of(connection) or "", "The PostgreSQL database")
        yield connection


def _hold_writers(connection: Connection, otherwise: str) -> None:
    """Have every writer wait until this transaction ends; readers go on."""
    try:
        connection.execute(text("LOCK TABLE ledger IN EXCLUSIVE MODE"))
    except SQLAlchemyError as failure:
        if getattr(getattr(failure, "orig", None), "sqlstate", "") == "42P01":
            raise CannotStart(otherwise) from failure
        raise


def _refuse_layout(revision: str, place: str) -> None:
    """Only the present layout is copied: another one is never guessed at."""
    if revision not in migrations.KNOWN:
        raise newer(place)
    if revision != migrations.HEAD:
        raise CannotStart(
            f"{place} is of an older layout ({revision}; this is {migrations.HEAD}). Start Brimful with it once, which "
            f"brings it up to date, and move then. {NOTHING_MOVED}"
        )


# --- the target


def _filled(target: Settings) -> AbstractContextManager[Connection]:
    """A connection to the empty target, in a transaction that is stored when all went well."""
    return _new_file(target.data) if target.database is None else _new_database(target)


@contextmanager
def _new_file(folder: Path) -> Iterator[Connection]:
    """Made whole under another name, and given its own once it is on the disk."""
    path = folder / FILE
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if path.exists():
        _refuse_full_file(path)
    part = path.with_suffix(".moving")
    _remove(part)
    engine = doors.sqlite_engine(part)
    try:
        migrations.upgrade(engine)
        with doors.writing(engine).connect() as connection, connection.begin():
            _refuse_full(connection, str(path))
            yield connection
        engine.dispose()
        examine_file(part)
        part.chmod(0o600)
        sync(part)
        unseal(path)  # of the empty file that may have been there
        part.replace(path)
        sync_folder(folder)
    finally:
        engine.dispose()
        _remove(part)


def _refuse_full_file(path: Path) -> None:
    _refuse_layout(examine_data(path), str(path))
    engine = doors.sqlite_engine(path)
    try:
        with doors.reading(engine).connect() as connection, connection.begin():
            _refuse_full(connection, str(path))
    finally:
        engine.dispose()


def _remove(part: Path) -> None:
    for leftover in (part, part.with_name(f"{part.name}-journal")):
        leftover.unlink(missing_ok=True)


@contextmanager
def _new_database(target: Settings) -> Iterator[Connection]:
    """Tables and rows in one transaction, so that what is broken off leaves not even a table."""
    whole = False
    try:
        with _asked_for(target) as engine, doors.writing(engine).connect() as connection, connection.begin():
            _make_ready(connection)
            yield connection
            whole = True
    except SQLAlchemyError as failure:
        if not whole:
            raise
        raise CannotStart(
            "The connection broke as the last was stored: all of it is there, or nothing. brimful check says which."
        ) from failure


def _make_ready(connection: Connection) -> None:
    """The tables, where there are none. CannotStart where the database is somebody's."""
    place = "The PostgreSQL database"
    names, revision = set(inspect(connection).get_table_names()), migrations.revision_of(connection)
    if names - {"alembic_version"} and "ledger" not in names:
        raise CannotStart(f"{place} holds tables of another program. Make one of its own (createdb). {NOTHING_MOVED}")
    if revision is not None:
        _refuse_layout(revision, place)
        _hold_writers(connection, f"{place} is not whole. {NOTHING_MOVED}")
    migrations.upgrade_within(connection)
    _refuse_full(connection, place)


def _refuse_full(connection: Connection, place: str) -> None:
    """CannotStart where anything was ever written there."""
    version = connection.execute(select(LEDGER.c.version)).scalar_one()
    if version or any(_count(connection, table) > (table.name in _NEW_ROW) for table in tables()):
        raise CannotStart(
            f"{place} holds data already ({version} changes), and nothing is ever written over. Choose an empty folder "
            f"or database. {NOTHING_MOVED}"
        )


def _clear(connection: Connection) -> None:
    """What new data has of itself goes."""
    for table in reversed(tables()):
        connection.execute(delete(table))


def _count(connection: Connection, table: Table) -> int:
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


# --- the copy


def _rows(table: Table, connection: Connection) -> Iterator[list[Any]]:
    """All rows of a table by their key, some at a time."""
    query = select(table).order_by(*table.primary_key).execution_options(yield_per=AT_ONCE)
    yield from (list(some) for some in connection.execute(query).partitions())


def _copied(table: Table, out: Connection, into: Connection) -> Copied:
    """Copy a table, and say what went over."""
    found, count = hashlib.sha256(), 0
    for some in _rows(table, out):
        into.execute(insert(table), [dict(row._mapping) for row in some])  # noqa: SLF001 - a row's own public way
        count += _told(found, some)
    return Copied(table.name, count, found.hexdigest())


def _content(table: Table, connection: Connection) -> Copied:
    """What is there now."""
    found, count = hashlib.sha256(), 0
    for some in _rows(table, connection):
        count += _told(found, some)
    return Copied(table.name, count, found.hexdigest())


def _told(found: Any, some: list[Any]) -> int:
    """Tell a hash some rows: exact amounts, days and moments are the same texts whatever the database keeps."""
    for row in some:
        found.update(f"{tuple(row)!r}\n".encode())
    return len(some)


def _refuse_unequal(before: tuple[Copied, ...], after: tuple[Copied, ...]) -> None:
    different = [one.name for one, other in zip(before, after, strict=True) if one != other]
    if different:
        raise CannotStart(f"What arrived is not what was sent ({', '.join(different)}). {NOTHING_MOVED}")


def _go_on_counting(into: Connection) -> None:
    """New rows get numbers after the highest there is. SQLite looks for itself."""
    if into.dialect.name == "sqlite":
        return
    for table in tables():
        column = table.autoincrement_column
        newest = None if column is None else into.execute(select(func.max(column))).scalar_one()
        if column is not None and newest is not None:
            named = select(func.setval(func.pg_get_serial_sequence(table.name, column.name), newest))
            into.execute(named)


def _book(connection: Connection, epoch: str, version: int, today: date) -> Book:
    return book_of(read_all(connection, epoch, version), today)


def _same_costs(before: Book, after: Book) -> AllCosts:
    """What every product costs and what its prices leave. CannotStart where both places do not say the same."""
    costs = all_costs(Reckoning(before))
    if before != after or costs != all_costs(Reckoning(after)):
        raise CannotStart(f"The book reads otherwise there than here. {NOTHING_MOVED}")
    return costs


def _begin_anew(into: Connection, epoch: str) -> None:
    """A new epoch. What is half entered was begun on this very data, so it goes along."""
    new = secrets.token_hex(8)
    into.execute(update(LEDGER).values(epoch=new))
    into.execute(update(DRAFT).where(DRAFT.c.epoch == epoch).values(epoch=new))
