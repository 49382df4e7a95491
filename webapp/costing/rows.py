"""A row of the product line: one product on one channel, with its price, cost, margin and what follows from them.

Method.md section 6. Money is in the home currency and per jar, margins and targets are fractions, times are hours.
What a list or a table always needs is kept in the row; the rest is worked out when it is asked for.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ONE, ZERO, percent, snap
from webapp.costing.book import Book, Id, Product
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

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: words that stand beside a row's figures
SUGGESTED = "suggested"  # no price is accepted yet: all figures stand at the suggested one
HELD_UP = "recommended retail"  # the suggestion was raised, so that the own shop does not undercut a stockist
BELOW_FLOOR = "below floor"  # the accepted price does not cover the cost


class Row(NamedTuple):
    """A product on a channel. `cost` is full or direct as chosen, with the selling labour of the channel in it.

    `recommended_retail` is the product's, the highest of its wholesale channels; None where it has none.
    """

    product: Id
    channel: Id
    price: Figure
    accepted: bool
    suggested: Figure
    recommended_retail: Figure | None
    cost: Figure
    net: Figure
    fees: Figure
    profit: Figure
    margin: Figure
    target: Decimal
    jars_a_month: Decimal | None
    marks: tuple[str, ...]
    sheet: CostSheet
    terms: PriceTerms

    @property
    def gap(self) -> Gap | None:
        """Why the row's margin is missing, if it is."""
        return self.margin if isinstance(self.margin, Gap) else None

    @property
    def distance(self) -> Figure:
        """Margin less target, of the snapped margin: below zero it falls short."""
        return from_known(lambda actual: snap(actual) - self.target, self.margin)

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
        return _outcome(price, self.cost, self.terms)[3]

    def left_at(self, price: Figure) -> Figure:
        """What another marked price would leave of each, after all costs, at the same cost; in home currency."""
        return _outcome(price, self.cost, self.terms)[2]

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
        net, profit = self.net, self.profit
        if isinstance(net, Gap) or isinstance(profit, Gap):
            return net if isinstance(net, Gap) else profit
        missed = self.target * net - profit
        # Nothing at or below zero is above it when snapped, and most rows are there.
        return missed * jars if missed > ZERO and snap(missed) > ZERO else ZERO

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


# --- making rows ---------------------------------------------------------------------------------------------------


def product_rows(known: Reckoning, product: Product) -> list[Row]:
    """The rows of one product, on every channel where it is sold, by channel; all with one recommended retail price."""
    sheet, cost = _sheet_and_cost(known, product.id)
    book, terms = known.book, known.sold_on(product)
    sold: dict[Id, Row] = {}
    recommended: Figure | None = None
    for one in terms:
        if not one.retail:
            sold[one.channel] = made = _row(book, sheet, cost, one, None)
            recommended = _higher(recommended, made.recommended_retail)
    return [
        _row(book, sheet, cost, one, recommended) if one.retail else _with_recommended(sold[one.channel], recommended)
        for one in terms
    ]


def _with_recommended(wholesale: Row, recommended: Figure | None) -> Row:
    """The same row where it is the one that recommends, as a product's only wholesale row is."""
    if wholesale.recommended_retail is recommended:
        return wholesale
    return wholesale._replace(recommended_retail=recommended)


def row(known: Reckoning, product: Id, channel: Id) -> Row:
    """The row of one product on one channel; also on a retired one, and where it is not sold (yet)."""
    sold = known.rows(product)
    for one in sold:
        if one.channel == channel:
            return one
    sheet, cost = _sheet_and_cost(known, product)
    return _row(known.book, sheet, cost, known.terms[channel], sold[0].recommended_retail if sold else None)


def _sheet_and_cost(known: Reckoning, product: Id) -> tuple[CostSheet, Figure]:
    sheet = known.sheet(product)
    return sheet, sheet.full if known.book.terms.cost == "full" else sheet.direct


def _higher(one: Figure | None, other: Figure | None) -> Figure | None:
    """The higher of two recommended retail prices; one that is missing makes the highest missing."""
    if one is None or isinstance(other, Gap):
        return other
    return one if isinstance(one, Gap) or other is None else max(one, other)


def _row(book: Book, sheet: CostSheet, base: Figure, terms: PriceTerms, recommended: Figure | None) -> Row:
    key = (sheet.product, terms.channel)
    cost = base + terms.labour
    own_target = book.targets.get(key)
    target = terms.target if own_target is None or own_target.margin is None else percent(own_target.margin)
    suggested, held_up = _suggestion(cost, target, terms, recommended if terms.retail else None)
    fact = book.prices.get(key)
    price: Figure = suggested if fact is None else fact.amount
    net, fees, profit, left = _outcome(price, cost, terms)
    sales = book.sales.get(key)
    return Row(
        sheet.product,
        terms.channel,
        price,
        fact is not None,
        suggested,
        recommended if terms.retail else _recommended(net, terms),
        cost,
        net,
        fees,
        profit,
        left,
        target,
        None if sales is None else sales.jars,
        _marks(accepted=fact is not None, held_up=held_up, profit=profit),
        sheet,
        terms,
    )


def _suggestion(cost: Figure, target: Decimal, terms: PriceTerms, recommended: Figure | None) -> tuple[Figure, bool]:
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


def _outcome(price: Figure, cost: Figure, terms: PriceTerms) -> tuple[Figure, Figure, Figure, Figure]:
    """Net price, fees, profit and margin at a price."""
    if isinstance(price, Gap):
        return price, price, price, price
    net = price if terms.marked is ONE else price / terms.marked
    fees = net * terms.share + terms.extras
    profit = net - cost - fees
    return net, fees, profit, profit / net if net or isinstance(profit, Gap) else margin(net, ZERO)


def _recommended(net: Figure, terms: PriceTerms) -> Figure:
    """`prices.recommended_retail`, its factors made once a channel."""
    return net * terms.shelf.over / terms.shelf.under


def recommended_by(wholesale: Row) -> Figure:
    """The recommended retail price that follows from one wholesale row."""
    return _recommended(wholesale.net, wholesale.terms)


def _marks(*, accepted: bool, held_up: bool, profit: Figure) -> tuple[str, ...]:
    if not accepted:
        return (SUGGESTED, HELD_UP) if held_up else (SUGGESTED,)
    # A profit above zero needs no snap to be above it, and that is nearly every row.
    below = isinstance(profit, Decimal) and profit < ZERO and snap(profit) < ZERO
    if held_up:
        return (HELD_UP, BELOW_FLOOR) if below else (HELD_UP,)
    return (BELOW_FLOOR,) if below else ()
