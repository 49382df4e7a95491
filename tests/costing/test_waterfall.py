"""Why a margin moved: one kind of fact after another. Expected figures are from paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from random import Random
from typing import Any

import pytest

from tests import examples
from tests.books import example_book
from tests.costing.making import ANNA, BUTTER, DAY, JAR, OIL, SHEA, TUB, WATER, D, adds_up, costing, formula, line
from tests.costing.test_line import JARRED, STALL, STALLED, selling
from tests.small_books import small
from webapp.costing.amounts import snap
from webapp.costing.book import Book, Person, Price, Registration, Terms, Wage
from webapp.costing.gaps import Gap
from webapp.costing.mixed_books import beginning
from webapp.costing.reckoning import Reckoning
from webapp.costing.waterfall import (
    FORMULA,
    MATERIAL,
    OVERHEAD,
    PRICE,
    SELLING,
    WAGE,
    Waterfall,
    waterfall,
)
from webapp.costing.waterfall import (
    JAR as BATCH_AND_JAR,
)
from webapp.costing.waterfall_working import move_working, words, working

THEN = DAY - timedelta(90)
# A tub at 5 holds 60 g of shea at 8 a kg and 40 g of oil at 5, a jar at 0.50 and 6 own minutes at 15 an hour: 2.68.
BOOK = selling(JARRED, STALLED, prices=[(TUB, STALL, "5")])


def fall(now: Book, then: Book = BOOK, of: int = TUB, there: int = STALL) -> Waterfall:
    found = waterfall(Reckoning(replace(then, day=THEN)), Reckoning(now), of, there)
    assert isinstance(found, Waterfall), found
    return found


def told(found: Waterfall) -> list[tuple[Any, Any]]:
    """Each step's kind (or material) and what a jar leaves for it."""
    return [(move.causes[0].material or move.causes[0].kind, snap(move.profit)) for move in found.moves]


def materials(**prices: str) -> dict[int, Any]:
    """The usual materials at other prices, a kg or a piece."""
    usual = {"shea": (SHEA, "Shea", "kg"), "oil": (OIL, "Oil", "kg"), "jar": (JAR, "Jar", "pieces")}
    dearer = {usual[one][0]: costing(usual[one][0], usual[one][1], at, usual[one][2]) for one, at in prices.items()}
    return {**BOOK.materials, **dearer}


def test_nothing_moved_is_no_step() -> None:
    assert fall(BOOK).moves == ()
    assert fall(BOOK).whole.profit == 0


def test_materials_are_told_one_by_one_by_name() -> None:
    # oil 5 -> 6 a kg on 40 g: 0.04; shea 8 -> 10 on 60 g: 0.12; a jar 0.50 -> 0.45 gives 0.05
    found = fall(replace(BOOK, materials=materials(shea="10", oil="6", jar="0.45")))
    assert told(found) == [(JAR, D("0.05")), (OIL, D("-0.04")), (SHEA, D("-0.12"))]
    assert snap(found.whole.profit) == D("-0.11")
    # of 5 net: 2.2 points less
    assert snap(found.whole.margin) == D("-0.022")
    assert [words(found.now.known.book, move) for move in found.moves] == [
        "price of Jar",
        "price of Oil",
        "price of Shea",
    ]


def test_every_kind_in_its_order_each_on_what_went_before() -> None:
    made = formula(BUTTER, line(SHEA, "50"), line(OIL, "50"), batch_grams="1000")
    now = replace(
        BOOK,
        materials=materials(shea="10"),
        formulas={**BOOK.formulas, BUTTER: replace(made, loss=D(20))},
        people={**BOOK.people, ANNA: Person(ANNA, "Anna", "own", Wage(DAY, D(20)))},
        channels={STALL: replace(STALLED, share_net=D(10))},
        prices={(TUB, STALL): Price(TUB, STALL, DAY, D(6))},
    )
    assert told(fall(now)) == [
        # 10 g of oil for 10 g of shea: 0.08 - 0.05
        (FORMULA, D("0.03")),
        # 800 g of 1000 come out: 8 jars bear 6.50 that 10 bore: 0.8125 - 0.65
        (BATCH_AND_JAR, D("-0.1625")),
        # 2 a kg on 500 g / 8
        (SHEA, D("-0.125")),
        # 5 an hour for 6 minutes
        (WAGE, D("-0.5")),
        # a tenth of 5
        (SELLING, D("-0.5")),
        # 1 more, less a tenth of it
        (PRICE, D("0.9")),
    ]


def test_bills_and_how_they_are_shared_are_one_step() -> None:
    terms = Terms(overhead="hours", making_hours=D(100), target=D(40))
    then = selling(JARRED, STALLED, terms=terms, bills={1: "200"}, prices=[(TUB, STALL, "5")])
    # 6 minutes at 2 an hour, then at 3: a bill more, and one that ended since
    ended = {one.id: replace(one, retired=DAY) for one in then.bills.values()}
    more = selling(JARRED, STALLED, terms=terms, bills={2: "300"}, prices=[(TUB, STALL, "5")])
    now = replace(more, bills={**ended, **more.bills})
    assert told(fall(now, then)) == [(OVERHEAD, D("-0.1"))]


