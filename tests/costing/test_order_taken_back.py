"""An order on drawn books: taken back it leaves no trace, and in which order its lines were typed is no matter."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.making import D
from tests.costing.test_reckoning import everything
from tests.small_books import small
from webapp.costing.book import Book, Charge, Order, OrderLine
from webapp.costing.changes import Put, Withdraw, apply
from webapp.costing.difference import moved_materials, moved_rows
from webapp.costing.gaps import Figure
from webapp.costing.reckoning import Reckoning

NEW = 9000


def an_order(book: Book, rng: Random) -> Order:
    """Up to three of its materials, each once, with freight now and then, within a year."""
    chosen = rng.sample(list(book.materials.values()), min(3, len(book.materials)))
    lines = tuple(
        OrderLine(one.id, D(2), D(3), "pieces" if one.by_piece else "kg", D(rng.randint(1, 9000)).scaleb(-2))
        for one in chosen
    )
    charges = (Charge("freight", D(rng.randint(1, 99))),) if rng.random() < 0.5 else ()
    day = book.day - timedelta(rng.randint(0, 400))
    return Order(NEW, rng.choice(list(book.suppliers)), day, lines, charges, currency=book.workshop.currency)


def put(book: Book, order: Order) -> Book:
    after = apply(book, Put(order))
    assert isinstance(after, Book), after
    return after


@settings(max_examples=examples.of(25))
@given(st.randoms(use_true_random=False))
def test_an_order_taken_back_restores_every_figure(rng: Random) -> None:
    book = small(rng)
    before = Reckoning(book)
    was = everything(before)
    with_it = Reckoning(put(book, an_order(book, rng)), before)
    everything(with_it)
    gone = apply(with_it.book, Withdraw("order", NEW))
    assert isinstance(gone, Book)
    restored = Reckoning(gone, with_it)
    assert everything(restored) == was
    assert moved_materials(before, restored) == ()
    assert moved_rows(before, restored) == ()


@settings(max_examples=examples.of(25))
@given(st.randoms(use_true_random=False))
def test_what_is_looked_at_is_what_stands_there_once_it_is_saved(rng: Random) -> None:
    book = small(rng)
    before = Reckoning(book)
    everything(before)
    after = put(book, an_order(book, rng))
    looked_at, saved = Reckoning(after, before), Reckoning(after)
    assert moved_materials(before, looked_at) == moved_materials(Reckoning(book), saved)
    assert moved_rows(before, looked_at) == moved_rows(Reckoning(book), saved)


@settings(max_examples=examples.of(25))
@given(st.randoms(use_true_random=False))
def test_in_which_order_the_lines_are_typed_changes_no_cost(rng: Random) -> None:
    """Without charges: a penny of a charge that is left over goes to the earlier of equal shares, and has to."""
    book = small(rng)
    order = replace(an_order(book, rng), charges=())
    mixed = replace(order, lines=tuple(rng.sample(order.lines, len(order.lines))))
    assert costs(put(book, order)) == costs(put(book, mixed))


def costs(book: Book) -> list[Figure]:
    of = Reckoning(book)
    return [*(of.material(one).unit_cost for one in book.materials), *(of.sheet(one).full for one in book.products)]
