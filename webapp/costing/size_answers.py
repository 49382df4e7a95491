"""Is another size worth offering, a set, a size less, a case for shops: what was asked, answered (method.md section 8).

A candidate is a change from book to book; every cost and price comes from the reckoning of the book with it in, and
what `offered` gives to be saved are these same changes. The sums of a deal are in worth.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from webapp.costing import worth
from webapp.costing.amounts import ZERO, snap
from webapp.costing.book import Book, Id, Price, Product, Sales
from webapp.costing.candidate_prices import ITSELF, WHY, Beside, Priced, beside, priced
from webapp.costing.candidates import Made, made
from webapp.costing.case_price import case_answer
from webapp.costing.changes import Put, questions
from webapp.costing.deal_facts import Cash, Deal, Grid, Spans, Verdict
from webapp.costing.decisions import with_reasons
from webapp.costing.dropping import drop_answer
from webapp.costing.first_order import bought_again, first_orders, shelf, tied_up
from webapp.costing.gaps import Figure, Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.size_cash import cash
from webapp.costing.size_deals import answers, asked_of, deal, spans
from webapp.costing.size_facts import CandidateAnswer, Rung, Shelf, SizeAnswer, SizePart, SizeQuestion, Trade
from webapp.costing.size_faults import faults_of
from webapp.costing.size_ladder import ladders

#: what else is to be said of a candidate, as codes; questions that saving it would ask are among them by their own
MORE_THAN_SOLD = "more-than-sold"  # more of the present jars would be replaced than are sold now
EARNS_NOTHING = "earns-nothing"  # the present jar contributes nothing
BELOW_TARGET = "below-target"
UNDERCUTS = "undercuts"  # a buyer pays less than stockists are to ask
SUGGESTED_BESIDE = "suggested"  # the present jar has no accepted price: it stands at the suggested one
NO_PARTS = "same-jar"  # no jar was asked for, so it is in the present one's
UNSOLD = "unsold"  # not all of a batch sells while it keeps


def answer(known: Reckoning, question: SizeQuestion) -> SizeAnswer:
    """What was asked, answered. ValueError for what `size_asking.read` refuses."""
    wrong = faults_of(known.book, question)
    if wrong:
        raise ValueError(f"{wrong[0].field}: {wrong[0].sentence}")
    if question.ask == "drop":
        return SizeAnswer(question, drop=drop_answer(known, question), known=known)
    if question.ask == "case":
        case, cased = case_answer(known, question)
        return SizeAnswer(question, case=case, known=cased)
    candidates = tuple(one for one in made(known.book, question) if isinstance(one, Made))
    asked = _Asked(known.book, priced(known, question, candidates), candidates, question)
    return SizeAnswer(
        question,
        tuple(_candidate(asked, one) for one in candidates),
        _ladders(asked),
        known=asked.after.known,
    )


class _Asked(NamedTuple):
    """A question about candidates: the book without them, the one with them, and who they are."""

    before: Book
    after: Priced
    made: Sequence[Made]
    question: SizeQuestion

    @property
    def beside(self) -> Beside:
        """What they are set beside."""
        return beside(self.after.known, self.question, self.made)


def _ladders(asked: _Asked) -> dict[Id, tuple[Rung, ...]]:
    """A set has no sizes beside it."""
    if asked.question.ask == "set" or not asked.made:
        return {}
    formula = asked.made[0].product.fills[0].formula
    places = {one.product.id: one.place for one in asked.made}
    return ladders(asked.after.known, formula, places, asked.after.rows, _widths(asked))


def _widths(asked: _Asked) -> dict[Id, Decimal]:
    """By product what it takes of the front of a shelf, where that is typed."""
    question = asked.question
    typed = {one.product.id: question.candidates[one.place].width for one in asked.made}
    if question.product is not None:
        typed[question.product] = question.width
    return {ident: width for ident, width in typed.items() if width is not None}


def _candidate(asked: _Asked, one: Made) -> CandidateAnswer:
    question, small, known = asked_of(asked.question, one.place), asked.beside, asked.after.known
    typed, row, price = question.candidates[one.place], asked.after.rows[one.place], asked.after.prices[one.place]
    own: Figure = ITSELF if question.formula is not None and one.place == 0 else row.contribution
    trades = tuple(_trade(question, row, small, own, way) for way in answers(question, small, row))
    likely = trades[0].deal
    ranges = spans(likely, tuple(one.times for one in trades), question)
    parts = first_orders(asked.before, known, one, typed, question)
    keeps = shelf(known, row, question.jars)
    return CandidateAnswer(
        place=one.place,
        product=one.product,
        changes=one.puts,
        row=row,
        price_way=typed.way,
        price=price,
        trades=trades,
        spans=ranges,
        grid=_grid(likely, ranges),
        verdict=_verdict(likely, ranges, row),
        parts=parts,
        tied_up=tied_up(parts),
        shelf=keeps,
        cash=_cash(likely, parts),
        remarks=tuple(dict.fromkeys(_remarks(asked, one, row, likely, keeps))),
    )


def _trade(question: SizeQuestion, row: Row, small: Beside, own: Figure, answer: tuple[str, Figure]) -> Trade:
    """One answer to how many jars it takes the place of; what needs no share is not missing without one."""
    replaced, times = answer
    each = ZERO - small.contribution
    full, bare = deal(own, each, times, question), deal(own, each, times, question, shared=False)
    return Trade(
        replaced,
        times,
        full,
        full if isinstance(full, Gap) else worth.gain(full),
        bare if isinstance(bare, Gap) else worth.break_even_share(bare),
        full if isinstance(full, Gap) else worth.months(full),
        _fair_price(bare, row),
    )


def _fair_price(bare: Deal | Gap, row: Row) -> Figure:
    if isinstance(bare, Gap):
        return bare
    return row.direct if isinstance(row.direct, Gap) else worth.fair_price(bare, row.direct, row.terms)


def _grid(likely: Deal | Gap, ranges: Spans | Gap) -> Grid | Gap:
    if isinstance(likely, Gap) or isinstance(ranges, Gap):
        return likely if isinstance(likely, Gap) else ranges  # type: ignore[return-value]  # one of the two is a gap
    return worth.grid(likely, ranges)


def _verdict(likely: Deal | Gap, ranges: Spans | Gap, row: Row) -> Verdict | Gap:
    for known in (likely, ranges, row.price, row.direct):
        if isinstance(known, Gap):
            return known
    return worth.verdict(likely, ranges, row.price, row.direct, row.terms)  # type: ignore[arg-type]  # gaps have left


def _cash(likely: Deal | Gap, parts: Sequence[SizePart]) -> Cash | Gap:
    again = bought_again(parts)
    if isinstance(likely, Gap) or isinstance(again, Gap):
        return likely if isinstance(likely, Gap) else again  # type: ignore[return-value]  # one of the two is a gap
    return cash(likely, again)


# --- what else is to be said


def _remarks(asked: _Asked, one: Made, row: Row, likely: Deal | Gap, keeps: Shelf | None) -> Iterator[str]:
    small = asked.beside
    if isinstance(likely, Deal) and _more_than_sold(likely, small):
        yield MORE_THAN_SOLD
    if isinstance(small.contribution, Decimal) and snap(small.contribution) <= ZERO:
        yield EARNS_NOTHING
    if row.reaches is False:
        yield BELOW_TARGET
    if row.undercuts is not None:
        yield UNDERCUTS
    if any(not each.accepted for each, _ in small.rows):
        yield SUGGESTED_BESIDE
    if not one.asked and asked.question.ask == "size":
        yield NO_PARTS
    if keeps is not None and isinstance(keeps.unsold, Decimal) and snap(keeps.unsold) > ZERO:
        yield UNSOLD
    yield from (asked.code for asked in questions(asked.before, one.puts))


def _more_than_sold(likely: Deal, small: Beside) -> bool:
    """Whether trading up takes more of a present jar than are known to be sold there in a month."""
    taken = likely.jars * likely.share * likely.times
    return any(
        row.jars_a_month is not None and snap(taken * often) > snap(row.jars_a_month) for row, often in small.rows
    )


# --- to be saved


def offered(answer: SizeAnswer, place: int, day: date, *, sales: bool = False) -> tuple[Put, ...]:
    """What offering the candidate at `place` saves, from `day` on: new parts, the product, its price on the channel.

    KeyError where there is none. A price that is missing is not saved, and elsewhere it stands at the suggested one.
    With `sales` the jars a month that are expected there are saved as what is sold, where they are typed.
    """
    one = {each.place: each for each in answer.candidates}[place]
    dated = tuple(
        Put(replace(put.record, since=day)) if isinstance(put.record, Product) else put for put in one.changes
    )  # fmt: skip
    jars = asked_of(answer.question, place).jars
    if sales and jars is not None:
        dated = (*dated, Put(Sales(one.product.id, one.row.channel, day, jars)))
    if isinstance(one.price, Gap):
        return dated
    price = Price(one.product.id, one.row.channel, day, one.price, WHY)
    return (*dated, Put(with_reasons(price, one.row)))
