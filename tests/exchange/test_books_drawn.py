"""Small books drawn at random, some with exact ties: stored, read back, carried to another store, and costed."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from random import Random
from typing import Any

import pytest

from tests.books import small, tied
from tests.exchange.carried import empty_store, enter, pairs_by_name, same
from tests.small_purchases import DAY
from tests.tried import tell
from webapp.costing import checks
from webapp.costing.book import Book
from webapp.costing.gaps import Gap
from webapp.costing.limits import LAST_DAY
from webapp.costing.reckoning import Reckoning
from webapp.exchange import book_files
from webapp.importing import exported, look
from webapp.store.assembling import book_of
from webapp.store.opening import Store
from webapp.store.reading import read_all
from webapp.store.writing import Intent

PARTS, IN_A_PART, IN_A_PLAIN_RUN = 20, 500, 6
PUT_AWAY = ("people", "bills", "suppliers", "materials", "formulas", "groups", "channels", "products")
#: one of five has exact ties
TIED = 5


def drawn(seed: int) -> Book:
    """The book of a seed: the first that is drawn of which no record would be refused at a form."""
    return next(book for book in _drawn(Random(seed), seed % TIED == 0) if not any(_refused(book)))


def _drawn(rng: Random, ties: bool) -> Iterator[Book]:
    while True:
        found = tied(rng) if ties else None
        yield small(rng) if found is None else found.book


def _refused(book: Book) -> Iterator[object]:
    yield checks.faults_of(book, book.terms)
    for shelf in ("orders", "quotes", *PUT_AWAY):
        for record in getattr(book, shelf).values():
            yield checks.faults_of(book, record)


def as_of_its_day(book: Book) -> Book:
    """The book without what is put away only later: on its day it says nothing of that."""
    later: dict[str, Any] = {
        shelf: {
            number: replace(one, retired=None) if one.retired is not None and one.retired > DAY else one
            for number, one in getattr(book, shelf).items()
        }
        for shelf in PUT_AWAY
    }
    return replace(book, **later)


def read_afresh(store: Store, day: date) -> Book:
    """The book of a day as the file has it, whatever the store remembers."""
    with store._engine.connect() as opened, opened.begin():
        return book_of(read_all(opened, "", store.snapshot(DAY).version), day)


def carry(here: Store, there: Store, kind: str, sign: str) -> list[str]:
    """Take all that a store holds to another by a file; what is wrong with that."""
    data = book_files.written(exported(here, DAY), kind, sign)
    brought = book_files.read(f"book.{kind}", data)
    found = look(there, brought.document, DAY, brought.notation)
    if found.faults or brought.remarks or brought.asks:
        return [f"{found.faults} {brought.remarks} {brought.asks}"]
    there.take_over(found.back.changes, Intent("In", epoch=found.epoch, version=found.version), DAY, lambda _: None)
    again = book_files.written(exported(there, DAY), kind, sign)
    return [] if again == data else ["what goes out of the other is another file"]


def figures(book: Book) -> list[tuple[Any, ...]]:
    """What each product costs and brings on each channel, by their names; gaps by their sentences."""
    told = []
    for row in Reckoning(book).line():
        names = book.products[row.product].name, book.channels[row.channel].name
        found = (row.cost, row.suggested, row.price, row.margin, row.contribution)
        told.append((*names, *(one.reason if isinstance(one, Gap) else one for one in found)))
    return sorted(told, key=repr)


def try_book(new_file: Path, folder: Path, seed: int) -> list[str]:
    """What is wrong with what becomes of the book of a seed."""
    book, kind, sign = drawn(seed), book_files.KINDS[seed % 3], book_files.SIGNS[seed // 3 % 2]
    here, there = empty_store(new_file, folder / "here"), empty_store(new_file, folder / "there")
    try:
        enter(here, book)
        stored = read_afresh(here, DAY)
        same(as_of_its_day(book), stored, dict(pairs_by_name(book, stored)))
        wrong = carry(here, there, kind, sign)
        came = read_afresh(there, DAY)
        for one, other in ((stored, came), (read_afresh(here, LAST_DAY), read_afresh(there, LAST_DAY))):
            same(one, other, dict(pairs_by_name(one, other)))
        if not figures(book) == figures(stored) == figures(came):
            wrong.append("it costs something else")
    except Exception as error:  # noqa: BLE001 - whatever it is, it is told with its seed, and the others are tried
        wrong = [f"{type(error).__name__}: {str(error)[:600]}"]
    finally:
        here.close()
        there.close()
        shutil.rmtree(folder)
    return [f"seed {seed}, {kind}: {one}" for one in wrong]


def try_books(new_file: Path, tmp_path: Path, seeds: range, test: str) -> None:
    wrong = [fault for seed in seeds for fault in try_book(new_file, tmp_path / "one", seed)]
    tell(test, len(seeds), wrong, f"one of {TIED} with exact ties; as {', '.join(book_files.KINDS)} in turn")


def test_some_drawn_books_are_kept_carried_and_costed(new_file: Path, tmp_path: Path) -> None:
    try_books(new_file, tmp_path, range(1, 1 + IN_A_PLAIN_RUN), "drawn books, some")


@pytest.mark.deep
@pytest.mark.parametrize("part", range(1, PARTS + 1))
def test_drawn_books_are_kept_carried_and_costed(new_file: Path, tmp_path: Path, part: int) -> None:
    first = part * IN_A_PART
    try_books(new_file, tmp_path, range(first, first + IN_A_PART), "drawn books")


def test_a_book_that_is_another_would_be_noticed(
    new_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tests.exchange.test_books_drawn.drawn", lambda _: small(Random(1)))
    assert try_book(new_file, tmp_path / "one", 1) == []
    numbers = iter((1, 2))
    monkeypatch.setattr("tests.exchange.test_books_drawn.figures", lambda _: next(numbers, 3))
    assert try_book(new_file, tmp_path / "two", 1) == ["seed 1, xlsx: it costs something else"]
