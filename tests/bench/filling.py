"""A sized workshop in a store of its own, put there as rows: saving 200,000 order lines one by one would take hours."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from itertools import chain
from pathlib import Path
from typing import Any

from sqlalchemy import insert, update

from webapp.costing.book import PAIRS, SHELVES, Book, Terms, Workshop
from webapp.costing.changes import Put
from webapp.settings import Settings
from webapp.store.difference import plan_for
from webapp.store.engine import sqlite_engine, writing
from webapp.store.families import ChangeRow, LedgerRow, ThingRow
from webapp.store.opening import FILE, open_store
from webapp.store.reading import Live
from webapp.store.rows import ASPECTS

_NOTHING = Live("", 0, {}, {name: {} for name in ASPECTS}, {})
VERSION = 1


def fill(folder: Path, book: Book) -> Settings:
    """A new store in `folder` that holds `book`; the settings that open it."""
    settings = Settings(data=folder)
    with closing(open_store(settings)):
        pass
    things, rows = _rows(book)
    engine = sqlite_engine(folder / FILE)
    with writing(engine).begin() as connection:
        connection.execute(update(_table(LedgerRow)).values(version=VERSION))
        change = {"id": VERSION, "at": datetime.now(UTC), "kind": "filled"}
        connection.execute(insert(_table(ChangeRow)).values(**change))
        connection.execute(insert(_table(ThingRow)), things)
        for name, made in rows.items():
            connection.execute(insert(ASPECTS[name].table), made)
    engine.dispose()
    return settings


def _table(row: Any) -> Any:
    return row.__table__


def _records(book: Book) -> Iterator[tuple[str, Any]]:
    yield "terms", book.terms
    for kind, shelf in chain(SHELVES.items(), PAIRS.items()):
        if kind not in (Workshop, Terms):
            yield from ((shelf[0], record) for record in getattr(book, shelf[1]).values())


def _rows(book: Book) -> tuple[list[dict[str, Any]], dict[str, list[dict[str, Any]]]]:
    things: list[dict[str, Any]] = []
    rows: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for kind, record in _records(book):
        if hasattr(record, "id") and kind != "terms":
            things.append({"id": record.id, "kind": kind})
        for name, made in plan_for(_NOTHING, Put(record), book.day).made.items():
            rows[name] += [{**row, "made_in": VERSION} for row in made]
    return things, rows
