"""How a price moved over time, against an official computation of price changes and a textbook's periodic averages."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal

import pytest

from tests.costing.buying import JAR, D, book, line, order
from tests.published.buying import example, near
from webapp.costing.amounts import half_up
from webapp.costing.book import Book, Workshop
from webapp.costing.difference import moved_materials
from webapp.costing.material_history import material_history
from webapp.costing.reckoning import Reckoning
from webapp.costing.standing import paid, standing

FIRST = date(2024, 6, 1)


def bought(prices: Sequence[str], apart: int, *, many: Sequence[str] = (), basis: str = "latest") -> Reckoning:
    """A thousand pieces (or so `many`) at each price, so many days apart."""
    counts = many or ["1000"] * len(prices)
    orders = {
        place: order(
            line(JAR, packs=count, size="1", unit="pieces", price=price),
            number=place,
            day=FIRST + timedelta((place - 1) * apart),
        )
        for place, (price, count) in enumerate(zip(prices, counts, strict=True), 1)
    }
    held: Book = book(workshop=Workshop(currency="EUR", basis=basis, basis_months=D(120)), orders=orders)
    return Reckoning(held)


def test_a_change_is_the_difference_over_the_price_before() -> None:
    """P01: Anchorage 2010, 2011, 2012: 6.283 / 195.144 and 4.489 / 201.427. Standing: see the data file."""
    given, answers = example("P01")
    indexes = given["indexes"]
    for place, (points, share, percent) in enumerate(
        zip(answers["points"], answers["shares"], answers["percent"], strict=True), 1
    ):
        (moved,) = moved_materials(bought(indexes[:place], 365), bought(indexes[: place + 1], 365))
        assert moved.change == D(points)
        assert near(moved.change_share, share, "0.000001")
        assert isinstance(moved.change_share, Decimal)
        assert half_up(moved.change_share * 100, 1) == D(percent)


def test_the_steps_of_a_history_are_the_prices_and_the_newest_is_the_highest() -> None:
    """P01 once more: three prices a year apart, each above all before it."""
    given, _ = example("P01")
    known = bought(given["indexes"], 365)
    assert [one.unit_cost for one in material_history(known, JAR).steps] == [D(one) for one in given["indexes"]]
    *before, (day, cost) = paid(known, JAR, known.book.day)
    found = standing(before, cost, day)
    assert found is not None
    assert (found.side, found.months, found.since) == ("highest", None, FIRST)


@pytest.mark.parametrize(("name", "within", "many"), [("S05", "0.005", 2), ("S07", "0.0001", 2)])
def test_the_steps_of_an_average_are_the_periodic_averages(name: str, within: str, many: int) -> None:
    """S05: Hoyle & Skender 9.1, 50 then 60; S07: OpenTuition, 5.00 then 5.30. Standing: see the data file."""
    given, answers = example(name)
    events = [event for event in given["events"][:many] if event[0] == "in"]
    known = bought([event[2] for event in events], 1, many=[event[1] for event in events], basis="averaged")
    first, second = material_history(known, JAR).steps
    assert near(first.unit_cost, events[0][2], within)
    assert near(second.unit_cost, answers["avg" if name == "S05" else "avg1"], within)
