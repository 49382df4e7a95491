"""What has to be sold, the room there is, and a price change against jars. Figures are on paper, ties exact."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest

from tests.costing.making import D, gap, known
from webapp.costing.amounts import snap
from webapp.costing.break_even import (
    ANY,
    MAY_LOSE,
    NEEDS,
    NEVER,
    NONE,
    NOT_ABOVE,
    NOTHING_CONTRIBUTED,
    NOTHING_SOLD,
    SAME,
    Mix,
    Selling,
    leverage,
    mix,
    needed,
    safety,
    survives,
)
from webapp.costing.gaps import Gap

STALL, SHOP = 1, 2


def selling(product: int, jars: str, net: str, contribution: str, channel: int = STALL) -> Selling:
    return Selling(product, channel, D(jars), D(net), D(contribution))


#: 30 jars contribute 4 each at the stall, 10 of the same 2.50 at a shop, 20 of another 3: 120 + 25 + 60 = 205
LINE = mix([selling(1, "30", "9", "4"), selling(1, "10", "6", "2.50", SHOP), selling(2, "20", "8", "3")])


def test_a_month_adds_up() -> None:
    assert (LINE.jars, LINE.net_sales, LINE.contribution) == (D(60), D(490), D(205))
    assert LINE.left(D(100)) == D(105)
    assert LINE.ratio == D(205) / D(490)


def test_channels_are_added_before_a_product_is_rounded_up() -> None:
    # 82 / 205 = 0.4: 12 + 4 = 16 jars of the one, 8 of the other; 83 / 205 = 0.40487…: 16.19 and 8.09
    exact, more = needed(LINE, D(82)), needed(LINE, D(83))
    assert [one.whole for one in exact.products] == [D(16), D(8)]
    assert (exact.jars, exact.exact, exact.net_sales, exact.times) == (D(24), D(24), D(196), D("0.4"))
    assert [one.whole for one in more.products] == [D(17), D(9)]
    assert more.jars == D(26)
    assert snap(known(more.exact)) == snap(D(60) * D(83) / D(205))


def test_a_third_that_makes_a_whole_jar_needs_no_jar_more() -> None:
    """1 / 3 x 3 jars is 1 jar: rounded up only after the snap."""
    found = needed(mix([selling(1, "3", "1", "1")]), D(1))
    assert found.jars == D(1)
    thirds = mix([Selling(1, STALL, D(3), D(1), D(1) / D(3))])
    assert known(needed(thirds, D(2)).exact) > D(6)  # by what is cut off after 50 digits
    assert needed(thirds, D(2)).jars == D(6)


def test_no_bills_need_no_jars() -> None:
    found = needed(LINE, D(0))
    assert (found.jars, found.net_sales, found.times) == (D(0), D(0), D(0))
    assert safety(LINE, found) == (D(60), D(490), D(1))
    assert leverage(LINE, D(0)) == D(1)


def test_the_room_is_what_is_sold_less_what_breaks_even() -> None:
    room = safety(LINE, needed(LINE, D(82)))
    assert room == (D(36), D(294), D("0.6"))
    assert leverage(LINE, D(82)) == D(205) / D(123)
    # 5.125 / 205 is a fortieth: 1.5 of 60 jars, though 2 whole ones have to be sold
    assert needed(LINE, D("5.125")).jars == D(2)
    assert safety(LINE, needed(LINE, D("5.125"))).jars == D("58.5")


def test_sales_that_don_t_reach_have_no_room() -> None:
    room = safety(LINE, needed(LINE, D(410)))
    assert room == (D(-60), D(-490), D(-1))
    assert leverage(LINE, D(410)) is NOT_ABOVE
    assert leverage(LINE, D(205)) is NOT_ABOVE


@pytest.mark.parametrize("contribution", ["0", "-1"])
def test_what_contributes_nothing_never_breaks_even(contribution: str) -> None:
    found = needed(mix([selling(1, "5", "3", contribution)]), D(10))
    assert [found.times, found.jars, found.exact, found.net_sales] == [NOTHING_CONTRIBUTED] * 4
    assert found.products[0].whole is NOTHING_CONTRIBUTED


def test_a_product_that_loses_is_made_up_for_by_the_others() -> None:
    found = needed(mix([selling(1, "10", "5", "-1"), selling(2, "10", "5", "3")]), D(10))
    assert [one.whole for one in found.products] == [D(5), D(5)]


def test_nothing_sold_is_not_known_and_not_zero() -> None:
    empty = mix([])
    found = needed(empty, D(10))
    assert [empty.net_sales, empty.contribution, empty.ratio] == [NOTHING_SOLD] * 3
    assert [found.jars, found.net_sales, safety(empty, found).share, leverage(empty, D(1))] == [NOTHING_SOLD] * 4
    assert mix([selling(1, "5", "0", "1")]).ratio is NOTHING_SOLD


def test_one_that_is_missing_makes_the_sums_missing() -> None:
    why = Gap("Not priced yet.")
    found = mix([selling(1, "5", "3", "1"), Selling(2, STALL, D(5), why, why)])
    even = needed(found, D(10))
    assert [found.net_sales, found.contribution, even.jars, safety(found, even).jars] == [why] * 4
    assert gap(leverage(found, D(1))) is why


@pytest.mark.parametrize("seed", range(40))
def test_at_what_is_needed_exactly_that_is_left_which_was_wanted(seed: int) -> None:
    """In fractions: the jars needed contribute the bills and the income, to the last digit; at break-even 0 is left."""
    rng = Random(seed)
    each = [
        selling(rng.randint(1, 4), str(rng.randint(1, 90)), "9", str(D(rng.randint(1, 999)) / 100), place)
        for place in range(6)
    ]
    sold = mix(each)
    for income in (D(0), D(rng.randint(1, 90_000)) / 100):
        bills = D(rng.randint(0, 50_000)) / 100
        found = needed(sold, bills + income)
        contributed = sum((Fraction(one.jars) * Fraction(known(one.contribution)) for one in each), Fraction(0))
        times = Fraction(bills + income) / contributed
        left = sum((Fraction(one.jars) * times * Fraction(known(one.contribution)) for one in each), -Fraction(bills))
        assert left == Fraction(income)
        assert abs(Fraction(known(found.times)) - times) < Fraction(1, 10**40)
        enough = sum(known(one.whole) >= known(one.exact) - D("1e-12") for one in found.products)
        assert enough == len(found.products)


# --- a price change --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("contribution", "change", "verdict", "share"),
    [
        ("4", "1", MAY_LOSE, "0.2"),
        ("4", "-1", NEEDS, "0.3333333333333333333333333333333333333333333333333333"),
        ("4", "0", SAME, None),
        ("0", "1", ANY, None),
        ("-1", "3", ANY, None),
        ("-1", "1", NONE, None),
        ("-3", "1", NONE, None),
        ("4", "-4", NEVER, None),
        ("4", "-5", NEVER, None),
        ("-1", "-1", NEVER, None),
    ],
)
def test_what_a_price_change_may_cost(contribution: str, change: str, verdict: str, share: str | None) -> None:
    found = survives(D(contribution), D(change))
    assert found.verdict == verdict
    assert (None if found.share is None else snap(found.share)) == (None if share is None else snap(D(share)))


@pytest.mark.parametrize("seed", range(40))
def test_a_change_that_moves_just_so_many_jars_leaves_the_contribution_as_it_was(seed: int) -> None:
    rng = Random(seed)
    contribution = Fraction(rng.randint(1, 2000), 100)
    change = Fraction(rng.randint(-int(contribution * 90), 1500), 100)
    found = survives(D(contribution.numerator) / contribution.denominator, D(change.numerator) / change.denominator)
    share = -change / (contribution + change)  # more, or fewer, of the present jars
    assert (contribution + change) * (1 + share) == contribution
    said = {MAY_LOSE: -1, NEEDS: 1, SAME: 0}[found.verdict] * Fraction(found.share or 0)
    assert abs(said - share) < Fraction(1, 10**40)


def test_a_mix_is_what_it_was_made_of() -> None:
    assert isinstance(LINE, Mix)
    assert [one.jars for one in LINE.selling] == [D(30), D(10), D(20)]
