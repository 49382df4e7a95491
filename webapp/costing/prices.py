"""Price and margin through a channel, either way; stockist coherence; working back (method.md section 5).

p is the marked price, N the price net of sales tax, C the cost per jar on the channel (its selling labour in it), e the
channel's own costs per jar, m a margin. Money is in the home currency; margins, shares and rates are fractions.
Nothing is rounded, except where a function's name or docstring says so.
"""

from __future__ import annotations

from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from typing import Literal

from webapp.costing.amounts import HUNDRED, ONE, ZERO, plain, rounded_up, snap, unit_of
from webapp.costing.channels import MINUTES_AN_HOUR, PriceTerms
from webapp.costing.endings import next_ending
from webapp.costing.gaps import Figure, Gap, Ref, from_known

Side = Literal["short", "at", "above"]
NO_TERMS = PriceTerms()


# --- the parts of a price ------------------------------------------------------------------------------------------


def net_of(price: Decimal, terms: PriceTerms = NO_TERMS) -> Decimal:
    """N, the marked price without the sales tax that is in it."""
    return price if terms.marked == ONE else price / terms.marked


def paid(price: Decimal, terms: PriceTerms = NO_TERMS) -> Decimal:
    """What the buyer pays for the jar: the marked price, and the tax that is added to it."""
    return price * terms.gross if terms.tax == "added" else price


def fees_at(net: Decimal, terms: PriceTerms = NO_TERMS) -> Figure:
    """What the channel keeps or costs per jar at a net price: a N (1 + v) + b N + e."""
    return terms.extras if isinstance(terms.extras, Gap) else net * terms.share + terms.extras


def margin(net: Decimal, cost: Decimal, fees: Decimal = ZERO) -> Figure:
    """(N - C - fees) / N: what is left of the net price, as a share of it. Missing at a price of 0."""
    if not net:
        return Gap("At a price of 0 there is no margin to speak of. Set a price above 0.")
    return (net - cost - fees) / net


def markup(net: Decimal, cost: Decimal, fees: Decimal = ZERO) -> Figure:
    """(N - C - fees) / (C + fees): what is left, as a share of all that was spent. Missing where nothing was."""
    spent = cost + fees
    if not spent:
        return Gap("Nothing is spent on it, so there is no markup to speak of.")
    return (net - spent) / spent


# --- from a cost to a price ----------------------------------------------------------------------------------------


def net_for(cost: Decimal, target: Decimal, terms: PriceTerms = NO_TERMS) -> Figure:
    """N = (C + e) / (1 - m - b - a (1 + v)); a gap where no price reaches the target, or nothing needs covering."""
    return _solved(cost, target, terms, ONE)


def price_for(cost: Decimal, target: Decimal, terms: PriceTerms = NO_TERMS) -> Figure:
    """The marked price at which exactly the target margin is left, before it is moved to an ending."""
    return _solved(cost, target, terms, terms.marked)


def _solved(cost: Decimal, target: Decimal, terms: PriceTerms, times: Decimal) -> Figure:
    extras = terms.extras
    if isinstance(extras, Gap):
        return extras
    left = terms.left if target is terms.target else ONE - target - terms.share
    if left <= ZERO:
        return _out_of_reach(target, terms)
    to_cover = cost + extras
    if to_cover <= ZERO:
        return _nothing_to_cover(extras, terms)
    return to_cover / left if times is ONE else to_cover * times / left


def _out_of_reach(target: Decimal, terms: PriceTerms) -> Gap:
    keeps = f"selling here takes {plain(snap(terms.share) * HUNDRED)} % of the net price"
    if not target:
        return Gap(
            f"No price covers the cost: {keeps}. Check the shares of this channel.",
            Ref("channel", terms.channel, "share_paid"),
        )
    return Gap(
        f"No price reaches the target: {keeps} and {plain(target * HUNDRED)} % is to be left. "
        "Lower the target or the shares of this channel.",
        Ref("channel", terms.channel, "target"),
    )


def _nothing_to_cover(extras: Decimal, terms: PriceTerms) -> Gap:
    if extras < 0:
        return Gap(
            "What buyers are charged for postage already covers the jar and its selling, so no price can be "
            "suggested. Check the postage charged and how many jars are in a usual order.",
            Ref("channel", terms.channel, "postage_charged"),
        )
    return Gap("The jar costs nothing yet, so no price can be suggested. Check its materials and hours.")


