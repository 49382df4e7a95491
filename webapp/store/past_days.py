"""The books of several days at once, made of rows that are read already: only what moved between them is made anew."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from webapp.costing.book import EVENTS, Book, Id, Order
from webapp.costing.material_history import moving_days, thin
from webapp.store.assembling import book_on
from webapp.store.reading import Key, Live
from webapp.store.rows import STORED

#: which records the figures that are asked for come from, on the day of a book
Leaning = Callable[[Book], Iterable[Key]]
_OWN_DAYS = frozenset(EVENTS)


class PastBooks(NamedTuple):
    """Books of several days, oldest first; whether days were left out; what their figures lean on; of which version."""

    books: tuple[Book, ...]
    thinned: bool
    keys: frozenset[Key]
    version: int


def books_of_days(live: Live, book: Book, leaning: Leaning, most: int) -> PastBooks:
    """The books of every day up to `book`'s on which something changed that figures lean on.

    At most so many, evenly, the newest kept. Each holds only the orders that bought something of theirs. `book` is the
    one of the newest day, of the same rows.
    """
    moving = _moving(live, book.day)
    keys = frozenset[Key](leaning(book))
    while True:
        found = _walked(live, book, _days_of(moving, keys, most), moving)
        more = keys.union(*(leaning(one) for one in found))
        if more == keys:
            break
        keys = more
    orders = [one for one in book.orders.values() if any(("material", line.material) in keys for line in one.lines)]
    days = {day for day, moved in moving.items() if not keys.isdisjoint(moved)} | _of_materials(book, keys, orders)
    kept, thinned = thin(sorted(days | {book.day}), most)
    books = tuple(_bought(one, orders) for one in _walked(live, book, kept, moving))
    return PastBooks(books, thinned, keys, live.version)


def _moving(live: Live, until: date) -> dict[date, set[Key]]:
    """What begins to hold on which day; orders and quotes hold by their own day."""
    found: dict[date, set[Key]] = {}
    for kind, stored in STORED.items():
        for aspect in stored.aspects if kind not in _OWN_DAYS else ():
            if aspect.dated:
                for identity, rows in live.tables[aspect.table.name].items():
                    if aspect is not stored.retired or live.kinds.get(identity) == kind:
                        for row in (one for one in rows if one.day <= until):
                            found.setdefault(row.day, set()).add((kind, identity))
    return found


def _days_of(moving: Mapping[date, set[Key]], keys: frozenset[Key], most: int) -> list[date]:
    return thin(sorted(day for day, moved in moving.items() if not keys.isdisjoint(moved)), most)[0]


def _of_materials(book: Book, keys: frozenset[Key], orders: Iterable[Order]) -> set[date]:
    """Every day on which what a material costs may have changed by itself: bought, quoted, or too old to count."""
    bought: dict[Id, set[date]] = {}
    for order in orders:
        for line in order.lines:
            bought.setdefault(line.material, set()).add(order.day)
    held = [book.materials[key] for kind, key in keys if kind == "material" and key in book.materials]
    days = {day for one in held for day in moving_days(book, one, bought.get(one.id, ()))}
    return {day for day in days if day <= book.day}


def _walked(live: Live, book: Book, days: Iterable[date], moving: Mapping[date, set[Key]]) -> list[Book]:
    """From the newest day back: what began to hold after a day is made as it was on it."""
    found: list[Book] = []
    for day in sorted(days, reverse=True):
        if day > book.day:
            continue
        touched = {key for when, moved in moving.items() if day < when <= book.day for key in moved}
        book = book_on(live, book, day, touched)
        found.append(book)
    return found[::-1]


def _bought(book: Book, orders: Iterable[Order]) -> Book:
    held = {one.id: one for one in orders if one.day <= book.day}
    made = {key: one for key, one in book.batches.items() if one.day <= book.day}
    return replace(book, orders=held, batches=made)
