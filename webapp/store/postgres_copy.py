"""The data of a PostgreSQL as a file, and back: every row of every table, so that a backup of it is one like any other.

Both databases hold the same columns in the same way (`columns`), and the same migrations make them. So the copy is of
the layout that the database has at that moment, and can be opened, checked, costed and compared by itself.
"""

from __future__ import annotations

import secrets
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, MetaData, RowMapping, Table, delete, func, insert, select, text

from webapp.errors import Stale
from webapp.store import engine as doors
from webapp.store import migrations
from webapp.store.backup import BackupFailed
from webapp.store.backup_book import copied
from webapp.store.devices import DOOR, signed_out

MANY = 1000
NOT_ALL = "The copy does not hold what the database does."
_MARK = "alembic_version"


@contextmanager
def as_file(engine: Engine) -> Iterator[Path]:
    """All of the database in a file that is gone afterwards, as at one moment. BackupFailed where it isn't all."""
    with tempfile.TemporaryDirectory(prefix="brimful-") as folder:
        file = Path(folder) / "postgresql.db"
        with doors.situations(), doors.reading(engine).connect() as source, source.begin():
            made = doors.sqlite_engine(file)
            try:
                migrations.upgrade(made, migrations.revision_of(source) or migrations.HEAD)
                _filled(source, made)
            finally:
                made.dispose()
        yield file


def _filled(source: Connection, made: Engine) -> None:
    tables = [table for table in _tables(source) if table.name != _MARK]
    with doors.writing(made).connect() as target:
        raw: Any = target.connection.dbapi_connection
        raw.execute(
            "PRAGMA foreign_keys = OFF"
        ).close()  # a thing may refer to a later one: they are checked in the end
        with target.begin():
            for table in tables:
                target.execute(table.delete())
                _moved(source, target, table)


def _tables(connection: Connection) -> list[Table]:
    """Those that are there, what is referred to before what refers."""
    found = MetaData()
    found.reflect(connection)
    return found.sorted_tables


def _moved(source: Connection, target: Connection, table: Table) -> None:
    """Every row of a table; BackupFailed where there are not as many afterwards."""
    plain = select(*(text(f'"{column.name}"') for column in table.columns)).select_from(table)
    many = 0
    for rows in source.execute(plain).mappings().partitions(MANY):
        many += len(rows)
        target.execute(table.insert(), [dict(row) for row in rows])
    if target.execute(select(func.count()).select_from(table)).scalar_one() != many:
        raise BackupFailed(NOT_ALL)


def put_back(engine: Engine, backup: Path, read_at: tuple[str, int] | None) -> tuple[str, tuple[str, int]]:
    """All that a backup holds in the place of what the database holds, or nothing of it.

    Gives the epoch of it from now on, and the epoch and version that it had. Stale where the data moved on from those
    of `read_at`.
    """
    epoch = secrets.token_hex(8)
    with ExitStack() as stack:
        source = stack.enter_context(stack.enter_context(copied(backup)).connect())
        stack.enter_context(source.begin())
        stack.enter_context(doors.situations())
        target = stack.enter_context(doors.writing(engine).connect())
        with target.begin():
            now = target.execute(text("SELECT epoch, version FROM ledger FOR UPDATE")).one()
            if read_at is not None and read_at != tuple(now):
                raise Stale(read_at=read_at[1], now=now.version)
            tables = [table for table in _tables(target) if table.name != _MARK]
            door = target.execute(DOOR.select()).mappings().first()
            names = ", ".join(f'"{table.name}"' for table in tables)
            target.execute(text(f"TRUNCATE {names} RESTART IDENTITY CASCADE"))
            for table in tables:
                _moved(source, target, table)
                _count_on(target, table)
            had = target.execute(text("SELECT epoch, version FROM ledger")).one()
            target.execute(text("UPDATE ledger SET epoch = :epoch"), {"epoch": epoch})
            _door_as_it_is(target, door)
    return epoch, (had.epoch, had.version)


def _door_as_it_is(target: Connection, door: RowMapping | None) -> None:
    """Every device signed out and the passphrase the present one: the backup doesn't know who was shut out since."""
    target.execute(signed_out(datetime.now(UTC)))
    target.execute(delete(DOOR))
    if door is not None:
        target.execute(insert(DOOR).values(dict(door)))


def _count_on(target: Connection, table: Table) -> None:
    """New rows are numbered behind those that came back. Every table of ours has an `id`."""
    asked = {"table": table.name}
    named = target.execute(text("SELECT pg_get_serial_sequence(:table, 'id')"), asked).scalar()
    if named:
        most = f'(SELECT max(id) FROM "{table.name}")'  # noqa: S608 - our tables
        target.execute(text(f"SELECT setval('{named}', coalesce({most}, 1), {most} IS NOT NULL)"))
