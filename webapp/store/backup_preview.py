"""What a restore would change: the present book beside the one in the backup, before anything is done."""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from webapp.costing.reckoning import Reckoning
from webapp.costing.two_books import Compared, compare
from webapp.store.backup_book import Inside, inside


@dataclass(frozen=True, slots=True)
class Preview:
    """Both books reckoned, and how they differ; `compared` is None where they are not of the same data."""

    now: Reckoning
    then: Reckoning
    compared: Compared | None


def preview_beside(now: Reckoning, begun_now: str, backup: Path) -> Preview:
    """The same, where the present book is known already and its data was begun at that moment."""
    there = inside(backup, now.book.day)
    return _compared(now, begun_now, there)


def preview(file: Path, backup: Path, day: date) -> Preview:
    """What restoring `backup` over the data in `file` would change on `day`. BackupFailed where one can't be read."""
    _settle(file)
    here = inside(file, day)
    return _compared(here.snapshot.reckoning, here.begun, inside(backup, day))


def _settle(file: Path) -> None:
    """Have a write that was broken off taken back first, as any reader does: its journal is not copied along."""
    with suppress(sqlite3.Error), closing(sqlite3.connect(f"{file.absolute().as_uri()}?mode=rw", uri=True)) as there:
        there.execute("SELECT count(*) FROM sqlite_master").fetchone()


def _compared(now: Reckoning, begun_now: str, there: Inside) -> Preview:
    then = there.snapshot.reckoning
    same_data = not begun_now or not there.begun or begun_now == there.begun
    return Preview(now, then, compare(now, then) if same_data else None)
