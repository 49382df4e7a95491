"""Where a cost stands among what was paid before. Figures by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from tests.costing.buying import book, line, order
from webapp.costing.book import Book
from webapp.costing.difference import moved_materials
from webapp.costing.reckoning import Reckoning
from webapp.costing.standing import Standing, paid, standing, whole_months

D = Decimal
TODAY = date(2026, 11, 25)
#: what a gram cost on four days
HISTORY = [
    (date(2025, 3, 10), D("0.009")),
    (date(2025, 9, 20), D("0.012")),
    (date(2026, 5, 2), D("0.010")),
    (date(2026, 10, 30), D("0.011")),
]


@pytest.mark.parametrize(
    ("cost", "wanted"),
    [
        # 0.012 was paid on 20 September 2025: 14 whole months before 25 November 2026
        ("0.0115", Standing("highest", 14, date(2025, 9, 20))),
        ("0.012", Standing("highest", 14, date(2025, 9, 20))),
        # dearer than ever: since the first purchase on record
        ("0.0121", Standing("highest", None, date(2025, 3, 10))),
        # 0.010 was paid on 2 May: 6 whole months; 0.009 on 10 March 2025: 20
        ("0.0105", Standing("lowest", 6, date(2026, 5, 2))),
        ("0.0095", Standing("lowest", 20, date(2025, 3, 10))),
        ("0.0085", Standing("lowest", None, date(2025, 3, 10))),
    ],
)
def test_a_cost_among_what_was_paid(cost: str, wanted: Standing) -> None:
    assert standing(HISTORY, D(cost), TODAY) == wanted


def test_what_is_cheaper_than_the_last_time_is_not_the_highest_for_long() -> None:
    falling = [(date(2025, 10, 22), D("0.0098")), (date(2026, 3, 11), D("0.0084"))]
    assert standing(falling, D("0.0078"), TODAY) == Standing("lowest", None, date(2025, 10, 22))


def test_what_was_paid_a_month_ago_is_neither_high_nor_low() -> None:
    assert standing(HISTORY, D("0.011"), TODAY) is None


def test_without_a_history_or_a_short_one_there_is_nothing_to_say() -> None:
    assert standing([], D("0.01"), TODAY) is None
    assert standing([(date(2026, 9, 26), D("0.009"))], D("0.01"), TODAY) is None
    assert standing([(date(2026, 8, 25), D("0.009"))], D("0.01"), TODAY) == Standing("highest", None, date(2026, 8, 25))


@pytest.mark.parametrize(
    ("start", "end", "months"),
    [
        (date(2026, 1, 31), date(2026, 2, 28), 0),
        (date(2026, 1, 31), date(2026, 3, 31), 2),
        (date(2025, 11, 26), date(2026, 11, 25), 11),
        (date(2025, 11, 25), date(2026, 11, 25), 12),
    ],
)
def test_whole_months(start: date, end: date, months: int) -> None:
    assert whole_months(start, end) == months


def test_what_was_paid_is_landed_and_only_what_sets_the_price() -> None:
    known = Reckoning(
        book(
            orders={
                1: order(line(price="10"), number=1, day=date(2026, 1, 2)),
                2: order(line(price="20"), line(price="1", not_priced="sample"), number=2, day=date(2026, 2, 2)),
                3: order(line(price="30"), number=3, day=date(2026, 3, 2)),
            }
        )
    )
    found = paid(known, 1, date(2026, 2, 28))
    assert found == [(date(2026, 1, 2), D("0.01")), (date(2026, 2, 2), D("0.02"))]


def three_orders() -> Book:
    """Shea at 0.012, 0.010 and, on the day, 0.014 a gram."""
    bought = ((date(2025, 9, 2), "12"), (date(2026, 1, 2), "10"), (TODAY, "14"))
    return book(
        day=TODAY,
        orders={n: order(line(price=price), number=n, day=day) for n, (day, price) in enumerate(bought, 1)},
    )


def moved_by(after: Book, before: Book) -> Standing | None:
    (moved,) = moved_materials(Reckoning(before), Reckoning(after))
    return moved.standing(Reckoning(before), after)


def with_last_at(known: Book, price: str) -> Book:
    return replace(known, orders={**known.orders, 3: order(line(price=price), number=3, day=TODAY)})


def test_a_corrected_order_does_not_stand_in_its_own_history() -> None:
    known = three_orders()
    # 0.0139 is less than the 0.014 that was typed wrongly, but more than all that was paid: not "lowest"
    assert moved_by(with_last_at(known, "13.90"), known) is None
    # and 0.0145 is the highest on record, 0.009 the lowest: the two orders before it are the record
    assert moved_by(with_last_at(known, "14.50"), known) == Standing("highest", None, date(2025, 9, 2))
    assert moved_by(with_last_at(known, "9"), known) == Standing("lowest", None, date(2025, 9, 2))


def test_a_cost_that_an_order_taken_back_uncovers_is_not_the_lowest_for_long() -> None:
    known = three_orders()
    # 0.010 counts again; it was the last that was paid, and below it nothing was
    assert moved_by(replace(known, orders={n: known.orders[n] for n in (1, 2)}), known) is None


def test_only_what_is_paid_stands_among_what_was_paid() -> None:
    """The last price of three is the highest on record; as an average of them it is held against none."""
    known = three_orders()
    averaged = replace(known.workshop, basis="averaged", basis_months=D(24))
    assert moved_by(with_last_at(known, "14.50"), known) is not None
    assert moved_by(replace(with_last_at(known, "14.50"), workshop=averaged), replace(known, workshop=averaged)) is None
