"""Putting a backup in the place of the data: all of it, or the data stays as it is.

What takes its place is made whole beside the data first; then one rename puts it there, so that at no moment there is
no data. What was there before is kept: as a backup, or aside, as it is, where it can't be read.
"""

from __future__ import annotations

import os
import secrets
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, delete, insert, select, update
from sqlalchemy.exc import SQLAlchemyError

from webapp.errors import Damaged, NotFound
from webapp.store import backup_notes as notes
from webapp.store import engine as doors
from webapp.store.at_rest import unseal
from webapp.store.backup import (
    FACTS_SUFFIX,
    STAMP,
    BackupFailed,
    examine_file,
    sync,
    sync_folder,
    verify_backup,
)
from webapp.store.backup_book import bring_up_to_date
from webapp.store.backups import BEFORE_RESTORE, Backup, Shelf, troubles
from webapp.store.devices import DOOR, signed_out
from webapp.store.families import LedgerRow
from webapp.store.postgres_copy import put_back

LEDGER = LedgerRow.__table__  # type: ignore[attr-defined]
PUT_BACK = "The restored data could not be opened, so what was there before was put back. Nothing is lost."


@dataclass(frozen=True, slots=True)
class Restored:
    """What was done: the epoch of the data that is there now, and where what was there before is kept.

    `before` is the name of its backup; where it could not be read it lies `aside` as it was. What was brought back had
    the epoch `of`, and `version` is the number of its last change.
    """

    epoch: str
    of: str
    version: int
    before: str = ""
    aside: str = ""


def verify(backup: Path) -> None:
    """BackupFailed where a backup is not whole. One without facts beside it is looked through as far as can be."""
    if backup.with_suffix(FACTS_SUFFIX).exists():
        verify_backup(backup)
        return
    with troubles():
        examine_file(backup)


def restore(shelf: Shelf, backup: Path, day: date, reopen: Callable[[], None] = lambda: None) -> Restored:
    """Put `backup` in the place of the shelf's data. Nobody else may write meanwhile: the caller sees to that.

    `reopen` lets go of every open connection. A Problem says what stood in the way; the data is as it was then.
    """
    if not backup.is_file():
        raise NotFound("There is no such backup.")
    verify(backup)
    file = shelf.file
    new = file.with_name(f"{file.name}.restoring")
    try:
        with troubles():
            epoch, brought = _prepare(backup, new, _door(file))
        before = _backed_up(shelf, backup, day)
        aside = "" if before else _aside_name(shelf)
        with troubles():
            _swap(file, new, epoch, aside, reopen)
    finally:
        _remove(new)
    done = Restored(epoch, *brought, before.name if before else "", aside)
    _note(shelf, backup, done)
    return done


def restore_postgres(
    shelf: Shelf, engine: Engine, backup: Path, day: date, read_at: tuple[str, int] | None
) -> Restored:
    """The same for a PostgreSQL: in one transaction, so that all of it is there or the data stays as it is."""
    if not backup.is_file():
        raise NotFound("There is no such backup.")
    verify(backup)
    before = shelf.make(BEFORE_RESTORE, day, spare=backup.stem)
    try:
        epoch, brought = put_back(engine, backup, read_at)
    except (SQLAlchemyError, sqlite3.Error) as failure:
        raise BackupFailed(PUT_BACK) from failure
    done = Restored(epoch, *brought, before.name)
    _note(shelf, backup, done)
    return done


def _door(file: Path) -> dict[str, Any] | None:
    """The passphrase that holds now: one that was changed since must not come back. None where it can't be read."""
    if not file.exists():
        return None
    engine = doors.sqlite_engine(file)
    try:
        with doors.reading(engine).connect() as connection, connection.begin():
            row = connection.execute(DOOR.select()).first()
            return dict(row._mapping) if row else None  # noqa: SLF001 - the library's own name for it, and public
    except (SQLAlchemyError, ValueError):
        return None
    finally:
        engine.dispose()


def _prepare(backup: Path, new: Path, door: dict[str, Any] | None) -> tuple[str, tuple[str, int]]:
    """The backup as the data that it becomes: of the present layout and with a new epoch. It is on the disk then.

    Gives that epoch, and the epoch and version that it had.
    """
    _remove(new)
    shutil.copyfile(backup, new)
    bring_up_to_date(new)
    done = _new_epoch(new, door)
    examine_file(new)
    new.chmod(0o600)
    sync(new)
    return done


