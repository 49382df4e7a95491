"""Two stores side by side: what one holds is carried to the other, and whether they say the same is asked by name."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.changes import Put, Retire, key_of, renumber
from webapp.costing.limits import LAST_DAY, name_key
from webapp.settings import Settings
from webapp.store.opening import FILE, Store, open_store
from webapp.store.writing import Intent

NAMED = ("people", "bills", "suppliers", "materials", "formulas", "groups", "products", "channels")
FACTS = ("prices", "targets", "sales")


def settings_of(folder: Path) -> Settings:
    """Settings of a folder of its own."""
    return Settings(data=folder, database=None)


def empty_store(new_file: Path, folder: Path) -> Store:
    """A store with nothing in it."""
    folder.mkdir(parents=True)
    shutil.copy(new_file, folder / FILE)
    return open_store(settings_of(folder))


def puts(book: Book) -> Iterator[Put | Retire]:
    """A book as the changes that enter it; its things get the negative of their numbers."""
    yield Put(book.workshop)
    for entry in book.registrations:
        yield Put(replace(book.terms, since=entry.since, registered=entry.registered))
    yield Put(book.terms)
    ids = {one: -one for shelf in (*NAMED, "orders", "quotes", "batches") for one in getattr(book, shelf)}
    for shelf in ("people", "bills", "suppliers", "materials", "quotes", "orders", "formulas", "groups", "channels"):
        yield from _of_shelf(book, shelf, ids)
    yield from _of_shelf(book, "products", ids)
    yield from _of_shelf(book, "batches", ids)
    for shelf in (*FACTS, "reviews"):
        yield from _of_shelf(book, shelf, ids)


def _of_shelf(book: Book, shelf: str, ids: Mapping[int, int]) -> Iterator[Put | Retire]:
    for record in getattr(book, shelf).values():
        put = renumber(Put(record), ids)
        assert isinstance(put, Put)
        yield put
        if getattr(record, "retired", None) is not None:
            kind, one = key_of(put.record)
            assert isinstance(one, int)
            yield Retire(kind, one, record.retired)


def enter(store: Store, book: Book) -> None:
    """Have a store hold a book."""
    store.take_over(list(puts(book)), Intent("entered"), book.day, lambda _: None)


def later_and_earlier(store: Store, rng: Random, today: date) -> None:
    """More days from which things hold, before and after today; and some things put away."""
    now = store.snapshot(today)
    changes: list[Any] = []
    for shelf in ("products", "formulas", "groups", "channels", "bills", *FACTS):
        for record in getattr(now.book, shelf).values():
            if rng.random() < 0.5:
                day = record.since + timedelta(rng.choice((-400, -30, 45, 800)))
                changes.append(Put(_otherwise(replace(record, since=day), rng)))
    for person in now.book.people.values():
        if person.wage is not None:
            wage = replace(person.wage, since=person.wage.since + timedelta(rng.choice((-300, 30, 900))))
            changes.append(Put(replace(person, wage=replace(wage, per_hour=wage.per_hour + 1))))
    for material in now.book.materials.values():
        if material.density is not None and rng.random() < 0.5:
            density = replace(material.density, since=material.density.since - timedelta(200), source="older sheet")
            changes.append(Put(replace(material, density=density)))
        if rng.random() < 0.5:
            changes.append(Put(b.Review(material.id, today - timedelta(rng.randint(0, 90)), reason="asked")))
        if rng.random() < 0.2:
            changes.append(Retire("material", material.id, today - timedelta(rng.randint(-5, 30))))
    changes.append(Put(replace(now.book.terms, since=today + timedelta(100), target=Decimal(30))))
    store.take_over(changes, Intent("more", epoch=now.epoch, version=now.version), today, lambda _: None)


def _otherwise(record: Any, rng: Random) -> Any:
    """Another amount in a fact, more losses in a content."""
    for name in ("amount", "jars", "margin", "a_month", "carton"):
        if getattr(record, name, None) is not None:
            return replace(record, **{name: getattr(record, name) + rng.randint(1, 3)})
    if isinstance(record, b.Price):
        return record
    return record


def same_by_name(here: Store, there: Store, *days: date) -> None:
    """Both say the same, on each of these days, of things that are called the same, record by record."""
    ids = dict(pairs_by_name(here.snapshot(LAST_DAY).book, there.snapshot(LAST_DAY).book))
    for day in days:
        same(here.snapshot(day).book, there.snapshot(day).book, ids)


def same(one: Book, other: Book, ids: Mapping[int, int]) -> None:
    """Two books say the same; `ids` leads from the numbers of the first to those of the other."""
    assert (one.day, one.workshop, one.terms, one.registrations) == (
        other.day,
        other.workshop,
        other.terms,
        other.registrations,
    )
    for shelf in (*NAMED, "orders", "quotes", "batches", *FACTS, "reviews"):
        moved = [renumber(Put(record), ids).record for record in getattr(one, shelf).values()]  # type: ignore[union-attr]
        there = [*getattr(other, shelf).values()]
        assert ([one for one in moved if one not in there], [one for one in there if one not in moved]) == ([], []), (
            shelf
        )


def pairs_by_name(one: Book, other: Book) -> Iterator[tuple[int, int]]:
    """The numbers of things that are called the same in two books."""
    for shelf in NAMED:
        called = {name_key(record.name): record.id for record in getattr(other, shelf).values()}
        yield from ((record.id, called[name_key(record.name)]) for record in getattr(one, shelf).values())
    for shelf in ("orders", "quotes", "batches"):  # without names: in the order of their numbers
        yield from zip(sorted(getattr(one, shelf)), sorted(getattr(other, shelf)), strict=True)
