"""Whether something is worth doing: the gain of a month, where it breaks even, what it hangs on (method.md section 8).

All of it in plain numbers: a `Deal` is jars a month, what each brings, and what it takes from another jar or gives to
it. Money is in home currency, shares are fractions. Only prices are rounded, up to the channel's ending.

A deal is worth it where it gains something, and its one-off is back within so many months: gain > 0 and gain x within
>= one-off, both snapped. Everything below asks that one question of one number at a time, and the gain is a straight
line in each of them, so that each answer is exact.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import combinations, product
from typing import NamedTuple

from webapp.costing.amounts import ONE, ZERO, snap, unit_of
from webapp.costing.channels import PriceTerms
from webapp.costing.deal_facts import Deal, End, Flip, Grid, Span, Spans, Swing, Verdict
from webapp.costing.endings import next_ending
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.prices import fees_at, net_of

NO_JARS = Gap("How many jars do you expect to sell a month? Type it.")
NO_SHARE_LIMITS = Gap("No share limits this: whatever it is, nothing is lost.")
NO_SHARE_HELPS = Gap("No share is enough: whatever it is, this loses.")
NEVER = Gap("Never: it gains nothing a month.")
NO_PRICE = Gap("No price is asked here.")
TAKES_ALL = "Selling there takes all of the price, so no price is enough. Check the shares of this channel."
NO_PRICE_HELPS = Gap("Where none is sold, no price makes it worth it.")


# --- a month ---------------------------------------------------------------------------------------------------------


def one_more(deal: Deal) -> Decimal:
    """What one more of them brings in all: its own, and what it takes from or gives to the other jar."""
    return deal.own + deal.share * _turned(deal)


def _turned(deal: Deal) -> Decimal:
    """What each that trades up brings elsewhere; below zero where it takes."""
    return deal.times * deal.each


def gain(deal: Deal) -> Decimal:
    """S (c_b - u r c_s) - f."""
    return deal.jars * one_more(deal) - deal.monthly or ZERO  # never the -0 that no jars at a loss would leave


def wanted(deal: Deal) -> Decimal:
    """What a month has to gain for the one-off to be back in time."""
    return deal.one_off / deal.within


def is_worth(deal: Deal) -> bool:
    """Whether it gains something, and its one-off is back within the months allowed."""
    month = gain(deal)
    return snap(month) > ZERO and snap(month * deal.within) >= snap(deal.one_off)


def months(deal: Deal) -> Figure:
    """How many months earn the one-off back; never where nothing is gained."""
    month = gain(deal)
    return NEVER if snap(month) <= ZERO else deal.one_off / month


def break_even_share(deal: Deal, *, beyond: bool = False) -> Figure:
    """The share of buyers that trade up at which nothing is gained: (c_b - f / S) / (r c_s), not clipped.

    Where the other jar's contribution is lost (`each` below zero) it is the highest share that loses nothing. Where it
    is won, or the other jar loses, it is the lowest: outside of 0 to 1, and where the other jar brings nothing, no
    share limits it or none is enough, which is said instead. `beyond`: a share may be more than all, as of jars that
    are sold more, or less than none, of jars sold less.
    """
    if not deal.jars:
        return NO_JARS
    turned, alone = deal.jars * _turned(deal), deal.jars * deal.own - deal.monthly
    if snap(turned) < ZERO or (snap(turned) and beyond):
        return alone / -turned or ZERO
    if snap(alone) >= ZERO:
        return NO_SHARE_LIMITS
    return NO_SHARE_HELPS if snap(alone + turned) < ZERO else alone / -turned


# --- and its price ---------------------------------------------------------------------------------------------------


def own_at(price: Decimal, direct: Decimal, terms: PriceTerms) -> Figure:
    """What one contributes at a marked price: N - fees - direct cost."""
    net = net_of(price, terms)
    return from_known(lambda fees: net - fees - direct, fees_at(net, terms))


def price_at(own: Decimal, direct: Decimal, terms: PriceTerms) -> Figure:
    """The marked price at which one contributes so much: (own + C + e) / (1 - b - a (1 + v)), before any ending."""
    left = ONE - terms.share
    if left <= ZERO:
        return Gap(TAKES_ALL, Ref("channel", terms.channel, "share_paid"))
    return from_known(lambda extras: (own + direct + extras) * terms.marked / left, terms.extras)


def fair_price(deal: Deal, direct: Decimal, terms: PriceTerms) -> Figure:
    """The price, up to the channel's ending, at which nothing is lost though every buyer trades up.

    From a jar that contributes nothing nothing can be taken: its loss is not counted on either.
    """
    if not deal.jars:
        return NO_JARS
    own = deal.monthly / deal.jars - min(_turned(deal), ZERO)
    return _up(price_at(own, direct, terms), terms)


def worth_from(deal: Deal, direct: Decimal, terms: PriceTerms) -> Figure:
    """The lowest price with one of the channel's endings at which the deal is worth it, all else as it is."""
    if not deal.jars and not is_worth(deal):
        return NO_PRICE_HELPS
    exact = price_at(_own_wanted(deal), direct, terms) if deal.jars else ZERO
    found = _up(exact, terms)
    if isinstance(found, Gap) or isinstance(terms.endings, Gap):
        return found
    own = own_at(found, direct, terms)
    # Just where nothing is gained it is not worth it yet: the next ending above it is.
    if isinstance(own, Decimal) and not is_worth(deal._replace(own=own)):
        return next_ending(found + unit_of(terms.places), terms.endings)
    return found


