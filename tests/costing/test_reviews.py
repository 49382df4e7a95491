"""A price that was looked at again and found still right: from that day on it is not old, and no cost is another."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.buying import JAR, SHEA, TODAY, book, line, order, starting
from tests.small_books import small
from webapp.costing.book import Book, Material, Review
from webapp.costing.changes import Put, Withdraw, apply, key_of, renumber
from webapp.costing.reckoning import Reckoning

#: TODAY is 30 June 2026 and the workshop looks back 12 months: what is older than 30 June 2025 is old
OLD = date(2025, 1, 10)


def old_book() -> Book:
    """Shea butter was bought long ago; the jar has a starting price, without a day."""
    jar = Material(JAR, "Jar", kind="packaging", starting=starting("0.48", "pieces"))
    bought = order(line(packs="1", price="10.00"), day=OLD)
    return book(materials=[jar], orders={1: bought})


def after(before: Book, *reviews: Review) -> Book:
    """The book once the reviews are in it."""
    for review in reviews:
        made = apply(before, Put(review))
        assert isinstance(made, Book), made
        before = made
    return before


def stale(of: Book, material: int = SHEA) -> bool:
    return Reckoning(of).material(material).stale


@pytest.mark.parametrize("material", [SHEA, JAR])
@pytest.mark.parametrize(
    ("looked", "old"),
    [(TODAY, False), (date(2025, 6, 30), False), (date(2025, 6, 29), True), (OLD - timedelta(1), True)],
)
def test_the_newest_of_purchase_and_review_says_how_old_a_price_is(material: int, looked: date, *, old: bool) -> None:
    assert stale(old_book(), material)
    assert stale(after(old_book(), Review(material, looked)), material) is old


def test_a_purchase_after_the_review_counts_as_well() -> None:
    lately = order(line(price="11.00"), number=2, day=date(2026, 5, 1))
    reviewed = after(old_book(), Review(SHEA, date(2024, 1, 1)))
    assert not stale(replace(reviewed, orders={**reviewed.orders, 2: lately}))


def test_the_newest_review_holds_whatever_was_typed_first() -> None:
    late, early = Review(SHEA, TODAY), Review(SHEA, OLD)
    for both in ((late, early), (early, late)):
        assert after(old_book(), *both).reviews[SHEA] == late


def test_a_review_is_taken_back_to_the_one_before() -> None:
    first, second = Review(SHEA, date(2025, 7, 1), reason="asked"), Review(SHEA, TODAY)
    reviewed = after(old_book(), first, second)
    back = apply(reviewed, Withdraw("review", SHEA, TODAY, first))
    assert isinstance(back, Book)
    assert back.reviews == {SHEA: first}
    gone = apply(reviewed, Withdraw("review", SHEA, TODAY))
    assert isinstance(gone, Book)
    assert gone.reviews == {}
    assert stale(gone)


@pytest.mark.parametrize(
    ("review", "field", "code"),
    [(Review(SHEA, TODAY + timedelta(1)), "since", "date-range"), (Review(99, TODAY), "material", "reference")],
)
def test_what_a_review_is_refused_for(review: Review, field: str, code: str) -> None:
    found = apply(old_book(), Put(review))
    assert not isinstance(found, Book)
    assert [(fault.field, fault.code) for fault in found] == [(field, code)]


def test_a_review_goes_with_a_new_material_in_one_save() -> None:
    change = Put(Review(-1, TODAY))
    assert key_of(change.record) == ("review", -1)
    assert renumber(change, {-1: 7}) == Put(Review(7, TODAY))


@settings(max_examples=examples.of(25), deadline=None)
@given(seed=st.integers(0, 10_000), pick=st.integers(0, 100), ago=st.integers(0, 2000))
def test_a_review_never_changes_a_cost(seed: int, pick: int, ago: int) -> None:
    """Whatever the book: all figures are the same but for how old a price is; and carried over as reckoned afresh."""
    before = small(Random(seed))
    material = sorted(before.materials)[pick % len(before.materials)]
    made = after(before, Review(material, before.day - timedelta(ago)))
    was, carried, afresh = Reckoning(before), None, Reckoning(made)
    costs = {one: was.material(one) for one in before.materials}
    line = was.line()
    carried = Reckoning(made, was)
    for one, cost in costs.items():
        assert afresh.material(one)._replace(stale=cost.stale) == cost
        assert carried.material(one) == afresh.material(one)
    assert carried.line() == afresh.line() == line


def test_a_review_costs_nothing_again() -> None:
    """Nothing that is reckoned leans on how old a price is: what was made of it is the same object."""
    before = small(Random(3))
    was = Reckoning(before)
    rows = was.line()
    assert rows
    for material in before.materials:
        was.material(material)
    now = Reckoning(after(before, *(Review(one, before.day) for one in before.materials)), was)
    assert all(one.sheet is was.sheet(one.product) for one in now.line())