def suggest(cost: Decimal, target: Decimal, terms: PriceTerms) -> Figure:
    """The price to charge for the target: moved up to the channel's next ending at or above it.

    Missing where no price reaches the target, or the channel's endings can't be used.
    """
    price = price_for(cost, target, terms)
    if isinstance(price, Gap):
        return price
    endings = terms.endings
    return endings if isinstance(endings, Gap) else next_ending(price, endings)


def not_undercutting(suggested: Decimal, recommended: Decimal, terms: PriceTerms) -> Decimal:
    """A retail suggestion that has an ending, raised to the next one where buyers would pay less than `recommended`.

    The larger of the two before the ending and this are the same price: an ending at or above both stays.
    """
    tag = tag_for(recommended, terms)
    # What is not above it is not above it when snapped either: it has an ending, so no more than 12 places.
    if tag <= suggested or snap(tag) <= suggested or isinstance(terms.endings, Gap):
        return suggested
    return next_ending(tag, terms.endings)


def tag_for(paid_by_buyer: Decimal, terms: PriceTerms) -> Decimal:
    """The marked price at which the buyer pays so much in all."""
    return paid_by_buyer / terms.gross if terms.tax == "added" else paid_by_buyer


def floor(cost: Decimal, terms: PriceTerms) -> Figure:
    """The price at which nothing is left (m = 0, same C), shown rounded up to the minor unit."""
    return from_known(lambda price: rounded_up(snap(price), terms.places), price_for(cost, ZERO, terms))


def recommended_retail(net: Decimal, stockist_margin: Decimal, stockist_tax: Decimal = ZERO) -> Decimal:
    """W (1 + v_s) / (1 - s): the shelf price that leaves a stockist the own margin on a wholesale price W net of tax.

    Half is a customary stockist's margin (common practice, no source). The margin is below 1.
    """
    return net * (ONE + stockist_tax) / (ONE - stockist_margin)


# --- working back from a price -------------------------------------------------------------------------------------


def highest_cost(price: Decimal, target: Decimal, terms: PriceTerms) -> Figure:
    """N (1 - m - b - a (1 + v)) - e: what the jar may cost at most. Show it rounded down."""
    left = ONE - target - terms.share
    return from_known(lambda extras: price * left / terms.marked - extras, terms.extras)


def wage_for(highest: Decimal, cost_without_own: Decimal, own_minutes: Decimal, extra: Decimal = ZERO) -> Figure:
    """60 (highest cost - C without own labour) / own minutes / (1 + employer's extra): what an own hour may cost.

    Missing where no own minutes go in. Below zero: the jar can't pay for its own work. Show it rounded down.
    """
    if not own_minutes:
        return Gap("No hours of your own go into it, so no wage follows from its price.")
    return MINUTES_AN_HOUR * (highest - cost_without_own) / (own_minutes * (ONE + extra))


# --- a margin beside its target ------------------------------------------------------------------------------------


def side(actual: Decimal, target: Decimal) -> Side:
    """On which side of the target a margin is, both as fractions, the margin snapped to 12 places."""
    snapped = snap(actual)
    if snapped < target:
        return "short"
    return "at" if snapped == target else "above"


def reaches(actual: Decimal, target: Decimal) -> bool:
    """Whether a margin is at or above its target; exactly on it counts."""
    return snap(actual) >= target


def margin_percent(actual: Decimal, target: Decimal, places: int = 1) -> Decimal:
    """A margin in percent for show: half-up, except that rounding never carries it up to a target it misses."""
    shown = (snap(actual) * HUNDRED).quantize(unit_of(places), ROUND_HALF_UP)
    if side(actual, target) == "short" and shown >= target * HUNDRED:
        return (snap(actual) * HUNDRED).quantize(unit_of(places), ROUND_FLOOR)
    return shown


def distance_words(actual: Decimal, target: Decimal, places: int = 1, decimal_sign: str = ".") -> str:
    """How far a margin is from its target, in percentage points; never "0.0 points short"."""
    where = side(actual, target)
    if where == "at":
        return "on target"
    points = (abs(snap(actual) - target) * HUNDRED).quantize(unit_of(places), ROUND_HALF_UP)
    direction = "short" if where == "short" else "above"
    return f"{points} points {direction}".replace(".", decimal_sign) if points else f"just {direction}"
