"""What is remembered beside the backups: when each was checked, the copy elsewhere, the drill, the last restore.

It lies in a file of its own and not in the data, so that a restore forgets none of it. What can't be read is taken
for nothing noted: no backup hangs on it.
"""

from __future__ import annotations

import json
import secrets
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path
from typing import Any

from filelock import FileLock

from webapp.store.backup import sync, sync_folder

FILE, LOCK = "notes.json", ".notes-lock"
SECONDS = 10
RESTORES, MOST_RESTORES = "restores", 50
Notes = dict[str, Any]
_WRITING = threading.Lock()


def read_notes(folder: Path) -> Notes:
    """All that is noted in a folder of backups."""
    try:
        found = json.loads((folder / FILE).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def note(folder: Path, **values: Mapping[str, Any] | str | int | None) -> None:
    """Note something in place of what was noted under that word; None takes it away. OSError where it can't be."""
    with _alone(folder):
        notes = {**read_notes(folder), **values}
        _write(folder, {name: value for name, value in notes.items() if value is not None})


def note_check(folder: Path, name: str, at: datetime, fault: str, kept: set[str]) -> None:
    """Note that a backup was checked, and what was found; what is noted of backups that are gone goes."""
    with _alone(folder):
        notes = read_notes(folder)
        checks = {one: told for one, told in under(notes, "checks").items() if one in kept}
        _write(folder, {**notes, "checks": {**checks, name: {"at": at.isoformat(), "fault": fault}}})


def note_restore(folder: Path, told: Mapping[str, str | int]) -> None:
    """Note a restore behind those before it; the oldest go."""
    with _alone(folder):
        notes = read_notes(folder)
        _write(folder, {**notes, "restored": dict(told), RESTORES: [*restores_in(notes), dict(told)][-MOST_RESTORES:]})


def restores_in(notes: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Every restore that is noted, the oldest first."""
    found = notes.get(RESTORES)
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Nobody else notes anything meanwhile: neither a thread of ours nor another process. OSError past a while."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    with _WRITING, FileLock(folder / LOCK, timeout=SECONDS):
        yield


def _write(folder: Path, notes: Notes) -> None:
    new = folder / f"{FILE}.{secrets.token_hex(4)}.part"
    for broken_off in folder.glob(f"{FILE}.*.part"):  # nobody else writes now
        broken_off.unlink(missing_ok=True)
    try:
        new.write_text(json.dumps(notes, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        sync(new)
        new.replace(folder / FILE)
    finally:
        new.unlink(missing_ok=True)
    sync_folder(folder)


def under(notes: Mapping[str, Any], name: str) -> dict[str, Any]:
    """What is noted under a word, where it is several things together; else nothing."""
    found = notes.get(name)
    return found if isinstance(found, dict) else {}


def moment(text: object) -> datetime | None:
    """A moment that was noted; None where it is none."""
    try:
        found = datetime.fromisoformat(str(text))
    except ValueError:
        return None
    return found if found.tzinfo else None


def day(text: object) -> date | None:
    """A day that was noted; None where it is none."""
    try:
        return date.fromisoformat(str(text))
    except ValueError:
        return None