def sure_from(deal: Deal, spans: Spans, direct: Decimal, terms: PriceTerms) -> Figure:
    """The lowest price with an ending at which it is worth it at every point."""
    highest = ZERO
    for point in points(deal, spans):
        found = worth_from(point, direct, terms)
        if isinstance(found, Gap):
            return found
        highest = max(highest, found)
    return highest


def _own_wanted(deal: Deal) -> Decimal:
    """What one has to contribute itself for the month to gain what is wanted; jars are above zero."""
    a_jar = (deal.one_off + deal.within * deal.monthly) / (deal.within * deal.jars)
    return a_jar - deal.share * _turned(deal)


def _up(price: Figure, terms: PriceTerms) -> Figure:
    """The next ending at or above it; where no price is too low, the lowest there is."""
    if isinstance(price, Gap):
        return price
    return terms.endings if isinstance(terms.endings, Gap) else next_ending(max(price, ZERO), terms.endings)


# --- what is not known for certain -----------------------------------------------------------------------------------


def points(deal: Deal, spans: Spans) -> Iterator[Deal]:
    """The deal at every combination of what it may be; what is the same twice counts once."""
    every = (_ends(spans.jars), _ends(spans.share), _ends(spans.monthly), dict.fromkeys(spans.times))
    for jars, share, monthly, times in product(*every):
        yield deal._replace(jars=jars, share=share, monthly=monthly, times=times)


def _ends(span: Span) -> dict[Decimal, None]:
    return dict.fromkeys(span)


def grid(deal: Deal, spans: Spans) -> Grid:
    """The gain over the whole grid of points, how many of them are worth it, and what it hangs on most."""
    every = list(points(deal, spans))
    gains = [gain(one) for one in every]
    return Grid(
        len(every), sum(is_worth(one) for one in every), min(gains), gain(deal), max(gains), _swings(deal, spans)
    )  # fmt: skip


def _swings(deal: Deal, spans: Spans) -> tuple[Swing, ...]:
    """What moves the gain by itself, most first."""
    return tuple(one for one in _from_end_to_end(deal, spans) if one.width)


def _from_end_to_end(deal: Deal, spans: Spans) -> list[Swing]:
    ends = {
        "jars": (spans.jars.low, spans.jars.high),
        "share": (spans.share.low, spans.share.high),
        "monthly": (spans.monthly.low, spans.monthly.high),
        "times": (min(spans.times), max(spans.times)),
    }
    found = [
        Swing(what, low, high, *(gain(deal._replace(**{what: end})) for end in (low, high)))
        for what, (low, high) in ends.items()
    ]
    return sorted(found, key=lambda one: -one.width)


# --- what would turn it ----------------------------------------------------------------------------------------------


class Selling(NamedTuple):
    """Where it is sold: the price asked, what one costs directly, and the channel's terms."""

    price: Decimal
    direct: Decimal
    terms: PriceTerms


def flips(
    deal: Deal,
    price: Decimal | None = None,
    direct: Decimal | None = None,
    terms: PriceTerms | None = None,
    *,
    saves: bool = False,
) -> tuple[Flip, ...]:
    """What alone would turn the answer, the nearest first: each where the deal just gains what is wanted.

    Only what can be on both sides of it is among them: shares are from 0 to 1, nothing else is below 0, but what a
    month costs where it `saves` something (or does now). Without a price, price and cost are not among them.
    """
    found = [*_turning(deal, saves=saves or deal.monthly < ZERO)]
    if price is not None and direct is not None and terms is not None and deal.jars:
        found += _turning_price(deal, Selling(price, direct, terms))
    turns = [one for one in found if one is not None]
    far = [one for one in turns if isinstance(one.far, Gap)]
    return (*sorted((one for one in turns if one not in far), key=_how_far), *far)


def _how_far(one: Flip) -> Decimal:
    return snap(one.far) if isinstance(one.far, Decimal) else ZERO


