"""Whether the data file is as Brimful left it.

SQLite's own check notices only some of what may happen to a file that lies there. So the SHA-256 of the file is
written beside it when it is closed, and taken away before the first write after it was opened: where it stands, it is
that of the file. After a kill or a power cut there is none, and then only SQLite's check is left.
"""

from __future__ import annotations

import json
import secrets
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from webapp.errors import ReadOnly
from webapp.store import backup_notes as notes
from webapp.store.backup import Facts, as_written, checksum, sync, sync_folder, write_facts
from webapp.store.backups import Shelf

SUFFIX = ".at-rest.json"
#: made just now; the same as when it was closed; another than then; not closed, so that it can't be told
NEW, SAME, CHANGED, UNKNOWN = "new", "same", "changed", "unknown"
_NOTE = "changed"


@dataclass(frozen=True, slots=True)
class AtRest:
    """What was found when the file was opened: one of the states above, and when it had been closed.

    Of a changed one also when that was noticed, and the newest backup of then, to compare with ("" where none is).
    """

    state: str
    closed: datetime | None = None
    noticed: datetime | None = None
    before: str = ""

    @property
    def moments(self) -> tuple[tuple[str, datetime | None], ...]:
        """When it was closed and when it was found changed, by name."""
        return ("closed", self.closed), ("noticed", self.noticed)

    @property
    def is_changed(self) -> bool:
        """Whether something other than Brimful changed it, and nobody said that it was meant."""
        return self.state == CHANGED


def sum_of(file: Path) -> Path:
    """Where the checksum of a data file stands."""
    return file.with_name(f"{file.name}{SUFFIX}")


def seal(file: Path, now: datetime) -> None:
    """Note what the file is, now that it is closed. OSError where that can't be; then nothing is noted."""
    beside = sum_of(file)
    part = beside.with_name(f"{beside.name}.{secrets.token_hex(4)}.part")
    try:
        sync(file)
        write_facts(part, {"sha256": checksum(file), "size": file.stat().st_size, "closed": now.isoformat()})
        part.chmod(0o600)
        part.replace(beside)
    finally:
        part.unlink(missing_ok=True)
    sync_folder(file.parent)


def unseal(file: Path) -> None:
    """Take the checksum away, so that it is gone from the disk before the file is written. ReadOnly where it stays."""
    beside = sum_of(file)
    try:
        beside.unlink(missing_ok=True)
        sync_folder(file.parent)
    except OSError:
        _blot(beside)


def _blot(beside: Path) -> None:
    """Where a name can't be taken away its content may: an empty one says nothing."""
    try:
        if beside.exists():
            beside.write_bytes(b"")
            sync(beside)
    except OSError as failure:
        raise ReadOnly from failure


def look(shelf: Shelf) -> AtRest:
    """What is found of a file that is not open. Nothing is written."""
    told = notes.under(notes.read_notes(shelf.folder), _NOTE)
    if (noticed := notes.moment(told.get("noticed"))) is not None:
        return AtRest(CHANGED, notes.moment(told.get("closed")), noticed, str(told.get("before", "")))
    beside = sum_of(shelf.file)
    noted = _noted(beside)
    if noted is None:
        return AtRest(UNKNOWN)
    if noted.get("sha256") == checksum(shelf.file) and not _has_journal(shelf.file):
        return AtRest(SAME, notes.moment(noted.get("closed")))
    if _noted(beside) != noted:  # a server that runs began to write meanwhile
        return AtRest(UNKNOWN)
    newest = next(iter(shelf.all()), None)
    return AtRest(CHANGED, notes.moment(noted.get("closed")), shelf.clock(), newest.name if newest else "")


def _noted(beside: Path) -> Facts | None:
    """What was noted; nothing in it where that was spoilt, and None where there is nothing."""
    try:
        text = beside.read_bytes()
    except OSError:
        return None
    if not text:
        return None
    try:
        facts = json.loads(text)
    except ValueError:
        return {}
    return facts if isinstance(facts, dict) and as_written(facts) else {}


def _has_journal(file: Path) -> bool:
    journal = file.with_name(f"{file.name}-journal")
    return journal.exists() and journal.stat().st_size > 0


def remember(shelf: Shelf, found: AtRest) -> None:
    """Have it told until somebody says that it was meant, also after the file was written and closed again."""
    closed, noticed = (one.isoformat() if one else "" for one in (found.closed, found.noticed))
    with suppress(OSError):  # the checksum still stands then, and tells it again
        notes.note(shelf.folder, **{_NOTE: {"noticed": noticed, "closed": closed, "before": found.before}})


def accept(shelf: Shelf) -> None:
    """It was meant. OSError where that can't be noted."""
    if notes.under(notes.read_notes(shelf.folder), _NOTE):
        notes.note(shelf.folder, **{_NOTE: None})


class Rest:
    """The checksum of one store's file, while it is open. Whoever writes holds the writer's lock."""

    def __init__(self, shelf: Shelf, found: AtRest, *, alone: bool) -> None:
        self.shelf, self.found, self.alone = shelf, found, alone
        self._stands = True
        if found.is_changed:
            remember(shelf, found)

    def disturb(self) -> None:
        """The file is going to be written. ReadOnly where its checksum can't be taken away."""
        if self._stands:
            unseal(self.shelf.file)
            self._stands = False

    def settle(self) -> None:
        """The file is closed: note what it is, where this store wrote it or nobody else may have it open."""
        written, self._stands = not self._stands, True
        if written or (self.alone and self.found.state != SAME):
            with suppress(OSError):  # a start without a checksum says so
                seal(self.shelf.file, self.shelf.clock())

    def accept(self) -> None:
        """What was changed from outside was meant."""
        accept(self.shelf)
        if self.found.is_changed:
            self._sealed_anew()

    def _sealed_anew(self) -> None:
        """The file as it is now counts; the old checksum would tell of the same change at each start."""
        self.disturb()
        self.found = AtRest(SAME, self.found.closed)

    def replaced(self) -> None:
        """A whole backup took the file's place."""
        with suppress(OSError):
            accept(self.shelf)
        self.found = AtRest(SAME, self.found.closed)
