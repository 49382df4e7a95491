"""Latest and average cost of purchases, against textbook stock examples.

Without stock records the program prices from purchases: figures of a source that follow from purchases alone (latest,
periodic average) must agree; first in first out and moving averages are for the value of stock and are not used here.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from tests.costing.buying import JAR, D, book, known, line, order
from tests.published.buying import example, near
from webapp.costing.basis import by_material, material_cost
from webapp.costing.book import Workshop
from webapp.costing.orders import landed

FIRST = date(2026, 1, 1)


def priced(events: Sequence[Sequence[str]], basis: str) -> Decimal:
    """What a piece costs after the purchases among `events` ("in", how many, at how much each), a day apart."""
    bought = [event for event in events if event[0] == "in"]
    held = book(workshop=Workshop(basis=basis))
    orders = [
        order(
            line(JAR, packs=many, size="1", unit="pieces", price=each), number=place + 1, day=FIRST + timedelta(place)
        )
        for place, (_, many, each) in enumerate(bought)
    ]
    lines = by_material(landed(held, one) for one in orders)[JAR]
    return known(material_cost(held, held.materials[JAR], lines).unit_cost)


def until_sale(events: list[Any], sale: int) -> list[Any]:
    """The events before the sale of that number, counted from 1."""
    sales = [place for place, event in enumerate(events) if event[0] == "out"]
    return events[: sales[sale - 1]]


def test_two_shirts_cost_the_latest_or_the_average() -> None:
    """S05: Hoyle & Skender, Financial Accounting (Saylor), 9.1: bought at 50 and 70. Standing: see the data file."""
    given, answers = example("S05")
    assert near(priced(given["events"], "latest"), answers["latest_cogs"])
    assert near(priced(given["events"], "averaged"), answers["avg"])
    assert near(D(given["price"]) - priced(given["events"], "latest"), answers["latest_gp"])
    assert priced(given["events"], "latest") != D(answers["fifo_cogs"])


@pytest.mark.parametrize(("name", "answer"), [("S03", "avg_sale1"), ("S07", "avg1")])
def test_before_anything_was_sold_the_moving_average_is_that_of_the_purchases(name: str, answer: str) -> None:
    """S03: Hoyle & Skender 9.5; S07: OpenTuition, AVCO, March 2015. Standing: see the data file."""
    given, answers = example(name)
    assert near(priced(until_sale(given["events"], 1), "averaged"), answers[answer], "0.0001")


def test_the_latest_cost_at_the_end_is_the_last_price_paid() -> None:
    """S03's note: the latest purchase is 149 where the average stock cost is 137.94. Standing: see the data file."""
    given, _ = example("S03")
    assert priced(given["events"], "latest") == 149


def test_an_average_of_purchases_is_not_the_moving_average_once_something_was_sold() -> None:
    """S07: the moving average is 5.58; that of all purchases is (500 + 825 + 600) / 350 = 5.50 on paper."""
    given, answers = example("S07")
    assert priced(given["events"], "averaged") == D("5.5")
    assert not near(priced(given["events"], "averaged"), answers["avg2"])


def test_first_in_first_out_never_slips_into_a_price() -> None:
    """S01: Hoyle & Skender 9.4: closing stock 558 for 4 pieces by first in first out; none of our bases says 139.50."""
    given, answers = example("S01")
    by_stock = D(answers["closing"]) / 4
    assert {basis: priced(given["events"], basis) for basis in ("latest", "dearest")} == {"latest": 149, "dearest": 149}
    # on paper: (440 + 360 + 390 + 298) / 12 = 124
    assert priced(given["events"], "averaged") == 124
    assert by_stock not in (priced(given["events"], basis) for basis in ("latest", "averaged", "dearest"))
