"""A verified copy of the SQLite file, with its facts beside it.

Made through SQLite's own backup interface, never by copying the file; checked whole, its SHA-256, its row counts and
what it holds in words written beside it. Only what has its final name is a backup: a torn one is still called `.part`.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import sqlite3
from collections.abc import Callable, Mapping
from contextlib import closing, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from webapp import VERSION
from webapp.errors import Conflict
from webapp.store.engine import APPLICATION_ID

SUFFIX, FACTS_SUFFIX = ".db", ".json"
#: how a moment is written in the name of a backup, in UTC
STAMP = "%Y%m%dT%H%M%S%fZ"
_OF_FACTS = "of_facts"

Facts = dict[str, Any]
#: what more is to be noted of a copy that is whole, as what its costs come to
Note = Callable[[Path], Facts]


class BackupFailed(Conflict):
    """409: the copy is not what the original is, and nothing was kept of it; or a backup that is not whole."""

    code = "not-whole"


def make_backup(source: Path, folder: Path, reason: str, note: Note | None = None, now: datetime | None = None) -> Path:
    """A verified copy of `source` in `folder`, named by the moment (`now`, written in UTC) and `reason`.

    BackupFailed where the copy is not whole or not the same; OSError and sqlite3.Error where it can't be made.
    Nothing of it is left then.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    now = (now or datetime.now(UTC)).astimezone(UTC)
    while (final := folder / f"{source.stem}-{now.strftime(STAMP)}-{reason}{SUFFIX}").exists():
        now += timedelta(microseconds=1)  # a clock that was set back has said this before
    part = folder / f"{final.stem}.{secrets.token_hex(4)}.part"
    beside = part.with_suffix(".facts.part")
    try:
        facts = _copy(source, part)
        part.chmod(0o600)
        facts |= {"made": now.isoformat(), "why": reason, "program": VERSION, **(note(part) if note else {})}
        sync(part)
        facts |= {"size": part.stat().st_size, "sha256": checksum(part)}
        write_facts(beside, facts)
        beside.replace(final.with_suffix(FACTS_SUFFIX))
        part.replace(final)
    except BaseException:
        if not final.exists():
            _let_go(final.with_suffix(FACTS_SUFFIX))
        raise
    finally:
        for leftover in (part, beside, part.with_name(f"{part.name}-journal")):
            _let_go(leftover)
    sync_folder(folder)
    return final


def _let_go(path: Path) -> None:
    """Take away what is left of a copy that was not made; what can't be taken away is swept later."""
    with suppress(OSError):
        path.unlink(missing_ok=True)


def verify_backup(backup: Path) -> Facts:
    """Its facts, where a backup is bit by bit what was written and whole in itself. BackupFailed where it is not."""
    facts = read_facts(backup)
    try:
        if checksum(backup) != facts["sha256"]:
            raise BackupFailed("This backup was damaged after it was made.")
        found = examine_file(backup)
    except (OSError, sqlite3.Error) as failure:
        raise BackupFailed("This backup can't be read.") from failure
    if found["rows"] != facts["rows"] or facts.get("schema", found["schema"]) != found["schema"]:
        raise BackupFailed("This backup does not hold what it should.")
    return facts


def read_facts(backup: Path) -> Facts:
    """What was noted beside a backup. BackupFailed where that is not there or was changed."""
    try:
        facts = json.loads(backup.with_suffix(FACTS_SUFFIX).read_text(encoding="utf-8"))
        whole = isinstance(facts, dict) and isinstance(facts["sha256"], str) and isinstance(facts["rows"], dict)
    except (OSError, ValueError, KeyError) as failure:
        raise BackupFailed("What was noted beside this backup can't be read.") from failure
    # The first backups had no checksum of their facts, and no more facts than these two.
    if not whole or (facts.keys() > {"sha256", "rows"} and not as_written(facts)):
        raise BackupFailed("What was noted beside this backup was damaged.")
    return dict(facts)


def write_facts(path: Path, facts: Mapping[str, Any]) -> None:
    """Write facts down, with a checksum of their own, so that they are on the disk afterwards."""
    text = json.dumps({**facts, _OF_FACTS: _of(facts)}, indent=1, ensure_ascii=False)
    path.write_text(text + "\n", encoding="utf-8")
    sync(path)


def as_written(facts: Facts) -> bool:
    """Whether facts are as `write_facts` wrote them, by their own checksum, which is taken out of them."""
    return bool(facts.pop(_OF_FACTS, "") == _of(facts))


def _of(facts: Mapping[str, Any]) -> str:
    return hashlib.sha256(json.dumps(facts, sort_keys=True).encode()).hexdigest()


def checksum(path: Path) -> str:
    """The SHA-256 of a file, in hexadecimal digits."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def examine_file(path: Path) -> Facts:
    """What a file holds where it is whole and ours: see `_examined`. Nothing is written to it.

    What acts by itself is refused before anything else is read: it would be carried out once the file is the data.
    """
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as copy:
        copy.execute("PRAGMA trusted_schema = OFF")
        if copy.execute("SELECT 1 FROM sqlite_master WHERE type IN ('trigger', 'view')").fetchone() is not None:
            raise BackupFailed("This file holds a trigger or a view, which Brimful never writes: it was changed.")
        return _examined(copy)


def _copy(source: Path, part: Path) -> Facts:
    address = f"{source.absolute().as_uri()}?mode=rw"  # not made where it is not there
    with closing(sqlite3.connect(address, uri=True)) as original, closing(sqlite3.connect(part)) as copy:
        original.execute("BEGIN")  # what is counted is what is copied
        wanted = {"rows": row_counts(original), "schema": _revision(original)}
        original.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")
        if _examined(copy) != wanted:
            raise BackupFailed("The copy does not hold what the original does.")
    return wanted


def _examined(copy: sqlite3.Connection) -> Facts:
    """The row counts and the schema's version of a copy that is whole. BackupFailed otherwise."""
    if copy.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
        raise BackupFailed("The data itself is damaged.")
    if copy.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise BackupFailed("The data refers to something that is not there.")
    if copy.execute("PRAGMA application_id").fetchone() != (APPLICATION_ID,):
        raise BackupFailed("This is not a file of Brimful.")
    return {"rows": row_counts(copy), "schema": _revision(copy)}


def row_counts(connection: sqlite3.Connection) -> dict[str, int]:
    """Rows by table."""
    names = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name"
    )
    counts = {}
    for (name,) in names.fetchall():
        counts[name] = connection.execute(f'SELECT count(*) FROM "{name}"').fetchone()[0]  # noqa: S608 - our tables
    return counts


def _revision(connection: sqlite3.Connection) -> str:
    found = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    return str(found[0]) if found else ""


def sync(path: Path) -> None:
    """Have a file's content on the disk."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Have the names in a folder on the disk."""
    if os.name == "nt":  # pragma: no cover - folders can't be synced there
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
