"""The backups of one data file: making, finding, checking, letting go."""

from __future__ import annotations

import errno
import logging
import re
import sqlite3
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext, suppress
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from filelock import FileLock, Timeout

from webapp.costing.changes import Change, affected
from webapp.errors import Busy, DiskFull, NotFound, Problem, ReadOnly
from webapp.store import backup_notes as notes
from webapp.store.backup import (
    FACTS_SUFFIX,
    STAMP,
    SUFFIX,
    BackupFailed,
    Facts,
    make_backup,
    read_facts,
    verify_backup,
)
from webapp.store.backup_book import noted
from webapp.store.backup_keeping import to_keep

log = logging.getLogger("brimful")

FOLDER = "backups"
NAME = re.compile(r"[a-z]{1,20}-(?P<stamp>[0-9]{8}T[0-9]{12}Z)-(?P<why>[a-z0-9-]{1,40})", re.ASCII)
ASKED, DAILY, BEFORE_RESTORE, BEFORE_IMPORT, BEFORE_PRICES = (
    "asked",
    "daily",
    "before-restore",
    "before-import",
    "before-prices",
)
MANY_PRICES = 20
LOCK = ".making-lock"
MAKING_SECONDS = 120
"""How long one that another process makes is waited for."""
LEFT_OVER = timedelta(hours=1)
"""After so long a torn copy belongs to nobody who is still at work."""

