"""The command's words for backups: make one, list them, restore one, try the newest."""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Callable, Mapping
from contextlib import ExitStack, closing, suppress
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from webapp.errors import CannotStart, Problem, Unprocessable
from webapp.serving import hold_data
from webapp.settings import Settings
from webapp.store import at_rest, restoring
from webapp.store.backup import SUFFIX, BackupFailed
from webapp.store.backup_copying import copy_to
from webapp.store.backup_drill import drill
from webapp.store.backup_telling import held_words, when_words, why_words
from webapp.store.backups import ASKED, Shelf, fault_of
from webapp.store.opening import FILE, Store, open_store
from webapp.store.refusing import absent

if TYPE_CHECKING:
    from webapp.costing.two_books import Compared
    from webapp.store.backup_preview import Preview

DONE, FOUND_WRONG = 0, 1
MOST_NAMED = 10
Say = Callable[[str], None]


def add_words(words: Any, shared: argparse.ArgumentParser) -> None:
    """What may be typed about backups."""
    making = words.add_parser("backup", parents=[shared], help="make a backup now")
    making.add_argument("--to", metavar="DIR", help="and copy it to a folder elsewhere, as on another disk")
    words.add_parser("backups", parents=[shared], help="list the backups, and whether each is whole")
    restoring_word = words.add_parser("restore", parents=[shared], help="put a backup in the place of the data")
    restoring_word.add_argument("backup", metavar="NAME|FILE", help="a backup by its name in the list, or its file")
    restoring_word.add_argument("--yes", action="store_true", help="do it without asking")
    words.add_parser("drill", parents=[shared], help="try the newest backup: restore it elsewhere, cost every product")


def do(settings: Settings, options: argparse.Namespace, say: Say) -> int:
    """Do what was asked, and return the exit code. CannotStart with a sentence where it can't be done."""
    try:
        if settings.database is None:
            return WORDS[options.command](settings, Shelf(settings.data / FILE), options, say)
        with closing(open_store(settings)) as store:
            if options.command == "restore":
                return restore_postgres(store, options, say)
            return WORDS[options.command](settings, store.shelf, options, say)
    except Unprocessable as refused:
        raise CannotStart(" ".join(fault.sentence for fault in refused.faults)) from None
    except Problem as problem:
        raise CannotStart(problem.sentence) from None


def back_up(settings: Settings, shelf: Shelf, options: argparse.Namespace, say: Say) -> int:
    """Make a backup; with --to a copy of it elsewhere too."""
    if settings.database is None and not shelf.file.exists():
        raise absent(shelf.file, f"There is no data in {settings.data} yet, so there is nothing to back up.")
    made = shelf.make(ASKED, _today())
    say(f"{made.name} was made and checked. It holds {held_words(made)}.")
    if options.to is not None:
        say(f"A copy was written, read back and compared: {copy_to(shelf, options.to, made)}")
    return DONE


def list_them(settings: Settings, shelf: Shelf, options: argparse.Namespace, say: Say) -> int:
    """Every backup, checked now. Exit code 1 where one is not whole."""
    del options
    found = shelf.all()
    if not found:
        say(f"There are no backups of the data in {settings.data} yet.")
    faults = {one.name: fault_of(one.path) for one in found}
    for one in found:
        whole = faults[one.name] or "whole, checked now"
        say(f"{one.name}\n  {when_words(one)}, {why_words(one)}, {one.size // 1024} KiB; {held_words(one)}; {whole}")
    return FOUND_WRONG if any(faults.values()) else DONE


def try_newest(settings: Settings, shelf: Shelf, options: argparse.Namespace, say: Say) -> int:
    """The drill."""
    del settings, options
    done = drill(shelf)
    if done.fault:
        say(f"The trial failed. {done.fault}")
        return FOUND_WRONG
    same = {True: "all costs are as noted when it was made", None: "no costs were noted to compare with"}[done.same]
    say(f"{done.name} was restored into a temporary place: {done.products} products costed, {same}.")
    return DONE


