"""The cheapest ways to cover one material with whole packs: every amount that is worth having, and what it costs.

Whole numbers throughout: amounts in the material's own smallest step, money in the smallest step of all prices. Prices
never rise with the number of packs, so one order of n + m packs never costs more than an order of n and one of m; that
is what lets a way be dropped for another that gives at least as much for at most as much.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple, TypeAlias

#: packs taken, newest first: what was taken before (None: nothing), the offer, how many packs of it
Taken: TypeAlias = "tuple[Any, int, int] | None"


class TooMuch(Exception):
    """More ways than may be looked at."""


@dataclass(slots=True)
class Effort:
    """How many ways were looked at, so that a search ends the same way on every computer."""

    most: int
    spent: int = 0

    def spend(self, ways: int) -> None:
        """Count some ways. TooMuch where that is more than may be looked at."""
        self.spent += ways
        if self.spent > self.most:
            raise TooMuch


class Packs(NamedTuple):
    """An offer: packs of `amount` of a material from a supplier, both numbered from 0.

    `tiers` are (from how many packs on, price of each), the first from 1 on, later ones cheaper.
    """

    material: int
    supplier: int
    amount: int
    tiers: tuple[tuple[int, int], ...]

    @property
    def lowest(self) -> int:
        """The price of a pack where many are taken."""
        return self.tiers[-1][1]

    def cost(self, packs: int) -> int:
        """What so many packs cost: all of them at the price of the highest break that is reached."""
        price = 0
        for least, each in self.tiers:
            if packs < least:
                break
            price = each
        return packs * price


class Points(NamedTuple):
    """Amounts worth having, growing, with the least that each costs, growing too, and the packs that make it."""

    amounts: list[int]
    costs: list[int]
    taken: list[Taken]

    def place(self, amount: int) -> int | None:
        """Where the cheapest way to at least so much stands; None where there is none."""
        found = bisect_left(self.amounts, amount)
        return found if found < len(self.amounts) else None

    def least(self, amount: int) -> int | None:
        """The least that at least so much costs."""
        found = bisect_left(self.amounts, amount)
        return self.costs[found] if found < len(self.costs) else None


class Option(NamedTuple):
    """So many packs of one offer: what they give, up to what is needed, and cost."""

    amount: int
    cost: int
    packs: int


def points(offers: Mapping[int, Packs], need: int, caps: Mapping[int, int], effort: Effort, *, whole: bool) -> Points:
    """The points up to `need` of one material from some offers, by their numbers; fewer where they can't cover it.

    `caps` are the most packs that may be taken of an offer. Without `whole` only points that can lead to the cheapest
    cover of all of `need` are kept: what is left must cost at least the best price per amount that is still to come.
    """
    ratios = {number: Fraction(one.lowest, one.amount) for number, one in offers.items()}
    order = sorted(offers, key=lambda one: (one in caps, ratios[one], one))
    limit = None if whole else _alone((offers[one] for one in order if one not in caps), need)
    to_come = _least_after([ratios[one] for one in order]) if limit is not None else [None] * len(order)
    made = free = Points([0], [0], [None])
    for one, rest in zip(order, to_come, strict=True):
        found = _options(offers[one], need, caps.get(one), free, effort)
        made = _joined(made, found, one, _Hope(need, limit, rest), effort)
        free = free if one in caps else made
    return made


def _least_after(ratios: Sequence[Fraction]) -> list[Fraction | None]:
    """For each the least of those that come after it; None for the last."""
    found: list[Fraction | None] = []
    least: Fraction | None = None
    for one in reversed(ratios):
        found.append(least)
        least = one if least is None or one < least else least
    return found[::-1]


def _alone(offers: Iterable[Packs], need: int) -> int | None:
    """The least that one offer alone costs: what the cheapest cover costs at most."""
    costs = []
    for offer in offers:
        packs = -(-need // offer.amount)
        costs += [offer.cost(packs), *(offer.cost(least) for least, _ in offer.tiers if least > packs)]
    return min(costs, default=None)


def _options(offer: Packs, need: int, cap: int | None, free: Points, effort: Effort) -> list[Option]:
    """The numbers of packs worth taking: none that more packs, or the offers without a cap before it, do for less."""
    enough = -(-need // offer.amount)
    most = enough if cap is None else min(cap, enough)
    limit = free.costs[-1] if free.amounts[-1] >= need else None
    numbers: list[int] = []
    for place, (least, price) in enumerate(offer.tiers):
        end = offer.tiers[place + 1][0] - 1 if place + 1 < len(offer.tiers) else most
        end = min(end, most if limit is None else min(most, limit // price))
        effort.spend(max(0, end - least + 1))
        numbers += range(least, end + 1)
        if most < least and (cap is None or cap >= least):
            numbers.append(least)
    found: list[Option] = []
    lowest = limit
    for packs in reversed(numbers):
        amount, cost = min(packs * offer.amount, need), offer.cost(packs)
        if lowest is not None and cost >= lowest:
            continue
        lowest = cost
        other = free.least(amount)
        if other is None or other > cost:
            found.append(Option(amount, cost, packs))
    return found


class _Hope(NamedTuple):
    """The need, what its cheapest cover costs at most, and the best price per amount of what is still to come."""

    need: int
    limit: int | None
    to_come: Fraction | None

    def most(self, amount: int) -> int | None:
        """The most that `amount` may cost to be still worth having; None for any cost."""
        if self.limit is None:
            return None
        left = self.need - amount
        if self.to_come is None:
            return self.limit if left <= 0 else -1
        return self.limit if left <= 0 else self.limit - _ceiling(self.to_come * left)


def _ceiling(value: Fraction) -> int:
    return -(-value.numerator // value.denominator)


def _joined(made: Points, options: Sequence[Option], offer: int, hope: _Hope, effort: Effort) -> Points:
    """The points with some packs of one more offer, or none of it."""
    ways = [(-amount, cost, place, 0) for place, (amount, cost, _) in enumerate(zip(*made, strict=True))]
    covered = made.costs[-1] if made.amounts[-1] >= hope.need else None
    for option in options:
        most = None if covered is None else covered - option.cost
        for place, before in enumerate(made.amounts):
            if most is not None and made.costs[place] >= most:
                break
            ways.append((-min(before + option.amount, hope.need), made.costs[place] + option.cost, place, option.packs))
    effort.spend(len(ways))
    ways.sort()
    kept: list[tuple[int, int, int, int]] = []
    lowest = None
    for way in ways:
        if lowest is not None and way[1] >= lowest:
            continue
        lowest = way[1]
        allowed = hope.most(-way[0])
        if allowed is None or way[1] <= allowed:
            kept.append(way)
    kept.reverse()
    taken = [(made.taken[place], offer, packs) if packs else made.taken[place] for _, _, place, packs in kept]
    return Points([-amount for amount, _, _, _ in kept], [cost for _, cost, _, _ in kept], taken)


def counted(*several: Taken) -> dict[int, int]:
    """How many packs of each offer, all together."""
    found: dict[int, int] = {}
    for one in several:
        taken = one
        while taken is not None:
            taken, offer, packs = taken
            found[offer] = found.get(offer, 0) + packs
    return found
