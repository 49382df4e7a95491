"""A week's hours filled by what contributes most for an hour: by hand, and against a linear programme from outside."""

from __future__ import annotations

from random import Random

import pytest
from scipy.optimize import linprog

from tests.costing.making import TUB, D, adds_up, gap, known
from tests.costing.test_line import JARRED, LEFT_OUT, SHOP, STALL, channel, selling
from tests.costing.test_pay import own
from tests.small_books import small
from webapp.costing.amounts import ZERO, snap
from webapp.costing.book import Terms
from webapp.costing.gaps import Gap
from webapp.costing.ranking import Demand, Week, a_week, demands, fill, hours_a_week
from webapp.costing.ranking_working import contribution_working, hours_working, one_more_working
from webapp.costing.reckoning import Reckoning


def demand(product: int, jars: str, contribution: str, hours: str, on: int = 1) -> Demand:
    return Demand(product, on, D(jars), D(contribution), D(hours))


#: 40, 30 and 20 an hour; 2, 4 and 5 hours
FAST = demand(1, "20", "4", "0.1")
SLOW = demand(2, "8", "15", "0.5")
DULL = demand(3, "20", "5", "0.25")


def made(week: Week) -> list[tuple[int, str]]:
    return [(one.demand.product, format(snap(one.jars).normalize(), "f")) for one in week.ranked]


def test_the_hours_go_to_what_brings_most_for_an_hour() -> None:
    week = fill(D("5"), [DULL, SLOW, FAST])
    assert made(week) == [(1, "20"), (2, "6"), (3, "0")]
    # 20 x 4 + 6 x 15; the next hour goes on with the second: 30
    assert (week.contribution, week.used, week.left, week.one_more) == (D(170), D(5), ZERO, D(30))
    assert week.next == SLOW


def test_jars_are_parts_of_one_and_whole_ones_stand_beside() -> None:
    week = fill(D("3.3"), [FAST, SLOW])
    # 1.3 hours are left for jars of half an hour each
    assert made(week) == [(1, "20"), (2, "2.6")]
    assert [one.whole for one in week.ranked] == [D(20), D(2)]
    assert (week.whole_hours, week.whole_contribution) == (D(3), D(110))
    assert week.contribution == D(119)


def test_another_hour_may_end_one_demand_and_begin_the_next() -> None:
    week = fill(D("1.5"), [FAST, SLOW])
    # half an hour of the first at 40, half of the second at 30
    assert week.one_more == D(35)
    assert week.next == FAST


def test_where_all_is_made_hours_are_left_and_another_brings_nothing() -> None:
    week = fill(D(20), [FAST, SLOW, DULL])
    assert (week.used, week.left, week.one_more, week.next) == (D(11), D(9), ZERO, None)


def test_no_hours_make_nothing() -> None:
    week = fill(ZERO, [FAST])
    assert (made(week), week.contribution, week.one_more) == ([(1, "0")], ZERO, D(40))


def test_what_takes_no_hour_is_all_made_and_what_contributes_nothing_is_left_out() -> None:
    free, losing, nothing = demand(4, "7", "2", "0"), demand(5, "7", "-1", "0.1"), demand(6, "7", "0", "0")
    week = fill(D(1), [free, losing, nothing, FAST])
    assert [one.jars for one in week.without_hours] == [D(7)]
    assert week.losing == (losing, nothing)
    assert week.contribution == D(54)


def test_what_is_not_known_is_named_and_not_ranked() -> None:
    why = Gap("Not priced yet.")
    unknown = Demand(9, 1, D(3), why, D(1))
    week = fill(D(1), [unknown, FAST])
    assert week.lacking == ((unknown, why),)
    assert made(week) == [(1, "10")]


def test_of_equals_the_earlier_comes_first() -> None:
    other = demand(7, "20", "8", "0.2")
    assert made(fill(D(3), [other, FAST])) == [(7, "15"), (1, "0")]
    assert made(fill(D(3), [FAST, other])) == [(1, "20"), (7, "5")]


# --- of a line -------------------------------------------------------------------------------------------------------

BOOK = selling(
    JARRED,
    channel(STALL),
    channel(SHOP),
    prices=[(TUB, STALL, "4.68"), (TUB, SHOP, "3.68")],
    sales=[(TUB, STALL, "26"), (TUB, SHOP, "13")],
)


def test_channels_are_demands_of_their_own_and_a_month_is_twelve_fifty_seconds() -> None:
    found = demands(Reckoning(BOOK), {})
    assert [(one.channel, one.jars) for one in found] == [(STALL, D(6)), (SHOP, D(3))]
    # before own pay 3.50 and 2.50, six minutes each
    assert [one.an_hour for one in found] == [D(35), D(25)]
    assert a_week(D(13)) == D(3)


def test_what_is_typed_goes_before_what_is_sold_and_nothing_is_no_demand() -> None:
    found = demands(Reckoning(BOOK), {(TUB, STALL): D("2.5"), (TUB, SHOP): ZERO})
    assert [(one.channel, one.jars) for one in found] == [(STALL, D("2.5"))]


def test_a_week_has_its_part_of_the_planned_hours_of_making() -> None:
    assert gap(hours_a_week(Reckoning(BOOK))).reason.startswith("How many hours there are in a week")
    planned = Terms(overhead="left out", making_hours=D(65))
    assert LEFT_OUT.making_hours is None
    assert hours_a_week(Reckoning(selling(JARRED, channel(STALL), terms=planned))) == D(15)


@pytest.mark.parametrize("number", range(12))
def test_the_sums_of_a_week_add_up(number: int) -> None:
    reckoned = Reckoning(small(Random(number)))
    asked = demands(reckoned, {(row.product, row.channel): D(5) for row in reckoned.line()})
    week, more = fill(D(3), asked), fill(D(4), asked)
    for working, figure in (
        (contribution_working(reckoned, week), week.contribution),
        (hours_working(reckoned, week), week.used),
        (one_more_working(reckoned, week, more), week.one_more),
    ):
        assert snap(known(working.result)) == snap(figure)
        assert adds_up(own(working)), working.title


# --- a linear programme from outside ----------------------------------------------------------------------------------


def drawn(seed: int) -> tuple[str, list[Demand]]:
    rng = Random(seed)
    each = [
        demand(
            number,
            str(rng.randint(0, 60)),
            str(D(rng.randint(-300, 1500)) / 100),
            str(D(rng.choice((0, *range(1, 90)))) / 100),
        )
        for number in range(rng.randint(1, 9))
    ]
    return str(D(rng.randint(0, 6000)) / 100), each


def agrees(seed: int) -> None:
    hours, each = drawn(seed)
    week = fill(D(hours), each)
    best = linprog(
        [-float(known(one.contribution)) for one in each],
        A_ub=[[float(known(one.hours)) for one in each]],
        b_ub=[float(hours)],
        bounds=[(0, float(one.jars)) for one in each],
    )
    assert best.status == 0
    assert float(week.contribution) == pytest.approx(-best.fun, abs=1e-6)
    assert week.used <= D(hours)
    assert all(0 <= one.jars <= one.demand.jars for one in (*week.ranked, *week.without_hours))


@pytest.mark.parametrize("seed", range(40))
def test_no_programme_finds_a_better_week(seed: int) -> None:
    agrees(seed)


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(40, 200))
def test_no_programme_finds_a_better_week_in_many_more(seed: int) -> None:
    agrees(seed)
