"""Cash in and out of another size, month by month: when what was paid at the start is back.

Money is in home currency, and own pay counts as paid. What a month gains is in worth; here parts cost when they are
bought, which is in whole orders, and not jar by jar.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from typing import NamedTuple

from webapp.costing.amounts import ZERO, snap
from webapp.costing.size_facts import Cash, CashMonth, Deal

#: how many months are looked at: at least, at most, and beyond the pay-back
LEAST_MONTHS, MOST_MONTHS, MONTHS_AFTER = 12, 36, 3


class Stock(NamedTuple):
    """A part that is bought in orders: pieces in a jar and in an order, what an order costs, what a jar bears of it."""

    pieces_a_jar: Decimal
    order_pieces: Decimal
    order_cash: Decimal
    cost_a_jar: Decimal


def cash(deal: Deal, parts: Sequence[tuple[Decimal, Decimal, Decimal, Decimal]], months: int = MOST_MONTHS) -> Cash:
    """Cash in and out, month by month: the one-off and first orders at the start, a part again when it would run out.

    A month brings the deal's contribution without what it bears of these parts, since they are paid for already. It
    ends some months after the pay-back, or with the last of `months`.
    """
    held = [Stock(*one) for one in parts]
    out = deal.one_off + sum((one.order_cash for one in held), ZERO)
    found = [CashMonth(0, ZERO, out, -out)]
    left = [one.order_pieces for one in held]
    paid_back: int | None = None
    for number in range(1, months + 1):
        amounts = [*_flows(deal, held), *(-_bought(deal, one, left, place) for place, one in enumerate(held))]
        gone_in = sum((one for one in amounts if one > ZERO), ZERO)
        gone_out = gone_in - sum(amounts, ZERO)
        found.append(CashMonth(number, gone_in, gone_out, found[-1].so_far + gone_in - gone_out))
        if paid_back is None and snap(found[-1].so_far) >= ZERO:
            paid_back = number
        if paid_back is not None and number >= max(paid_back + MONTHS_AFTER, LEAST_MONTHS):
            break
    return Cash(tuple(found), paid_back, min(one.so_far for one in found))


def _flows(deal: Deal, held: Sequence[Stock]) -> tuple[Decimal, ...]:
    """What comes in and goes out in a month beside parts that are bought: own jars, the other jar, the month's cost."""
    borne = sum((one.cost_a_jar for one in held), ZERO)
    return deal.jars * (deal.own + borne), deal.jars * deal.share * deal.times * deal.each, -deal.monthly


def _bought(deal: Deal, part: Stock, left: list[Decimal], place: int) -> Decimal:
    """What is paid for a part in a month: whole orders, as many as the month's jars need beyond what is left."""
    need = snap(deal.jars * part.pieces_a_jar - left[place])
    orders = (need / part.order_pieces).to_integral_value(ROUND_CEILING) if need > ZERO else ZERO
    left[place] += orders * part.order_pieces - deal.jars * part.pieces_a_jar
    return orders * part.order_cash
