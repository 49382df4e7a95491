"""Buying in packs and at price breaks, against what others have printed or proved."""

from __future__ import annotations

import json
from decimal import Decimal
from math import gcd
from pathlib import Path

import pytest

from webapp.costing.gaps import Gap
from webapp.costing.pack_facts import Break, Freight, Need, Offer, Plan
from webapp.costing.packs import plans

DATA = Path(__file__).parent / "data" / "price_breaks.json"
D = Decimal


def cheapest(amount: int, *offers: Offer, freight: str = "0") -> Plan:
    answer = plans((Need(1, D(amount)),), offers, (Freight(1, D(freight)),), {1: "units"}, 1)
    assert not isinstance(answer, Gap), answer.reason
    return answer.plans[0]


def units(price: Decimal, *breaks: tuple[str, Decimal]) -> Offer:
    """Single units at a price, with price breaks."""
    return Offer(1, 1, D(1), price, tuple(Break(D(packs), each) for packs, each in breaks))


def test_a_discount_on_larger_orders_is_worth_what_the_workbook_says() -> None:
    """E01: Kaplan, ACCA F9 integrated workbook (2017), order quantity and a 1 % discount. Standing: see the data file.

    A year's cost is the orders of a year, each at its price with its order cost, and holding half an order.
    """
    one = json.loads(DATA.read_text("utf-8"))["E01"]
    given, wanted, near = one["inputs"], one["expected"], D(one["tolerance"])
    price = D(given["price"])
    offer = units(price, (given["discount_q"], price * (100 - D(given["discount_pct"])) / 100))

    def year(quantity: int) -> Decimal:
        plan = cheapest(quantity, offer, freight=given["order"])
        return plan.total * D(given["demand"]) / quantity + D(given["hold"]) * quantity / 2

    by_formula, by_discount = year(int(wanted["eoq"])), year(int(given["discount_q"]))
    assert abs(by_formula - D(wanted["cost_eoq"])) <= near
    assert abs(by_discount - D(wanted["cost_disc"])) <= near
    assert abs(by_formula - by_discount - D(wanted["saving"])) <= near


def test_below_a_break_there_is_a_range_where_the_break_itself_is_cheaper() -> None:
    """All-units discounts as in operations management handbooks: 5.00, from 1000 on 4.80, from 2000 on 4.75.

    From memory (a classic of inventory chapters, after Heizer and Render); the range follows from the figures: 1000 x
    4.80 / 5.00 = 960, 2000 x 4.75 / 4.80 = 1979.17.
    """
    offer = units(D("5.00"), ("1000", D("4.80")), ("2000", D("4.75")))
    assert [cheapest(one, offer).lines[0].packs for one in (959, 961, 999, 1000, 1979, 1980)] == [
        959,
        1000,
        1000,
        1000,
        1979,
        2000,
    ]
    assert cheapest(960, offer).total == D(4800) == cheapest(1000, offer).total
    assert cheapest(1980, offer).total == D(9500)


@pytest.mark.parametrize(("one", "other"), [(3, 5), (4, 7), (5, 8), (7, 11)])
def test_amounts_that_two_packs_cannot_make_are_as_many_as_sylvester_proved(one: int, other: int) -> None:
    """Two pack sizes without a common divisor miss (a - 1)(b - 1) / 2 amounts, the last of them ab - a - b.

    J. J. Sylvester, 1882 and 1884 (the problem of Frobenius); from memory. Where a unit costs 1 in either pack, a need
    is met at its own cost exactly where it can be made.
    """
    assert gcd(one, other) == 1
    packs = (Offer(1, 1, D(one), D(one)), Offer(1, 1, D(other), D(other)))
    missed = [need for need in range(1, one * other) if cheapest(need, *packs).total > need]
    assert len(missed) == (one - 1) * (other - 1) // 2
    assert missed[-1] == one * other - one - other


def test_packs_of_six_nine_and_twenty_miss_forty_three_and_nothing_above() -> None:
    """The Frobenius number of 6, 9 and 20 is 43: a textbook example; from memory."""
    packs = tuple(Offer(1, 1, D(size), D(size)) for size in (6, 9, 20))
    assert [need for need in range(37, 70) if cheapest(need, *packs).total > need] == [37, 43]


def test_taking_the_largest_first_is_not_always_best() -> None:
    """Coins of 1, 3 and 4: the largest first pays 6 as 4 + 1 + 1, the fewest are 3 + 3.

    The change-making problem as in textbooks of algorithms; from memory. A coin costs 1 whatever it is worth.
    """
    plan = cheapest(6, *(Offer(1, 1, D(worth), D(1)) for worth in (1, 3, 4)))
    assert plan.total == D(2)
