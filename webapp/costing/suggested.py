"""Suggested prices, explained: target, what stockists are to ask, ending; and what stands against them.

Method.md section 5. Prices are marked ones in home currency, margins and shares are fractions.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE, ZERO, rounded_down, snap
from webapp.costing.book import Id
from webapp.costing.decisions import asks
from webapp.costing.endings import next_ending
from webapp.costing.gaps import Figure, Gap, from_known
from webapp.costing.prices import fees_at, net_of, price_for, tag_for
from webapp.costing.rows import HELD_UP, Row, recommended_by

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class OutOfReach(NamedTuple):
    """No price reaches the target: what selling takes of the net price, and the target leave nothing for the jar.

    A target has to stay below `target_below`, or the shares below `share_below`; None where no target above 0 would do.
    """

    share: Decimal
    target: Decimal
    target_below: Decimal | None
    share_below: Decimal


class Lowered(NamedTuple):
    """One way out at one wholesale channel: a price of at most `lower_to` (rounded down), which leaves `margin_there`.

    Or the stockists' own margin is at most `stockist_margin`; None where even without one they would ask more.
    """

    channel: Id
    price: Figure
    lower_to: Decimal
    margin_there: Figure
    stockist_margin: Decimal | None


class Undercuts(NamedTuple):
    """An own accepted price below what stockists are to ask, with both ways out.

    `paid` is what a buyer pays now, `asked` the recommended retail price. Either the own price rises to `raise_to`, or
    every wholesale channel in `lowered` gives way.
    """

    paid: Decimal
    asked: Decimal
    raise_to: Figure
    lowered: tuple[Lowered, ...]


class Explained(NamedTuple):
    """How a suggestion comes about, step by step. `exact` is the price for the target alone before any ending.

    `tag` is the marked price at which a buyer pays the recommended retail; None where no stockist is supplied, and at
    wholesale. `leaves` and `margin_then` are what the suggestion leaves.
    """

    row: Row
    floor: Figure
    exact: Figure
    alone: Figure
    tag: Figure | None
    suggested: Figure
    leaves: Figure
    margin_then: Figure
    conflict: OutOfReach | Undercuts | None

    @property
    def held_up(self) -> bool:
        """Whether the stockists' shelf price raises it above what its own target asks for."""
        return HELD_UP in self.row.marks

    @property
    def asks(self) -> bool:
        """Whether another price than the present one is suggested, or none is accepted yet."""
        return asks(self.row, self.suggested)


def explained(known: Reckoning, row: Row) -> Explained:
    """The suggestion of one row, explained."""
    terms = row.terms
    exact = row.cost if isinstance(row.cost, Gap) else price_for(row.cost, row.target, terms)
    recommended = row.recommended_retail if terms.retail else None
    tag = recommended if not isinstance(recommended, Decimal) else tag_for(recommended, terms)
    conflict = _out_of_reach(row) or _undercuts(known, row)
    alone, suggested = row.suggested_alone, row.suggested
    margin = row.margin_at(suggested)
    return Explained(row, row.floor, exact, alone, tag, suggested, _left_at(row, suggested), margin, conflict)


def _left_at(row: Row, price: Figure) -> Figure:
    if isinstance(price, Gap):
        return price
    net = net_of(price, row.terms)
    return from_known(lambda fees, cost: net - fees - cost, fees_at(net, row.terms), row.cost)


def _out_of_reach(row: Row) -> OutOfReach | None:
    share = row.terms.share
    if ONE - row.target - share > ZERO:
        return None
    below = ONE - share
    return OutOfReach(share, row.target, below if below > ZERO else None, ONE - row.target)


def _undercuts(known: Reckoning, row: Row) -> Undercuts | None:
    if row.undercuts is None:
        return None
    paid, asked = row.undercuts
    shops = [one for one in known.rows(row.product) if not one.terms.retail]
    lowered = [_lowered(one, paid) for one in shops if _above(recommended_by(one), paid)]
    tag, endings = tag_for(asked, row.terms), row.terms.endings
    raise_to: Figure = endings if isinstance(endings, Gap) else next_ending(tag, endings)
    return Undercuts(paid, asked, raise_to, tuple(lowered))


def _above(asked: Figure, paid: Decimal) -> bool:
    return isinstance(asked, Decimal) and snap(asked) > snap(paid)


def _lowered(shops: Row, paid: Decimal) -> Lowered:
    """W (1 + v_s) / (1 - s) = what is paid at the own stall, solved for W and for s."""
    terms = shops.terms
    net = paid * (ONE - terms.stockist_margin) / (ONE + terms.stockist_tax)
    lower_to = rounded_down(snap(net * terms.marked), terms.places)
    left = from_known(lambda now: ONE - now * (ONE + terms.stockist_tax) / paid, shops.net) if paid else ZERO
    margin = left if isinstance(left, Decimal) and left > ZERO else None
    return Lowered(shops.channel, shops.price, lower_to, shops.margin_at(lower_to), margin)
