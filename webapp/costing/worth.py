"""Whether something is worth doing: the gain of a month, where it breaks even, what it hangs on (method.md section 8).

All of it in plain numbers: a `Deal` is jars a month, what each brings, and what it takes from another jar or gives to
it. Money is in home currency, shares are fractions. Only prices are rounded, up to the channel's ending.

A deal is worth it where it gains something, and its one-off is back within so many months: gain > 0 and gain x within
>= one-off, both snapped. Everything below asks that one question of one number at a time, and the gain is a straight
line in each of them, so that each answer is exact.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import ROUND_CEILING, Decimal
from itertools import product
from typing import NamedTuple

from webapp.costing.amounts import ONE, ZERO, snap, unit_of
from webapp.costing.channels import PriceTerms
from webapp.costing.endings import next_ending
from webapp.costing.gaps import Figure, Gap, from_known
from webapp.costing.prices import fees_at, net_of
from webapp.costing.size_facts import Cash, CashMonth, Deal, Flip, Grid, Span, Spans, Swing, Verdict

NO_JARS = Gap("How many jars do you expect to sell a month? Type it.")
NO_MATTER = Gap("The other jar brings nothing either way, so this hangs on no share.")
NEVER = Gap("Never: it gains nothing a month.")
NO_PRICE = Gap("No price is asked here.")
TAKES_ALL = Gap("Selling there takes all of the price, so no price is enough. Check the shares of this channel.")
NO_PRICE_HELPS = Gap("Where none is sold, no price makes it worth it.")
#: how many months are looked at, and how many beyond the pay-back
MOST_MONTHS, LEAST_MONTHS, MONTHS_AFTER = 36, 12, 3


# --- a month ---------------------------------------------------------------------------------------------------------


def one_more(deal: Deal) -> Decimal:
    """What one more of them brings in all: its own, and what it takes from or gives to the other jar."""
    return deal.own + deal.share * _turned(deal)


def _turned(deal: Deal) -> Decimal:
    """What each that trades up brings elsewhere; below zero where it takes."""
    return deal.times * deal.each


def gain(deal: Deal) -> Decimal:
    """S (c_b - u r c_s) - f."""
    return deal.jars * one_more(deal) - deal.monthly


def wanted(deal: Deal) -> Decimal:
    """What a month has to gain for the one-off to be back in time."""
    return deal.one_off / deal.within


def is_worth(deal: Deal) -> bool:
    """Whether it gains something, and its one-off is back within the months allowed."""
    month = snap(gain(deal))
    return month > ZERO and snap(month * deal.within) >= snap(deal.one_off)


def months(deal: Deal) -> Figure:
    """How many months earn the one-off back; never where nothing is gained."""
    month = gain(deal)
    return NEVER if snap(month) <= ZERO else deal.one_off / month


def break_even_share(deal: Deal) -> Figure:
    """The share of buyers that trade up at which nothing is gained: (c_b - f / S) / (r c_s), not clipped.

    More of them lose where the other jar's contribution is lost (`each` below zero), and gain where it is won.
    """
    if not deal.jars:
        return NO_JARS
    turned = _turned(deal)
    return NO_MATTER if not turned else (deal.own - deal.monthly / deal.jars) / -turned


# --- and its price ---------------------------------------------------------------------------------------------------


def own_at(price: Decimal, direct: Decimal, terms: PriceTerms) -> Figure:
    """What one contributes at a marked price: N - fees - direct cost."""
    net = net_of(price, terms)
    return from_known(lambda fees: net - fees - direct, fees_at(net, terms))


def price_at(own: Decimal, direct: Decimal, terms: PriceTerms) -> Figure:
    """The marked price at which one contributes so much: (own + C + e) / (1 - b - a (1 + v)), before any ending."""
    left = ONE - terms.share
    if left <= ZERO:
        return TAKES_ALL
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
    if not deal.jars:
        return NO_PRICE_HELPS
    found = _up(price_at(_own_wanted(deal), direct, terms), terms)
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
    return (wanted(deal) + deal.monthly) / deal.jars - deal.share * _turned(deal)


def _up(price: Figure, terms: PriceTerms) -> Figure:
    if isinstance(price, Gap):
        return price
    return terms.endings if isinstance(terms.endings, Gap) else next_ending(price, terms.endings)


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
    return tuple(sorted((one for one in found if one.width), key=lambda one: -one.width))


# --- what would turn it ----------------------------------------------------------------------------------------------


class Selling(NamedTuple):
    """Where it is sold: the price asked, what one costs directly, and the channel's terms."""

    price: Decimal
    direct: Decimal
    terms: PriceTerms


