"""Short builders of needs, offers and freights, and what a plan comes to reckoned by itself, in fractions."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from random import Random
from typing import NamedTuple

from webapp.costing.gaps import Gap
from webapp.costing.pack_facts import Break, Freight, Need, Offer, Plan, Plans
from webapp.costing.packs import plans

D = Decimal
MILL, YARD, BARN, SHED = 1, 2, 3, 4
SHEA, OIL, WAX = 11, 12, 13
NAMES = {SHEA: "Shea", OIL: "Oil", WAX: "Wax"}


class Case(NamedTuple):
    """What is asked."""

    needs: tuple[Need, ...]
    offers: tuple[Offer, ...]
    freights: tuple[Freight, ...] = ()


def need(amount: str, material: int = SHEA, **more: str) -> Need:
    return Need(material, D(amount), **{name: D(text) for name, text in more.items()})


def offer(quantity: str, price: str, *breaks: tuple[int, str], by: int = MILL, of: int = SHEA) -> Offer:
    return Offer(of, by, D(quantity), D(price), tuple(Break(D(packs), D(each)) for packs, each in breaks))


def freight(amount: str, free_from: str = "", least: str = "", by: int = MILL) -> Freight:
    return Freight(by, D(amount), D(free_from) if free_from else None, D(least) if least else None)


def found(case: Case, most: int = 3) -> Plans:
    answer = plans(*case, NAMES, most)
    assert not isinstance(answer, Gap), answer.reason
    return answer


def best(case: Case) -> Plan:
    return found(case).plans[0]


def taken(plan: Plan) -> dict[int, int]:
    """How many packs of each offer, by its place."""
    return {line.place: line.packs for line in plan.lines}


def cost_of(case: Case, counts: Mapping[int, int]) -> Fraction | None:
    """What packs cost with all freight; None where they leave a need open or an order below its smallest."""
    paid: dict[int, Fraction] = {}
    for place, packs in counts.items():
        if packs:
            one = case.offers[place]
            price = next((each.price for each in reversed(one.breaks) if packs >= each.packs), one.price)
            paid[one.supplier] = paid.get(one.supplier, Fraction(0)) + packs * Fraction(price)
    for wanted in case.needs:
        own = [(place, one) for place, one in enumerate(case.offers) if one.material == wanted.material]
        if sum(counts.get(place, 0) * Fraction(one.quantity) for place, one in own) < Fraction(wanted.amount):
            return None
    total = Fraction(0)
    terms = {one.supplier: one for one in case.freights}
    for supplier, goods in paid.items():
        theirs = terms.get(supplier, Freight(supplier))
        if goods < Fraction(theirs.least or 0):
            return None
        free = theirs.free_from is not None and goods >= Fraction(theirs.free_from)
        total += goods + (0 if free else Fraction(theirs.amount))
    return total


def most_packs(case: Case, one: Offer) -> int:
    """More packs of an offer than a cheapest plan can need: for the need, for every threshold, for every break."""
    wanted = next(each.amount for each in case.needs if each.material == one.material)
    terms = next((each for each in case.freights if each.supplier == one.supplier), Freight(one.supplier))
    lowest = one.breaks[-1].price if one.breaks else one.price
    amounts = ((wanted, one.quantity), (terms.free_from, lowest), (terms.least, lowest))
    enough = [math.ceil(Fraction(amount or 0) / Fraction(step)) for amount, step in amounts]
    return max(1, *enough, *(int(each.packs) for each in one.breaks))


def ways(case: Case) -> int:
    """How many numbers of packs there are to look through."""
    size = 1
    for one in case.offers:
        size *= most_packs(case, one) + 1
    return size


def every_plan(case: Case) -> Iterator[tuple[Fraction, tuple[int, ...]]]:
    """All plans there are, by looking at every number of packs of every offer."""
    for counts in itertools.product(*(range(most_packs(case, one) + 1) for one in case.offers)):
        cost = cost_of(case, dict(enumerate(counts)))
        if cost is not None:
            yield cost, counts


def holds(counts: Sequence[int], plan: Plan) -> bool:
    """Whether all the packs of a plan are among these."""
    return all(counts[place] >= packs for place, packs in taken(plan).items())


def drawn(seed: int, materials: int, packs: int, suppliers: int, *, tight: bool = False) -> Case:
    """A case like a workshop's; `tight` draws small numbers, so that thresholds and breaks meet often."""
    random = Random(seed)
    needs = tuple(
        Need(one, D(random.randint(1, 12) if tight else random.randint(300, 12000))) for one in range(1, materials + 1)
    )
    offers: list[Offer] = []
    for wanted in needs:
        dear = random.randint(500, 4000)
        for _ in range(random.randint(1, packs) if tight else packs):
            size = random.randint(1, 8) if tight else random.choice([100, 250, 500, 1000, 2500, 5000, 10000])
            cents = random.randint(3, 30) if tight else max(4, dear * size * random.randint(90, 190) // 100_000)
            steps, least, each = [], 1, cents
            while random.random() < 0.4 and each > 2:
                least, each = least + random.randint(1, 5), random.randint(1, each - 1) if tight else each * 93 // 100
                steps.append(Break(D(least), D(each) / 100))
            offers.append(Offer(wanted.material, random.randint(1, suppliers), D(size), D(cents) / 100, tuple(steps)))
    scale = 100 if tight else 1
    freights = tuple(
        Freight(
            one,
            D(random.choice([0, 3, 5, 10]) if tight else random.choice([0, 5, 7, 12])) / scale,
            random.choice([None, D(10) / scale, D(40) / scale])
            if tight
            else random.choice([None, D(40), D(75), D(150)]),
            random.choice([None, None, D(8) / scale, D(25) / scale]) if tight else random.choice([None, None, D(25)]),
        )
        for one in range(1, suppliers + 1)
    )
    return Case(needs, tuple(offers), freights)
