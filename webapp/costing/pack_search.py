"""The cheapest whole packs for all materials, freight and thresholds of every supplier counted: exactly, best first.

Why the answer is the cheapest. A *branch* is a set of plans: those that leave some suppliers out, pay the freight of
some, reach the free freight of some, and take at most so many packs of some offers. Its bound is the least that goods
may cost there, each material by itself, with the freight that is decided and none of the suppliers that nothing was
decided about; no plan of it costs less. Branches are looked at by their bounds, the lowest first. Where the cheapest
packs of a branch are no plan yet (a supplier is used whose freight is due and not counted, or whose smallest order is
not reached), the branch is parted into "without that supplier", "with its freight" and "with its free freight
reached", which together hold all its plans. So the first plan that turns up complete costs no more than any other.
Where a supplier has to be paid at least so much, pack_thresholds finds the cheapest packs within a limit; where there
are none, the limit is a higher bound, and the next limit lies above it.

The next best plan is the cheapest that does not hold a plan before it (the same packs and more of them). It takes
fewer packs of at least one offer of that plan; so a branch is parted by each of those offers, capped at one pack
fewer.
"""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from webapp.costing.pack_covers import Effort, Packs, Points, TooMuch, counted, points
from webapp.costing.pack_thresholds import WHOLE, Asked, Bought, bound, cheapest

NO_WEIGHTS: Mapping[int, int] = {}
#: a first limit lies above the bound by this part of what is missing to the thresholds, or of what they cost at least
PARTS, PARTS_ABOVE = 64, 8


class Terms(NamedTuple):
    """A supplier's freight for an order, and the least that the goods of an order must come to.

    `free_from` is what they must come to for no freight to be due; None: never.
    """

    freight: int
    free_from: int | None
    least: int

    def due(self, goods: int) -> int:
        """The freight of an order of so much."""
        free = not goods or (self.free_from is not None and goods >= self.free_from)
        return 0 if free else self.freight


@dataclass(frozen=True, slots=True)
class Task:
    """What is needed of each material, the offers, and each supplier's terms; all in whole numbers."""

    needs: tuple[int, ...]
    offers: tuple[Packs, ...]
    terms: tuple[Terms, ...]


class Found(NamedTuple):
    """A plan: what it costs with all freight, and the packs of each offer that it takes."""

    cost: int
    counts: dict[int, int]


class Ranked(NamedTuple):
    """The cheapest plans, cheapest first. `complete`: no plan among those wanted is left out for lack of effort."""

    plans: tuple[Found, ...]
    complete: bool


@dataclass(frozen=True, slots=True)
class _Branch:
    """Suppliers left out, with freight counted, with free freight reached; those whose least goods are held; caps."""

    out: frozenset[int] = frozenset()
    paid: frozenset[int] = frozenset()
    free: frozenset[int] = frozenset()
    held: frozenset[int] = frozenset()
    caps: tuple[tuple[int, int], ...] = ()


@dataclass(order=True, slots=True)
class _Waiting:
    """A branch with its bound, and its cheapest packs once they are worked out.

    `window` is how far above its bound they are looked for.
    """

    bound: int
    number: int
    branch: _Branch = field(compare=False)
    window: int = field(compare=False)
    counts: dict[int, int] | None = field(compare=False)


def ranked(task: Task, most: int, effort: Effort, more: int) -> Ranked | None:
    """The `most` cheapest plans; None where no plan covers the needs.

    At most `more` effort is spent on those after the first. TooMuch where the effort is spent before that is sure.
    """
    search = _Search(task, most, effort, more)
    try:
        search.run()
    except TooMuch:
        if not search.found:
            raise
        return Ranked(tuple(search.found), False)
    return Ranked(tuple(search.found), True) if search.found else None


