"""The data file itself: made new, looked at before it is opened, brought to the present layout."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path

from sqlalchemy import Engine
from sqlalchemy.exc import SQLAlchemyError

from webapp.errors import CannotStart, Problem
from webapp.store import engine as doors
from webapp.store import migrations
from webapp.store.at_rest import unseal
from webapp.store.backup import BackupFailed, examine_file
from webapp.store.backups import Shelf
from webapp.store.refusing import damaged, instead, newer

FILE = "brimful.db"
_HEADER = b"SQLite format 3\x00"


def create(path: Path) -> None:
    """A new file, made whole under another name first: a start that is broken off leaves nothing half."""
    part = path.with_suffix(".new")
    journal = part.with_name(f"{part.name}-journal")
    for leftover in (part, journal):
        leftover.unlink(missing_ok=True)
    engine = doors.sqlite_engine(part)
    try:
        migrations.upgrade(engine)
    except SQLAlchemyError as failure:
        raise CannotStart(f"A new file can't be made in {path.parent}. See that there is room.") from failure
    finally:
        engine.dispose()
    journal.unlink(missing_ok=True)  # emptied by then
    _old_journal_aside(path)
    unseal(path)
    part.replace(path)


def _old_journal_aside(path: Path) -> None:
    """The journal of a file that went missing would be taken for the new one's, and spoil it."""
    old = path.with_name(f"{path.name}-journal")
    if old.exists():
        old.replace(path.with_name(f"{path.name}.before-journal"))


def examine_data(path: Path, *, whole: bool = False) -> str:
    """The revision of a file that is whole and ours. CannotStart otherwise; the file is left as it is.

    `whole`: look through all of it, as where it is not what it was when it was closed.
    """
    if path.stat().st_size == 0:
        raise CannotStart(f"{path} is empty. {instead(path)}")
    with path.open("rb") as file:
        if file.read(len(_HEADER)) != _HEADER:
            raise damaged(path)
    try:
        with closing(sqlite3.connect(path, timeout=doors.BUSY_SECONDS)) as connection:
            revision = _examine_inside(connection, path)
        if whole:
            examine_file(path)
    except (sqlite3.Error, BackupFailed) as failure:
        raise damaged(path) from failure
    return revision


def _examine_inside(connection: sqlite3.Connection, path: Path) -> str:
    if connection.execute("PRAGMA application_id").fetchone() != (doors.APPLICATION_ID,):
        raise CannotStart(
            f"{path} belongs to another program and was not touched. Move it away, or choose another with --data. "
            + instead(path)
        )
    if connection.execute("PRAGMA quick_check(1)").fetchone() != ("ok",) or _cut_short(connection, path):
        raise damaged(path)
    found = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    revision = str(found[0]) if found else ""
    if revision not in migrations.KNOWN:
        raise newer(str(path), path)
    return revision


def _cut_short(connection: sqlite3.Connection, path: Path) -> bool:
    """Does the file end before its last page does? SQLite takes what is missing there for zeros and says nothing."""
    pages, size = (connection.execute(f"PRAGMA {name}").fetchone()[0] for name in ("page_count", "page_size"))
    return bool(path.stat().st_size < pages * size)


def migrate(engine: Engine, path: Path, revision: str, touch: Callable[[], None]) -> None:
    """Migrate after a verified copy was made; `touch` is called before anything is written."""
    try:
        touch()
        Shelf(path).make(f"before-{migrations.HEAD}", date.today())  # noqa: DTZ011 - the maker's own day is meant
        migrations.upgrade(engine)
    except (Problem, SQLAlchemyError) as failure:
        engine.dispose()
        raise CannotStart(
            f"{path} could not be brought from version {revision} to {migrations.HEAD} and is as it was. See that "
            "there is room on the disk and that the file can be written to."
        ) from failure
