"""Suppliers that have to be paid at least so much: what is found within a limit, whatever the weights."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from random import Random

import pytest

from webapp.costing.pack_covers import Effort, Packs, TooMuch, counted, points
from webapp.costing.pack_thresholds import WHOLE, Answer, Asked, Bought, _Room, _ways, bound, cheapest

NEEDS = (7, 5)


def drawn(seed: int) -> tuple[Packs, ...]:
    """Offers of two materials from three suppliers, in whole numbers."""
    random = Random(seed)
    found = []
    for material, supplier in itertools.product(range(len(NEEDS)), range(3)):
        price = random.randint(3, 12)
        tiers = ((1, price), (random.randint(2, 4), random.randint(1, price - 1)))
        found.append(Packs(material, supplier, random.randint(1, 5), tiers[: random.randint(1, 2)]))
    return tuple(found)


def weighed(offer: Packs, weights: Mapping[int, int]) -> Packs:
    part = WHOLE - weights.get(offer.supplier, 0)
    return offer._replace(tiers=tuple((least, price * part) for least, price in offer.tiers))


def bought(offers: Sequence[Packs], material: int, weights: Mapping[int, int]) -> Bought:
    own = {number: one for number, one in enumerate(offers) if one.material == material}
    held = tuple((list(weights).index(one.supplier), n, one) for n, one in own.items() if one.supplier in weights)
    others = {n: one for n, one in own.items() if one.supplier not in weights}
    effort = Effort(10**6)
    at_weights = {n: weighed(one, weights) for n, one in own.items()}
    return Bought(
        NEEDS[material],
        held,
        points(own, NEEDS[material], {}, effort, whole=True),
        points(others, NEEDS[material], {}, effort, whole=True),
        points(at_weights, NEEDS[material], {}, effort, whole=True) if any(weights.values()) else None,
    )


def found(
    offers: Sequence[Packs], least: Mapping[int, int], limit: int, weights: tuple[int, ...], most: int = 10**6
) -> tuple[Answer, int]:
    """The answer within a limit, and the bound."""
    named = dict(zip(least, weights, strict=True))
    materials = [bought(offers, material, named) for material in range(len(NEEDS))]
    asked = Asked(tuple(least.values()), {}, weights, Effort(most))
    return cheapest(materials, limit, asked), bound(materials, asked)


def by_looking(offers: Sequence[Packs], least: Mapping[int, int]) -> int:
    """The least that covers the needs and pays each supplier enough, by looking at every number of packs."""
    best = 10**9
    for counts in itertools.product(range(9), repeat=len(offers)):
        goods = [one.cost(packs) for one, packs in zip(offers, counts, strict=True)]
        if sum(goods) >= best:
            continue
        amounts = [0] * len(NEEDS)
        for one, packs in zip(offers, counts, strict=True):
            amounts[one.material] += packs * one.amount
        paid = {s: sum(g for one, g in zip(offers, goods, strict=True) if one.supplier == s) for s in least}
        if all(amount >= need for amount, need in zip(amounts, NEEDS, strict=True)) and all(
            paid[one] >= wanted for one, wanted in least.items()
        ):
            best = sum(goods)
    return best


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("least", [{0: 14}, {1: 9, 2: 11}])
def test_the_cheapest_is_found_at_its_very_limit_whatever_the_weights(seed: int, least: dict[int, int]) -> None:
    offers = drawn(seed)
    answer, _ = found(offers, least, 200, (0,) * len(least))
    assert answer.counts is not None
    random = Random(seed)
    for _ in range(6):
        weights = tuple(random.choice([0, 1, random.randrange(WHOLE), WHOLE - 1]) for _ in least)
        at, lowest = found(offers, least, answer.cost, weights)
        assert (at.cost, at.counts is None) == (answer.cost, False)
        assert lowest <= answer.cost
        below, _ = found(offers, least, answer.cost - 1, weights)
        assert below.counts is None


@pytest.mark.parametrize("seed", range(3))
def test_it_is_what_looking_at_every_number_of_packs_finds(seed: int) -> None:
    offers = drawn(seed)[1:5]  # four offers, so that every number can be looked at
    answer, _ = found(offers, {1: 13, 2: 8}, 300, (0, 0))
    assert answer.cost == by_looking(offers, {1: 13, 2: 8})


def test_three_held_suppliers_are_paid_enough() -> None:
    offers = drawn(5)
    least = {0: 12, 1: 10, 2: 11}
    answer, _ = found(offers, least, 200, (0, 0, 0))
    assert answer.counts is not None
    for supplier, wanted in least.items():
        paid = sum(offers[n].cost(packs) for n, packs in answer.counts.items() if offers[n].supplier == supplier)
        assert paid >= wanted
    assert found(offers, least, answer.cost - 1, (5, 500, 4000))[0].counts is None


def test_what_takes_too_much_says_so() -> None:
    with pytest.raises(TooMuch):
        found(drawn(1), {0: 14}, 200, (0,), 50)


def test_points_are_the_least_for_every_amount_and_made_of_their_packs() -> None:
    offers = {0: Packs(0, 0, 2, ((1, 5), (3, 4))), 1: Packs(0, 0, 3, ((1, 7),))}
    made = points(offers, 7, {}, Effort(1000), whole=True)
    # 2 for 5, 3 for 7, 4 for 10, 5 and more for 12: three of two at 4 are six; 7 for 3 + 4 = 17, or 8 for 16
    assert (made.amounts, made.costs) == ([0, 2, 3, 4, 6, 7], [0, 5, 7, 10, 12, 16])
    for amount, cost, taken in zip(*made, strict=True):
        packs = counted(taken)
        assert sum(offers[one].cost(many) for one, many in packs.items()) == cost
        assert sum(offers[one].amount * many for one, many in packs.items()) >= amount
    capped = points(offers, 7, {0: 1}, Effort(1000), whole=True)
    assert (capped.amounts, capped.costs) == ([0, 2, 3, 5, 6, 7], [0, 5, 7, 12, 14, 19])


# --- effort, on paper: what is left out early changes no answer, only how much is looked at


def test_what_costs_no_less_than_what_covers_all_is_not_looked_at() -> None:
    """Three are needed, of A for 6 each or 3 each from three on, or of B for 3 each.

    Three numbers of A are looked at, of which two packs (12) are dearer than three (9): none, 1 or 3 of it, 3 ways.
    Three numbers of B, of which 3 cost what A does; then the 3 ways without it and 1 or 2 of it after none of A. After
    one of A, 1 of B makes 6 + 3 = 9, what three of A cost, and 2 make 12: neither is a way. 3 + 3 + 3 + 5 = 14.
    """
    effort = Effort(100)
    made = points({0: Packs(0, 0, 1, ((1, 6), (3, 3))), 1: Packs(0, 0, 1, ((1, 3),))}, 3, {}, effort, whole=True)
    assert (made.costs, [counted(one) for one in made.taken]) == ([0, 3, 6, 9], [{}, {1: 1}, {1: 2}, {0: 3}])
    assert effort.spent == 14


@pytest.mark.parametrize(("room", "looked_at"), [(6, 9), (5, 4)])
def test_what_has_no_room_is_not_looked_at(room: int, looked_at: int) -> None:
    """Two packs are needed, of A or B, each for 3, none or more of each: so many numbers of packs are looked at.

    With room for 6, none, 1 or 2 of A; then of B after none of A the same 3, after one 2, after two 1: 3 + 3 + 2 + 1.
    With room for 5, none or 1 of A, and one of A, with 3 more for the pack that is missing, has no room; so 2 of B: 4.
    """
    a, b = Packs(0, 0, 1, ((1, 3),)), Packs(0, 0, 1, ((1, 3),))
    together = points({0: a, 1: b}, 2, {}, Effort(100), whole=True)
    nothing_else = points({}, 2, {}, Effort(100), whole=True)
    asked = Asked((6,), {}, (WHOLE // 2,), Effort(100))
    ways = _ways(Bought(2, ((0, 0, a), (0, 1, b)), together, nothing_else), _Room(room, 2 * room * WHOLE), asked)
    assert [way.cost for way in ways.values()] == ([6] if room == 6 else [])
    assert asked.effort.spent == looked_at
