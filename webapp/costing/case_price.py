"""A case for shops: what a case brings more or less than its jars do now, one by one (method.md sections 5 and 8).

With a case in it an order is at least as big as the case, so carton, postage and minutes an order are shared by more
jars where a usual order is smaller. `own` of the deal is n (c_cased - c_now) a case, `each` n c_cased of a case more.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from webapp.costing import worth
from webapp.costing.amounts import ONE, ZERO, percent, rounded_up, snap, to_minor, unit_of
from webapp.costing.book import Book, Price
from webapp.costing.candidate_prices import at_price
from webapp.costing.deal_facts import Deal, Flip, Spans, Verdict
from webapp.costing.gaps import Figure, Gap, from_known
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.size_deals import deal, spans
from webapp.costing.size_facts import CaseAnswer, SizeQuestion


def jars_in_case(book: Book, question: SizeQuestion) -> Decimal:
    """As typed, else as shops buy it now."""
    return question.case_jars or book.products[question.product or 0].case_jars or ONE


def case_answer(known: Reckoning, question: SizeQuestion) -> tuple[CaseAnswer, Reckoning]:
    """The answer, and the book with the case in it, reckoned."""
    product, channel = question.product or 0, question.channel or 0
    n, now = jars_in_case(known.book, question), known.row(product, channel)
    case_price = _case_price(known.book, question, now, n)
    price = case_price / n
    after = Reckoning(_with_case(known.book, question, n, price), known)
    cased = at_price(after.row(product, channel), price)
    own, each = (cased.contribution - now.contribution) * n, cased.contribution * n
    likely = deal(own, each, ONE, question)
    ranges = spans(likely, (ONE,), question)
    gap = likely if isinstance(likely, Gap) else ranges if isinstance(ranges, Gap) else None
    bare = deal(own, each, ONE, question, shared=False)
    answer = CaseAnswer(
        row=now,
        cased=cased,
        price=price,
        case_price=case_price,
        lowest=from_known(lambda price: _chargeable(price, cased), _at_contribution(now.contribution, cased, n)),
        deal=likely,
        gain=likely if isinstance(likely, Gap) else worth.gain(likely),
        break_even_share=bare if isinstance(bare, Gap) else worth.break_even_share(bare, beyond=True),
        spans=ranges,
        grid=gap or worth.grid(likely, ranges),  # type: ignore[arg-type]  # gaps have left
        verdict=gap or _verdict(likely, ranges, _Case(n, now.contribution, cased, case_price)),  # type: ignore[arg-type]
    )
    return answer, after


def _case_price(book: Book, question: SizeQuestion, now: Row, n: Decimal) -> Figure:
    """As typed, else the price of its jars less the discount, half-up to the minor unit."""
    if question.case_price is not None:
        return question.case_price
    left = ONE - percent(question.discount or ZERO)
    return from_known(lambda price: to_minor(price * n * left, book.workshop.currency), now.price)


def _with_case(book: Book, question: SizeQuestion, n: Decimal, price: Figure) -> Book:
    """A case is no price of a jar that could be charged, so it is not checked as one: 50.00 for 12 is one too."""
    product, channel = question.product or 0, question.channel or 0
    held = book.channels[channel]
    channels = {**book.channels, channel: replace(held, jars_per_order=max(held.jars_per_order, n))}
    if isinstance(price, Gap):
        return replace(book, channels=channels)
    prices = {**book.prices, (product, channel): Price(product, channel, book.day, price)}
    return replace(book, channels=channels, prices=prices)


# --- the verdict, with what a case would have to cost


class _Case(NamedTuple):
    """What turns with the price of a case: `n` jars that contribute `now` each by the jar, the row by the case."""

    n: Decimal
    now: Decimal
    cased: Row
    price: Decimal


def _verdict(likely: Deal, ranges: Spans, case: _Case) -> Verdict:
    """As of any deal; the price of a case moves both what a case brings and what a case more brings.

    How many jars one takes the place of is no question here, so nothing hangs on that.
    """
    found = worth.verdict(likely, ranges)
    turning = [one for one in found.flips if one.what != "times"]
    at = _price_wanted(likely, case)
    if isinstance(at, Decimal) and snap(at) >= ZERO and case.price:
        turning.append(Flip("price", case.price, at, up=True, far=abs(at - case.price) / case.price))
    turning.sort(key=lambda one: (isinstance(one.far, Gap), one.far if isinstance(one.far, Decimal) else ZERO))
    condition = None if found.condition is not None and found.condition.what == "times" else found.condition
    return found._replace(
        condition=condition,
        flips=tuple(turning),
        worth_from=_worth_from(likely, case),
        sure_from=_highest(likely, ranges, case),
    )


def _highest(likely: Deal, ranges: Spans, case: _Case) -> Figure:
    """The lowest price at which it is worth it at every point."""
    highest = ZERO
    for point in worth.points(likely, ranges):
        price = _worth_from(point, case)
        if isinstance(price, Gap):
            return price
        highest = max(highest, price)
    return highest


def _price_wanted(point: Deal, case: _Case) -> Figure:
    """The price of a case at which a month just gains what is wanted.

    Solved for the contribution of a jar in it: jars n ((1 + share) c_cased - c_now) - monthly = one-off / months.
    """
    if not point.jars:
        return worth.NO_PRICE_HELPS
    due = (worth.wanted(point) + point.monthly) / (point.jars * case.n)
    contribution = (due + case.now) / (ONE + point.share)
    return _at_contribution(contribution, case.cased, case.n)


def _worth_from(point: Deal, case: _Case) -> Figure:
    """The lowest price of a case that can be charged at which it is worth it."""
    wanted = _price_wanted(point, case)
    if isinstance(wanted, Gap):
        return wanted
    price = _chargeable(wanted, case.cased)
    contribution = worth.own_at(price / case.n, case.cased.direct, case.cased.terms)  # type: ignore[arg-type]
    brings = (contribution - case.now) * case.n
    even = point._replace(own=brings, each=contribution * case.n)  # type: ignore[arg-type]  # known with the price
    return price if worth.is_worth(even) else price + unit_of(case.cased.terms.places)


def _chargeable(price: Decimal, cased: Row) -> Decimal:
    """Up to the minor unit; never below nothing."""
    return max(ZERO, rounded_up(snap(price), cased.terms.places))


def _at_contribution(wanted: Figure, cased: Row, n: Decimal) -> Figure:
    """The price of a case at which each of its jars contributes so much, unrounded."""
    if isinstance(wanted, Gap) or isinstance(cased.direct, Gap):
        return wanted if isinstance(wanted, Gap) else cased.direct
    return worth.price_at(wanted, cased.direct, cased.terms) * n
