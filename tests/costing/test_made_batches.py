"""Batches that were made: the weighing sheet, what a batch took beside what was planned, and its sums."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.books import small
from tests.costing.making import (
    ANNA,
    BEN,
    BUTTER,
    DAY,
    DUO,
    INFUSED,
    JAR,
    OIL,
    SEALED,
    SHEA,
    TUB,
    WATER,
    D,
    adds_up,
    fill,
    formula,
    gap,
    known,
    line,
    product,
    room,
    work,
)
from webapp.costing.book import Book, Filled, MadeBatch, Part, Spent, Weighed
from webapp.costing.changes import Put, Withdraw, apply
from webapp.costing.checks import questions_of
from webapp.costing.gaps import Gap, Ref
from webapp.costing.limits import Fault
from webapp.costing.made_batch_working import FIGURES, JAR_FIGURES, working
from webapp.costing.made_batches import (
    batch_made,
    expected_jars,
    grams_for,
    learnt,
    usual_grams,
    weighing_sheet,
)
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Working, come_to

HALF, MIXED, MADE = 34, 24, 51
#: 60 % shea at 8 a kg, 40 % oil at 5; 2 % and 10 g are lost; half an hour a batch
MELT = formula(
    BUTTER,
    line(SHEA, "60"),
    line(OIL, "40"),
    batch_grams="1000",
    loss="2",
    loss_grams="10",
    work=(work(ANNA, per_batch="30"),),
)
#: 100 g in a jar with its lid, a minute each, one of a batch kept as a sample
BALM = product(
    TUB,
    fill(BUTTER, "100"),
    parts=(Part(group=SEALED),),
    set_aside="1",
    work=(work(ANNA, per_jar="1"),),
)
SMALL = product(HALF, fill(BUTTER, "50"))
RECORD = MadeBatch(
    MADE,
    DAY,
    BUTTER,
    (Weighed(SHEA, None, D(600), D(606)), Weighed(OIL, None, D(400), D(394))),
    (Filled(TUB, D(8)),),
    (Spent(ANNA, D(45)), Spent(BEN, D(20))),
)


def kitchen(*things: object, record: MadeBatch = RECORD) -> Reckoning:
    book = room(MELT, BALM, SMALL, *things)
    return Reckoning(replace(book, batches={record.id: record}))


def faults(book: Book, record: MadeBatch) -> list[tuple[str, str]]:
    after = apply(book, Put(record))
    return [] if isinstance(after, Book) else [(one.field, one.code) for one in after if isinstance(one, Fault)]


# --- before ---


def test_a_plain_blend_is_opened_and_one_made_ahead_is_weighed_as_it_is() -> None:
    infused = formula(INFUSED, line(OIL, "100"), made_ahead=True, batch_grams="500")
    mixed = formula(MIXED, line(BUTTER, "50", blend=True), line(INFUSED, "50", blend=True))
    sheet = weighing_sheet(kitchen(infused, mixed), MIXED, D(200))
    assert [(one.material, one.formula, one.grams, one.into) for one in sheet] == [
        (SHEA, None, D(60), ("Butter",)),
        (OIL, None, D(40), ("Butter",)),
        (None, INFUSED, D(100), ()),
    ]


def test_what_takes_the_rest_is_on_the_sheet_and_a_line_of_no_known_grams_says_why() -> None:
    rest = formula(MIXED, line(SHEA, "99.5"), line(OIL, None, rest=True))
    assert [one.grams for one in weighing_sheet(kitchen(rest), MIXED, D(1000))] == [D(995), D(5)]
    by_volume = formula(MIXED, line(WATER, "10", "mL"), way="grams")
    (only,) = weighing_sheet(kitchen(by_volume), MIXED, D(100))
    assert "density" in gap(only.grams).reason


def test_the_grams_for_so_many_jars_have_losses_and_the_sample_in_them() -> None:
    # (8 + 1) x 100 g and 10 g that stay in the pot are 98 %: 910 / 0.98.
    known_kitchen = kitchen()
    grams = known(grams_for(known_kitchen, BALM, D(8)))
    assert grams.quantize(D("0.0001")) == D("928.5714")
    assert expected_jars(known_kitchen, BALM, grams) == 8
    assert expected_jars(known_kitchen, BALM, D(1000)) == 8  # 970 g fill 9, one of them is kept
    assert usual_grams(known_kitchen, MELT, BALM) == 1000
    assert usual_grams(known_kitchen, MELT, replace(BALM, batch_grams=D(400))) == 400
    assert usual_grams(known_kitchen, MELT, None) == 1000
    assert usual_grams(known_kitchen, MELT, product(DUO, fill(BUTTER, "50"), fill(BUTTER, "20"))) == 1000


def test_a_product_of_several_fillings_has_no_batch_of_its_own() -> None:
    two = product(TUB, fill(BUTTER, "50"), fill(BUTTER, "50"))
    assert "not one filling" in gap(grams_for(kitchen(two), two, D(3))).reason


@given(st.integers(1, 500), st.integers(0, 40), st.integers(0, 300), st.integers(0, 3))
@settings(deadline=None, max_examples=60)
def test_so_many_jars_are_filled_by_the_grams_that_are_said_for_them(
    jars: int, loss: int, fixed: int, aside: int
) -> None:
    melt = replace(MELT, loss=D(loss), loss_grams=D(fixed))
    balm = replace(BALM, set_aside=D(aside))
    there = kitchen(melt, balm)
    assert expected_jars(there, balm, known(grams_for(there, balm, D(jars)))) == jars


# --- after, on paper ---


def test_a_batch_beside_what_was_planned() -> None:
    made = batch_made(kitchen(), RECORD)
    # 606 x 0.008 + 394 x 0.005 = 6.818; planned 600 x 0.008 + 400 x 0.005 = 6.80
    assert (made.weighed, made.planned, made.cost, made.planned_cost) == (D(1000), D(1000), D("6.818"), D("6.8"))
    # 8 good jars and the sample hold 900 g; 2 % and 10 g of 1000 g were planned
    assert (made.filled, made.lost, made.loss, made.planned_loss) == (D(900), D(100), D("0.10"), D("0.03"))
    # 45 min at 15 and 20 min at 12 + 25 %: 11.25 + 5
    assert (made.minutes, made.pay) == (D(65), D("16.25"))
    (jar,) = made.jars
    # 6.818 / 8; 16.25 / 8; jar 0.50 and lid 0.22 for 9 jars, borne by 8: 0.81
    assert (jar.ingredients, jar.minutes, jar.labour) == (D("0.85225"), D("8.125"), D("2.03125"))
    assert (jar.sheet.packaging, jar.direct) == (D("0.81"), D("3.6935"))
    # planned: 6.80 / 8 + 0.81 + (30 + 9) min at 15 an hour / 8 = 0.85 + 0.81 + 1.21875 = 2.87875
    assert (jar.sheet.direct, jar.difference) == (D("2.87875"), D("0.81475"))


def test_two_sizes_share_the_ingredients_by_their_grams_and_the_minutes_by_the_jar() -> None:
    record = replace(RECORD, filled=(Filled(TUB, D(6)), Filled(HALF, D(5))))
    made = batch_made(kitchen(record=record), record)
    big, small_one = made.jars
    # 6 x 100 g + 5 x 50 g = 850 g: no sample is counted where more than one size was filled
    assert (made.filled, made.lost) == (D(850), D(150))
    assert known(big.ingredients) == D("6.818") * 100 / 850
    assert known(small_one.ingredients) == D("6.818") * 50 / 850
    assert big.labour == small_one.labour == D("16.25") / 11
    assert known(big.ingredients) * 6 + known(small_one.ingredients) * 5 == pytest.approx(D("6.818"), abs=D("1e-40"))


def test_a_blend_made_ahead_brings_its_minutes() -> None:
    # 500 g of it took 20 min, nothing is lost: 0.04 min a gram. 250 g bring 10 min of Anna, 2.50.
    infused = formula(INFUSED, line(OIL, "100"), made_ahead=True, batch_grams="500", work=(work(ANNA, per_batch="20"),))
    record = replace(RECORD, lines=(*RECORD.lines, Weighed(None, INFUSED, D(0), D(250))))
    made = batch_made(kitchen(infused, record=record), record)
    assert (made.minutes, made.pay) == (D(75), D("18.75"))
    assert made.cost == D("6.818") + D(250) * D("0.005")


def test_a_blend_made_ahead_of_which_nobody_knows_the_batch_leaves_its_minutes_missing() -> None:
    infused = formula(INFUSED, line(OIL, "100"), made_ahead=True, work=(work(ANNA, per_batch="20"),))
    record = replace(RECORD, lines=(*RECORD.lines, Weighed(None, INFUSED, D(0), D(250))))
    made = batch_made(kitchen(infused, record=record), record)
    assert gap(made.minutes).cure == gap(made.pay).cure == Ref("formula", INFUSED, "batch_grams")
    assert made.cost == D("6.818") + D(250) * D("0.005")


def test_what_is_not_known_is_missing_with_its_reason_and_never_nothing() -> None:
    bare = replace(RECORD, filled=(), spent=())
    made = batch_made(kitchen(record=bare), bare)
    assert "How many jars" in gap(made.lost).reason
    assert "minutes" in gap(made.minutes).reason
    assert made.jars == ()
    assert adds_up(working(kitchen(record=bare), MADE, "lost"))
    dear = replace(RECORD, lines=(*RECORD.lines, Weighed(WATER, None, D(0), D(1))))
    made = batch_made(kitchen(record=dear), dear)
    assert "Rose water" in gap(made.cost).reason
    assert "Rose water" in gap(made.jars[0].direct).reason
    assert made.lost == 101


def test_a_jar_with_another_filling_in_it_is_not_told_by_one_batch() -> None:
    other = formula(MIXED, line(OIL, "100"), batch_grams="1000")
    two = replace(BALM, fills=(*BALM.fills, fill(MIXED, "5")), set_aside=D(0))
    made = batch_made(kitchen(other, two), RECORD)
    assert "several fillings" in gap(made.jars[0].direct).reason
    assert known(made.jars[0].ingredients) == D("6.818") / 8
    opened = working(kitchen(other, two), MADE, "jars-0-direct")
    assert [(step.words, step.amount) for step in opened.steps] == [("by this batch alone", made.jars[0].direct)]


def test_a_jar_with_two_fillings_of_the_formula_takes_both() -> None:
    """60 g and 40 g of the same butter: eight jars hold 800 g of the 1000 g, and nothing is set aside of several."""
    two = replace(BALM, fills=(fill(BUTTER, "60"), fill(BUTTER, "40")), set_aside=D(0))
    made = batch_made(kitchen(two), RECORD)
    assert (made.filled, made.lost, made.jars[0].grams) == (D(800), D(200), D(100))
    assert known(made.jars[0].ingredients) == D("6.818") / 8


def test_a_product_that_is_filled_with_something_else_by_now_says_so() -> None:
    other = formula(MIXED, line(OIL, "100"), batch_grams="1000")
    made = batch_made(kitchen(other, replace(BALM, fills=(fill(MIXED, "100"),))), RECORD)
    assert "any more" in gap(made.lost).reason


def test_several_batches_together_say_what_is_really_lost() -> None:
    # 100 g of 1000 g and 52 g of 952 g: 152 / 1952; planned 30 g and 2 % of 952 + 10 = 29.04: 59.04 / 1952
    second = replace(RECORD, id=52, lines=(Weighed(SHEA, None, D(0), D(952)),))
    book = replace(kitchen().book, batches={MADE: RECORD, 52: second})
    found = learnt(Reckoning(book), BUTTER)
    assert found is not None
    assert (found.batches, found.weighed, found.lost) == (2, D(1952), D(152))
    assert (found.loss.quantize(D("0.0001")), found.planned_loss.quantize(D("0.0001"))) == (D("0.0779"), D("0.0302"))
    assert learnt(Reckoning(replace(book, batches={})), BUTTER) is None
    newest = learnt(Reckoning(book), BUTTER, most=1)
    assert newest is not None
    assert newest.lost == 52


def test_a_batch_moves_no_price() -> None:
    book = kitchen().book
    without = Reckoning(replace(book, batches={}))
    assert [Reckoning(book).sheet(one).full for one in (TUB, HALF)] == [without.sheet(one).full for one in (TUB, HALF)]


# --- sums ---


def test_every_sum_of_a_batch_comes_to_its_figure() -> None:
    there = kitchen()
    made = batch_made(there, RECORD)
    for name in FIGURES:
        opened = working(there, MADE, name)
        assert adds_up(opened), name
        assert opened.result == getattr(made, name)
    for name in JAR_FIGURES:
        opened = working(there, MADE, f"jars-0-{name}")
        assert adds_up(opened), name
        assert opened.result == getattr(made.jars[0], name)


@pytest.mark.parametrize("hours", [(), (Spent(ANNA, D(45)),)])
def test_the_time_of_what_was_made_ahead_stands_in_the_sums_of_minutes_and_pay(hours: tuple[Spent, ...]) -> None:
    """500 g took Anna 20 min, so the 250 g in the batch 10 min and 2.50, beside 45 min and 11.25 at the batch itself.

    Where nobody said who worked at the batch, all of its minutes are missing, and the sum says so.
    """
    infused = formula(INFUSED, line(OIL, "100"), made_ahead=True, batch_grams="500", work=(work(ANNA, per_batch="20"),))
    record = replace(RECORD, lines=(*RECORD.lines, Weighed(None, INFUSED, D(0), D(250))), spent=hours)
    there = kitchen(infused, record=record)
    minutes, pay = working(there, MADE, "minutes"), working(there, MADE, "pay")
    assert adds_up(minutes)
    assert adds_up(pay)
    assert working(there, MADE, "cost").steps[-1].amount == D("1.25")  # 250 g at 0.005
    if hours:
        assert ([one.amount for one in minutes.steps], minutes.result) == ([D(45), D(10)], D(55))
        assert ([one.amount for one in pay.steps], pay.result) == ([D("11.25"), D("2.50")], D("13.75"))
    else:
        assert len(minutes.steps) == len(pay.steps) == 1
        assert isinstance(minutes.result, Gap)
        assert isinstance(pay.result, Gap)


@pytest.mark.parametrize("figure", ["", "weighed", "jars-1-direct", "jars-0-", "jars-x-direct", "jars-0-full", "jars"])
def test_a_figure_of_no_name_is_no_figure(figure: str) -> None:
    with pytest.raises(KeyError):
        working(kitchen(), MADE, figure)


def comes_to_its_result(opened: Working) -> bool:
    """The sum on its first page; what it opens further is held by the tests of that."""
    found = come_to(opened.steps)
    if isinstance(found, Gap) or isinstance(opened.result, Gap):
        return isinstance(found, Gap) and isinstance(opened.result, Gap)
    return abs(found - opened.result) < D("1e-30")


@given(st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=20)
def test_in_any_book_every_sum_comes_to_its_figure_and_nothing_is_lost_of_the_cost(random: Random) -> None:
    known_book = Reckoning(small(random))
    for record in known_book.book.batches.values():
        made = batch_made(known_book, record)
        for name in FIGURES:
            assert comes_to_its_result(working(known_book, record.id, name)), name
        for place in range(len(made.jars)):
            for name in JAR_FIGURES:
                assert comes_to_its_result(working(known_book, record.id, f"jars-{place}-{name}")), name
        shares = [one.ingredients * one.jars for one in made.jars]
        if shares and not any(isinstance(one, Gap) for one in shares):
            assert abs(sum(known(one) for one in shares) - known(made.cost)) < D("1e-40")


# --- what can be wrong with one ---


def test_a_batch_is_kept_and_taken_back() -> None:
    book = room(MELT, BALM, SMALL)
    after = apply(book, Put(RECORD))
    assert isinstance(after, Book)
    assert after.batches == {MADE: RECORD}
    again = apply(after, Withdraw("batch", MADE))
    assert isinstance(again, Book)
    assert again == book


def test_one_of_a_day_to_come_was_not_made_yet() -> None:
    later = replace(RECORD, day=DAY.replace(year=DAY.year + 1))
    assert faults(room(MELT, BALM), later) == [("day", "ahead")]


def test_what_is_wrong_with_a_batch_is_said_at_its_field() -> None:
    book = room(MELT, BALM, SMALL, product(33, fill(INFUSED, "10")), formula(INFUSED, line(OIL, "100")))
    shea, oil = RECORD.lines
    assert faults(book, RECORD) == []
    assert faults(book, replace(RECORD, lines=(shea, replace(oil, formula=INFUSED)))) == [
        ("lines-1-material", "required")
    ]
    assert faults(book, replace(RECORD, lines=(Weighed(JAR, None, D(1), D(1)),))) == [("lines-0-material", "reference")]
    assert faults(book, replace(RECORD, lines=(replace(shea, grams=D(0)),))) == [("lines", "nothing-weighed")]
    assert faults(book, replace(RECORD, filled=(Filled(33, D(1)),))) == [("filled-0-product", "reference")]
    assert faults(book, replace(RECORD, filled=(Filled(TUB, D(1)), Filled(TUB, D(2))))) == [
        ("filled-1-product", "duplicate")
    ]
    assert faults(book, replace(RECORD, spent=(Spent(ANNA, D(1)), Spent(ANNA, D(2))))) == [
        ("spent-1-person", "duplicate")
    ]
    assert faults(book, replace(RECORD, formula=999)) == [("formula", "reference")]


def test_more_in_the_jars_than_was_weighed_is_asked_about() -> None:
    book = room(MELT, BALM, SMALL)
    assert questions_of(book, RECORD) == ()
    # nine to sell and the sample are all of the 1000 g
    assert questions_of(book, replace(RECORD, filled=(Filled(TUB, D(9)),))) == ()
    (asked,) = questions_of(book, replace(RECORD, filled=(Filled(TUB, D(10)),)))
    assert asked.code == "more-than-weighed"
    assert asked.sentence.startswith("The jars hold 1100 g, those set aside too, and 1000 g were weighed in.")
    (asked,) = questions_of(book, replace(RECORD, filled=(Filled(HALF, D(21)),)))
    assert asked.sentence.startswith("The jars hold 1050 g and 1000 g were weighed in.")
    whipped = product(TUB, fill(BUTTER, "100", "mL"))
    assert questions_of(room(MELT, whipped), replace(RECORD, filled=(Filled(TUB, D(99)),))) == ()
