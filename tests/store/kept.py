"""What the tests of backups start from: a file with something in it, its shelf, and a clock that is set by hand."""

from __future__ import annotations

import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from tests.store.records import every_kind
from webapp.costing import book as b
from webapp.costing.changes import Change, Put
from webapp.settings import Settings
from webapp.store.backups import Shelf
from webapp.store.opening import FILE, Store, open_store
from webapp.store.writing import Intent

DAY = date(2026, 11, 25)


class Clock:
    """A clock that stands still until it is set on."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 25, 10, tzinfo=UTC)

    def __call__(self) -> datetime:
        """What it shows; a millisecond more each time, so that no two moments are the same."""
        self.now += timedelta(milliseconds=1)
        return self.now


@cache
def _filled() -> bytes:
    """A file with a record of every kind in it, made once: making one takes longer than most tests."""
    with tempfile.TemporaryDirectory() as folder:
        with closing(opened(Path(folder))) as store:
            store.save(every_kind(), Intent("first"), DAY)
        return (Path(folder) / FILE).read_bytes()


def shelf_in(folder: Path) -> Shelf:
    """A shelf of a file with a record of every kind in it, with a clock of its own."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / FILE).write_bytes(_filled())
    return Shelf(folder / FILE, Clock())


def saved(store: Store, *changes: Change) -> int:
    """Save something, as it is seen now."""
    now = store.snapshot(DAY)
    return store.save(changes, Intent("more", epoch=now.epoch, version=now.version), DAY).version


def opened(folder: Path) -> Store:
    """The store in a folder."""
    return open_store(Settings(data=folder, database=None))


def add_supplier(folder: Path, name: str) -> None:
    """One thing more."""
    with closing(opened(folder)) as store:
        saved(store, Put(b.Supplier(-1, name)))


def suppliers(folder: Path) -> set[str]:
    """The names of all suppliers."""
    with closing(opened(folder)) as store:
        return {one.name for one in store.snapshot(DAY).book.suppliers.values()}


def run(file: Path, *statements: str) -> None:
    """Change a file behind the program's back."""
    with closing(sqlite3.connect(file)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()


def flip(path: Path, bit: int) -> None:
    """Turn one bit of a file over."""
    content = bytearray(path.read_bytes())
    content[bit // 8 % len(content)] ^= 1 << bit % 8
    path.write_bytes(content)


def failing(failure: BaseException) -> Callable[..., Any]:
    """Something in the place of a call that fails."""

    def call(*_: Any, **__: Any) -> Any:
        raise failure

    return call
