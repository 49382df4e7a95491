"""Which packs to buy (method.md section 10): the cheapest whole packs over suppliers, breaks and freight, exactly.

Nothing is rounded: a plan is no invoice. Why the plans are the cheapest is said in pack_search.

What is used before it spoils is the use of a month x the months it keeps, or what planned batches take at once, if that
is more; the rest is waste, and the price per used gram bears it. Packaging does not spoil.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from webapp.costing.amounts import ZERO, share_out
from webapp.costing.book import Id
from webapp.costing.gaps import Figure, Gap
from webapp.costing.pack_covers import Effort, Packs, TooMuch
from webapp.costing.pack_facts import Bought, Freight, Line, Need, Offer, Plan, Plans, SupplierOrder
from webapp.costing.pack_search import Found, Task, Terms, ranked

MOST_MATERIALS = 30
MOST_SUPPLIERS = 8
MOST_OFFERS = 400
MOST_BREAKS = 6
MOST_PLANS = 5
#: ways looked at before a task is refused as too big, and further ones spent on the plans after the cheapest
MOST_EFFORT, MORE_EFFORT = 1_000_000, 150_000

NOT_USED = Gap("Nothing of it is used at present. Type its use in a month, or how many jars are sold.")
TOO_MUCH = Gap(
    "There are too many ways to buy all of this to be sure of the cheapest. Ask for fewer materials at once, or leave "
    "out the smallest packs."
)
NO_COVER = Gap("These offers can't cover what is needed. Add one.")


def plans(
    needs: Sequence[Need], offers: Sequence[Offer], freights: Iterable[Freight], names: Mapping[Id, str], most: int = 3
) -> Plans | Gap:
    """The `most` cheapest plans, the cheapest first; a gap that says why there is none. `names` are the materials'.

    A next best plan is never one before it with packs added. Nothing depends on the order of what is given. ValueError
    for an amount or price that is not above zero, two needs of one material, or price breaks that don't rise in packs
    and fall in price.
    """
    _check(needs, offers)
    wanted = {one.material: names.get(one.material, "") for one in needs}
    order = sorted((at for at, one in enumerate(offers) if one.material in wanted), key=lambda at: _key(offers[at]))
    used = tuple(offers[at] for at in order)
    refused = _refused(wanted, used)
    if refused is not None:
        return refused
    suppliers = tuple(sorted({one.supplier for one in used}))
    asked = _Asked(tuple(sorted(needs, key=lambda one: one.material)), used, suppliers, _terms(suppliers, freights))
    try:
        found = ranked(_task(asked), most, Effort(MOST_EFFORT), MORE_EFFORT)
    except TooMuch:
        return TOO_MUCH
    return Plans(tuple(_plan(asked, one, order) for one in found.plans), found.complete) if found else NO_COVER


class _Asked(NamedTuple):
    """What is asked, in an order that does not depend on how it was given."""

    needs: tuple[Need, ...]
    offers: tuple[Offer, ...]
    suppliers: tuple[Id, ...]
    terms: tuple[Freight, ...]


def _key(offer: Offer) -> tuple[object, ...]:
    breaks = tuple((one.packs, one.price) for one in offer.breaks)
    return offer.material, offer.supplier, offer.quantity, offer.price, breaks


def _terms(suppliers: Sequence[Id], freights: Iterable[Freight]) -> tuple[Freight, ...]:
    known = {one.supplier: one for one in freights}
    return tuple(known.get(one, Freight(one)) for one in suppliers)


# --- what is refused


def _check(needs: Sequence[Need], offers: Sequence[Offer]) -> None:
    if len({one.material for one in needs}) < len(needs):
        raise ValueError("A material is needed twice.")
    if any(one.amount <= 0 for one in needs):
        raise ValueError("A need is not above zero.")
    if any(one.quantity <= 0 or one.price <= 0 or not falling(one) for one in offers):
        raise ValueError("An offer has no quantity or no price, or its breaks don't fall in price.")


def falling(offer: Offer) -> bool:
    """Whether each price break is for more packs at a lower price, above zero, than what stands before it."""
    steps = [(Decimal(1), offer.price), *((one.packs, one.price) for one in offer.breaks)]
    return all(packs > fewer and 0 < price < dearer for (fewer, dearer), (packs, price) in pairwise(steps))


def _refused(wanted: Mapping[Id, str], offers: Sequence[Offer]) -> Gap | None:
    if not wanted:
        return Gap("Nothing is needed yet. Say how much of what.")
    offered = {one.material for one in offers}
    without = [name for material, name in sorted(wanted.items()) if material not in offered]
    if without:
        return Gap(f"Nobody offers {', '.join(without)}. Add an offer: the pack, its price and who sells it.")
    limits = (
        (len(wanted), MOST_MATERIALS, "materials"),
        (len({one.supplier for one in offers}), MOST_SUPPLIERS, "suppliers"),
        (len(offers), MOST_OFFERS, "offers"),
    )
    for count, most, what in limits:
        if count > most:
            return Gap(f"{count} {what} are too many to be sure of the cheapest: at most {most}. Leave some out.")
    return None


# --- in whole numbers


def _task(asked: _Asked) -> Task:
    """The same in whole numbers: each material in its own step, money in the step of all prices and freights."""
    place = {one.material: at for at, one in enumerate(asked.needs)}
    seller = {one: at for at, one in enumerate(asked.suppliers)}
    steps = [_step(one.quantity for one in asked.offers if one.material == need.material) for need in asked.needs]
    prices = [price for one in asked.offers for price in (one.price, *(each.price for each in one.breaks))]
    money = _step([*prices, *(one.amount for one in asked.terms if one.amount)])
    offers = tuple(
        Packs(
            place[one.material],
            seller[one.supplier],
            int(one.quantity / steps[place[one.material]]),
            ((1, int(one.price / money)), *((int(each.packs), int(each.price / money)) for each in one.breaks)),
        )
        for one in asked.offers
    )
    needs = tuple(_up(need.amount, step) for need, step in zip(asked.needs, steps, strict=True))
    return Task(needs, offers, tuple(_in_steps(one, money) for one in asked.terms))


def _in_steps(terms: Freight, money: Decimal) -> Terms:
    free = None if terms.free_from is None else _up(terms.free_from, money)
    return Terms(int(terms.amount / money), free, _up(terms.least or ZERO, money))


def _step(amounts: Iterable[Decimal]) -> Decimal:
    """The largest amount that all of these are whole multiples of."""
    listed = list(amounts)
    finest = min(int(one.as_tuple().exponent) for one in listed)
    return Decimal(math.gcd(*(int(one.scaleb(-finest)) for one in listed))).scaleb(finest)


def _up(amount: Decimal, step: Decimal) -> int:
    """How many steps reach it."""
    whole, rest = divmod(amount, step)
    return int(whole) + (1 if rest else 0)


# --- a plan in words of the book


def _plan(asked: _Asked, found: Found, order: Sequence[int]) -> Plan:
    lines = tuple(_line(asked.offers[at], packs, order[at]) for at, packs in sorted(found.counts.items()))
    of = dict(zip(lines, (asked.offers[at] for at in sorted(found.counts)), strict=True))
    orders = tuple(
        _order(terms, sum((one.cost for one in lines if of[one].supplier == terms.supplier), ZERO))
        for terms in asked.terms
        if any(of[one].supplier == terms.supplier for one in lines)
    )
    shares = _shares(lines, of, orders)
    bought = tuple(
        _bought(need, [one for one in lines if of[one].material == need.material], of, shares) for need in asked.needs
    )
    return Plan(
        lines, orders, bought, sum((one.goods for one in orders), ZERO), sum((one.freight for one in orders), ZERO)
    )


def _line(offer: Offer, packs: int, place: int) -> Line:
    price = offer.each(packs)
    return Line(place, packs, price, packs * price)


def _order(terms: Freight, goods: Decimal) -> SupplierOrder:
    free = terms.free_from is not None and goods >= terms.free_from
    return SupplierOrder(terms.supplier, goods, ZERO if free else terms.amount, terms.amount if free else ZERO)


def _shares(lines: Sequence[Line], of: Mapping[Line, Offer], orders: Sequence[SupplierOrder]) -> dict[Line, Decimal]:
    """Freight over an order's lines by value, in hundredths or as fine as it was typed, adding up exactly."""
    shares: dict[Line, Decimal] = {}
    for order in orders:
        own = [one for one in lines if of[one].supplier == order.supplier]
        places = max(2, -int(order.freight.as_tuple().exponent))
        shares |= dict(zip(own, share_out(order.freight, [one.cost for one in own], places), strict=True))
    return shares