FULL = "The disk is full, so no backup was made and nothing was changed. Make room, then try again."
SHUT = (
    "No backup can be made: its folder can't be written to. Nothing was changed; see that the folder of your data is "
    "writable."
)
ANOTHER = "No backup can be made while another is being made. Nothing was changed; try again in a minute."
UNREADABLE = "The data can't be read whole, so no backup was made. Nothing was changed."


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup: its name, when it was made and why, what was noted of it, and what its last check found."""

    path: Path
    when: datetime
    why: str
    size: int
    facts: Mapping[str, Any] = field(default_factory=dict)
    checked: datetime | None = None
    fault: str = ""

    @property
    def name(self) -> str:
        """What it is called, on the page and on the command line."""
        return self.path.stem

    @property
    def is_whole(self) -> bool:
        """Whether its last check found it whole."""
        return self.checked is not None and not self.fault

    @property
    def number(self) -> int:
        """Its number in the order of their making; 0 where that was not noted."""
        number = self.facts.get("number")
        return number if isinstance(number, int) else 0

    def order(self, now: datetime) -> tuple[int, bool, datetime, str]:
        """What it is sorted by, the one that was made last having the most."""
        return self.number, self.when <= now, self.when, self.name

    @property
    def costs(self) -> Mapping[str, Any]:
        """What all its costs came to when it was made; nothing where that was not noted."""
        return notes.under(self.facts, "costs")


@contextmanager
def troubles() -> Iterator[None]:
    """Turn what a disk or a damaged file says into one of our situations."""
    try:
        yield
    except sqlite3.Error as failure:
        raise _meant(failure) from failure
    except OSError as failure:
        full = failure.errno in (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
        raise (DiskFull(FULL) if full else ReadOnly(SHUT)) from failure


def _meant(failure: sqlite3.Error) -> Problem:
    code = getattr(failure, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_FULL:
        return DiskFull(FULL)
    if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return Busy()
    if code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR):
        return ReadOnly(SHUT)
    return BackupFailed(UNREADABLE)


class Shelf:
    """The backups of the data in `file`, in a folder beside it.

    `source` gives the file to copy where the data itself is none; then `file` only names the backups.
    """

    def __init__(
        self,
        file: Path,
        clock: Callable[[], datetime] = lambda: datetime.now(UTC),
        source: Callable[[], AbstractContextManager[Path]] | None = None,
    ) -> None:
        self.file, self.folder, self.clock = file, file.parent / FOLDER, clock
        self._source = source or (lambda: nullcontext(file))
        self._making = threading.Lock()

    def all(self) -> tuple[Backup, ...]:
        """Every backup, what was made last first, whatever the clock said.

        Those without a number, as they were made once, by their moments; those of a time to come behind them.
        """
        now = self.clock()
        checks = notes.under(notes.read_notes(self.folder), "checks")
        found = (self._one(path, checks) for path in self.folder.glob(f"{self.file.stem}-*{SUFFIX}"))
        return tuple(sorted((one for one in found if one), key=lambda one: one.order(now), reverse=True))

    def find(self, name: str) -> Backup:
        """The backup of that name. NotFound where there is none."""
        path = self.folder / f"{name}{SUFFIX}"
        if not NAME.fullmatch(name) or not path.is_file():
            raise NotFound("There is no backup of that name. The list shows those that there are.")
        made = self._one(path, notes.under(notes.read_notes(self.folder), "checks"))
        if made is None:
            raise NotFound
        return made

    def _one(self, path: Path, checks: Mapping[str, Any]) -> Backup | None:
        named, when = NAME.fullmatch(path.stem), moment_in(path.stem)
        if named is None or when is None:
            return None
        try:
            facts, fault = read_facts(path), ""
        except BackupFailed as reason:
            facts, fault = {}, reason.sentence
        check = notes.under(checks, path.stem)
        at = notes.moment(check.get("at")) or notes.moment(facts.get("made"))
        size = path.stat().st_size
        return Backup(path, when, named["why"], size, facts, at, fault or str(check.get("fault", "")))

    def make(self, why: str, day: date, spare: str = "") -> Backup:
        """A new backup, and let go of those that are not kept any more (but for the one named `spare`).

        `day` is the day whose costs are noted with it. DiskFull, ReadOnly, Busy or BackupFailed where none was made.
        """
        with self._making, self._alone():
            with troubles(), self._source() as source:
                now, number = self.clock(), 1 + max((one.number for one in self.all()), default=0)
                path = make_backup(source, self.folder, why, lambda part: _noted(part, day, number), now)
            with suppress(OSError):  # the backup is made; that an old one stays is no harm
                self.tidy(spare)
            return self.find(path.stem)

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """No other process makes one meanwhile, whose clock may differ: what this one makes is no left-over for it."""
        lock = FileLock(self.folder / LOCK, timeout=MAKING_SECONDS)
        with troubles():
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            try:
                lock.acquire()
            except Timeout as late:
                raise Busy(ANOTHER) from late
        try:
            yield
        finally:
            lock.release()

    def before_storing(self, changes: Sequence[Change], day: date) -> None:
        """A backup before many prices are stored at once; what keeps it from being made keeps them from it."""
        if sum(affected(one)[0] == "price" for one in changes) > MANY_PRICES:
            self.make(BEFORE_PRICES, day)

    def check(self, backup: Backup) -> Backup:
        """Check a backup bit by bit, and note what was found."""
        fault = fault_of(backup.path)
        with suppress(OSError):  # it was checked all the same
            names = {one.name for one in self.all()}
            notes.note_check(self.folder, backup.name, self.clock(), fault, names)
        return Backup(backup.path, backup.when, backup.why, backup.size, backup.facts, self.clock(), fault)

    def newest_whole(self) -> Backup | None:
        """The newest backup that is whole, checked now; None where there is none."""
        return next((one for one in self.all() if not fault_of(one.path)), None)

    def tidy(self, spare: str = "") -> tuple[str, ...]:
        """Let go of the backups that are not kept any more, and of torn ones; the names of those that went.

        The newest that is whole always stays.
        """
        self._sweep()
        found = self.all()
        numbers = {one.when.astimezone(): one.number for one in found}
        kept = to_keep(numbers, self.clock().astimezone(), numbers)
        old = [one for one in found if one.when not in kept and one.name != spare]
        newest = self.newest_whole() if old else None
        gone = [one for one in old if newest is None or one.name != newest.name]
        for one in gone:
            one.path.unlink(missing_ok=True)
            one.path.with_suffix(FACTS_SUFFIX).unlink(missing_ok=True)
        return tuple(one.name for one in gone)

    def _sweep(self) -> None:
        before = (self.clock() - LEFT_OVER).timestamp()
        for part in self.folder.glob("*.part*"):
            with suppress(OSError):
                if part.stat().st_mtime < before and not part.name.startswith(notes.FILE):
                    part.unlink()


def fault_of(backup: Path) -> str:
    """What is wrong with a backup; "" where it is whole."""
    try:
        verify_backup(backup)
    except BackupFailed as reason:
        return reason.sentence
    return ""


def _noted(part: Path, day: date, number: int) -> Facts:
    """What is noted of a copy. A fault in working it out must not be what keeps a backup from being made.

    `number` says what was made after what: a clock that was wrong does not.
    """
    try:
        return {"number": number, **noted(part, day)}
    except Exception:
        log.exception("the costs of a backup could not be noted")
        return {"number": number}


def moment_in(name: str) -> datetime | None:
    """When a backup of that name was made; None where none is called so."""
    named = NAME.fullmatch(name)
    try:
        return datetime.strptime(named["stamp"], STAMP).replace(tzinfo=UTC) if named else None
    except ValueError:
        return None
