"""Which packs to buy: cases from paper, every plan of small cases looked at, properties, and an integer programme.

Expected figures are from paper, from looking at every plan, or from scipy; never from what is tested.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from random import Random
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.packing import (
    NAMES,
    OIL,
    YARD,
    Case,
    D,
    best,
    cost_of,
    drawn,
    every_plan,
    found,
    freight,
    holds,
    need,
    offer,
    taken,
    ways,
)
from tests.costing.programme import cheapest_by_programme
from webapp.costing.gaps import Gap
from webapp.costing.pack_covers import Effort, Packs, points
from webapp.costing.pack_facts import Need, Offer, Plan
from webapp.costing.pack_search import Found, Task, Terms, _Search, ranked
from webapp.costing.packs import plans

# --- from paper ------------------------------------------------------------------------------------------------------


def test_whole_packs_of_two_sizes_cover_a_need() -> None:
    # 3.7 kg: 5 kg are 41.50; four of 1 kg 49.60. 41.50 it is, and 1300 g are left.
    plan = best(Case((need("3700"),), (offer("1000", "12.40"), offer("5000", "41.50"))))
    assert (taken(plan), plan.total, plan.bought[0].left) == ({1: 1}, D("41.50"), D(1300))


def test_a_price_break_makes_more_packs_cheaper_than_fewer() -> None:
    # 9 packs are 9 x 10 = 90, ten are 10 x 8 = 80
    plan = best(Case((need("9"),), (offer("1", "10", (10, "8")),)))
    assert (taken(plan), plan.lines[0].price, plan.total) == ({0: 10}, D(8), D(80))


def test_freight_makes_one_supplier_cheaper_than_two() -> None:
    offers = (offer("1000", "10"), offer("1000", "9", of=OIL, by=YARD), offer("1000", "11", of=OIL))
    case = Case((need("1000"), need("1000", OIL)), offers, (freight("6"), freight("6", by=YARD)))
    # both from the mill: 10 + 11 + 6 = 27; from two: 10 + 9 + 6 + 6 = 31
    assert (taken(best(case)), best(case).total) == ({0: 1, 2: 1}, D(27))
    free = case._replace(freights=(freight("0"), freight("0", by=YARD)))
    assert (taken(best(free)), best(free).total) == ({0: 1, 1: 1}, D(19))


def test_buying_more_than_needed_reaches_the_free_freight() -> None:
    # 1 pack is 45 + 8 of freight = 53; a jar of wax at 5 more makes it 50 and free
    offers = (offer("1000", "45"), offer("1000", "5", of=OIL))
    case = Case((need("1000"), need("1", OIL)), offers, (freight("8", "54"),))
    plan = best(case)
    # 45 + 5 = 50 + 8 = 58; one more oil: 55, free
    assert (taken(plan), plan.goods, plan.freight, plan.total) == ({0: 1, 1: 2}, D(55), D(0), D(55))
    assert plan.orders[0].spared == D(8)
    assert [one.total for one in best(case._replace(freights=(freight("8"),))).orders] == [D(58)]


def test_a_threshold_is_reached_at_its_very_amount() -> None:
    assert best(Case((need("1"),), (offer("1", "50"),), (freight("8", "50"),))).total == D(50)
    assert best(Case((need("1"),), (offer("1", "49.99"),), (freight("8", "50"),))).total == D("57.99")


def test_a_break_that_is_not_taken_may_reach_the_threshold() -> None:
    # ten packs at 8 are 80, eleven 88, both with 20 of freight, twelve 96; nine at 10 are 90, and free from 89
    case = Case((need("9"),), (offer("1", "10", (10, "8")),), (freight("20", "89"),))
    assert (taken(best(case)), best(case).total) == ({0: 9}, D(90))


def test_of_packs_at_one_price_the_larger_counts_towards_a_threshold() -> None:
    # two of 2 g are 10 and 8 of freight; a third makes 15, free: three of them hold the 4 g, three of 1 g don't
    case = Case((need("4"),), (offer("1", "5"), offer("2", "5")), (freight("8", "15"),))
    assert best(case).total == D(15)


def test_an_order_comes_to_the_smallest_that_its_supplier_takes() -> None:
    case = Case((need("1"),), (offer("1", "10"), offer("1", "24", by=YARD)), (freight("0", least="25"),))
    # three packs of the mill would be 30
    assert taken(best(case)) == {1: 1}
    alone = case._replace(offers=case.offers[:1])
    assert (taken(best(alone)), best(alone).total) == ({0: 3}, D(30))


def test_a_smallest_order_may_lie_above_the_free_freight() -> None:
    # one pack is 12 and free from 10, but nothing goes out below 20: two packs
    case = Case((need("1"),), (offer("1", "12"),), (freight("5", "10", "20"),))
    assert (taken(best(case)), best(case).total) == ({0: 2}, D(24))


def test_ounces_and_kilograms_are_compared_exactly() -> None:
    pound, two = "453.59237", "907.18474"
    assert taken(best(Case((need(two),), (offer(pound, "5"), offer("1000", "10.01"))))) == {0: 2}
    assert taken(best(Case((need("907.184741"),), (offer(pound, "5"), offer("1000", "10.01"))))) == {1: 1}


def test_the_next_best_is_other_packs_and_not_the_same_with_one_more() -> None:
    case = Case((need("1000"),), (offer("1000", "10"), offer("500", "6"), offer("5000", "40")))
    assert [(one.total, taken(one)) for one in found(case).plans] == [
        (D(10), {0: 1}),
        (D(12), {1: 2}),
        (D(40), {2: 1}),
    ]
    assert found(case).complete
    assert len(found(case, 1).plans) == 1


def test_what_can_not_reach_the_smallest_order_and_the_need_together_is_no_plan() -> None:
    """Five packs are 35. Four are only 28, which is below the smallest order; three are 30 and not enough."""
    case = Case((need("4"),), (offer("1", "10", (4, "7")),), (freight("0", least="30"),))
    assert [(taken(one), one.total) for one in found(case).plans] == [({0: 5}, D(35))]
    assert found(case).complete


def test_plans_that_take_too_much_to_find_are_left_out_and_said_to_be() -> None:
    """10 for a pack of 1000 g and 12 for two of 500: with nothing to spend after the first it is the only one."""
    offers = (Packs(0, 0, 1000, ((1, 10),)), Packs(0, 0, 500, ((1, 6),)))
    task = Task((1000,), offers, (Terms(0, None, 0),))
    first, both = Found(10, {0: 1}), (Found(10, {0: 1}), Found(12, {1: 2}))
    assert ranked(task, 3, Effort(10**6), 0) == ((first,), False)
    assert ranked(task, 3, Effort(10**6), 10**6) == (both, True)


def test_no_more_small_packs_are_looked_at_than_the_large_one_costs() -> None:
    """A pack of 1000 g for 10 covers the need; of 100 g for 9 only one is cheaper, though ten would be enough.

    Looked at: the large pack (1), it or nothing (2), one small pack (1), and what there is without it (1), since both
    together cost more than the large one.
    """
    offers = {0: Packs(0, 0, 1000, ((1, 10),)), 1: Packs(0, 0, 100, ((1, 9),))}
    effort = Effort(100)
    assert points(offers, 1000, {}, effort, whole=False).costs[-1] == 10
    assert effort.spent == 5


def test_packs_of_a_supplier_with_a_weight_count_at_the_rest_of_their_price() -> None:
    """In 4096ths: a pack for 3 at half its price 3 x 2048, two of them 12,288; without a weight 3 x 4096."""
    search = _Search(Task((2,), (Packs(0, 0, 1, ((1, 3),)),), (Terms(0, None, 6),)), 1, Effort(100), 0)
    for weights, costs in (({0: 2048}, [0, 6_144, 12_288]), ({1: 2048}, [0, 12_288, 24_576]), ({}, [0, 3, 6])):
        assert search._points_of(0, frozenset(), {}, whole=True, weights=weights).costs == costs


# --- what becomes of it ----------------------------------------------------------------------------------------------


def test_what_is_not_used_before_it_spoils_is_waste_and_the_used_gram_bears_it() -> None:
    # 5000 g for 40 + 10 of freight; 300 g a month for 12 months are 3600: 1400 spoil, 50 / 3600 a gram
    case = Case((need("1000", a_month="300", months="12"),), (offer("5000", "40"),), (freight("10"),))
    one = best(case).bought[0]
    assert (one.amount, one.left, one.used, one.spoils) == (D(5000), D(4000), D(3600), D(1400))
    assert one.per_used == D(50) / 3600
    assert one.per_bought == D("0.01")
    assert one.lasts == D(5000) / 300
    assert one.left_lasts == D(4000) / 300


def test_planned_batches_use_theirs_at_once() -> None:
    # 100 g a month for 6 months are 600, but the batches take 1000 of the 1500 at once
    case = Case((need("1000", a_month="100", months="6", at_once="1000"),), (offer("1500", "30"),))
    one = best(case).bought[0]
    assert (one.used, one.spoils, one.per_used) == (D(1000), D(500), D("0.03"))


def test_nothing_spoils_that_keeps_or_that_batches_take_whole() -> None:
    keeps = replace(need("10"), months=None)
    assert best(Case((keeps,), (offer("48", "24"),))).bought[0].spoils == 0
    whole = replace(need("1000"), at_once=D(1000))
    assert best(Case((whole,), (offer("1000", "24"),))).bought[0].spoils == 0


def test_without_use_or_shelf_life_what_spoils_is_not_known() -> None:
    one = best(Case((need("10"),), (offer("48", "24"),))).bought[0]
    for figure in (one.lasts, one.left_lasts, one.spoils, one.used, one.per_used):
        assert isinstance(figure, Gap)
        assert "a month" in figure.reason
    one = best(Case((need("10", a_month="4"),), (offer("48", "24"),))).bought[0]
    assert one.lasts == D(12)
    assert isinstance(one.spoils, Gap)
    assert "keeps" in one.spoils.reason


def test_what_nobody_uses_has_no_price_per_used_gram() -> None:
    one = best(Case((need("10", a_month="0", months="6"),), (offer("48", "24"),))).bought[0]
    assert one.spoils == D(48)
    assert isinstance(one.per_used, Gap)
    assert isinstance(one.lasts, Gap)


def test_freight_is_shared_by_value_and_adds_up() -> None:
    offers = (offer("1000", "10"), offer("1000", "20", of=OIL))
    plan = best(Case((need("1000"), need("1000", OIL)), offers, (freight("10"),)))
    # 10 x 10 / 30 = 3.333, 10 x 20 / 30 = 6.667
    assert [one.freight for one in plan.bought] == [D("3.33"), D("6.67")]
    assert sum(one.cost for one in plan.bought) == plan.total == D(40)


# --- what is refused -------------------------------------------------------------------------------------------------


def test_what_nobody_offers_is_named() -> None:
    answer = plans((need("1"), need("1", OIL)), (offer("1", "1"),), (), NAMES)
    assert isinstance(answer, Gap)
    assert "Nobody offers Oil" in answer.reason
    assert isinstance(plans((), (), (), NAMES), Gap)


@pytest.mark.parametrize(
    ("needs", "suppliers", "offers", "words"),
    [(31, 1, 31, "31 materials"), (1, 9, 9, "9 suppliers"), (1, 1, 401, "401 offers")],
)
def test_more_than_can_be_sure_is_refused_in_words(needs: int, suppliers: int, offers: int, words: str) -> None:
    wanted = tuple(Need(one, D(10)) for one in range(1, needs + 1))
    offered = tuple(Offer(1 + one % needs, 1 + one % suppliers, D(1 + one), D(5)) for one in range(offers))
    answer = plans(wanted, offered, (), {})
    assert isinstance(answer, Gap)
    assert words in answer.reason


def test_too_many_ways_are_refused_and_not_guessed() -> None:
    answer = plans((need("9000000"),), (offer("1", "0.0101"), offer("1.3", "0.0102")), (), NAMES)
    assert isinstance(answer, Gap)
    assert "too many ways" in answer.reason


@pytest.mark.parametrize(
    "one",
    [
        offer("0", "1"),
        offer("1", "0"),
        offer("1", "10", (5, "10")),
        offer("1", "10", (5, "9"), (5, "8")),
        offer("1", "10", (5, "0")),
        offer("1", "10", (1, "9")),
    ],
)
def test_an_offer_that_cannot_be_is_an_error(one: Offer) -> None:
    with pytest.raises(ValueError, match="offer"):
        plans((need("1"),), (one,), (), NAMES)


def test_a_need_twice_or_of_nothing_is_an_error() -> None:
    with pytest.raises(ValueError, match="twice"):
        plans((need("1"), need("2")), (offer("1", "1"),), (), NAMES)
    with pytest.raises(ValueError, match="zero"):
        plans((need("0"),), (offer("1", "1"),), (), NAMES)


# --- every plan of a small case ----------------------------------------------------------------------------------


def small(seed: int, most: int = 1200) -> Case | None:
    """A case small enough to look at every plan; None where it isn't."""
    random = Random(seed)
    case = drawn(seed, random.randint(1, 3), 3, random.randint(1, 3), tight=True)
    return case if ways(case) <= most else None


