"""The cheapest packs for all materials together where some suppliers have to be paid at least so much.

Whole numbers, as in pack_covers. Within a limit on what all goods may cost, every way that could be part of an answer
is kept; what can't be is told by a bound. For weights w between 0 and 1, all that is paid less w times what the held
suppliers are paid, summed over the materials at their least, plus w times what they have to be paid, is never more than
what an answer costs (Lagrange). So a limit that is below the cheapest answer finds none, and one above it finds it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple, TypeAlias

from webapp.costing.pack_covers import Effort, Packs, Points, Taken, counted

#: what each of the held suppliers is paid
Paid: TypeAlias = tuple[int, ...]
#: weights are whole 4096ths
WHOLE = 4096
SWEEPS = 2


class Way(NamedTuple):
    """One material covered: what it costs altogether, the packs of held suppliers and those of the others."""

    cost: int
    held: Taken
    others: Taken


class Bought(NamedTuple):
    """One material to be bought: its need, and the held suppliers' offers, by which of them, from 0.

    `together` are the points of all allowed offers, `others` those of the suppliers that are not held; `weighed` are
    those of all at weighed prices (4096ths), where a weight is known beforehand.
    """

    need: int
    held: Sequence[tuple[int, int, Packs]]
    together: Points
    others: Points
    weighed: Points | None = None

    @property
    def least_weighed(self) -> int:
        """The least that it costs at weighed prices."""
        return self.together.costs[-1] * WHOLE if self.weighed is None else self.weighed.costs[-1]


class Asked(NamedTuple):
    """What each held supplier has to be paid at least, and the most packs of an offer.

    `weights` are any from 0 to 4095, one for each held supplier: good ones save effort and change no answer.
    """

    least: Paid
    caps: Mapping[int, int]
    weights: Paid
    effort: Effort


class Answer(NamedTuple):
    """The cheapest packs: what they cost, and how many of each offer; no `counts` where none are within the limit.

    `weights` are good ones for the same suppliers another time.
    """

    cost: int
    counts: dict[int, int] | None
    weights: Paid


class _Room(NamedTuple):
    """What a way of one material may cost at most, as it is and at weighed prices."""

    plain: int
    weighed: int


def bound(materials: Sequence[Bought], asked: Asked) -> int:
    """What all goods cost at least, as they are and by the weights."""
    weighed = _due(asked.weights, asked.least) + sum(one.least_weighed for one in materials)
    return max(sum(one.together.costs[-1] for one in materials), -(-weighed // WHOLE))


def cheapest(materials: Sequence[Bought], limit: int, asked: Asked) -> Answer:
    """The cheapest packs that cost no more than the limit."""
    none = Answer(limit, None, asked.weights)
    slack = limit - sum(one.together.costs[-1] for one in materials)
    over = limit * WHOLE - _due(asked.weights, asked.least) - sum(one.least_weighed for one in materials)
    if slack < 0 or over < 0:
        return none
    ways = [_ways(one, _Room(one.together.costs[-1] + slack, one.least_weighed + over), asked) for one in materials]
    if not all(ways):
        return none
    weights = _weights(ways, asked.least)
    none = none._replace(weights=weights)
    leasts = [_least(one, weights) for one in ways]
    over = limit * WHOLE - _due(weights, asked.least) - sum(leasts)
    if over < 0:
        return none
    for one, least in zip(ways, leasts, strict=True):
        for paid in [paid for paid, way in one.items() if _weighed(paid, way.cost, weights) - least > over]:
            del one[paid]
    return _together(sorted(ways, key=len), weights, limit, asked) or none


# --- one material


def _ways(one: Bought, room: _Room, asked: Asked) -> dict[Paid, Way]:
    """For every sum that can be paid to the held suppliers, none counted above what it has to be, the cheapest way."""
    nothing: Paid = (0,) * len(asked.least)
    held: dict[Paid, tuple[int, Taken]] = {nothing: (0, None)}
    for place, number, offer in one.held:
        held = _with_offer(held, one, (place, number, offer), room, asked)
    found: dict[Paid, Way] = {}
    for paid, (amount, taken) in held.items():
        rest = _rest(one.others, one.need - amount)
        if rest is None or sum(paid) + rest[0] > room.plain:
            continue
        counts = tuple(map(min, paid, asked.least))
        cost = sum(paid) + rest[0]
        if counts not in found or cost < found[counts].cost:
            found[counts] = Way(cost, taken, rest[1])
    return found


def _rest(others: Points, amount: int) -> tuple[int, Taken] | None:
    """What the suppliers that are not held take for the rest; None where they can't give it."""
    place = others.place(max(0, amount))
    return None if place is None else (others.costs[place], others.taken[place])