@pytest.mark.parametrize(
    ("changed", "moved"),
    [
        ({"making_hours": D(50)}, "-0.2"),  # 4 an hour for six minutes instead of 2
        ({"overhead": "left out"}, "0.2"),
        ({"cost": "direct"}, "0.2"),
        ({"overhead": "jars", "planned_jars": D(400)}, "-0.3"),  # 200 over 400 jars
    ],
)
def test_how_bills_are_shared_belongs_to_them(changed: dict[str, Any], moved: str) -> None:
    terms = Terms(overhead="hours", making_hours=D(100), target=D(40))
    then = selling(JARRED, STALLED, terms=terms, bills={1: "200"}, prices=[(TUB, STALL, "5")])
    assert told(fall(replace(then, terms=replace(terms, **changed)), then)) == [(OVERHEAD, D(moved))]


def test_what_the_day_changes_by_itself_belongs_to_fees_and_tax() -> None:
    held = replace(STALLED, share_net=D(10), fee_tax=D(20))
    entries = (Registration(date(2020, 1, 1), registered=False), Registration(DAY, registered=True))
    then = replace(selling(JARRED, held, prices=[(TUB, STALL, "5")]), registrations=entries)
    # a fifth on half of it counts no more: 0.1 of 5 x 0.2
    assert told(fall(then, then)) == [(SELLING, D("0.1"))]


def test_a_material_that_had_no_cost_then_counts_at_that_of_now_and_is_named() -> None:
    dear = costing(WATER, "Rose water", "20")
    made = formula(BUTTER, line(SHEA, "60"), line(WATER, "40"), batch_grams="1000")
    now = replace(BOOK, materials={**BOOK.materials, WATER: dear}, formulas={BUTTER: made})
    found = fall(now)
    # 40 g at 20 a kg for 40 g at 5
    assert told(found) == [(FORMULA, D("-0.6"))]
    assert found.priced_as_now == (WATER,)


def test_what_was_not_there_yet_or_is_not_known_says_why() -> None:
    young = replace(BOOK, day=THEN, products={})
    answer = waterfall(Reckoning(young), Reckoning(BOOK), TUB, STALL)
    assert isinstance(answer, Gap)
    assert "not there yet" in answer.reason
    unknown = replace(BOOK, materials={**BOOK.materials, OIL: costing(OIL, "Oil", None)})
    answer = waterfall(Reckoning(unknown), Reckoning(BOOK), TUB, STALL)
    assert isinstance(answer, Gap)
    assert "Oil has no price yet" in answer.reason


def test_what_cannot_be_told_apart_is_one_step_with_both_names() -> None:
    """Sold by volume since: the density comes with the jar, so the millilitres of the formula wait for it."""
    inner = formula(29, line(OIL, "100"), batch_grams="1000")
    then = replace(BOOK, formulas={**BOOK.formulas, 29: inner})
    made = formula(BUTTER, line(SHEA, "60", "g"), line(29, "40", "mL", blend=True), way="grams", batch_grams="1000")
    now = replace(BOOK, formulas={BUTTER: made, 29: replace(inner, density=D(1))})
    found = fall(replace(now, materials=materials(shea="9")), then)
    assert [tuple(one.kind for one in move.causes) for move in found.moves] == [(MATERIAL,)]
    dear = replace(now, formulas={**now.formulas, 29: replace(inner, density=D(2))})
    # 60 g of shea and 80 g of oil: a gram costs (0.48 + 0.40) / 140, a hundred 0.6286 where it was 0.68
    [move] = fall(dear, then).moves
    assert [one.kind for one in move.causes] == [FORMULA, BATCH_AND_JAR]
    assert snap(move.profit) == snap(D("0.68") - D(88) / 140)


def test_a_price_that_is_only_suggested_is_held_until_the_last_step() -> None:
    then = selling(JARRED, STALLED)
    dearer = replace(then, materials=materials(oil="10"))
    # 2.68 / 0.6 is 4.47, so 4.50; 0.20 more asks for 4.80, so 5.00
    assert told(fall(dearer, then)) == [(OIL, D("-0.2")), (PRICE, D("0.5"))]


def test_the_workings_end_at_the_steps() -> None:
    found = fall(
        replace(BOOK, materials=materials(shea="10", jar="0.45"), prices={(TUB, STALL): Price(TUB, STALL, DAY, D(6))})
    )
    for move in found.moves:
        made = move_working(found, move)
        assert adds_up(made), made.title
        assert snap(_known(made.result)) == snap(move.profit)
    whole = working(found)
    assert [step.sign for step in whole.steps] == ["", "+", "-", "+"]
    signed = [_known(step.amount) * (-1 if step.sign == "-" else 1) for step in whole.steps]
    assert snap(sum(signed, D(0))) == snap(found.now.margin)