def check_by_looking(case: Case) -> None:
    """Each plan is the cheapest of all that hold none before it, and there is one as long as there is any."""
    every = list(every_plan(case))
    answer = found(case)
    assert answer.complete
    before: list[Plan] = []
    for plan in answer.plans:
        left = [cost for cost, counts in every if not any(holds(counts, one) for one in before)]
        assert Fraction(plan.total) == min(left)
        assert cost_of(case, taken(plan)) == Fraction(plan.total)
        before.append(plan)
    if len(answer.plans) < 3:
        assert all(any(holds(counts, one) for one in before) for _, counts in every)


@pytest.mark.parametrize("start", range(8))
def test_every_plan_was_looked_at(start: int) -> None:
    cases = [case for seed in range(start * 100, start * 100 + 16) if (case := small(seed)) is not None]
    assert len(cases) > 2
    for case in cases:
        check_by_looking(case)


@pytest.mark.deep
@pytest.mark.parametrize("start", range(40))
def test_every_plan_of_a_thousand_cases_was_looked_at(start: int) -> None:
    for case in (small(seed, 4000) for seed in range(10_000 + start * 100, 10_000 + start * 100 + 60)):
        if case is not None:
            check_by_looking(case)


# --- properties ------------------------------------------------------------------------------------------------------

