"""`brimful move-to URL|FOLDER`: all of the data to an empty database, or back to an empty folder."""

from __future__ import annotations

import argparse
import shlex
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import date
from pathlib import Path

from pydantic import SecretStr

from webapp.errors import CannotStart
from webapp.serving import hold_data
from webapp.settings import Settings
from webapp.store.moving import Moved, move, where
from webapp.store.opening import FILE

DONE = 0


def do(settings: Settings, options: argparse.Namespace, say: Callable[[str], None]) -> int:
    """Move, and say what was moved. CannotStart with a sentence where it can't be done."""
    target = target_of(settings, options.place)
    if target == settings:
        raise CannotStart("That is where the data is already. Choose an empty folder or database.")
    if settings.database is None and not (settings.data / FILE).exists():
        raise CannotStart(f"There is no data in {settings.data} yet, so there is nothing to move.")
    with ExitStack() as stack:
        for place in (settings, target):
            if place.database is None:
                hold_data(place, stack)
        done = move(settings, target, date.today())  # noqa: DTZ011 - the maker's own day is meant
    say("\n".join(report(done, settings, target)))
    return DONE


def target_of(settings: Settings, typed: str) -> Settings:
    """The place that was typed: an address of a database has a scheme, all else is a folder."""
    if "://" in typed:
        return settings.model_copy(update={"database": SecretStr(typed)})
    return settings.model_copy(update={"database": None, "data": Path(typed).expanduser().absolute()})


def report(done: Moved, source: Settings, target: Settings) -> Iterator[str]:
    """What was moved, and how to go on."""
    yield from (f"  {one.name}: {one.rows} rows, {one.sha256[:16]}" for one in done.tables if one.rows)
    yield (
        f"{done.rows} rows in {len(done.tables)} tables were copied from {where(source)} to {where(target)}; in both, "
        "number and content of each are the same."
    )
    yield (
        f"{done.changes} changes with their undo, and {done.costs.products} products: every cost and price is the same "
        f"in both ({done.costs.checksum[:16]})."
    )
    yield f"Nothing in {where(source)} was changed. Don't go on there: what is written in one is not in the other."
    yield f"Start it in its new place: {start(target)}"


def start(target: Settings) -> str:
    """The command that serves the new place; the address is not printed, since it may hold a password."""
    if target.database is None:
        return f"brimful --data {shlex.quote(str(target.data))}, with BRIMFUL_DATABASE not set"
    return "set BRIMFUL_DATABASE to its address, then brimful"
