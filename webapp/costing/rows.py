"""A row of the product line: one product on one channel, with its price, cost, margin and what follows from them.

Method.md section 6. Money is in the home currency and per jar, margins and targets are fractions, times are hours.
What a list or a table always needs is kept in the row; the rest is worked out when it is asked for. A price is
suggested for few of the rows that a change moves, and solving it takes as long as all else of a row: it is of the rest.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cached_property
from typing import NamedTuple

from webapp.costing.amounts import HUNDRED, ONE, ZERO, snap
from webapp.costing.book import Id
from webapp.costing.channels import MINUTES_AN_HOUR, PriceTerms
from webapp.costing.gaps import Figure, Gap, Ref, added, first_gap, from_known
from webapp.costing.jars import CostSheet
from webapp.costing.prices import (
    floor,
    highest_cost,
    margin,
    markup,
    not_undercutting,
    paid,
    suggest,
)

#: words that stand beside a row's figures
SUGGESTED = "suggested"  # no price is accepted yet: all figures stand at the suggested one
HELD_UP = "recommended retail"  # the suggestion was raised, so that the own shop does not undercut a stockist
BELOW_FLOOR = "below floor"  # the accepted price does not cover the cost


class _Kept(NamedTuple):
    """What a row keeps; all else follows from it."""

    product: Id
    channel: Id
    price: Figure
    accepted: bool
    recommended_retail: Figure | None
    cost: Figure
    net: Figure
    fees: Figure
    profit: Figure
    margin: Figure
    target: Decimal
    jars_a_month: Decimal | None
    sheet: CostSheet
    terms: PriceTerms


class Row(_Kept):
    """A product on a channel. `cost` is full or direct as chosen, with the selling labour of the channel in it.

    `recommended_retail` is the product's, the highest of its wholesale channels; None where it has none.
    """

    @cached_property
    def _suggestion(self) -> tuple[Figure, bool]:
        recommended = self.recommended_retail if self.terms.retail else None
        return suggestion(self.cost, self.target, self.terms, recommended)

    @property
    def suggested(self) -> Figure:
        """The price to charge for the target, with an ending, and no lower than what stockists are to ask."""
        return self._suggestion[0]

    @property
    def marks(self) -> tuple[str, ...]:
        """Words that stand beside the figures: SUGGESTED, HELD_UP, BELOW_FLOOR."""
        held_up = (HELD_UP,) if self._suggestion[1] else ()
        if not self.accepted:
            return (SUGGESTED, *held_up)
        # A profit above zero needs no snap to be above it, and that is nearly every row.
        below = isinstance(self.profit, Decimal) and self.profit < ZERO and snap(self.profit) < ZERO
        return (*held_up, BELOW_FLOOR) if below else held_up

    @property
    def gap(self) -> Gap | None:
        """Why the row's margin is missing, if it is."""
        return self.margin if isinstance(self.margin, Gap) else None

    @property
    def distance(self) -> Figure:
        """Margin less target, of the snapped margin: below zero it falls short."""
        return self.margin if isinstance(self.margin, Gap) else snap(self.margin) - self.target

    @property
    def reaches(self) -> bool | None:
        """Whether the margin is at or above its target; None while it is not known."""
        if isinstance(self.margin, Gap):
            return None
        # What is above the target as it stands is above it when snapped, and that is nearly every row.
        return self.margin >= self.target or snap(self.margin) >= self.target

    @property
    def undercuts(self) -> tuple[Decimal, Decimal] | None:
        """What the buyer pays here and what stockists are to ask, where an own accepted price is below it; else None.

        Both with sales tax. Only an accepted price undercuts: a suggestion is held up.
        """
        asked, paid_here = self.recommended_retail, self.paid
        if not (self.terms.retail and self.accepted and isinstance(asked, Decimal) and isinstance(paid_here, Decimal)):
            return None
        return (paid_here, asked) if snap(paid_here) < snap(asked) else None

    @property
    def markup(self) -> Figure:
        """What is left as a share of cost and fees."""
        gap = first_gap((self.net, self.cost, self.fees))
        return gap or markup(self.net, self.cost, self.fees)  # type: ignore[arg-type]

    @property
    def floor(self) -> Figure:
        """The price at which nothing is left, rounded up to the minor unit."""
        return self.cost if isinstance(self.cost, Gap) else floor(self.cost, self.terms)

    @property
    def suggested_alone(self) -> Figure:
        """What would be suggested for the target if no stockist were undercut by it."""
        return self.cost if isinstance(self.cost, Gap) else suggest(self.cost, self.target, self.terms)

    def margin_at(self, price: Figure) -> Figure:
        """The margin that another marked price would leave, at the same cost."""
        return outcome(price, self.cost, self.terms)[3]

    def left_at(self, price: Figure) -> Figure:
        """What another marked price would leave of each, after all costs, at the same cost; in home currency."""
        return outcome(price, self.cost, self.terms)[2]

    @property
    def direct(self) -> Figure:
        """Materials and all labour, selling included; no overhead, no one-offs."""
        return added((self.sheet.direct, self.terms.labour))

    @property
    def own_pay(self) -> Figure:
        """What own hours cost in this jar, of making and of selling; a helper's pay is not in it."""
        return added((self.sheet.labour_own, self.terms.labour_own))

    @property
    def own_hours(self) -> Figure:
        """Own hours in this jar, of making and of selling."""
        return from_known(
            lambda making, selling: (making + selling) / MINUTES_AN_HOUR,
            self.sheet.own_minutes,
            self.terms.own_minutes,
        )

    @property
    def contribution(self) -> Figure:
        """N - fees - direct cost."""
        return from_known(lambda net, fees, direct: net - fees - direct, self.net, self.fees, self.direct)

    @property
    def contribution_before_own_pay(self) -> Figure:
        """The contribution with own labour added back: what the jar leaves to pay for own hours and overhead."""
        return added((self.contribution, self.own_pay))

    @property
    def margin_before_own_pay(self) -> Figure:
        """The margin as if own hours cost nothing."""
        gap = first_gap((self.profit, self.own_pay, self.margin))
        return gap or (self.profit + self.own_pay) / self.net

    @property
    def per_100_g(self) -> Figure:
        """Contribution per 100 g declared."""
        return per_hundred(self.contribution, self.sheet.declared_grams)

    @property
    def per_100_ml(self) -> Figure | None:
        """Contribution per 100 mL declared; None for a product that is not sold by volume."""
        millilitres = self.sheet.declared_ml
        return None if millilitres is None else per_hundred(self.contribution, millilitres)

    @property
    def price_per_100_g(self) -> Figure:
        """The marked price per 100 g declared."""
        return per_hundred(self.price, self.sheet.declared_grams)

    @property
    def price_per_100_ml(self) -> Figure | None:
        """The marked price per 100 mL declared; None for a product that is not sold by volume."""
        millilitres = self.sheet.declared_ml
        return None if millilitres is None else per_hundred(self.price, millilitres)

    @property
    def per_labour_hour(self) -> Figure:
        """Contribution before own pay per own hour: the ranking that matters when hours are short."""
        return per_hour(self.contribution_before_own_pay, self.own_hours)

    @property
    def lost_a_month(self) -> Figure:
        """(m N - profit) x jars a month, where positive: what being below target costs."""
        jars = self.jars_a_month
        if jars is None:
            return Gap(
                "How many jars are sold a month is not known yet. Type it in.",
                Ref("product", self.product, f"sales-{self.channel}"),
            )
        if isinstance(self.margin, Decimal) and self.margin >= self.target:
            return ZERO  # nearly every row, and nothing at or below zero is above it when snapped
        return self._missed * jars

    @cached_property
    def _missed(self) -> Figure:
        net, profit = self.net, self.profit
        if isinstance(net, Gap) or isinstance(profit, Gap):
            return net if isinstance(net, Gap) else profit
        missed = self.target * net - profit
        return missed if snap(missed) > ZERO else ZERO

    @property
    def highest_cost(self) -> Figure:
        """What the jar may cost at most at its price for the target to be reached; show it rounded down."""
        return self.price if isinstance(self.price, Gap) else highest_cost(self.price, self.target, self.terms)

    @property
    def paid(self) -> Figure:
        """What the buyer pays for the jar, sales tax included."""
        return from_known(lambda price: paid(price, self.terms), self.price)


