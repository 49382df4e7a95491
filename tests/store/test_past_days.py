"""Books of several days made from each other are those that are read afresh, but for orders of other things."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import pairwise

import pytest

from webapp import example
from webapp.costing.book import Book
from webapp.costing.price_history import leaning
from webapp.costing.reckoning import Reckoning
from webapp.settings import Settings
from webapp.store.opening import Store, open_store

TODAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    made = open_store(Settings(data=tmp_path_factory.mktemp("past"), database=None))
    example.fill(made, TODAY)
    yield made
    made.close()


def asked(store: Store, product: int, most: int = 60) -> tuple[tuple[Book, ...], bool]:
    snapshot = store.snapshot(TODAY)
    channels = tuple(snapshot.book.channels)
    past = store.books_of_days(snapshot, lambda book: leaning(Reckoning(book), product, channels), most)
    return past.books, past.thinned


def products(store: Store) -> list[int]:
    return sorted(store.snapshot(TODAY).book.products)


def test_each_book_is_the_one_that_is_read_for_its_day(store: Store) -> None:
    books, thinned = asked(store, products(store)[0])
    assert len(books) > 5
    assert not thinned
    for made in books:
        read = store.snapshot(made.day).book
        assert replace(made, orders={}) == replace(read, orders={})
        assert made.orders.items() <= read.orders.items()


def test_every_figure_is_that_of_the_whole_book(store: Store) -> None:
    """The orders that are left out bought nothing that the product is made of."""
    product = products(store)[0]
    for made in asked(store, product)[0]:
        if product in made.products:
            whole, part = store.snapshot(made.day).reckoning, Reckoning(made)
            assert [(one.channel, one.cost, one.margin) for one in part.rows(product)] == [
                (one.channel, one.cost, one.margin) for one in whole.rows(product)
            ]


def test_no_day_is_missed_on_which_a_figure_changed(store: Store) -> None:
    """Between two days that are told, the day before the later one says what the earlier one says."""
    product = products(store)[0]
    books = asked(store, product)[0]
    for before, after in pairwise(books):
        eve = store.snapshot(date.fromordinal(after.day.toordinal() - 1)).book
        if product in before.products and eve.day > before.day:
            known = Reckoning(eve).rows(product)
            assert [one.cost for one in known] == [one.cost for one in Reckoning(before).rows(product)]


def test_too_many_days_are_thinned_and_the_newest_is_kept(store: Store) -> None:
    books, thinned = asked(store, products(store)[0], 4)
    assert (len(books), thinned, books[-1].day) == (4, True, TODAY)


def test_however_many_days_it_is_one_statement(store: Store) -> None:
    counted = store.start_counting()
    asked(store, products(store)[0], 4)
    few = counted()
    asked(store, products(store)[0], 60)
    assert counted() - few == few
