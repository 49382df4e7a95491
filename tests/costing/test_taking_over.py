"""Very many changes at once: the book that they lead to is the one that one change after another leads to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import permutations
from typing import Any

import pytest

from tests.books import example_book
from tests.costing.making import (
    BUTTER,
    DAY,
    DUO,
    INFUSED,
    OIL,
    PLAIN_BUTTER,
    PLAIN_TUB,
    SET,
    SHEA,
    TUB,
    D,
    fill,
    formula,
    line,
    product,
    room,
)  # fmt: skip
from webapp.costing import book as b
from webapp.costing.book import Book
from webapp.costing.changes import Put, Restore, Retire, apply_all
from webapp.costing.taking_over import Arriving, taken_over, unfit

BEFORE, AHEAD = date(2026, 6, 1), date(2026, 7, 1)
HELD = replace(room(PLAIN_BUTTER, PLAIN_TUB), suppliers={1: b.Supplier(1, "Hollow Lane Oils")})


def found(*changes: Arriving, book: Book = HELD) -> list[tuple[int, str, str, bool]]:
    return [
        (one.place, one.fault.field, one.fault.code, one.doubtful)
        for one in unfit(book, taken_over(book, changes), changes)
    ]


def test_the_example_taken_over_whole_is_the_example_entered_thing_by_thing() -> None:
    book, _ = example_book(DAY)
    names = (
        *(shelf for _, shelf in b.SHELVES.values()),
        *(shelf for _, shelf in (*b.PAIRS.values(), *b.ABOUT.values())),
    )
    shelves: list[dict[Any, Any]] = [getattr(book, name) for name in names if name not in ("workshop", "terms")]
    changes = [Put(book.workshop), Put(book.terms), *(Put(one) for shelf in shelves for one in shelf.values())]
    empty = Book(DAY, workshop=replace(book.workshop, currency="EUR"))
    after = taken_over(empty, reversed(changes))
    assert {name: getattr(after, name) for name in names} == {name: getattr(book, name) for name in names}
    assert found(*changes, book=empty) == []


def test_changes_placed_at_once_are_as_if_made_one_after_another() -> None:
    order = b.Order(81, 1, BEFORE, (b.OrderLine(SHEA, D(1), D(1), "kg", D(8)),))
    changes: list[Arriving] = [
        Put(order),
        Put(replace(order, id=82, day=AHEAD)),
        Put(b.Workshop(name="The shed", currency="EUR")),
        Put(b.Terms(since=BEFORE, registered=True, overhead="left out")),
        Put(b.Terms(since=AHEAD, registered=False)),
        Put(replace(PLAIN_BUTTER, since=BEFORE, note="older than what is held")),
        Put(replace(PLAIN_BUTTER, id=24, name="To come", since=AHEAD)),
        Retire("material", OIL, DAY),
        Retire("product", TUB, AHEAD),
    ]
    expected = apply_all(HELD, changes)
    assert isinstance(expected, Book)
    assert taken_over(HELD, changes) == expected
    assert expected.materials[OIL].retired == DAY
    assert taken_over(expected, [Restore("material", OIL)]).materials == HELD.materials


def test_an_order_that_is_moved_ahead_leaves_the_book_and_what_is_not_there_is_not_put_away() -> None:
    order = b.Order(81, 1, BEFORE, (b.OrderLine(SHEA, D(1), D(1), "kg", D(8)),))
    held = replace(HELD, orders={81: order})
    assert taken_over(held, [Put(replace(order, day=AHEAD))]).orders == {}
    assert taken_over(held, [Retire("material", 99, DAY)]) == held


def test_what_refers_to_each_other_may_come_in_any_order() -> None:
    changes = [Put(b.Material(6, "Wax")), Put(formula(24, line(6, "100"))), Put(product(34, fill(24, "50")))]
    assert {taken_over(HELD, some).products[34].fills[0].formula for some in permutations(changes)} == {24}
    assert all(found(*some) == [] for some in permutations(changes))


def test_what_does_not_fit_is_said_at_its_change() -> None:
    assert found(Put(b.Material(6, "Wax")), Put(formula(24, line(7, "100")))) == [
        (1, "lines-0-material", "reference", False)
    ]
    assert found(Put(formula(24, line(SHEA, "60")))) == [(0, "lines", "formula-sum", False)]
    # the home currency is looked at beside the book as it was before
    paid = replace(HELD, bills={61: b.Bill(61, "Rent", DAY, D(90))})
    assert found(Put(b.Workshop(currency="GBP")), book=paid) == [(0, "currency", "in-use", False)]
    # a pair has no name
    assert found(Put(b.Price(TUB, 99, DAY, D(3)))) == [(0, "channel", "reference", False)]


def test_what_is_put_away_is_not_looked_at_and_what_comes_after_it_is() -> None:
    assert found(Retire("material", OIL, DAY), Put(formula(24, line(SHEA, "60")))) == [
        (1, "lines", "formula-sum", False)
    ]


def test_what_moved_on_since_is_doubtful_and_not_refused() -> None:
    """It was bought by the kg and is counted in pieces since: the old order is kept as it was."""
    counted = b.Material(6, "Pod", "packaging")
    order = b.Order(81, 1, BEFORE, (b.OrderLine(6, D(1), D(1), "kg", D(8)),))
    assert found(Put(counted), Put(order)) == [(1, "lines-0-unit", "unit", True)]


def test_names_are_not_told_apart_here_and_what_is_held_counts() -> None:
    assert found(Put(b.Material(6, "Shea"))) == []
    counted = replace(HELD.materials[SHEA], kind="packaging", starting=None)
    assert found(Put(counted)) == [(0, "kind", "in-use", False)]


def nested(deep: int, first: int = 100) -> list[Put]:
    """So many formulas, each in the next."""
    start = [Put(formula(first, line(SHEA, "100")))]
    return [*start, *(Put(formula(one, line(one - 1, "100", blend=True))) for one in range(first + 1, first + deep))]


@pytest.mark.parametrize("turned", [False, True])
def test_chains_are_looked_at_all_together(*, turned: bool) -> None:
    """Twenty in one another are allowed and twenty-one are not, in whatever order they come."""
    twenty, more = nested(20), nested(21)
    assert found(*(twenty[::-1] if turned else twenty)) == []
    changes = more[::-1] if turned else more
    (one,) = found(*changes)
    assert one[1:] == ("name", "too-deep", False)
    assert changes[one[0]].record.id == 120  # type: ignore[union-attr]


def test_what_would_contain_itself_is_said_once_for_formulas_and_for_sets() -> None:
    looped = [
        Put(formula(24, line(25, "50", blend=True), line(SHEA, "50"))),
        Put(formula(25, line(24, "50", blend=True), line(SHEA, "50"))),
        Put(b.Product(SET, "Gift set", DAY, members=(b.Member(DUO, D(1)),))),
        Put(b.Product(DUO, "Duo", DAY, members=(b.Member(SET, D(1)), b.Member(TUB, D(1))))),
    ]
    told = list(unfit(HELD, taken_over(HELD, looped), looped))
    assert [(one.fault.field, one.fault.code) for one in told] == [("name", "cycle"), ("name", "cycle")]
    assert [looped[one.place].record.id for one in told] == [24, SET]  # type: ignore[union-attr]
    assert told[0].fault.sentence == "Formula 24 would contain itself. Take out one of its lines."


def test_a_loop_that_the_book_had_already_is_said_at_no_change() -> None:
    looped = replace(
        HELD,
        formulas={
            **HELD.formulas,
            INFUSED: formula(INFUSED, line(BUTTER, "100", blend=True)),
            BUTTER: formula(BUTTER, line(INFUSED, "100", blend=True)),
        },
    )
    assert [one.place for one in unfit(looped, looped, [])] == [-1]
