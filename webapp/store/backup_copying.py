"""The newest whole backup in a folder of the person's own: another disk, a stick, a folder that is carried elsewhere.

A copy on the same disk is no backup. What is copied is read back and compared bit by bit before it gets its name.
"""

from __future__ import annotations

import os
import secrets
import shutil
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

from webapp.errors import DiskFull, Fault, Unprocessable
from webapp.store import backup_notes as notes
from webapp.store.backup import FACTS_SUFFIX, checksum, sync, sync_folder
from webapp.store.backups import Backup, Shelf, troubles

USUAL_DAYS, MOST_DAYS = 30, 365
PUT_OFF_DAYS = 7
LONGEST = 1000
FIELD, DAYS_FIELD = "folder", "days"


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """What is known of copies elsewhere: the folder, when the last one was made and of what, and when to remind."""

    folder: str
    at: datetime | None
    name: str
    days: int
    put_off: date | None


def elsewhere(shelf: Shelf) -> Elsewhere:
    """What was noted of copies elsewhere."""
    found = notes.read_notes(shelf.folder)
    copy, remind = notes.under(found, "copy"), notes.under(found, "remind")
    days = remind.get("days")
    return Elsewhere(
        str(copy.get("folder", "")),
        notes.moment(copy.get("at")),
        str(copy.get("name", "")),
        days if isinstance(days, int) and 1 <= days <= MOST_DAYS else USUAL_DAYS,
        notes.day(remind.get("put_off")),
    )


def is_old(found: Elsewhere, begun: date | None, today: date) -> bool:
    """Whether it is time for another copy elsewhere.

    The last one, or where there is none the beginning of the data, is more days ago than the person's limit, and she
    did not put it off. Data that was not begun needs none. What lies so far ahead is of a clock that was wrong, and
    keeps nothing quiet.
    """
    if begun is None or (found.put_off is not None and today < found.put_off <= today + timedelta(PUT_OFF_DAYS)):
        return False
    last = found.at.astimezone().date() if found.at else begun
    return abs((today - last).days) > found.days


def remind_after(shelf: Shelf, days: str) -> None:
    """Keep the person's own limit, in days as she typed them. Unprocessable where it is none."""
    if not (days.strip().isascii() and days.strip().isdigit() and 1 <= int(days.strip()[:9]) <= MOST_DAYS):
        raise Unprocessable([Fault(DAYS_FIELD, "range", f"Type whole days, from 1 to {MOST_DAYS}.")])
    with troubles():
        notes.note(shelf.folder, remind={"days": int(days)})


def put_off(shelf: Shelf, today: date) -> None:
    """Remind again in a week."""
    until = today + timedelta(PUT_OFF_DAYS)
    with troubles():
        notes.note(shelf.folder, remind={"days": elsewhere(shelf).days, "put_off": until.isoformat()})


def copy_to(shelf: Shelf, typed: str, backup: Backup | None = None) -> Path:
    """The newest whole backup (or the one given) and its facts in the folder that was typed, which is remembered.

    Returns where it lies. Unprocessable at the field where the folder won't do or the copy is not the same.
    """
    folder = _folder(shelf, typed)
    backup = backup or shelf.newest_whole()
    if backup is None:
        raise _refused("nothing", "There is no whole backup to copy yet. Make one first.")
    target = folder / backup.path.name
    try:
        _copied(backup.path.with_suffix(FACTS_SUFFIX), target.with_suffix(FACTS_SUFFIX))
        _copied(backup.path, target)
        sync_folder(folder)
    except OSError as failure:
        with suppress(OSError):
            if not target.exists():
                target.with_suffix(FACTS_SUFFIX).unlink(missing_ok=True)
        raise _meant(failure) from failure
    with troubles():
        told = {"folder": str(folder), "at": shelf.clock().isoformat(), "name": backup.name}
        notes.note(shelf.folder, copy=told, remind={"days": elsewhere(shelf).days})
    return target


def _folder(shelf: Shelf, typed: str) -> Path:
    text = typed.strip()
    if not text:
        raise _refused("required", "Type the folder that the copy goes to, as on another disk or a stick.")
    if len(text) > LONGEST or not text.isprintable():
        raise _refused("text", "That is no folder's name. Type where it is, as your file manager shows it.")
    try:
        folder = Path(text).expanduser()
        if not folder.is_absolute():
            raise _refused("relative", "Type the whole way to the folder, from the disk on.")
        if not folder.is_dir():
            raise _refused("missing", "There is no such folder. Make it first, or see that the disk is plugged in.")
        folder, data = folder.resolve(), shelf.file.parent.resolve()
    except (OSError, RuntimeError, ValueError):
        raise _refused("unreadable", "That folder can't be looked at. Choose another.") from None
    if folder == data or data in folder.parents:
        sentence = "That is the folder of the data itself. Choose one elsewhere: a copy beside it is lost with it."
        raise _refused("same", sentence)
    return folder


def _copied(source: Path, target: Path) -> None:
    """A file in another place, read back and the same bit by bit before it gets its name."""
    part = target.with_name(f"{target.name}.{secrets.token_hex(4)}.part")
    try:
        shutil.copyfile(source, part)
        sync(part)
        _forget(part)
        if checksum(part) != checksum(source):
            raise _refused("not-same", "What was written there is not what was sent. Try another disk.")
        with suppress(OSError):  # some disks have no permissions
            part.chmod(0o600)
        part.replace(target)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def _forget(part: Path) -> None:
    """Have the machine forget what it just wrote, so that it is read from the disk again; not every system can."""
    if hasattr(os, "posix_fadvise"):
        with part.open("rb") as file:
            os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def _meant(failure: OSError) -> Exception:
    try:
        with troubles():
            raise failure
    except DiskFull:
        return DiskFull("That disk is full, so nothing was copied. Make room there, or choose another.")
    except Exception:  # noqa: BLE001 - whatever else a disk says, the folder won't do
        return _refused("shut", "That folder can't be written to. Choose another, or see that it is not locked.")


def _refused(code: str, sentence: str) -> Unprocessable:
    return Unprocessable([Fault(FIELD, code, sentence)])