def _with_offer(
    held: Mapping[Paid, tuple[int, Taken]],
    one: Bought,
    offer: tuple[int, int, Packs],
    room: _Room,
    asked: Asked,
) -> dict[Paid, tuple[int, Taken]]:
    """The same with any number of packs of one more offer: of equal sums the one that gives more."""
    place, number, packs = offer
    cap, part = asked.caps.get(number), WHOLE - asked.weights[place]
    found: dict[Paid, tuple[int, Taken]] = dict(held)
    for paid, (amount, taken) in held.items():
        spent, weighed = sum(paid), _weighed(paid, sum(paid), asked.weights)
        top = min((room.plain - spent) // packs.lowest, (room.weighed - weighed) // (packs.lowest * part))
        top = top if cap is None else min(cap, top)
        asked.effort.spend(max(0, top) + 1)
        for count in range(1, top + 1):
            cost, gives = packs.cost(count), amount + count * packs.amount
            if not _fits(one, one.need - gives, room, spent + cost, weighed + cost * part):
                continue
            now = (*paid[:place], paid[place] + cost, *paid[place + 1 :])
            if now not in found or gives > found[now][0]:
                found[now] = (gives, (taken, number, count))
    return found


def _fits(one: Bought, missing: int, room: _Room, plain: int, weighed: int) -> bool:
    """Whether there is room for the least that the missing amount still costs."""
    if missing <= 0:
        return plain <= room.plain and weighed <= room.weighed
    rest = one.together.least(missing) or 0
    if plain + rest > room.plain:
        return False
    rest = rest * WHOLE if one.weighed is None else one.weighed.least(missing) or 0
    return weighed + rest <= room.weighed


# --- the bound


def _weighed(paid: Paid, cost: int, weights: Paid) -> int:
    """What a way costs in 4096ths, less the weighed part of what the held suppliers get."""
    cost *= WHOLE
    for one, weight in zip(paid, weights, strict=True):
        cost -= weight * one
    return cost


def _least(ways: Mapping[Paid, Way], weights: Paid) -> int:
    return min(_weighed(paid, way.cost, weights) for paid, way in ways.items())


def _due(weights: Paid, least: Paid) -> int:
    return sum(weight * one for weight, one in zip(weights, least, strict=True))


def _weights(ways: Sequence[Mapping[Paid, Way]], least: Paid) -> Paid:
    """Weights that make the bound high: the slope of it is what is still missing at the least ways."""
    weights = [0] * len(least)
    for _ in range(SWEEPS if len(least) > 1 else 1):
        for place, wanted in enumerate(least):
            low, high = 0, WHOLE
            while high - low > 1:
                weights[place] = (low + high) // 2
                if wanted > sum(_paid_at(one, tuple(weights), place) for one in ways):
                    low = weights[place]
                else:
                    high = weights[place]
            tried = [
                (sum(_least(one, _put(weights, place, end)) for one in ways) + end * wanted, end) for end in (low, high)
            ]
            weights[place] = max(tried)[1]
    return tuple(weights)


def _put(weights: Sequence[int], place: int, weight: int) -> Paid:
    return (*weights[:place], weight, *weights[place + 1 :])


def _paid_at(ways: Mapping[Paid, Way], weights: Paid, place: int) -> int:
    return min((_weighed(paid, way.cost, weights), paid[place]) for paid, way in ways.items())[1]


# --- all of them


def _together(ways: Sequence[Mapping[Paid, Way]], weights: Paid, limit: int, asked: Asked) -> Answer | None:
    """One way of each material: of equal sums paid the cheaper, and only what the bound leaves."""
    rest, bare = [0], [0]
    for one in reversed(ways):
        rest.append(rest[-1] + _least(one, weights))
        bare.append(bare[-1] + min(way.cost for way in one.values()))
    states: dict[Paid, tuple[int, Any]] = {(0,) * len(asked.least): (0, None)}
    for place, one in enumerate(ways):
        states = _undominated(_joined(states, one, _ToCome(rest[-2 - place], bare[-2 - place], limit), weights, asked))
    best = states.get(asked.least)
    return None if best is None else Answer(best[0], _counts(best[1]), weights)


class _ToCome(NamedTuple):
    """The least that is still to come, at weighed prices and as they are, and the limit of all."""

    weighed: int
    plain: int
    limit: int


def _joined(
    states: Mapping[Paid, tuple[int, Any]], ways: Mapping[Paid, Way], to_come: _ToCome, weights: Paid, asked: Asked
) -> dict[Paid, tuple[int, Any]]:
    """Every state with every way of one more material that the bound leaves, the ways by their weighed cost."""
    listed = sorted((_weighed(paid, way.cost, weights), paid) for paid, way in ways.items())
    room, plain = to_come.limit * WHOLE - to_come.weighed, to_come.limit - to_come.plain
    due = _due(weights, asked.least)
    found: dict[Paid, tuple[int, Any]] = {}
    for before, (cost, chosen) in states.items():
        left = room - due - _weighed(before, cost, weights)
        for looked, (weighed, paid) in enumerate(listed):  # noqa: B007 - how many were looked at is counted
            if weighed > left:
                break
            way = ways[paid]
            whole = cost + way.cost
            now = tuple(map(min, map(int.__add__, before, paid), asked.least))
            if whole > plain or (now in found and found[now][0] <= whole):
                continue
            if due + _weighed(now, whole, weights) <= room:
                found[now] = (whole, (chosen, way))
        asked.effort.spend(looked + 1)
    return found


def _undominated(states: dict[Paid, tuple[int, Any]]) -> dict[Paid, tuple[int, Any]]:
    """Without those that another beats: at least as much paid to each of the held suppliers, for no more in all.

    Where more than two suppliers are held, the third and those after it are told apart only where they are equal.
    """
    stairs: dict[Paid, tuple[list[int], list[int]]] = {}
    kept = {}
    for paid, state in sorted(states.items(), key=lambda one: (one[1][0], *(-each for each in one[0]))):
        first, second = stairs.setdefault(paid[2:], ([], []))
        height = paid[1] if len(paid) > 1 else 0
        place = bisect_left(first, paid[0])
        if place < len(first) and second[place] >= height:
            continue
        end, start = bisect_right(first, paid[0]), place
        while start and second[start - 1] <= height:
            start -= 1
        first[start:end], second[start:end] = [paid[0]], [height]
        kept[paid] = state
    return kept


def _counts(chosen: Any) -> dict[int, int]:
    parts: list[Taken] = []
    while chosen is not None:
        chosen, way = chosen
        parts += [way.held, way.others]
    return counted(*parts)