class _Search:
    """The branches that wait, and the plans found so far."""

    def __init__(self, task: Task, most: int, effort: Effort, more: int) -> None:
        self.task, self.most, self.effort, self.more = task, most, effort, more
        self.found: list[Found] = []
        self._waiting: list[_Waiting] = []
        self._seen: set[_Branch] = set()
        self._number = 0
        self._points: dict[object, Points] = {}
        self._weights: dict[int, int] = {}
        self._of: list[dict[int, Packs]] = [{} for _ in task.needs]
        for number, offer in enumerate(task.offers):
            self._of[offer.material][number] = offer

    def run(self) -> None:
        """Look at branches until enough plans are found or none is left."""
        self._push(_Branch(), 0)
        while self._waiting and len(self.found) < self.most:
            one = heapq.heappop(self._waiting)
            if one.counts is None:
                self._work_out(one)
            else:
                self._settle(one.branch, one.bound, one.counts)

    def _push(self, branch: _Branch, bound: int) -> None:
        if branch not in self._seen:
            self._seen.add(branch)
            self._wait(bound, branch)

    def _wait(self, bound: int, branch: _Branch, window: int = 0, counts: dict[int, int] | None = None) -> None:
        self._number += 1
        heapq.heappush(self._waiting, _Waiting(bound, self._number, branch, window, counts))

    # --- the cheapest packs of a branch

    def _work_out(self, one: _Waiting) -> None:
        branch, caps = one.branch, dict(one.branch.caps)
        known = [
            self._points_of(place, branch.out, caps, whole=bool(branch.held)) for place in range(len(self.task.needs))
        ]
        if any(each.amounts[-1] < need for each, need in zip(known, self.task.needs, strict=True)):
            return
        freight = sum(self.task.terms[supplier].freight for supplier in branch.paid)
        counts = counted(*(each.taken[-1] for each in known))
        if branch.held:
            self._hold(one, known, counts, freight)
        else:
            self._wait(sum(each.costs[-1] for each in known) + freight, branch, counts=counts)

    def _hold(self, one: _Waiting, known: Sequence[Points], counts: Mapping[int, int], freight: int) -> None:
        """The cheapest packs where some suppliers are paid enough, or a higher bound where the limit was too low."""
        branch, caps = one.branch, dict(one.branch.caps)
        least = {supplier: self._least(branch, supplier) for supplier in sorted(branch.held)}
        if not all(self._reachable(supplier, wanted, caps) for supplier, wanted in least.items()):
            return
        weights = {supplier: self._weights.get(supplier, 0) for supplier in least}
        bought = [self._bought(material, each, branch, weights) for material, each in enumerate(known)]
        asked = Asked(tuple(least.values()), caps, tuple(weights.values()), self.effort)
        lowest = bound(bought, asked)
        if lowest + freight > one.bound:
            self._wait(lowest + freight, branch, one.window)
            return
        window = one.window or self._first_window(known, counts, least, lowest)
        limit = one.bound - freight + window
        answer = cheapest(bought, limit, asked)
        good = zip(least, answer.weights, strict=True)
        self._weights |= {supplier: weight for supplier, weight in good if 0 < weight < WHOLE}
        if answer.counts is not None:
            self._wait(answer.cost + freight, branch, counts=answer.counts)
        elif limit < self._ceiling(branch, caps):
            self._wait(limit + 1 + freight, branch, window * 2)

    def _first_window(
        self, known: Sequence[Points], counts: Mapping[int, int], least: Mapping[int, int], lowest: int
    ) -> int:
        """A part of how far the weighed bound lies above the plain one; without that, of what is missing."""
        above = lowest - sum(each.costs[-1] for each in known)
        if above:
            return max(1, above // PARTS_ABOVE)
        paid = self._paid(counts)
        return max(1, sum(max(0, wanted - paid[supplier]) for supplier, wanted in least.items()) // PARTS)

    def _points_of(
        self,
        material: int,
        out: frozenset[int],
        caps: Mapping[int, int],
        *,
        whole: bool,
        weights: Mapping[int, int] = NO_WEIGHTS,
    ) -> Points:
        """The points of the suppliers that are not left out, at weighed prices where there are weights."""
        own = {number: offer for number, offer in self._of[material].items() if offer.supplier not in out}
        capped = {number: cap for number, cap in caps.items() if number in own}
        key = (material, tuple(own), tuple(sorted(capped.items())), whole, tuple(weights.items()))
        if key not in self._points:
            if weights:
                own = {number: _weighed(offer, WHOLE - weights.get(offer.supplier, 0)) for number, offer in own.items()}
            self._points[key] = points(own, self.task.needs[material], capped, self.effort, whole=whole)
        return self._points[key]

    def _bought(self, material: int, together: Points, branch: _Branch, weights: Mapping[int, int]) -> Bought:
        caps, order = dict(branch.caps), list(weights)
        held = tuple(
            (order.index(offer.supplier), number, offer)
            for number, offer in self._of[material].items()
            if offer.supplier in branch.held
        )
        need = self.task.needs[material]
        if not held:
            return Bought(need, held, together, together)
        others = self._points_of(material, branch.out | branch.held, caps, whole=True)
        own = {one: weight for one, weight in weights.items() if weight}
        weighed = self._points_of(material, branch.out, caps, whole=True, weights=own) if own else None
        return Bought(need, held, together, others, weighed)

    def _reachable(self, supplier: int, least: int, caps: Mapping[int, int]) -> bool:
        """Whether a supplier can be paid enough at all: one offer without a cap is enough for that."""
        own = [number for number, offer in enumerate(self.task.offers) if offer.supplier == supplier]
        if any(number not in caps for number in own):
            return True
        most = sum(max(self.task.offers[one].cost(packs) for packs in self._turns(one, caps[one])) for one in own)
        return most >= least

    def _turns(self, number: int, cap: int) -> list[int]:
        """The numbers of packs up to a cap where an offer costs most: the cap, and the last before each break."""
        return [cap, *(least - 1 for least, _ in self.task.offers[number].tiers if 1 < least <= cap)]

    def _ceiling(self, branch: _Branch, caps: Mapping[int, int]) -> int:
        """What the cheapest packs of a branch cost at most, if it has any.

        Enough of every offer for all of its need, all that caps leave, and what each held supplier has to be paid.
        """
        most = sum(self._least(branch, supplier) for supplier in branch.held)
        for number, offer in enumerate(self.task.offers):
            packs = max(
                -(-self.task.needs[offer.material] // offer.amount), offer.tiers[-1][0] + 1, caps.get(number, 0)
            )
            most += packs * offer.tiers[0][1]
        return most

    # --- what becomes of it

    def _settle(self, branch: _Branch, cost: int, counts: dict[int, int]) -> None:
        """Take the plan, and look for others that don't hold it; or go on where it is no plan of the branch yet.

        A supplier that is paid too little is held; one that nothing was decided about parts the branch.
        """
        paid = self._paid(counts)
        for supplier in sorted((branch.paid | branch.free) - branch.held):
            if paid[supplier] < self._least(branch, supplier):
                self._push(replace(branch, held=branch.held | {supplier}), cost)
                return
        undecided = self._undecided(branch, paid)
        if undecided is not None:
            self._part(branch, cost, undecided)
            return
        inside = next((one.counts for one in self.found if _holds(counts, one.counts)), None)
        if inside is None:
            inside = self._without_more(cost, counts)
            self.found.append(Found(cost, inside))
            if len(self.found) == 1:
                self.effort.most = min(self.effort.most, self.effort.spent + self.more)
        for offer, packs in inside.items():
            caps = dict(branch.caps)
            caps[offer] = min(packs - 1, caps.get(offer, packs))
            self._push(replace(branch, caps=tuple(sorted(caps.items()))), cost)

    def _without_more(self, cost: int, counts: Mapping[int, int]) -> dict[int, int]:
        """The same without packs that cost nothing more: of equal plans the smaller one."""
        kept = dict(counts)
        for offer in counts:
            for packs in range(kept[offer]):
                fewer = {one: n for one, n in {**kept, offer: packs}.items() if n}
                self.effort.spend(1)
                if self._cost(fewer) == cost:
                    kept = fewer
                    break
        return kept

    def _cost(self, counts: Mapping[int, int]) -> int | None:
        """What packs cost with their freight; None where they are no plan."""
        amounts = [0] * len(self.task.needs)
        for number, packs in counts.items():
            amounts[self.task.offers[number].material] += packs * self.task.offers[number].amount
        orders = list(zip(self._paid(counts), self.task.terms, strict=True))
        if any(amount < need for amount, need in zip(amounts, self.task.needs, strict=True)):
            return None
        if any(0 < paid < terms.least for paid, terms in orders):
            return None
        return sum(paid + terms.due(paid) for paid, terms in orders)

    def _undecided(self, branch: _Branch, paid: Sequence[int]) -> int | None:
        """The supplier whose freight is due and not counted, the most first, or whose least order is not reached."""
        decided = branch.out | branch.paid | branch.free
        short = [
            (-terms.due(paid[supplier]), supplier)
            for supplier, terms in enumerate(self.task.terms)
            if supplier not in decided
            and paid[supplier]
            and (terms.due(paid[supplier]) or paid[supplier] < terms.least)
        ]
        return min(short)[1] if short else None

    def _part(self, branch: _Branch, cost: int, supplier: int) -> None:
        terms = self.task.terms[supplier]
        self._push(replace(branch, out=branch.out | {supplier}), cost)
        if terms.free_from is None or terms.least < terms.free_from:
            self._push(replace(branch, paid=branch.paid | {supplier}), cost + terms.freight)
        if terms.free_from is not None:
            self._push(replace(branch, free=branch.free | {supplier}), cost)

    def _least(self, branch: _Branch, supplier: int) -> int:
        """What has to be paid to a supplier in this branch."""
        terms = self.task.terms[supplier]
        return max(terms.free_from or 0, terms.least) if supplier in branch.free else terms.least

    def _paid(self, counts: Mapping[int, int]) -> list[int]:
        """What each supplier's goods come to."""
        paid = [0] * len(self.task.terms)
        for number, packs in counts.items():
            offer = self.task.offers[number]
            paid[offer.supplier] += offer.cost(packs)
        return paid


def _holds(counts: Mapping[int, int], others: Mapping[int, int]) -> bool:
    """Whether all these packs are among those."""
    return all(counts.get(offer, 0) >= packs for offer, packs in others.items())


def _weighed(offer: Packs, part: int) -> Packs:
    """An offer at so many parts of its price."""
    return offer._replace(tiers=tuple((least, price * part) for least, price in offer.tiers))
