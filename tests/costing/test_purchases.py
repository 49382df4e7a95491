"""Which lines of orders count for what a material costs: the shortcut from the newest order, against all of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from webapp.costing.book import Book, Material, Order, OrderLine, Workshop
from webapp.costing.purchases import Purchase, counting, counting_with, history, window

D = Decimal
DAY = date(2026, 11, 25)


def _line(rng: Random) -> OrderLine:
    return OrderLine(rng.randint(1, 4), D(1), D(1), "kg", D(5), not_priced=rng.choice(("", "", "", "sample")))


def _book(rng: Random) -> Book:
    """Five materials, one of them never bought, by different bases; a few orders close together and some far back."""
    days = [DAY - timedelta(rng.choice((-3, 0, 1, 1, 30, 89, 90, 91, 92, 400))) for _ in range(rng.randint(0, 8))]
    materials = [
        Material(number, f"Butter {number}", basis=rng.choice(("", "latest", "averaged", "dearest")),
                 basis_months=rng.choice((None, D(3), D(12))), quote=rng.choice((None, None, 7)))
        for number in range(1, 6)
    ]  # fmt: skip
    return Book(
        DAY,
        Workshop(basis=rng.choice(("latest", "averaged")), basis_months=D(3)),
        materials={one.id: one for one in materials},
        orders={
            10 + place: Order(10 + place, 1, day, tuple(_line(rng) for _ in range(rng.randint(1, 4))))
            for place, day in enumerate(days)
        },
    )


def _looked_for(book: Book, material: Material, bought: list[Purchase]) -> list[Purchase]:
    """The same the long way: every line looked at."""
    known = [one for one in bought if one[0] <= book.day]
    after = window(book, material)
    return [one for one in known if one[0] == known[-1][0] or (after is not None and one[0] > after)]


@given(st.randoms(use_true_random=False))
def test_the_lines_that_count_are_those_found_by_looking_at_all(rng: Random) -> None:
    book = _book(rng)
    everything, found = history(book), counting(book)
    for material in book.materials.values():
        assert found.get(material.id, []) == _looked_for(book, material, everything.get(material.id, []))


@given(st.randoms(use_true_random=False))
def test_orders_that_only_come_are_added_to_what_counts(rng: Random) -> None:
    book = _book(rng)
    held = {one: order for one, order in book.orders.items() if rng.random() < 0.6}
    added = [order for one, order in book.orders.items() if one not in held]
    assert counting_with(book, counting(replace(book, orders=held)), added) == counting(book)


def test_of_one_day_all_lines_count_and_of_an_older_one_only_in_a_window() -> None:
    def kilo(material: int) -> OrderLine:
        return OrderLine(material, D(1), D(1), "kg", D(5))

    orders = {
        1: Order(1, 1, DAY - timedelta(60), (kilo(1), kilo(2))),
        2: Order(2, 1, DAY - timedelta(5), (kilo(1),)),
        3: Order(3, 1, DAY - timedelta(5), (kilo(1), kilo(1))),
    }
    materials = {1: Material(1, "Shea"), 2: Material(2, "Mango")}
    book = Book(DAY, Workshop(basis_months=D(3)), materials=materials, orders=orders)
    newest = [(DAY - timedelta(5), 2, 0), (DAY - timedelta(5), 3, 0), (DAY - timedelta(5), 3, 1)]
    assert counting(book) == {1: newest, 2: [(DAY - timedelta(60), 1, 1)]}
    averaged = replace(book, workshop=Workshop(basis="averaged", basis_months=D(3)))
    assert counting(averaged)[1] == [(DAY - timedelta(60), 1, 0), *newest]


def test_of_an_order_of_a_day_to_come_nothing_counts_yet() -> None:
    orders = {
        place: Order(place, 1, DAY + timedelta(days), (OrderLine(1, D(1), D(1), "kg", D(5)),))
        for place, days in ((10, 1), (11, 0), (12, -1))
    }
    book = Book(DAY, Workshop(), materials={1: Material(1, "Butter")}, orders=orders)
    assert counting(book) == {1: [(DAY, 11, 0)]}
