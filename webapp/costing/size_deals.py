"""From a question about another size to plain numbers: the likely point, the ranges, what is not said (method.md 8).

Shares come as percent and leave as fractions. What is not typed is missing and says so; it is never taken for zero.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO, percent
from webapp.costing.candidate_prices import Beside
from webapp.costing.deal_facts import Deal, Span, Spans
from webapp.costing.gaps import Figure, Gap, first_gap
from webapp.costing.rows import Row
from webapp.costing.size_facts import SizeQuestion

NO_JARS = Gap("How many jars do you expect to sell a month? Type it.")
NO_SHARE = Gap("What share of its buyers would have bought the other jar? Type it; 0 is an answer.")
NO_MORE = Gap("How many more jars do shops take by the case? Type a percentage; 0 is an answer.")
NO_NUMBER = Gap("How many jars does one take the place of? Type the number.")


def asked_of(question: SizeQuestion, place: int) -> SizeQuestion:
    """The question with what is expected of the candidate at `place`; what it does not say is as the question says.

    Its own ends count where its own likely figure is typed: those of the question are around another one.
    """
    one = question.candidates[place]
    if one.jars is not None:
        question = replace(question, jars=one.jars, jars_low=one.jars_low, jars_high=one.jars_high)
    if one.share is not None:
        question = replace(question, share=one.share, share_low=one.share_low, share_high=one.share_high)
    return question


def answers(question: SizeQuestion, beside: Beside, row: Row) -> tuple[tuple[str, Figure], ...]:
    """The answers that are thought of to how many jars one candidate takes the place of, the chosen one first.

    A set takes the place of all that is in it, of one visit for one of its jars, or of so many of them.
    """
    jars = beside.jars if beside.is_set else ONE
    if question.replaced == "number":
        number = question.number
        return (("number", NO_NUMBER if number is None else number / jars),)
    every: tuple[tuple[str, Figure], ...] = (("grams", beside.times(row)), ("visit", ONE / jars))
    return every if question.replaced == "grams" else every[::-1]


def deal(own: Figure, each: Figure, times: Figure, question: SizeQuestion, *, shared: bool = True) -> Deal | Gap:
    """A month at the likely point; a gap for the first thing that is not known.

    Not `shared` for figures that no share is in: without one they are not missing.
    """
    jars: Figure = NO_JARS if question.jars is None else question.jars
    unknown = NO_MORE if question.ask == "case" else NO_SHARE
    nobody: Figure = unknown if shared else ZERO
    share = nobody if question.share is None else percent(question.share)
    gap = first_gap((own, each, times, jars, share))
    if gap is not None:
        return gap
    return Deal(own, each, times, jars, share, question.monthly, question.one_off, question.within)  # type: ignore[arg-type]


def spans(likely: Deal | Gap, times: tuple[Figure, ...], question: SizeQuestion) -> Spans | Gap:
    """What is not known for certain around the likely point; an end that is not typed is as the likely one."""
    gap = likely if isinstance(likely, Gap) else first_gap(times)
    if isinstance(gap, Gap) or isinstance(likely, Gap):
        return gap or NO_JARS
    return Spans(
        span(question.jars_low, likely.jars, question.jars_high),
        span(_fraction(question.share_low), likely.share, _fraction(question.share_high)),
        span(question.monthly_low, likely.monthly, question.monthly_high),
        tuple(dict.fromkeys(one for one in times if isinstance(one, Decimal))),
    )


def _fraction(typed: Decimal | None) -> Decimal | None:
    return None if typed is None else percent(typed)


def span(low: Decimal | None, likely: Decimal, high: Decimal | None) -> Span:
    """What may be; an end that is not typed is as the likely one."""
    return Span(likely if low is None else low, likely, likely if high is None else high)
