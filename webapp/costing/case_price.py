"""A case for shops: what a case brings more or less than its jars do now, one by one (method.md sections 5 and 8).

With a case in it an order is at least as big as the case, so carton, postage and minutes an order are shared by more
jars where a usual order is smaller. `own` of the deal is n (c_cased - c_now) a case, `each` n c_cased of a case more.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.costing import worth
from webapp.costing.amounts import ONE, ZERO, percent, rounded_up, snap, to_minor
from webapp.costing.book import Book, Price
from webapp.costing.candidate_prices import at_price
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
        lowest=_at_contribution(now.contribution, cased, n),
        deal=likely,
        gain=likely if isinstance(likely, Gap) else worth.gain(likely),
        break_even_share=bare if isinstance(bare, Gap) else worth.break_even_share(bare),
        spans=ranges,
        grid=gap or worth.grid(likely, ranges),  # type: ignore[arg-type]  # gaps have left
        verdict=gap or worth.verdict(likely, ranges, None, None, None),  # type: ignore[arg-type]
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


def _at_contribution(wanted: Figure, cased: Row, n: Decimal) -> Figure:
    """The price of a case at which each of its jars contributes so much, up to the minor unit."""
    if isinstance(wanted, Gap) or isinstance(cased.direct, Gap):
        return wanted if isinstance(wanted, Gap) else cased.direct
    price = worth.price_at(wanted, cased.direct, cased.terms)
    return from_known(lambda each: rounded_up(snap(each * n), cased.terms.places), price)