def per_hundred(amount: Figure, declared: Figure) -> Figure:
    """An amount per jar as an amount per 100 g or mL, by what the label declares."""
    return from_known(lambda known, whole: known * HUNDRED / whole, amount, declared)


def per_hour(contribution: Figure, hours: Figure) -> Figure:
    """A contribution per hour that the jar needs; missing where it needs none."""
    if hours == 0:
        return Gap("No hours of your own go into it, so it has no place in a ranking by the hour.")
    return from_known(lambda known, spent: known / spent, contribution, hours)


# --- from a cost and a price ------------------------------------------------------------------------------------------


def suggestion(cost: Figure, target: Decimal, terms: PriceTerms, recommended: Figure | None) -> tuple[Figure, bool]:
    """The suggested price, and whether the recommended retail price raised it."""
    if isinstance(cost, Gap):
        return cost, False
    own = suggest(cost, target, terms)
    if recommended is None or isinstance(own, Gap):
        return own, False
    if isinstance(recommended, Gap):
        # What is not known can't be compared with: the own shop might undercut its stockists.
        return recommended, False
    raised = not_undercutting(own, recommended, terms)
    return raised, raised != own


def outcome(price: Figure, cost: Figure, terms: PriceTerms) -> tuple[Figure, Figure, Figure, Figure]:
    """Net price, fees, profit and margin at a price."""
    if isinstance(price, Gap):
        return price, price, price, price
    net = price if terms.marked is ONE else price / terms.marked
    fees = net * terms.share + terms.extras
    return net, fees, *left_of(net, cost, fees)


def left_of(net: Figure, cost: Figure, fees: Figure) -> tuple[Figure, Figure]:
    """Profit and margin at a net price."""
    profit = net - cost - fees
    if net or isinstance(profit, Gap):
        return profit, profit / net
    return profit, margin(ZERO, ZERO)


def recommended_at(net: Figure, terms: PriceTerms) -> Figure:
    """`prices.recommended_retail`, its factors made once a channel."""
    return net * terms.shelf.over / terms.shelf.under


def recommended_by(wholesale: Row) -> Figure:
    """The recommended retail price that follows from one wholesale row."""
    return recommended_at(wholesale.net, wholesale.terms)