T = TypeVar("T")
SEEDS = st.integers(0, 10**6)
FEW = settings(max_examples=examples.of(12), deadline=None, database=None)


@FEW
@given(SEEDS, st.integers(1, 30), st.integers(1, 40))
def test_one_more_offer_never_makes_it_dearer(seed: int, size: int, cents: int) -> None:
    case = drawn(seed, 2, 3, 2, tight=True)
    more = case._replace(offers=(*case.offers, Offer(1, 1, D(size), D(cents) / 100)))
    assert best(more).total <= best(case).total


@FEW
@given(SEEDS, st.integers(1, 20))
def test_more_need_is_never_cheaper(seed: int, extra: int) -> None:
    case = drawn(seed, 2, 3, 2, tight=True)
    first, *others = case.needs
    more = case._replace(needs=(replace(first, amount=first.amount + extra), *others))
    assert best(more).total >= best(case).total


@FEW
@given(SEEDS)
def test_lower_freight_and_thresholds_never_make_it_dearer(seed: int) -> None:
    case = drawn(seed, 2, 3, 2, tight=True)
    for freights in (
        tuple(replace(one, amount=one.amount / 2) for one in case.freights),
        tuple(replace(one, free_from=one.free_from and one.free_from / 2) for one in case.freights),
        tuple(replace(one, least=None) for one in case.freights),
    ):
        assert best(case._replace(freights=freights)).total <= best(case).total


