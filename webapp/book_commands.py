"""`brimful export FILE` and `brimful import FILE`: everything out, everything in, without a server."""

from __future__ import annotations

import os
import sys
from contextlib import ExitStack
from datetime import date
from pathlib import Path
from typing import TextIO

from webapp.costing.changes import Put
from webapp.errors import CannotStart, Problem
from webapp.exchange import book_files
from webapp.exchange.book_cells import RowFault
from webapp.exchange.book_changes import called, differences
from webapp.exchange.book_sheets import main_sheet
from webapp.exchange.book_words import SHEETS
from webapp.exchange.tables import CannotRead
from webapp.importing import Looked, exported, look, take
from webapp.serving import hold_data
from webapp.settings import Settings
from webapp.store.opening import FILE, open_store
from webapp.store.refusing import absent
from webapp.store.writing import UNCHANGED, Intent

OK, FOUND_WRONG = 0, 1
#: how many faults, or changes, are printed
MOST_SAID = 20


def export(settings: Settings, target: Path, today: date) -> list[str]:
    """Write everything to `target`, whose ending says in which form. CannotStart where that can't be."""
    kind = target.suffix.lower().removeprefix(".")
    if kind not in book_files.KINDS:
        raise CannotStart(f"{target} must end with .json, .xlsx or .zip (a CSV file for each sheet).")
    if settings.database is None and not (settings.data / FILE).exists():
        path = settings.data / FILE
        raise absent(path, f"There is no data in {settings.data} yet, so nothing was exported.")
    store = open_store(settings)
    try:
        document = exported(store, today)
    finally:
        store.close()
    _write(target, book_files.written(document, kind))
    return [f"{document.rows} rows in {len(document.sheets)} sheets were exported to {target}."]


def _write(target: Path, data: bytes) -> None:
    """Under another name first: a file that is there already is only replaced by a whole one."""
    part = target.with_name(f"{target.name}.part")
    try:
        with part.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.replace(target)
    except OSError as error:
        raise CannotStart(f"{target} can't be written ({error.strerror}). Choose another place.") from None
    finally:
        part.unlink(missing_ok=True)


def bring(settings: Settings, source: Path, today: date, *, sure: bool) -> int:
    """Take over what a file holds, as one change. Without `sure` it is shown first and asked at a terminal."""
    try:
        brought = book_files.read(source.name, source.read_bytes())
    except OSError as error:
        raise CannotStart(f"{source} can't be read ({error.strerror}).") from None
    except CannotRead as refused:
        raise CannotStart(f"{source}: {refused.sentence}") from None
    with ExitStack() as stack:
        hold_data(settings, stack)
        store = open_store(settings, alone=True)
        stack.callback(store.close)
        looked = look(store, brought.document, today, brought.notation)
        _say("\n".join([*brought.remarks, *_said(looked)]))
        if looked.faults:
            _say("Nothing was imported.", sys.stderr)
            return FOUND_WRONG
        if looked.back.is_nothing:
            return OK
        if not (sure or _agreed()):
            return FOUND_WRONG
        try:
            saved = take(store, looked, Intent("Import", why=source.name[:200]), today)
        except Problem as problem:
            raise CannotStart(problem.sentence) from None
    undone = f"Imported as change {saved.change}, which can be undone."
    _say(undone if saved.change != UNCHANGED else "What-ifs and notes were kept; they are no change of the book.")
    return OK


def _say(words: str, where: TextIO | None = None) -> None:
    (where or sys.stdout).write(f"{words}\n")


def _agreed() -> bool:
    if not sys.stdin.isatty():
        _say("Nothing was imported: say --yes, or import at a terminal.", sys.stderr)
        return False
    return input("Import it? [y/N] ").strip().casefold() in ("y", "yes")


def _said(looked: Looked) -> list[str]:
    """What there is to know before it is imported."""
    if looked.faults:
        return _some([_told(one) for one in looked.faults], "more faults")
    lines = [
        f"{main_sheet(kind).title}: {new} new, {changed} changed" for kind, (new, changed) in looked.counts.items()
    ]
    lines += [f"{looked.back.same} things are as they are here already."] if looked.back.same else []
    changed = [one for one in looked.back.arrived if one.before is not None or not isinstance(one.change, Put)]
    told = [
        f"{SHEETS[one.version.kind][1].capitalize()} {called(looked.back, one)}: {found.head}: "
        f"{found.before or '(nothing)'} -> {found.after or '(nothing)'}"
        for one in changed
        for found in differences(looked.back, one, looked.held)
    ]
    lines += _some(told, "more changes")
    lines += _some([f"Doubtful: {_told(one)}" for one in looked.doubts], "more doubts")
    return lines


def _told(one: RowFault) -> str:
    where = ", ".join(filter(None, (one.sheet, f"row {one.row}" if one.row else "", one.column)))
    return f"{where}: {one.sentence}" + (f' (read: "{one.read}")' if one.read else "")


def _some(lines: list[str], more: str) -> list[str]:
    left = len(lines) - MOST_SAID
    return [*lines[:MOST_SAID], f"… and {left} {more}"] if left > 0 else lines
