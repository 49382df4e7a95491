"""A size less: what is lost a month, and what comes back where its buyers take another (method.md section 8).

The deal of another size the other way round: `own` is the contribution that goes, `each` that of the jar that is taken
instead, `monthly` below zero what is saved a month. The jars are those that are sold now, or as many as are expected.
Direct costs go with the jars; its share of the monthly bills stays and the others bear it. Channels where it is sold
and nobody has said how often are in no sum.
"""

from __future__ import annotations

from decimal import Decimal

from webapp.costing import worth
from webapp.costing.amounts import ONE, ZERO, percent
from webapp.costing.book import Book, Id
from webapp.costing.deal_facts import Deal, Span, Spans
from webapp.costing.gaps import Figure, Gap, Ref, added, first_gap
from webapp.costing.overhead import is_living
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.size_deals import NO_NUMBER, NO_SHARE, span
from webapp.costing.size_facts import DropAnswer, SizeQuestion


def drop_answer(known: Reckoning, question: SizeQuestion) -> DropAnswer:
    """What dropping the product comes to, on the channel that is asked about, or on all where jars of it are sold."""
    rows = tuple(
        row for row in known.rows(question.product or 0) if row.jars_a_month and question.channel in (None, row.channel)
    )
    there = {} if question.other is None else {row.channel: row for row in known.rows(question.other)}
    taken = tuple(there[row.channel] for row in rows if row.channel in there)
    sold = sum((row.jars_a_month or ZERO for row in rows), ZERO)
    jars: Figure = _nothing_sold(known.book, question) if not rows else sold
    own = ZERO - added(_times_sold(row, row.contribution) for row in rows) / jars if rows else jars
    each = added(_times_sold(row, there[row.channel].contribution) for row in rows if row.channel in there) / jars
    times = _answers(known, question)
    expected = jars if question.jars is None or isinstance(jars, Gap) else question.jars
    likely = _deal(question, expected, own, each, times[0])
    ranges = _spans(question, likely, times)
    gap = likely if isinstance(likely, Gap) else ranges if isinstance(ranges, Gap) else None
    return DropAnswer(
        rows=rows,
        taken=taken,
        lost=ZERO - own * jars,
        regained=each * times[0] * jars,
        stays=added(_times_sold(row, row.sheet.overhead) for row in rows) if rows else jars,
        deal=likely,
        gain=likely if isinstance(likely, Gap) else worth.gain(likely),
        break_even_share=likely if isinstance(likely, Gap) else worth.break_even_share(likely),
        months=likely if isinstance(likely, Gap) else worth.months(likely),
        spans=ranges,
        grid=gap or worth.grid(likely, ranges),  # type: ignore[arg-type]  # gaps have left
        verdict=gap or worth.verdict(likely, ranges, None, None, None, saves=True),  # type: ignore[arg-type]
        inside=_inside(known.book, question),
    )


def _times_sold(row: Row, figure: Figure) -> Figure:
    return figure * (row.jars_a_month or ZERO)


def _nothing_sold(book: Book, question: SizeQuestion) -> Gap:
    product = question.product or 0
    words = f"How many jars of {book.products[product].name} are sold a month is not known yet. Type it there."
    return Gap(words, Ref("product", product, "" if question.channel is None else f"sales-{question.channel}"))


def _answers(known: Reckoning, question: SizeQuestion) -> tuple[Figure, ...]:
    """How many jars of the other are taken for one that goes: the chosen answer first, then what else is thought of."""
    if question.replaced == "number":
        return (NO_NUMBER if question.number is None else question.number,)
    grams: Figure = ONE
    if question.other is not None:
        gone, other = known.sheet(question.product or 0), known.sheet(question.other)
        by_volume = gone.declared_ml is not None and other.declared_ml is not None
        grams = gone.declared_ml / other.declared_ml if by_volume else gone.declared_grams / other.declared_grams  # type: ignore[operator]
    return (grams, ONE) if question.replaced == "grams" else (ONE, grams)


def _deal(question: SizeQuestion, jars: Figure, own: Figure, each: Figure, times: Figure) -> Deal | Gap:
    """Nobody takes another where none is named."""
    share: Figure = NO_SHARE if question.share is None else percent(question.share)
    gap = first_gap((jars, own, each, times, ZERO if question.other is None else share))
    if gap is not None:
        return gap
    nobody = ZERO if question.other is None else share
    return Deal(own, each, times, jars, nobody, ZERO - question.monthly, question.one_off, question.within)  # type: ignore[arg-type]


def _spans(question: SizeQuestion, likely: Deal | Gap, times: tuple[Figure, ...]) -> Spans | Gap:
    """What is saved is below zero, so its high end is the low one."""
    gap = likely if isinstance(likely, Gap) else first_gap(times)
    if isinstance(gap, Gap) or isinstance(likely, Gap):
        return gap or NO_SHARE
    low, high = question.share_low, question.share_high
    most, least = question.monthly_high, question.monthly_low
    return Spans(
        span(question.jars_low, likely.jars, question.jars_high),
        Span(
            likely.share if low is None or not question.other else percent(low),
            likely.share,
            likely.share if high is None or not question.other else percent(high),
        ),
        Span(
            likely.monthly if most is None else ZERO - most,
            likely.monthly,
            likely.monthly if least is None else ZERO - least,
        ),
        tuple(dict.fromkeys(one for one in times if isinstance(one, Decimal))),
    )


def _inside(book: Book, question: SizeQuestion) -> tuple[Id, ...]:
    return tuple(
        one.id
        for one in book.products.values()
        if is_living(book, one) and any(member.product == question.product for member in one.members)
    )