def restore(settings: Settings, shelf: Shelf, options: argparse.Namespace, say: Say) -> int:
    """Show what differs, ask, and put the backup in the place of the data. No server may run on it meanwhile."""
    backup = _meant(shelf, options.backup)
    restoring.verify(backup)
    with ExitStack() as stack:
        hold_data(settings, stack)
        say(differences(shelf, backup))
        if not options.yes and not _agreed():
            raise CannotStart("Nothing was changed. Say --yes to restore it without being asked.")
        done = restoring.restore(shelf, backup, _today())
        with suppress(OSError):  # a start without a checksum says so
            at_rest.seal(shelf.file, shelf.clock())
            at_rest.accept(shelf)
    say(f"The data is now as in {backup.stem}.")
    if done.before:
        say(f"What was there before is kept: brimful restore {done.before} brings it back.")
    if done.aside:
        say(f"The file that was there before could not be read; it lies beside it as {done.aside}.")
    return DONE


def restore_postgres(store: Store, options: argparse.Namespace, say: Say) -> int:
    """The same for a PostgreSQL: servers that run on it go on, and every page that was read before is stale."""
    backup, today = _meant(store.shelf, options.backup), _today()
    restoring.verify(backup)
    now = store.snapshot(today)
    told = importlib.import_module("webapp.store.backup_preview").preview_beside(now.reckoning, store.begun, backup)
    say(_told(told))
    if not options.yes and not _agreed():
        raise CannotStart("Nothing was changed. Say --yes to restore it without being asked.")
    done = store.restore(backup, today, (now.epoch, now.version))
    say(f"The data is now as in {backup.stem}.")
    say(f"What was there before is kept: brimful restore {done.before} brings it back.")
    return DONE


def _meant(shelf: Shelf, typed: str) -> Path:
    """The backup of that name, with or without its ending; else the file itself."""
    with suppress(Problem):
        return shelf.find(typed.removesuffix(SUFFIX)).path
    file = Path(typed).expanduser().absolute()
    if not file.is_file():
        raise CannotStart("There is no backup of that name, and no such file. brimful backups lists them.")
    return file


def differences(shelf: Shelf, backup: Path) -> str:
    """What would be otherwise, in lines. Where the data can't be read there is nothing to compare with."""
    if not shelf.file.exists():
        return "There is no data yet, so all of the backup is new."
    try:
        told = importlib.import_module("webapp.store.backup_preview").preview(shelf.file, backup, _today())
    except BackupFailed:
        return "The data that is there now can't be read. It is moved aside, not deleted."
    return _told(told)


def _told(told: Preview) -> str:
    if told.compared is None:
        return "That backup is of other data: nothing in it is the same as here."
    return "\n".join(_lines(told.compared, told.now.book.products, told.then.book.products))


def _lines(compared: Compared, now: Mapping[int, Any], then: Mapping[int, Any]) -> list[str]:
    if not compared.differs:
        return ["It says the same as the data that is there now."]
    lines = []
    for one in compared.kinds:
        if one.differs:
            counts = f"{len(one.only_now)} only now, {len(one.only_then)} only there, {len(one.changed)} not the same"
            lines.append(f"{one.kind}: {one.now} now, {one.then} there ({counts})")
    lines += [
        f"  cost or price moves: {then.get(row.after.product, now.get(row.after.product)).name}"
        for row in compared.rows[:MOST_NAMED]
    ]
    more = len(compared.rows) - MOST_NAMED
    return [*lines, f"  and {more} more"] if more > 0 else lines


def _agreed() -> bool:
    """Ask at a terminal; where there is none, no."""
    if not sys.stdin.isatty():
        return False
    return input("Restore it? Type yes: ").strip().lower() == "yes"


def _today() -> date:
    return date.today()  # noqa: DTZ011 - the maker's own day is meant


WORDS: dict[str, Callable[[Settings, Shelf, argparse.Namespace, Say], int]] = {
    "backup": back_up,
    "backups": list_them,
    "drill": try_newest,
    "restore": restore,
}
