"""What a candidate is set beside, and its price: typed, for the target, per 100 as now less a discount, or by the hour.

Method.md sections 5 and 8. Every price but a typed one is moved up to the channel's next ending. A candidate of a set
is set beside all that is in it. Money in home currency.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ONE, ZERO, half_up, percent
from webapp.costing.book import Book, Price
from webapp.costing.candidates import Made
from webapp.costing.changes import Put, apply_all
from webapp.costing.decisions import with_reasons
from webapp.costing.endings import next_ending
from webapp.costing.gaps import Figure, Gap, added, from_known
from webapp.costing.limits import MONEY
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row, per_hour
from webapp.costing.size_facts import Candidate, CandidateAnswer, SizeQuestion
from webapp.costing.worth import price_at

WHY = "A new size"
TOO_DEAR = Gap("The price would be more than can be kept. Type a price.")
ITSELF = Gap("This is the jar that the others are set beside. Type its price, or take that for its target.")


class Beside(NamedTuple):
    """What a candidate is set beside: the present jar at its present price, or all jars in a set together.

    `jars` of them; `rows` are theirs on the channel, each with how often it counts.
    """

    rows: tuple[tuple[Row, Decimal], ...]
    is_set: bool = False

    def together(self, figure: Callable[[Row], Figure]) -> Figure:
        """A figure of all of them, added."""
        return added(figure(row) * often for row, often in self.rows)

    @property
    def jars(self) -> Decimal:
        """How many jars that is."""
        return sum((often for _, often in self.rows), ZERO)

    @property
    def contribution(self) -> Figure:
        """What they contribute together."""
        return self.together(lambda row: row.contribution)

    def times(self, candidate: Row) -> Figure:
        """How often what is declared on it goes into what the candidate declares: by volume where both are."""
        if self.is_set:
            return ONE
        ours, theirs = self.rows[0][0].sheet, candidate.sheet
        if ours.declared_ml is not None and theirs.declared_ml is not None:
            return theirs.declared_ml / ours.declared_ml
        return from_known(lambda big, small: big / small, theirs.declared_grams, ours.declared_grams)


class Priced(NamedTuple):
    """The book with all candidates and their prices in it, reckoned; by place their prices and rows on the channel."""

    known: Reckoning
    prices: tuple[Figure, ...]
    rows: tuple[Row, ...]


def beside(known: Reckoning, question: SizeQuestion, made: Sequence[Made | CandidateAnswer]) -> Beside:
    """What the candidates of a question are set beside, in the book that they are in."""
    channel = question.channel or 0
    if question.ask == "set":
        return Beside(tuple((known.row(one.product, channel), one.count) for one in question.members), is_set=True)
    product = made[0].product.id if question.formula is not None else question.product or 0
    return Beside(((known.row(product, channel), ONE),))


def priced(known: Reckoning, question: SizeQuestion, made: Sequence[Made]) -> Priced:
    """All candidates in the book, each with its price on the channel; one whose price is missing has none there."""
    channel = question.channel or 0
    now = Reckoning(_after(known.book, [put for one in made for put in one.puts]), known)
    prices: list[Figure] = []
    for together in (made[:1], made[1:]):  # of a new formula the first has its price before the others look at it
        rows = [now.row(one.product.id, channel) for one in together]
        found = [_price(now, question, made, one, row) for one, row in zip(together, rows, strict=True)]
        puts = [put for row, price in zip(rows, found, strict=True) for put in _puts(row, price, now.book.day)]
        now = Reckoning(_after(now.book, puts), now) if puts else now
        prices += found
    priced_rows = (at_price(now.row(one.product.id, channel), price) for one, price in zip(made, prices, strict=True))
    return Priced(now, tuple(prices), tuple(priced_rows))


def _after(book: Book, puts: Sequence[Put]) -> Book:
    after = apply_all(book, puts)
    if not isinstance(after, Book):
        raise ValueError(after[0].sentence)  # noqa: TRY004 - refused as a fault when the question was read
    return after


def _puts(row: Row, price: Figure, day: date) -> tuple[Put, ...]:
    if isinstance(price, Gap):
        return ()
    return (Put(with_reasons(Price(row.product, row.channel, day, price, WHY), row)),)


def at_price(row: Row, price: Figure) -> Row:
    """The row; where its price is missing it is not the suggested one that counts."""
    if not isinstance(price, Gap):
        return row
    return row._replace(price=price, net=price, fees=price, profit=price, margin=price)


def _price(now: Reckoning, question: SizeQuestion, made: Sequence[Made], one: Made, row: Row) -> Figure:
    candidate = question.candidates[one.place]
    price = _WAYS[candidate.way](candidate, row, beside(now, question, made))
    if isinstance(price, Gap) or candidate.way == "typed":
        return price
    return TOO_DEAR if price > MONEY.high else half_up(price, row.terms.places)


def _ended(price: Figure, row: Row) -> Figure:
    """Up to the channel's next ending."""
    endings = row.terms.endings
    if isinstance(price, Gap):
        return price
    return endings if isinstance(endings, Gap) else next_ending(price, endings)


def _for_target(one: Candidate, row: Row, small: Beside) -> Figure:
    del one, small
    return row.suggested


def _typed(one: Candidate, row: Row, small: Beside) -> Figure:
    del row, small
    return Gap("What it is to cost is not said yet. Type its price.") if one.price is None else one.price


def _per_hundred(one: Candidate, row: Row, small: Beside) -> Figure:
    """The present price per 100 less the discount, for what the candidate declares."""
    left = ONE - percent(one.discount or ZERO)
    return _ended(small.together(lambda each: each.price) * left * small.times(row), row)


def _by_the_hour(one: Candidate, row: Row, small: Beside) -> Figure:
    """The price at which an own hour brings what it brings with the present jar, before own pay."""
    del one
    an_hour = per_hour(
        small.together(lambda each: each.contribution_before_own_pay), small.together(lambda each: each.own_hours)
    )
    own = an_hour * row.own_hours - row.own_pay
    if isinstance(own, Gap) or isinstance(row.direct, Gap):
        return own if isinstance(own, Gap) else row.direct
    return _ended(price_at(own, row.direct, row.terms), row)


_WAYS: Mapping[str, Callable[[Candidate, Row, Beside], Figure]] = {
    "target": _for_target,
    "typed": _typed,
    "per 100": _per_hundred,
    "hour": _by_the_hour,
}
