"""The core against exact fractions: no price, jar count or verdict may differ, exact ties among them."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import partial
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings

from tests import agreement, examples
from tests.books import reach, small, small_books, ties
from tests.reckoning import Line, written
from tests.reckoning_buying import Gap as NoFigure
from tests.reckoning_buying import snap
from webapp.costing import prices
from webapp.costing.book import PAIRS, SHELVES, Book
from webapp.costing.changes import Put, apply
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning

pytestmark = pytest.mark.long

#: what a small book must be able to be, so that agreement means something
MUST_REACH = {
    "nested", "nested and made ahead", "whipped", "foreign", "row with a gap", "zero price", "set aside", "set",
    "home currency of 0 places", "home currency of 3 places", "shared by mass", "tax as one sum", "drops", "rest",
    "row held up by the recommended retail", "price that can't be reached", "quote chosen", "two fillings", "breakage",
    "row below its target", "discount on the order", "line that sets no price", "charge in home money",
}  # fmt: skip


def keys(book: Book) -> dict[str, int]:
    """The figures' names hold numbers as texts."""
    return {str(number): number for shelf in (*agreement.SHELVES, "orders") for number in getattr(book, shelf)}


def disagreements(book: Book) -> list[tuple[Any, ...]]:
    """Every figure on which core and fractions differ at 12 places."""
    known, ids = Reckoning(book), keys(book)
    found = []
    for of, channel, name, ask in Line(agreement.typed(book), book.day).figures():
        figure, value = agreement.figure_of(known, ids, of, channel, name), written(ask)
        if not agreement.agrees(figure, value):
            found.append((of, channel, name, value, figure))
    return found


def verdicts(book: Book) -> tuple[int, list[tuple[Any, ...]]]:
    """Products looked at, and where a jar count, a suggested price or the side of a target differs."""
    known, line = Reckoning(book), Line(agreement.typed(book), book.day)
    found: list[tuple[Any, ...]] = []
    for number, product in book.products.items():
        sheet = known.sheet(number)
        for place, fill in enumerate(sheet.fills):
            _compare(found, ("jars", number, place), fill.jars, partial(line.jars, number, place))
        for channel in line.sold_on(number) if product.retired is None else ():
            row, pair = known.row(number, channel), (number, channel)
            _compare(found, ("suggested", *pair), row.suggested, partial(line.suggested, *pair))
            _compare(found, ("price", *pair), row.price, partial(line.price, *pair))
            _compare_side(found, row, pair, line)
    return len(book.products), found


def _compare_side(found: list[tuple[Any, ...]], row: Any, pair: tuple[int, int], line: Line) -> None:
    try:
        distance = snap(line.margin(*pair)) - line.target(*pair)
    except NoFigure:
        if not isinstance(row.margin, Gap):
            found.append(("margin", *pair, row.margin))
        return
    side = "at" if not distance else "above" if distance > 0 else "short"
    if isinstance(row.margin, Gap) or prices.side(row.margin, row.target) != side:
        found.append(("side", *pair, row.margin, distance))


def _compare(found: list[tuple[Any, ...]], what: tuple[Any, ...], figure: Any, ask: Any) -> None:
    try:
        exact: Fraction | None = ask()
    except NoFigure:
        exact = None
    if exact is None and isinstance(figure, Gap):
        return
    if exact is None or isinstance(figure, Gap) or Fraction(figure) != exact:
        found.append((*what, figure, exact))


def agree(products: int, first: int = 0) -> Counter[str]:
    """Hold that many generated products against fractions; what they reached."""
    seed, looked, reached = first, 0, Counter[str]()
    while looked < products:
        book = small(Random(seed))
        many, found = verdicts(book)
        assert not found, (seed, found[:5])
        looked += many
        if seed % 5 == 0:
            reached.update(reach(book))
        seed += 1
    return reached


def hold_ties(many: int, first: int = 0) -> None:
    for one in ties(first, many):
        known = Reckoning(one.book)
        line = Line(agreement.typed(one.book), one.book.day)
        pair = (one.product, one.channel)
        assert line.margin(*pair) == line.target(*pair), "the fractions must be exactly at the target"
        row = known.row(*pair)
        assert known.sheet(one.product).fills[0].jars == one.jars, one
        assert Fraction(agreement.known(row.suggested)) == one.price, one
        assert prices.side(agreement.known(row.margin), row.target) == "at", one
        assert row.reaches is True
        assert verdicts(one.book)[1] == []


FIRST_OF_FIVE = [0, *(pytest.param(first, marks=pytest.mark.deep) for first in range(10_000, 50_000, 10_000))]


@pytest.mark.parametrize("first", FIRST_OF_FIVE)
def test_no_price_jar_count_or_verdict_differs_from_exact_fractions(first: int) -> None:
    """5,000 products in five parts, each of which reaches every kind: a plain run, which is waited for, has one."""
    reached = agree(1_000, first)
    print(dict(reached))
    assert not MUST_REACH - set(reached)


@pytest.mark.parametrize("first", FIRST_OF_FIVE[:2])
def test_exact_ties_go_as_the_exact_fractions_say(first: int) -> None:
    hold_ties(50, first)


@pytest.mark.deep
def test_no_price_jar_count_or_verdict_differs_from_exact_fractions_at_length() -> None:
    agree(100_000, first=1_000_000)


@pytest.mark.deep
def test_exact_ties_go_as_the_exact_fractions_say_at_length() -> None:
    hold_ties(4_000, first=1_000_000)


@settings(max_examples=examples.of(60))
@given(small_books)
def test_every_figure_of_a_small_book_is_that_of_the_fractions(book: Book) -> None:
    found = disagreements(book)
    assert not found, found[:5]


def test_every_figure_agrees_over_many_seeds() -> None:
    for seed in range(examples.of(80)):
        found = disagreements(small(Random(seed)))
        assert not found, (seed, found[:5])


def test_a_wrong_figure_would_be_noticed() -> None:
    assert agreement.agrees(Decimal("1.25"), "1.25")
    assert not agreement.agrees(Decimal("1.250000000001"), "1.25")
    assert not agreement.agrees(Gap("?"), "1.25")
    assert not agreement.agrees(Decimal(0), "gap: no price")
    found: list[tuple[Any, ...]] = []
    _compare(found, ("price",), Decimal("9.99"), lambda: Fraction("9.95"))
    assert found


@pytest.mark.parametrize("many", [examples.of(400), pytest.param(5_000, marks=pytest.mark.deep)])
def test_the_generated_books_are_books_that_can_be_entered(many: int) -> None:
    """All that a small book holds passes the core's own checks, so that agreement is about what can happen."""
    for seed in range(many):
        book = small(Random(seed))
        entered = Book(day=book.day, workshop=book.workshop, terms=book.terms, registrations=book.registrations)
        for shelf in (
            "people",
            "bills",
            "suppliers",
            "materials",
            "orders",
            "quotes",
            "formulas",
            "groups",
            "channels",
        ):
            entered = _enter(entered, getattr(book, shelf).values(), seed)
        entered = _enter(entered, book.products.values(), seed)
        for shelf in ("prices", "targets", "sales"):
            entered = _enter(entered, getattr(book, shelf).values(), seed)
        assert {kind for kind, _ in (*SHELVES.values(), *PAIRS.values())} >= {"order", "price"}


def _enter(book: Book, records: Any, seed: int) -> Book:
    for record in records:
        # the quote that is chosen for a material comes after the material
        wanted = replace(record, quote=None) if getattr(record, "quote", None) else record
        after = apply(book, Put(wanted))
        assert isinstance(after, Book), (seed, record, after)
        book = after
    return book