def flips(
    deal: Deal, price: Decimal | None = None, direct: Decimal | None = None, terms: PriceTerms | None = None
) -> tuple[Flip, ...]:
    """What alone would turn the answer, the nearest first: each where the deal just gains what is wanted.

    Only what can be is among them: shares from 0 to 1, nothing else below 0. Without a price, price and cost are not.
    """
    found = [*_turning(deal)]
    if price is not None and direct is not None and terms is not None:
        found += _turning_price(deal, Selling(price, direct, terms))
    known = [one for one in found if isinstance(one.far, Decimal)]
    return (*sorted(known, key=lambda one: snap(one.far)), *(one for one in found if one not in known))  # type: ignore[arg-type]


def _turning(deal: Deal) -> Iterator[Flip]:
    due, more = wanted(deal) + deal.monthly, one_more(deal)
    turned, each = _turned(deal), deal.share * deal.each
    if deal.jars and turned:
        at = (due / deal.jars - deal.own) / turned
        if ZERO <= snap(at) <= ONE:
            yield _flip("share", deal.share, at, up=turned > ZERO)
    if more and snap(due / more) >= ZERO:
        yield _flip("jars", deal.jars, due / more, up=more > ZERO)
    if deal.jars and each and snap(at := (due / deal.jars - deal.own) / each) >= ZERO:
        yield _flip("times", deal.times, at, up=each > ZERO)
    if snap(at := deal.jars * more - wanted(deal)) >= ZERO:
        yield _flip("monthly", deal.monthly, at, up=False)
    if snap(month := gain(deal)) > ZERO:
        yield _flip("one_off", deal.one_off, month * deal.within, up=False)


def _turning_price(deal: Deal, sold: Selling) -> Iterator[Flip]:
    if not deal.jars:
        return
    at = price_at(_own_wanted(deal), sold.direct, sold.terms)
    if isinstance(at, Decimal) and snap(at) >= ZERO:
        yield _flip("price", sold.price, at, up=True)
    cost = sold.direct + deal.own - _own_wanted(deal)
    if snap(cost) >= ZERO:
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
) -> Verdict:
    """Worth it at every point, at some, or at none; with the price from which it is, where a price is asked."""
    found = grid(deal, spans)
    turning = flips(deal, price, direct, terms)
    some = 0 < found.worth < found.points
    return Verdict(
        "only if" if some else "worth" if found.worth else "not",
        _condition(deal, spans, found, turning) if some else None,
        turning,
        NO_PRICE if direct is None or terms is None else worth_from(deal, direct, terms),
        NO_PRICE if direct is None or terms is None else sure_from(deal, spans, direct, terms),
    )


def _condition(deal: Deal, spans: Spans, found: Grid, turning: Sequence[Flip]) -> Flip | None:
    """What it hangs on most of what turns it within its own span; of several things together, the nearest turn."""
    by_name = {one.what: one for one in turning}
    for swing in found.swings:
        one = by_name.get(swing.what)
        if one is not None and swing.low <= one.at <= swing.high:
            return one
    within = [one for one in turning if one.what in ("jars", "share", "monthly", "times")]
    return within[0] if within else _far_corner(deal, spans)


def _far_corner(deal: Deal, spans: Spans) -> Flip | None:
    """The turn of the first thing at a point whose answer is another than the likely one."""
    likely = is_worth(deal)
    for point in points(deal, spans):
        if is_worth(point) is not likely and (found := flips(point)):
            return found[0]
    return None


# --- cash ------------------------------------------------------------------------------------------------------------


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
    return deal.jars * (deal.own + borne), deal.jars * deal.share * _turned(deal), -deal.monthly


def _bought(deal: Deal, part: Stock, left: list[Decimal], place: int) -> Decimal:
    """What is paid for a part in a month: whole orders, as many as the month's jars need beyond what is left."""
    need = snap(deal.jars * part.pieces_a_jar - left[place])
    orders = (need / part.order_pieces).to_integral_value(ROUND_CEILING) if need > ZERO else ZERO
    left[place] += orders * part.order_pieces - deal.jars * part.pieces_a_jar
    return orders * part.order_cash