def _known(figure: Any) -> Any:
    assert not isinstance(figure, Gap)
    return figure


# --- properties ------------------------------------------------------------------------------------------------------


def moved(book: Book, rng: Random) -> Book:
    """The book some time later: a few kinds of facts with other figures."""
    more = D(rng.randint(80, 140)) / 100

    def sometimes(change: Any, shelf: Any) -> Any:
        return {key: change(one) if rng.random() < 0.5 else one for key, one in shelf.items()}

    changes = {
        "materials": lambda one: replace(
            one, starting=one.starting and replace(one.starting, amount=one.starting.amount * more)
        ),
        "formulas": lambda one: replace(
            one, loss=min(one.loss + 1, D(99)), batch_grams=one.batch_grams and one.batch_grams * more
        ),
        "people": lambda one: replace(one, wage=one.wage and replace(one.wage, per_hour=one.wage.per_hour * more)),
        "groups": lambda one: replace(one, parts=tuple(replace(part, spoiled=part.spoiled + 1) for part in one.parts)),
        "products": lambda one: replace(one, work=tuple(replace(work, per_jar=D(2)) for work in one.work)),
        "bills": lambda one: replace(one, a_month=one.a_month * more),
        "channels": lambda one: replace(one, carton=one.carton + more, tax_rate=D(7)),
        "prices": lambda one: replace(one, amount=one.amount * more),
    }
    taken = {shelf: sometimes(change, getattr(book, shelf)) for shelf, change in changes.items() if rng.random() < 0.5}
    hours = book.terms.making_hours
    terms = replace(book.terms, making_hours=hours and hours * more) if rng.random() < 0.3 else book.terms
    return replace(book, **taken, terms=terms, day=book.day + timedelta(rng.randint(0, 60)))


def falls(seeds: range) -> Any:
    for seed in seeds:
        rng = Random(seed)
        then = small(rng)
        now = moved(then, rng)
        before, after = Reckoning(then), Reckoning(now)
        for row in after.line():
            found = waterfall(before, after, row.product, row.channel)
            if isinstance(found, Waterfall):
                yield before, after, found


def test_the_steps_add_up_exactly_to_the_whole_move() -> None:
    counted = 0
    for _, _, found in falls(range(examples.of(100))):
        counted += len(found.moves) > 1
        for figure in ("profit", "margin"):
            whole = Fraction(getattr(found.now, figure)) - Fraction(getattr(found.then, figure))
            assert (
                abs(whole) < Fraction(1, 10**12) or sum(Fraction(getattr(one, figure)) for one in found.moves) == whole
            )
        assert all(one.kind in words_of_kinds() for move in found.moves for one in move.causes)
    assert counted > 50


def words_of_kinds() -> set[str]:
    return {FORMULA, BATCH_AND_JAR, MATERIAL, WAGE, OVERHEAD, SELLING, PRICE}


def test_the_days_turned_round_give_the_whole_with_the_other_sign_and_a_lone_kind_too() -> None:
    lone = 0
    for before, after, found in falls(range(examples.of(100))):
        back = waterfall(after, before, found.product, found.channel)
        assert isinstance(back, Waterfall)
        assert back.whole.profit == found.whole.profit.copy_negate()
        if len(found.moves) == len(back.moves) == 1:
            lone += 1
            assert found.moves[0].causes == back.moves[0].causes
            assert back.moves[0].margin == found.moves[0].margin.copy_negate()
    assert lone > 20


def test_all_but_the_price_is_as_now_before_the_last_step_and_as_then_before_the_first() -> None:
    """So that no fact is left to the price that belongs elsewhere."""
    for before, after, found in falls(range(examples.of(60))):
        pair = (found.product, found.channel)
        price = Price(*pair, before.book.day, _known(found.now.row.price))
        as_now = Reckoning(replace(after.book, prices={**after.book.prices, pair: price}), after).row(*pair)
        assert snap(_known(as_now.profit)) == snap(found.now.profit)
        last = found.moves[-1:]
        if last and last[0].causes[-1].kind == PRICE:
            held = replace(
                after.book, prices={**after.book.prices, pair: replace(price, amount=_known(found.then.row.price))}
            )
            assert snap(_known(Reckoning(held).row(*pair).profit)) == snap(last[0].before.profit)
        started = beginning(before.book, after.book, pair, replace(price, amount=_known(found.then.row.price)))
        assert snap(_known(Reckoning(started).row(*pair).profit)) == snap(found.then.profit)


def test_sets_and_blends_of_the_example_are_told_too() -> None:
    """Every row of the example of which the margin is known, over its whole first year."""
    book, _ = example_book(date(2026, 11, 28))
    now = Reckoning(book)
    for row in now.line():
        found = waterfall(Reckoning(moved(book, Random(row.product * row.channel))), now, row.product, row.channel)
        if isinstance(found, Waterfall):
            assert sum((Fraction(one.margin) for one in found.moves), Fraction(0)) == Fraction(found.whole.margin)
