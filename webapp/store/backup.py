"""A verified copy of the SQLite file.

Made through SQLite's own backup interface, never by copying the file; checked whole, its SHA-256 and row counts
written beside it. Only what has its final name is a backup: a torn one is still called `.part`.
"""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from webapp.store.engine import APPLICATION_ID


class BackupFailed(Exception):
    """The copy is not what the original is; nothing was kept of it."""


def make_backup(source: Path, folder: Path, reason: str) -> Path:
    """A verified copy of `source` in `folder`, named by the moment (UTC) and `reason`.

    BackupFailed where the copy is not whole or not the same; OSError and sqlite3.Error where it can't be made.
    """
    folder.mkdir(parents=True, exist_ok=True)
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    final = folder / f"{source.stem}-{stamp}-{reason}.db"
    part = final.with_suffix(".part")
    try:
        counts = _copy(source, part)
        _sync(part)
        facts = {"sha256": checksum(part), "rows": counts}
        beside = final.with_suffix(".json")
        beside.write_text(json.dumps(facts, indent=1) + "\n", encoding="utf-8")
        _sync(beside)
        part.replace(final)
    finally:
        part.unlink(missing_ok=True)
    _sync_folder(folder)
    return final


def verify_backup(backup: Path) -> None:
    """BackupFailed where a backup is not, bit by bit, what was written, or says of itself that it is damaged."""
    try:
        facts = json.loads(backup.with_suffix(".json").read_text(encoding="utf-8"))
        if checksum(backup) != facts["sha256"]:
            raise BackupFailed("This backup was damaged after it was made.")
        with closing(_opened(backup)) as copy:
            if _examined(copy) != facts["rows"]:
                raise BackupFailed("This backup does not hold what it should.")
    except (OSError, ValueError, KeyError, sqlite3.Error) as failure:
        raise BackupFailed("This backup can't be read.") from failure


def checksum(path: Path) -> str:
    """The SHA-256 of a file, in hexadecimal digits."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _opened(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)


def _copy(source: Path, part: Path) -> dict[str, int]:
    with closing(sqlite3.connect(source)) as original, closing(sqlite3.connect(part)) as copy:
        original.execute("BEGIN")  # what is counted is what is copied
        wanted = row_counts(original)
        revision = _revision(original)
        original.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")
        if _examined(copy) != wanted or _revision(copy) != revision:
            raise BackupFailed("The copy does not hold what the original does.")
    return wanted


def _examined(copy: sqlite3.Connection) -> dict[str, int]:
    """The row counts of a copy that is whole. BackupFailed otherwise."""
    if copy.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
        raise BackupFailed("The data itself is damaged.")
    if copy.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise BackupFailed("The data refers to something that is not there.")
    if copy.execute("PRAGMA application_id").fetchone() != (APPLICATION_ID,):
        raise BackupFailed("This is not a file of Brimful.")
    return row_counts(copy)


def row_counts(connection: sqlite3.Connection) -> dict[str, int]:
    """Rows by table."""
    names = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"
    )
    counts = {}
    for (name,) in names.fetchall():
        counts[name] = connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0]  # noqa: S608 - our tables
    return counts


def _revision(connection: sqlite3.Connection) -> list[tuple[str]]:
    return connection.execute("SELECT version_num FROM alembic_version").fetchall()


def _sync(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":  # folders can't be synced there
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