def mixed(things: tuple[T, ...], random: Random) -> tuple[T, ...]:
    """The same in another order."""
    return tuple(random.sample(things, len(things)))


def packs_of(case: Case, plan: Plan) -> list[tuple[object, ...]]:
    """What is bought, whatever its place among the offers."""
    bought = ((case.offers[place], packs) for place, packs in taken(plan).items())
    return sorted((one.material, one.supplier, one.quantity, packs) for one, packs in bought)


@FEW
@given(SEEDS, st.randoms(use_true_random=False))
def test_the_order_in_which_it_is_given_changes_nothing(seed: int, random: Random) -> None:
    case = drawn(seed, 3, 4, 3, tight=True)
    other = Case(mixed(case.needs, random), mixed(case.offers, random), mixed(case.freights, random))

    def told(one: Case) -> list[object]:
        return [(plan.total, plan.orders, plan.bought, packs_of(one, plan)) for plan in found(one).plans]

    assert told(other) == told(case)


@FEW
@given(SEEDS)
def test_what_is_bought_covers_the_need_and_adds_up(seed: int) -> None:
    case = drawn(seed, 3, 4, 3)
    for plan in found(case).plans:
        assert cost_of(case, taken(plan)) == Fraction(plan.total)
        assert sum(one.cost for one in plan.bought) == sum(one.total for one in plan.orders) == plan.total
        assert all(one.left >= 0 and one.amount == one.need.amount + one.left for one in plan.bought)
        assert all(line.cost == line.packs * line.price for line in plan.lines)


# --- an integer programme --------------------------------------------------------------------------------------------


def check_by_programme(seed: int) -> None:
    case = drawn(seed, 4, 5, 3)
    assert round(best(case).total * 100) == cheapest_by_programme(case)


@pytest.mark.parametrize("seed", range(30))
def test_the_cheapest_is_that_of_an_integer_programme(seed: int) -> None:
    check_by_programme(seed)


@pytest.mark.deep
@pytest.mark.parametrize("seed", range(1000, 1300))
def test_the_cheapest_of_three_hundred_is_that_of_an_integer_programme(seed: int) -> None:
    check_by_programme(seed)


def test_the_programme_knows_the_cases_from_paper() -> None:
    """The measure itself: what was reckoned on paper above."""
    assert cheapest_by_programme(Case((need("9"),), (offer("1", "10", (10, "8")),), (freight("20", "89"),))) == 9000
    assert cheapest_by_programme(Case((need("9"),), (offer("1", "10", (10, "8")),))) == 8000
    least = Case((need("1"),), (offer("1", "10"),), (freight("0", least="25"),))
    assert cheapest_by_programme(least) == 3000
