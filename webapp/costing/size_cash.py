"""Cash in and out of another size, month by month: when what was paid at the start is back.

Money is in home currency, and own pay counts as paid. What a month gains is in worth; here parts cost when they are
bought, which is in whole orders, and not jar by jar.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import ROUND_CEILING, Decimal
from itertools import islice
from typing import NamedTuple

from webapp.costing.amounts import ZERO, snap
from webapp.costing.deal_facts import Cash, CashMonth, Deal

#: how many months are looked at: at least, at most, and beyond the pay-back
LEAST_MONTHS, MOST_MONTHS, MONTHS_AFTER = 12, 36, 3


class Stock(NamedTuple):
    """A part that is bought in orders: pieces in a jar and in an order, what an order costs, what a jar bears of it."""

    pieces_a_jar: Decimal
    order_pieces: Decimal
    order_cash: Decimal
    cost_a_jar: Decimal


class Flow(NamedTuple):
    """Cash that comes in (above zero) or goes out in a month; `part` is the place of the part that is bought."""

    what: str  # one_off | own | other | monthly | part
    amount: Decimal
    part: int = -1


def cash(deal: Deal, parts: Sequence[tuple[Decimal, Decimal, Decimal, Decimal]], months: int = MOST_MONTHS) -> Cash:
    """Cash in and out, month by month: the one-off and first orders at the start, a part again when it would run out.

    A month brings the deal's contribution without what it bears of these parts, since they are paid for already. It
    ends some months after the pay-back, or with the last of `months`.
    """
    found: list[CashMonth] = []
    so_far = ZERO
    paid_back: int | None = None
    for number, gone in enumerate(islice(flows(deal, parts), months + 1)):
        comes_in, goes_out = came_in(gone), came_in(Flow(one.what, -one.amount) for one in gone)
        so_far = so_far + comes_in - goes_out
        found.append(CashMonth(number, comes_in, goes_out, so_far))
        if number and paid_back is None and snap(so_far) >= ZERO:
            paid_back = number
        if paid_back is not None and number >= max(paid_back + MONTHS_AFTER, LEAST_MONTHS):
            break
    return Cash(tuple(found), paid_back, min(one.so_far for one in found))


def came_in(gone: Iterable[Flow]) -> Decimal:
    """What of flows is above zero."""
    return sum((one.amount for one in gone if one.amount > ZERO), ZERO)


def flows(deal: Deal, parts: Sequence[tuple[Decimal, Decimal, Decimal, Decimal]]) -> Iterator[tuple[Flow, ...]]:
    """What comes in and goes out before the first jar, then in the first month and every one after it."""
    held = [Stock(*one) for one in parts]
    yield (
        Flow("one_off", ZERO - deal.one_off),
        *(Flow("part", ZERO - one.order_cash, place) for place, one in enumerate(held)),
    )
    left = [one.order_pieces for one in held]
    while True:
        yield (*_month(deal, held), *(_bought(deal, one, left, place) for place, one in enumerate(held)))


def borne(parts: Sequence[tuple[Decimal, Decimal, Decimal, Decimal]]) -> Decimal:
    """What a jar's contribution bears of parts that are paid for when they are bought."""
    return sum((Stock(*one).cost_a_jar for one in parts), ZERO)


def _month(deal: Deal, held: Sequence[Stock]) -> tuple[Flow, ...]:
    """A month beside parts that are bought: own jars, the other jar, the month's cost."""
    return (
        Flow("own", deal.jars * (deal.own + borne(held))),
        Flow("other", deal.jars * deal.share * deal.times * deal.each),
        Flow("monthly", ZERO - deal.monthly),
    )


def _bought(deal: Deal, part: Stock, left: list[Decimal], place: int) -> Flow:
    """What is paid for a part in a month: whole orders, as many as the month's jars need beyond what is left."""
    need = snap(deal.jars * part.pieces_a_jar - left[place])
    orders = (need / part.order_pieces).to_integral_value(ROUND_CEILING) if need > ZERO else ZERO
    left[place] += orders * part.order_pieces - deal.jars * part.pieces_a_jar
    return Flow("part", ZERO - orders * part.order_cash, place)