def _new_epoch(new: Path, door: dict[str, Any] | None) -> tuple[str, tuple[str, int]]:
    """A new epoch for what is no data yet: whatever is read before it takes its place is stale then. And what it had.

    Every device is signed out, and the passphrase is the present one: who was let in since, or shut out, is not known
    to the backup.
    """
    epoch, engine = secrets.token_hex(8), doors.sqlite_engine(new)
    try:
        with doors.situations(), doors.writing(engine).connect() as connection, connection.begin():
            had = connection.execute(select(LEDGER.c.epoch, LEDGER.c.version)).one()
            connection.execute(update(LEDGER).values(epoch=epoch))
            connection.execute(signed_out(datetime.now(UTC)))
            connection.execute(delete(DOOR))
            if door is not None:
                connection.execute(insert(DOOR).values(door))
    except (SQLAlchemyError, Damaged) as failure:
        raise BackupFailed("This backup can't be read.") from failure
    finally:
        engine.dispose()
    return epoch, (had.epoch, had.version)


def _backed_up(shelf: Shelf, backup: Path, day: date) -> Backup | None:
    """The present data as a backup; None where it can't be read whole. What hinders otherwise is raised."""
    try:
        return shelf.make(BEFORE_RESTORE, day, spare=backup.stem) if shelf.file.stat().st_size else None
    except (BackupFailed, FileNotFoundError):
        return None


def _aside_name(shelf: Shelf) -> str:
    there = shelf.file.exists()
    return f"{shelf.file.name}.damaged-{shelf.clock().astimezone(UTC).strftime(STAMP)}" if there else ""


def _swap(file: Path, new: Path, epoch: str, aside: str, reopen: Callable[[], None]) -> None:
    """The rename, and the way back where what is there now does not open."""
    before = file.with_name(aside or f"{file.name}.before")
    was_there = file.exists()
    if was_there:
        _second_name(file, before)
    try:
        reopen()
        unseal(file)
        _journal_aside(file, before)
        new.replace(file)
        sync_folder(file.parent)
        reopen()
        if not _opens(file, epoch):
            if was_there:
                _second_name(before, new)
                new.replace(file)
                sync_folder(file.parent)
                reopen()
            raise BackupFailed(PUT_BACK)
    finally:
        if was_there and not aside:
            before.unlink(missing_ok=True)


def _second_name(file: Path, other: Path) -> None:
    """The same file under another name too; where a disk has no second names, a copy."""
    other.unlink(missing_ok=True)
    try:
        os.link(file, other)
    except OSError:
        shutil.copyfile(file, other)
        sync(other)
    sync_folder(other.parent)


def _journal_aside(file: Path, before: Path) -> None:
    """What a write that was broken off left beside data that can't be read goes with it, and not with the new data."""
    journal = file.with_name(f"{file.name}-journal")
    if journal.exists() and journal.stat().st_size:
        journal.replace(before.with_name(f"{before.name}-journal"))
    journal.unlink(missing_ok=True)


def _opens(file: Path, epoch: str) -> bool:
    engine = doors.sqlite_engine(file)
    try:
        examine_file(file)
        with doors.reading(engine).connect() as connection, connection.begin():
            return bool(connection.exec_driver_sql("SELECT epoch FROM ledger").scalar() == epoch)
    except (BackupFailed, OSError, sqlite3.Error, SQLAlchemyError):
        return False
    finally:
        engine.dispose()


def _remove(new: Path) -> None:
    for leftover in (new, new.with_name(f"{new.name}-journal")):
        leftover.unlink(missing_ok=True)


def _note(shelf: Shelf, backup: Path, done: Restored) -> None:
    told: dict[str, str | int] = {
        "at": shelf.clock().isoformat(),
        "name": backup.stem,
        "before": done.before,
        "aside": done.aside,
        "epoch": done.epoch,
        "of": done.of,
        "version": done.version,
    }
    with suppress(OSError):  # it is restored all the same
        notes.note_restore(shelf.folder, told)