def _bought(need: Need, lines: Sequence[Line], of: Mapping[Line, Offer], shares: Mapping[Line, Decimal]) -> Bought:
    amount = sum((one.packs * of[one].quantity for one in lines), ZERO)
    goods, freight = sum((one.cost for one in lines), ZERO), sum((shares[one] for one in lines), ZERO)
    left, used = amount - need.amount, _used(need, amount)
    spoils: Figure = used if isinstance(used, Gap) else amount - used
    return Bought(
        need, amount, goods, freight, left, _lasts(need, amount), _lasts(need, left), used, spoils,
        _per_used(goods + freight, used),
    )  # fmt: skip


def _lasts(need: Need, amount: Decimal) -> Figure:
    """Months until so much is used."""
    if isinstance(need.a_month, Gap):
        return need.a_month
    return amount / need.a_month if need.a_month > 0 else NOT_USED


def _used(need: Need, amount: Decimal) -> Figure:
    """What is used before it spoils."""
    if need.months is None or amount <= need.at_once:
        return amount
    if isinstance(need.a_month, Gap):
        return need.a_month
    if isinstance(need.months, Gap):
        return need.months
    return min(amount, max(need.at_once, need.a_month * need.months))


def _per_used(cost: Decimal, used: Figure) -> Figure:
    if isinstance(used, Gap):
        return used
    return cost / used if used else NOT_USED
