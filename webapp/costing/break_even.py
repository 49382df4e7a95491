"""What has to be sold to cover an amount, with the mix as it is; the room there is; what a price change may cost.

Method.md section 9. Money is in the home currency a month, contributions and net prices are per jar, shares are
fractions. Nothing is rounded but whole jars.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ONE, ZERO, rounded_up, snap
from webapp.costing.book import Id
from webapp.costing.gaps import Figure, Gap, added, from_known

NOTHING_SOLD = Gap("Nothing is sold at a price yet. Type how many jars are sold a month.")
NOTHING_CONTRIBUTED = Gap(
    "What is sold contributes nothing as a whole, so no number of jars covers it: the more is sold, the more is lost. "
    "Raise a price, or sell more of what contributes."
)
NOT_ABOVE = Gap("Nothing is left after the monthly bills, so there is no profit that sales could move.")


class Selling(NamedTuple):
    """So many jars a month of a product on a channel, each with its price net of tax and its contribution."""

    product: Id
    channel: Id
    jars: Decimal
    net: Figure
    contribution: Figure


class Mix(NamedTuple):
    """What is sold a month, and what it comes to. A gap in one of them is in the sum."""

    selling: tuple[Selling, ...]
    jars: Decimal
    net_sales: Figure
    contribution: Figure

    @property
    def ratio(self) -> Figure:
        """Contribution as a share of net sales; missing where net sales are 0."""
        if self.net_sales == 0:
            return NOTHING_SOLD
        return self.contribution / self.net_sales

    def left(self, fixed: Decimal) -> Figure:
        """What the contribution leaves after costs of a month that don't move with sales."""
        return self.contribution - fixed


def mix(selling: Iterable[Selling]) -> Mix:
    """The sums of what is sold; a gap where nothing is."""
    sold = tuple(selling)
    if not sold:
        return Mix((), ZERO, NOTHING_SOLD, NOTHING_SOLD)
    return Mix(
        sold,
        sum((one.jars for one in sold), ZERO),
        added(one.net * one.jars for one in sold),
        added(one.contribution * one.jars for one in sold),
    )


# --- to cover an amount ----------------------------------------------------------------------------------------------


class ProductJars(NamedTuple):
    """Jars of one product on all its channels: sold now, needed exactly, and in whole jars, rounded up."""

    product: Id
    sold: Decimal
    exact: Figure
    whole: Figure


class Needed(NamedTuple):
    """What has to be sold a month to cover an amount, the mix staying as it is.

    `times` the present sales. `jars` are whole: up per product, then added. `exact` jars and `net_sales` are not
    rounded.
    """

    cover: Decimal
    times: Figure
    products: tuple[ProductJars, ...]
    jars: Figure
    exact: Figure
    net_sales: Figure


def needed(sold: Mix, cover: Decimal) -> Needed:
    """How much covers `cover`; gaps where the mix contributes nothing."""
    over = sold.contribution
    if isinstance(over, Decimal) and over <= ZERO:
        over = NOTHING_CONTRIBUTED

    def at(amount: Figure) -> Figure:
        return from_known(lambda known, contribution: known * cover / contribution, amount, over)

    products = tuple(_product_jars(ident, jars, at(jars)) for ident, jars in jars_by_product(sold.selling).items())
    whole = added(one.whole for one in products) if products else over
    return Needed(cover, at(ONE), products, whole, at(sold.jars), at(sold.net_sales))


def jars_by_product(selling: Sequence[Selling]) -> dict[Id, Decimal]:
    """The jars of each product, its channels together."""
    found: dict[Id, Decimal] = {}
    for one in selling:
        found[one.product] = found.get(one.product, ZERO) + one.jars
    return found


def _product_jars(product: Id, sold: Decimal, exact: Figure) -> ProductJars:
    return ProductJars(product, sold, exact, from_known(lambda jars: rounded_up(snap(jars), 0), exact))


# --- the room there is -----------------------------------------------------------------------------------------------


class Safety(NamedTuple):
    """How far a month may fall until nothing is left: jars, net sales, their share. Below 0: too few are sold."""

    jars: Figure
    net_sales: Figure
    share: Figure


def safety(sold: Mix, even: Needed) -> Safety:
    """The margin of safety of what is sold above what breaks even; unrounded."""
    return Safety(sold.jars - even.exact, sold.net_sales - even.net_sales, ONE - even.times)


def leverage(sold: Mix, fixed: Decimal) -> Figure:
    """Operating leverage: contribution / what it leaves. One percent more sales leave so many percent more."""
    left = sold.left(fixed)
    if isinstance(left, Decimal) and snap(left) <= ZERO:
        return NOT_ABOVE
    return sold.contribution / left


# --- a price change against sales ------------------------------------------------------------------------------------

#: what a changed contribution means: may lose a share of its jars; any loss; none; needs more jars; never; no change
MAY_LOSE, ANY, NONE, NEEDS, NEVER, SAME = "may lose", "any", "none", "needs", "never", "same"


class Survives(NamedTuple):
    """What a price change does to the jars that leave as much as before; `share` of the present jars, else None."""

    verdict: str
    share: Decimal | None = None


def survives(contribution: Decimal, change: Decimal) -> Survives:
    """The break-even sales change, - d / (c + d), the new contribution being the denominator.

    A rise may lose d / (c + d) of its jars, a cut needs e / (c - e) more (d = -e). Where a jar
    contributes nothing now, a rise that makes it contribute may lose any number; where it contributes nothing
    afterwards, there is no such share.
    """
    after = contribution + change
    if not change:
        return Survives(SAME)
    if snap(after) <= ZERO:
        return Survives(NONE if change > ZERO else NEVER)
    if change < ZERO:
        return Survives(NEEDS, -change / after)
    return Survives(ANY) if contribution <= ZERO else Survives(MAY_LOSE, change / after)
