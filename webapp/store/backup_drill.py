"""The drill: the newest backup restored into a temporary place, every product costed there, the result kept."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from webapp import VERSION
from webapp.errors import Problem
from webapp.store import backup_notes as notes
from webapp.store.backup import verify_backup
from webapp.store.backup_book import copied, costs_of
from webapp.store.backups import Backup, Shelf, troubles
from webapp.store.snapshots import Reader

NONE = "There is no backup yet, so nothing could be tried."
OTHER_COSTS = "Its costs are not those that were noted when it was made."


@dataclass(frozen=True, slots=True)
class Drill:
    """One trial: when, of which backup, how many products were costed and how many of them with a gap.

    `same` is whether all costs are those that were noted at the backup; None where none were noted, or by another
    version of the program, which may reckon otherwise. `fault` says what failed; "" where nothing did.
    """

    at: datetime
    name: str
    products: int = 0
    with_gaps: int = 0
    same: bool | None = None
    fault: str = ""


def drill(shelf: Shelf) -> Drill:
    """Try the newest backup, and note how that went. It changes nothing else."""
    newest = next(iter(shelf.all()), None)
    try:
        done = _tried(shelf, newest) if newest else Drill(shelf.clock(), "", fault=NONE)
    except Problem as problem:
        done = Drill(shelf.clock(), newest.name if newest else "", fault=problem.sentence)
    told: dict[str, Any] = {name: getattr(done, name) for name in Drill.__match_args__}
    with suppress(OSError):  # it is told to whoever asked for it
        notes.note(shelf.folder, drill={**told, "at": done.at.isoformat()})
    return done


def _tried(shelf: Shelf, newest: Backup) -> Drill:
    facts = verify_backup(newest.path)
    noted = notes.under(facts, "costs")
    day = notes.day(noted.get("day")) or shelf.clock().astimezone().date()
    with troubles(), copied(newest.path) as engine:
        found = costs_of(Reader(engine).snapshot(day))
    same = found["checksum"] == noted["checksum"] if noted and facts.get("program") == VERSION else None
    return Drill(
        shelf.clock(),
        newest.name,
        found["products"],
        found["with_gaps"],
        same,
        OTHER_COSTS if same is False else "",
    )


def last_drill(shelf: Shelf) -> Drill | None:
    """How the last trial went; None where there was none."""
    told = notes.under(notes.read_notes(shelf.folder), "drill")
    at = notes.moment(told.get("at"))
    if at is None:
        return None
    count = {name: int(told.get(name) or 0) for name in ("products", "with_gaps")}
    same = told.get("same")
    return Drill(
        at,
        str(told.get("name", "")),
        **count,
        same=None if same is None else bool(same),
        fault=str(told.get("fault", "")),
    )


def is_due(shelf: Shelf, today: date) -> bool:
    """Whether none was tried this month, and there is something to try."""
    last = last_drill(shelf)
    month = (today.year, today.month)
    done = last is not None and (last.at.astimezone().year, last.at.astimezone().month) == month
    return not done and bool(shelf.all())