def _turning(deal: Deal, *, saves: bool) -> Iterator[Flip | None]:
    more, alone = one_more(deal), deal.jars * deal.own - deal.monthly
    yield _turn(deal, "share", deal.jars * _turned(deal), alone, most=ONE)
    yield _turn(deal, "jars", more, -deal.monthly)
    yield _turn(deal, "times", deal.jars * deal.share * deal.each, alone)
    yield _turn(deal, "monthly", -ONE, deal.jars * more, least=None if saves else ZERO)
    month = gain(deal)
    if snap(month) > ZERO:  # what gains nothing is not worth it even where nothing is paid once
        yield _flip("one_off", deal.one_off, month * deal.within, up=False)


def _turn(
    deal: Deal,
    what: str,
    slope: Decimal,
    rest: Decimal,
    *,
    least: Decimal | None = ZERO,
    most: Decimal | None = None,
) -> Flip | None:
    """Where slope x + rest, the gain of a month, comes to what is wanted; None where it never does or x can't be so."""
    if not snap(slope):
        return None
    at, up = (deal.one_off - deal.within * rest) / (deal.within * slope) or ZERO, slope > ZERO
    return _flip(what, getattr(deal, what), at, up=up) if _turns(deal, snap(at), up, least, most) else None


def _turns(deal: Deal, at: Decimal, up: bool, least: Decimal | None, most: Decimal | None) -> bool:
    """Whether it can be on both sides. At its end it can where just this one value has the other answer.

    What comes to exactly what is wanted is worth it where a one-off is to be earned back, and else is not.
    """
    exactly = deal.one_off > ZERO
    if (least is not None and at < least) or (most is not None and at > most):
        return False
    if at == least:
        return up is not exactly
    return up is exactly if at == most else True


def _turning_price(deal: Deal, sold: Selling) -> Iterator[Flip | None]:
    at = price_at(_own_wanted(deal), sold.direct, sold.terms)
    if isinstance(at, Decimal) and _turns(deal, snap(at), True, ZERO, None):
        yield _flip("price", sold.price, at, up=True)
    cost = sold.direct + (deal.within * gain(deal) - deal.one_off) / (deal.within * deal.jars)
    if _turns(deal, snap(cost), False, ZERO, None):
        yield _flip("cost", sold.direct, cost, up=False)


def _flip(what: str, now: Decimal, at: Decimal, *, up: bool) -> Flip:
    far: Figure = abs(at - now) / abs(now) if now else Gap("It is nothing now, so it can't be said how far that is.")
    return Flip(what, now, at, up, far)


# --- the answer ------------------------------------------------------------------------------------------------------


def verdict(
    deal: Deal,
    spans: Spans,
    price: Decimal | None = None,
    direct: Decimal | None = None,
    terms: PriceTerms | None = None,
    *,
    saves: bool = False,
) -> Verdict:
    """Worth it at every point, at some, or at none; with the price from which it is, where a price is asked.

    `saves` where what it costs a month may be below zero.
    """
    found = grid(deal, spans)
    turning = flips(deal, price, direct, terms, saves=saves or spans.monthly.low < ZERO)
    some = 0 < found.worth < found.points
    condition = _condition(deal, found, turning) if some else None
    return Verdict(
        "only if" if some else "worth" if found.worth else "not",
        condition,
        turning,
        NO_PRICE if direct is None or terms is None else worth_from(deal, direct, terms),
        NO_PRICE if direct is None or terms is None else sure_from(deal, spans, direct, terms),
        together(deal, spans) if some and condition is None else (),
    )


def together(deal: Deal, spans: Spans) -> tuple[End, ...]:
    """The fewest things that turn the likely answer when each comes to one of its ends; () where none do.

    Of equally many those that move the gain most, in the order in which the gain hangs on them. What moves nothing by
    itself may with another: of no jars at all no share is taken from elsewhere.
    """
    likely = is_worth(deal)
    swings = [one for one in _from_end_to_end(deal, spans) if one.low != one.high]
    for many in range(1, len(swings) + 1):
        for chosen in combinations(swings, many):
            for ends in product(*((End(one.what, one.low), End(one.what, one.high)) for one in chosen)):
                if is_worth(deal._replace(**dict(ends))) is not likely:
                    return ends
    return ()


def _condition(deal: Deal, found: Grid, turning: Sequence[Flip]) -> Flip | None:
    """What it hangs on most of what alone turns it between its own ends; None where only several together do."""
    by_name = {one.what: one for one in turning}
    for swing in found.swings:
        at_low, at_high = (is_worth(deal._replace(**{swing.what: end})) for end in (swing.low, swing.high))
        if at_low is not at_high:
            return by_name.get(swing.what)
    return None
