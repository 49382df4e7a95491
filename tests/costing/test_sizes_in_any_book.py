"""Questions about another size, a set, a size less or a case in any book: each is refused at a field, or answered.

What is offered is what was reckoned, and what that contributes is held against tests/reckoning.py in fractions.
"""

from __future__ import annotations

from functools import partial
from random import Random

import pytest

from tests import agreement, examples
from tests.costing.sizing import D
from tests.reckoning import Line, written
from tests.small_books import small
from webapp.costing.book import Book, Member
from webapp.costing.changes import apply_all
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_answers import answer, offered
from webapp.costing.size_facts import Candidate, SizeQuestion
from webapp.costing.size_faults import faults_of


def _hostile(seed: int) -> tuple[Book, SizeQuestion]:
    """Any book, and any question about one of its jars that could be typed."""
    rng = Random(seed)
    book = small(rng)
    products = [one for one in book.products.values() if len(one.fills) == 1 and not one.members]
    pieces = [one.id for one in book.materials.values() if one.by_piece]
    product = rng.choice(products or list(book.products.values()))
    channels = product.channels or tuple(book.channels)

    def candidate(place: int) -> Candidate:
        known_jar = bool(pieces) and rng.random() < 0.5
        return Candidate(
            name=f"New {place}",
            declared=D(rng.randint(1, 3000)) / 10,
            unit=rng.choice(("g", "g", "mL")),
            overfill=rng.choice((None, D(0), D(2))),
            jar=rng.choice(pieces) if known_jar else None,
            jar_name="" if known_jar else f"Jar {place}",
            jar_price=None if known_jar else D(rng.randint(1, 300)) / 100,
            jar_least=None if known_jar else rng.choice((None, D(50))),
            minutes=rng.choice((None, D(0), D("2.5"))),
            way=rng.choice(("target", "typed", "per 100", "hour")),
            price=D(rng.randint(0, 40)),
            discount=D(rng.randint(0, 99)),
        )

    return book, SizeQuestion(
        product=product.id,
        channel=rng.choice(channels),
        candidates=tuple(candidate(place) for place in range(rng.randint(1, 3))),
        replaced=rng.choice(("grams", "visit", "number")),
        number=D(rng.randint(1, 40)) / 10,
        jars=rng.choice((None, D(0), D("0.5"), D(20))),
        jars_high=None,
        share=rng.choice((None, D(0), D(40), D(100))),
        monthly=rng.choice((D(0), D(12))),
        one_off=rng.choice((D(0), D(90))),
    )


@pytest.mark.parametrize("seed", range(examples.of(60)))
def test_in_any_book_a_question_is_refused_or_answered_and_what_is_offered_is_what_was_reckoned(seed: int) -> None:
    book, question = _hostile(seed)
    if faults_of(book, question):
        return
    found = answer(Reckoning(book), question)
    for one in found.candidates:
        assert one.place == found.candidates.index(one)
        after = apply_all(book, offered(found, one.place, book.day))
        assert isinstance(after, Book), after
        if isinstance(one.price, Gap):
            continue
        row = Reckoning(after).row(one.product.id, one.row.channel)
        assert (row.price, row.net, row.fees, row.direct) == (one.price, one.row.net, one.row.fees, one.row.direct)
        asked_for = partial(Line(agreement.typed(after), book.day).contribution, one.product.id, row.channel)
        assert agreement.agrees(one.row.contribution, written(asked_for))


def test_most_hostile_questions_are_answered() -> None:
    """A test that refuses everything would tell nothing."""
    questions = [_hostile(seed) for seed in range(examples.of(60))]
    assert sum(not faults_of(*one) for one in questions) > len(questions) // 3


def _other_asks(seed: int) -> tuple[Book, SizeQuestion]:
    """Any book, and a question about a set, a size less or a case in it."""
    rng = Random(1000 + seed)
    book = small(rng)
    products = list(book.products)
    number = rng.choice(products)
    ask = rng.choice(("set", "drop", "case"))
    members = tuple(Member(one, D(rng.randint(1, 3))) for one in rng.sample(products, min(2, len(products))))
    price = rng.choice((None, D(rng.randint(1, 90))))
    return book, SizeQuestion(
        ask=ask,
        product=number,
        channel=rng.choice((None, *book.channels)) if ask == "drop" else rng.choice(tuple(book.channels)),
        other=rng.choice((None, *products)) if ask == "drop" else None,
        candidates=(Candidate(way=rng.choice(("target", "per 100", "hour")), discount=D(7)),) if ask == "set" else (),
        members=members if ask == "set" else (),
        replaced=rng.choice(("grams", "visit", "number")),
        number=D(rng.randint(1, 40)) / 10,
        jars=rng.choice((None, D(0), D(8))),
        share=rng.choice((None, D(0), D(40), D(100))),
        share_low=None,
        monthly=rng.choice((D(0), D(12))),
        one_off=rng.choice((D(0), D(90))),
        case_jars=D(rng.randint(2, 48)),
        case_price=price,
        discount=D(5) if price is None else None,
    )


@pytest.mark.parametrize("seed", range(examples.of(60)))
def test_in_any_book_other_questions_are_refused_or_answered(seed: int) -> None:
    book, question = _other_asks(seed)
    if faults_of(book, question):
        return
    found = answer(Reckoning(book), question)
    if question.ask == "set":
        assert isinstance(apply_all(book, offered(found, 0, book.day)), Book)
    else:
        assert (found.drop is None, found.case is None) == (question.ask != "drop", question.ask != "case")


def test_most_of_the_other_hostile_questions_are_answered() -> None:
    answered = [question.ask for book, question in map(_other_asks, range(60)) if not faults_of(book, question)]
    assert all(answered.count(ask) > 5 for ask in ("set", "drop", "case")), answered
