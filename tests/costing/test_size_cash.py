"""Cash of another size month by month, against jars that are filled one by one from parts on a shelf."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from tests import buyers, examples
from webapp.costing.amounts import snap
from webapp.costing.deal_facts import Deal
from webapp.costing.size_cash import LEAST_MONTHS, MONTHS_AFTER, cash

D, F = Decimal, Fraction


def exact(amount: Fraction) -> Decimal:
    return D(amount.numerator) / D(amount.denominator)


@pytest.mark.parametrize("seed", range(examples.of(150)))
def test_jars_filled_one_by_one_cost_and_bring_the_same(seed: int) -> None:
    """Orders are paid in the month in which the pieces would run out, whole ones, and as often as needed."""
    rng = Random(seed)
    many = rng.randint(1, 40)
    trade_up = rng.randint(0, many)
    shelves = [
        buyers.Shelf(rng.choice([F(1), F(2), F(21, 20), F(1, 3)]), F(rng.randint(1, 120)), F(rng.randint(0, 9000), 100))
        for _ in range(rng.randint(0, 3))
    ]
    brings, given_up = F(rng.randint(-100, 1500), 100), F(rng.randint(-300, 900), 100)
    borne = [F(rng.randint(0, 150), 100) for _ in shelves]
    path = buyers.with_shelves(
        [buyers.Shelf(one.a_jar, one.in_an_order, one.an_order_costs) for one in shelves],
        brings, given_up, many, trade_up, 36,
    )  # fmt: skip
    deal = Deal(exact(brings - sum(borne, F(0))), -exact(given_up), D(1), D(many), exact(F(trade_up, many)))
    found = cash(
        deal,
        [
            (exact(one.a_jar), exact(one.in_an_order), exact(one.an_order_costs), exact(bears))
            for one, bears in zip(shelves, borne, strict=True)
        ],
    )
    assert [snap(one.so_far) for one in found.months] == [snap(exact(money)) for money in path[: len(found.months)]]
    back = buyers.month_it_is_back(path)
    assert found.paid_back == back
    assert snap(found.deepest) == snap(exact(min(path[: len(found.months)])))
    shown = 36 if back is None else min(36, max(back + MONTHS_AFTER, LEAST_MONTHS))
    assert found.months[-1].month == shown


def test_what_comes_in_and_goes_out_is_never_below_nothing_and_makes_the_sum() -> None:
    """A saving comes in, a jar that loses goes out: 10 x 2.00 lost, 10 x 0.5 x 3.00 won, 4.00 saved."""
    found = cash(Deal(D(-2), D(3), D(1), D(10), D("0.5"), D(-4), D(7)), (), 2)
    assert [(one.cash_in, one.cash_out, one.so_far) for one in found.months] == [
        (D(0), D(7), D(-7)),
        (D(19), D(20), D(-8)),
        (D(19), D(20), D(-9)),
    ]
    assert (found.paid_back, found.deepest) == (None, D(-9))


def test_pieces_that_are_just_enough_are_enough() -> None:
    """Ten a month and twenty pieces: bought again in the third month, not in the second."""
    found = cash(Deal(D(1), D(0), D(1), D(10), D(0)), [(D(1), D(20), D(6), D("0.3"))], 5)
    assert [one.cash_out for one in found.months] == [D(6), D(0), D(0), D(6), D(0), D(6)]
    # a third of a piece each: thirty jars from ten pieces, to the last digit
    thirds = cash(Deal(D(1), D(0), D(1), D(30), D(0)), [(D(1) / 3, D(10), D(6), D("0.2"))], 3)
    assert [one.cash_out for one in thirds.months] == [D(6), D(0), D(6), D(6)]


def test_where_nothing_is_sold_nothing_runs_out_and_nothing_comes_back() -> None:
    found = cash(Deal(D(5), D(-2), D(1), D(0), D(1), D(0), D(30)), [(D(1), D(50), D(25), D("0.5"))])
    assert {one.so_far for one in found.months} == {D(-55)}
    assert (found.paid_back, len(found.months)) == (None, 37)
