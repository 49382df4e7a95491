"""A missing figure travels through a sum with its reason, and is never counted with as if it were known."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from operator import add, gt, lt, mul, sub, truediv

import pytest

from webapp.costing.gaps import Figure, Gap, added, plus, surely

NO_PRICE, NO_HOURS = Gap("No price yet."), Gap("No hours yet.")
SUMS = (add, sub, mul, truediv)


@pytest.mark.parametrize("work", SUMS)
def test_what_depends_on_a_gap_is_missing_with_its_reason(work: Callable[[Figure, Figure], Figure]) -> None:
    assert work(NO_PRICE, Decimal(2)) is NO_PRICE
    assert work(Decimal(2), NO_PRICE) is NO_PRICE


@pytest.mark.parametrize("work", SUMS)
def test_of_two_gaps_the_first_is_told(work: Callable[[Figure, Figure], Figure]) -> None:
    assert work(NO_PRICE, NO_HOURS) is NO_PRICE
    assert work(NO_HOURS, NO_PRICE) is NO_HOURS


def test_nothing_makes_a_gap_zero() -> None:
    assert NO_PRICE * Decimal(0) is NO_PRICE
    assert Decimal(0) / NO_PRICE is NO_PRICE
    assert NO_PRICE / Decimal(0) is NO_PRICE
    assert NO_PRICE - NO_PRICE is NO_PRICE


@pytest.mark.parametrize("compare", [lt, gt])
def test_a_gap_can_not_be_compared_with(compare: Callable[[object, object], bool]) -> None:
    for one, other in ((NO_PRICE, Decimal(0)), (Decimal(0), NO_PRICE)):
        with pytest.raises(TypeError):
            compare(one, other)


def test_a_sum_stops_at_its_first_gap() -> None:
    assert added((Decimal(1), NO_HOURS, NO_PRICE)) is NO_HOURS
    assert added((Decimal(1), Decimal("0.5"))) == Decimal("1.5")
    assert added(()) == 0


def test_two_figures_are_added_or_give_the_first_gap() -> None:
    assert plus(Decimal("1.25"), Decimal("2.50")) == Decimal("3.75")
    assert plus(NO_PRICE, NO_HOURS) is NO_PRICE
    assert plus(Decimal(1), NO_HOURS) is NO_HOURS


def test_what_must_be_known_is_given_and_what_is_not_there_after_all_is_no_figure() -> None:
    assert surely(Decimal(0)) == Decimal(0)
    for missing in (NO_PRICE, None):
        with pytest.raises(KeyError):
            surely(missing)
