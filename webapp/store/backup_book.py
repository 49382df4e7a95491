"""The book in a backup: read from a copy in a temporary place, which is migrated where it is of an older layout.

The backup itself is never opened for writing.
"""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, func, select
from sqlalchemy.exc import SQLAlchemyError

from webapp.store import engine as doors
from webapp.store import migrations
from webapp.store.backup import BackupFailed, Facts, examine_file
from webapp.store.families import ChangeRow
from webapp.store.rows import STORED
from webapp.store.snapshots import Reader, Snapshot

CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]
NEWER = "This backup was made by a newer Brimful. Update the program first."


@dataclass(frozen=True, slots=True)
class Inside:
    """What a backup holds: the book of a day, and the moment of its first change, by which data is told from other."""

    snapshot: Snapshot
    begun: str


@contextmanager
def copied(backup: Path) -> Iterator[Engine]:
    """A copy of a backup in a temporary place, brought to the present layout. BackupFailed where it can't be read."""
    with tempfile.TemporaryDirectory(prefix="brimful-") as folder:
        copy = Path(folder) / "copy.db"
        shutil.copyfile(backup, copy)
        bring_up_to_date(copy)
        engine = doors.sqlite_engine(copy)
        try:
            yield engine
        finally:
            engine.dispose()


def bring_up_to_date(file: Path) -> None:
    """Migrate a copy where it is of an older layout. BackupFailed where it is of a newer one or can't be migrated."""
    try:
        revision = examine_file(file)["schema"]
        if revision not in migrations.KNOWN:
            raise BackupFailed(NEWER)
        if revision != migrations.HEAD:
            engine = doors.sqlite_engine(file)
            try:
                migrations.upgrade(engine)
            finally:
                engine.dispose()
    except (sqlite3.Error, SQLAlchemyError) as failure:
        raise BackupFailed("This backup can't be read.") from failure


def inside(backup: Path, day: date) -> Inside:
    """What a backup says on `day`."""
    with copied(backup) as engine:
        return Inside(Reader(engine).snapshot(day), begun(engine))


def begun(engine: Engine) -> str:
    """The moment of the first change; "" where nothing was changed yet."""
    with doors.reading(engine).connect() as connection, connection.begin():
        return str(connection.execute(select(CHANGE.c.at).order_by(CHANGE.c.id).limit(1)).scalar() or "")


def noted(copy: Path, day: date) -> Facts:
    """What is noted of a copy that was just made: what it holds, what was changed last, and all its costs on `day`.

    Of one that is of another layout nothing is said: it is not migrated for that.
    """
    if examine_file(copy)["schema"] != migrations.HEAD:
        return {}
    engine = doors.sqlite_engine(copy)
    try:
        snapshot = Reader(engine).snapshot(day)
        return {
            "epoch": snapshot.epoch,
            "version": snapshot.version,
            "holds": _holds(engine),
            "last_change": _last_change(engine),
            "costs": costs_of(snapshot),
        }
    finally:
        engine.dispose()


def costs_of(snapshot: Snapshot) -> Facts:
    """All costs of a book: its day, its products, how many have a gap, the checksum."""
    from webapp.costing.all_costs import all_costs  # noqa: PLC0415 - only where figures are wanted

    return {"day": snapshot.book.day.isoformat(), **all_costs(snapshot.reckoning)._asdict()}


def _holds(engine: Engine) -> dict[str, int]:
    """How many things of each kind hold, those of a day ahead and put-away ones too."""
    found = {}
    with doors.reading(engine).connect() as connection, connection.begin():
        for kind, stored in STORED.items():
            table = stored.aspects[0].table
            columns: list[Any] = [table.c[name] for name in stored.aspects[0].identity]
            things = select(*columns).where(table.c.ended_in.is_(None)).distinct().subquery()
            found[kind] = int(connection.execute(select(func.count()).select_from(things)).scalar_one())
    return found


def _last_change(engine: Engine) -> dict[str, str]:
    with doors.reading(engine).connect() as connection, connection.begin():
        newest = select(CHANGE.c.at, CHANGE.c.kind).order_by(CHANGE.c.id.desc()).limit(1)
        row = connection.execute(newest).first()
    return {"at": row.at.isoformat(), "what": row.kind} if row else {}
