"""From batch to jar: good jars, packaging, minutes, pay, overhead, one-offs, sets."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from math import floor
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.making import (
    ANNA,
    BEN,
    BUTTER,
    DAY,
    DUO,
    INFUSED,
    JAR,
    LID,
    LOTION,
    OIL,
    PLAIN_BUTTER,
    PLAIN_TUB,
    SEALED,
    SET,
    SHEA,
    TUB,
    WATER,
    D,
    adds_up,
    changed,
    fill,
    formula,
    gap,
    known,
    line,
    product,
    reckoned,
    room,
    these,
    work,
)
from tests.small_books import small
from webapp.costing import batch_working, jar_working
from webapp.costing.amounts import snap
from webapp.costing.book import Channel, Material, Member, OneOff, Part, Person, StartingPrice, Terms, Wage, Work
from webapp.costing.gaps import Gap, Ref
from webapp.costing.jars import NO_BILLS, NO_MINUTES, UNPAID, charged_grams
from webapp.costing.parts import part_costs
from webapp.costing.reckoning import Reckoning

# --- from the batch to whole jars ----------------------------------------------------------------------------------


def jars(of: Reckoning, number: int = TUB) -> Any:
    return of.sheet(number).fills[0].jars


def test_the_whole_batch_is_borne_by_its_good_jars() -> None:
    # 1000 g at 6.80 a kg; 5 % and 20 g lost leave 930 g: 9 tubs of 100 g, 30 g over and paid for
    of = reckoned(changed(PLAIN_BUTTER, loss="5", loss_grams="20"), PLAIN_TUB)
    sheet = of.sheet(TUB)
    one = sheet.fills[0]
    assert these(one.batch_grams, one.loss_grams, one.yield_grams, one.jars, one.left_grams) == (1000, 70, 930, 9, 30)
    assert sheet.ingredients == D("6.8") / 9


def test_overfill_takes_grams_and_is_not_declared() -> None:
    sheet = reckoned(PLAIN_BUTTER, product(TUB, fill(BUTTER, "100", overfill="11.2"))).sheet(TUB)
    assert sheet.fills[0].jar_grams == D("111.2")
    assert sheet.fills[0].jars == 8
    assert sheet.declared_grams == 100
    assert sheet.declared_ml is None


@pytest.mark.parametrize(
    ("batch", "loss", "declared", "count"),
    [
        ("1000", "0", "100", 10),
        ("1000", "0", "100.000001", 9),
        ("999.999999", "0", "100", 9),
        ("0.3", "0", "0.1", 3),
        ("600", "33.3333", "57.143", 6),
        ("700", "14.2857", "100", 6),  # 600.0001 g
        ("3", "33.3333", "0.333333", 6),
    ],
)
def test_an_exact_fit_is_not_lost_and_a_near_miss_not_won(batch: str, loss: str, declared: str, count: int) -> None:
    of = reckoned(changed(PLAIN_BUTTER, batch_grams=batch, loss=loss), product(TUB, fill(BUTTER, declared)))
    exact = floor(Fraction(batch) * (1 - Fraction(loss) / 100) / Fraction(declared))
    assert jars(of) == count == exact


def test_by_volume_a_jar_takes_its_millilitres_at_the_density_as_filled() -> None:
    # 0.9 g/mL, whipped up by half: 0.6 g/mL as filled; 150 mL take 90 g
    whipped = changed(PLAIN_BUTTER, density="0.9", air="50")
    sheet = reckoned(whipped, product(TUB, fill(BUTTER, "150", "mL"))).sheet(TUB)
    one = sheet.fills[0]
    assert these(one.density, one.jar_grams, one.jars) == (D("0.6"), 90, 11)
    assert these(sheet.declared_grams, sheet.declared_ml) == (90, 150)


def test_an_exact_fit_by_volume_is_not_lost_to_a_density_that_does_not_end() -> None:
    # 0.7 / 1.3 g/mL never ends; 700 g are exactly 10 jars of 130 mL
    whipped = changed(PLAIN_BUTTER, batch_grams="700", density="0.7", air="30")
    assert jars(reckoned(whipped, product(TUB, fill(BUTTER, "130", "mL")))) == 10


def test_a_volume_without_density_is_a_gap_at_the_formula_and_packaging_stays_known() -> None:
    sheet = reckoned(PLAIN_BUTTER, product(TUB, fill(BUTTER, "150", "mL"), parts=(Part(JAR),))).sheet(TUB)
    assert gap(sheet.ingredients).cure == Ref("formula", BUTTER, "density")
    assert gap(sheet.declared_grams).cure == Ref("formula", BUTTER, "density")
    assert sheet.packaging == D("0.50")
    assert sheet.gap is sheet.materials is sheet.full


def test_a_missing_batch_size_is_asked_for_at_the_formula() -> None:
    sheet = reckoned(changed(PLAIN_BUTTER, batch_grams=None), replace(PLAIN_TUB, parts=(Part(JAR),))).sheet(TUB)
    for figure in (sheet.ingredients, sheet.minutes, sheet.labour, sheet.full):
        assert gap(figure).cure == Ref("formula", BUTTER, "batch_grams")
    assert sheet.packaging == D("0.50")


def test_the_products_own_batch_and_loss_win() -> None:
    of = reckoned(
        changed(PLAIN_BUTTER, loss="5", loss_grams="20"),
        changed(PLAIN_TUB, batch_grams="500", loss="0", loss_grams="0"),
    )
    assert of.sheet(TUB).fills[0].yield_grams == 500
    assert jars(of) == 5


def test_no_jar_left_says_what_to_change() -> None:
    aside = reckoned(PLAIN_BUTTER, changed(PLAIN_TUB, set_aside="10"))
    assert "a batch fills 10 and 10 are set aside" in gap(jars(aside)).reason
    assert gap(jars(aside)).cure == Ref("product", TUB, "set_aside")
    small_batch = reckoned(changed(PLAIN_BUTTER, batch_grams="99.5"), PLAIN_TUB)
    assert "99.5 g come out and a jar takes 100 g" in gap(jars(small_batch)).reason
    assert gap(jars(small_batch)).cure == Ref("formula", BUTTER, "batch_grams")
    own = reckoned(PLAIN_BUTTER, changed(PLAIN_TUB, batch_grams="99.5"))
    assert gap(jars(own)).cure == Ref("product", TUB, "batch_grams")
    only = reckoned(changed(PLAIN_BUTTER, batch_grams="100"), changed(PLAIN_TUB, set_aside="1"))
    assert "a batch fills 1 and 1 are set aside" in gap(jars(only)).reason
    tiny = reckoned(changed(PLAIN_BUTTER, batch_grams="1", loss="33.33335"), PLAIN_TUB)
    assert "0.666667 g come out" in gap(jars(tiny)).reason  # 0.6666665: half-up to what a gram is kept by
    gone = reckoned(changed(PLAIN_BUTTER, loss_grams="2000"), PLAIN_TUB)
    assert "0 g come out" in gap(jars(gone)).reason


def test_a_batch_of_which_nothing_is_left_fills_no_jar_whatever_a_jar_takes() -> None:
    """1000 g less 1000 g: nothing to fill, so that what a millilitre weighs is not asked for."""
    none_left = changed(PLAIN_BUTTER, loss_grams="1000")
    missing = gap(jars(reckoned(none_left, product(TUB, fill(BUTTER, "150", "mL")))))
    assert missing.reason.startswith("A batch of “Butter” fills no jar of “Tub”: 0 g come out. Make a bigger batch")
    assert missing.cure == Ref("formula", BUTTER, "batch_grams")


def test_several_fillings_are_each_costed_as_if_they_filled_their_batch() -> None:
    lotion = formula(LOTION, line(OIL, "100"), batch_grams="500", work=(work(ANNA, "10"),))
    of = reckoned(
        changed(PLAIN_BUTTER, work=(work(ANNA, "20"),)),
        lotion,
        product(DUO, fill(BUTTER, "100"), fill(LOTION, "50"), work=(work(ANNA, per_jar="3"),)),
    )
    sheet = of.sheet(DUO)
    assert [one.jars for one in sheet.fills] == [10, 10]
    assert sheet.ingredients == D("0.68") + D("0.25")
    assert sheet.minutes == 2 + 1 + 3
    assert sheet.declared_grams == 150


# --- packaging -----------------------------------------------------------------------------------------------------


def test_spoiled_pieces_are_counted_per_hundred_used_well() -> None:
    parts = (Part(JAR, pieces=D(2), spoiled=D(4)), Part(LID))
    assert reckoned(PLAIN_BUTTER, replace(PLAIN_TUB, parts=parts)).sheet(TUB).packaging == D("1.04") + D("0.20")


def test_parts_that_go_together_change_in_one_place() -> None:
    of = reckoned(PLAIN_BUTTER, replace(PLAIN_TUB, parts=(Part(group=SEALED, pieces=D(2), spoiled=D(5)),)))
    sheet = of.sheet(TUB)
    assert sheet.packaging == 2 * (D("0.50") + D("0.22")) * D("1.05")
    opened = part_costs(of, of.book.products[TUB])
    assert [these(one.name, one.pieces, one.spoiled) for one in opened] == [("Jar", 2, 5), ("Lid", 2, D("15.5"))]
    assert sum(known(one.cost) for one in opened) == sheet.packaging


def test_jars_set_aside_are_packed_and_worked_on_and_paid_by_the_others() -> None:
    tub = changed(PLAIN_TUB, set_aside="2", parts=(Part(JAR),), work=(work(ANNA, per_jar="4"),))
    of = reckoned(PLAIN_BUTTER, tub)
    sheet = of.sheet(TUB)
    assert sheet.fills[0].filled == 10
    assert sheet.fills[0].jars == 8
    assert sheet.ingredients == D("0.85")
    assert sheet.packaging == D("0.625")  # ten jars over eight
    assert sheet.minutes == 5
    assert part_costs(of, tub)[0].cost == D("0.625")


def test_a_part_without_a_price_leaves_the_ingredients_known() -> None:
    unpriced = Material(JAR, "Jar", "packaging")
    sheet = reckoned(unpriced, PLAIN_BUTTER, replace(PLAIN_TUB, parts=(Part(LID), Part(JAR)))).sheet(TUB)
    assert "Jar has no price yet" in gap(sheet.packaging).reason
    assert sheet.ingredients == D("0.68")
    assert sheet.full == sheet.packaging


# --- work ----------------------------------------------------------------------------------------------------------


def test_minutes_of_a_batch_are_shared_by_its_jars_and_paid_to_each_person() -> None:
    # 1 kg, ten tubs: Anna 45 + 15 a kg + 2 a tub, Ben 30 a batch
    worked = changed(PLAIN_BUTTER, work=(work(ANNA, "45", "15"), work(BEN, "30")))
    sheet = reckoned(worked, changed(PLAIN_TUB, work=(work(ANNA, per_jar="2"),))).sheet(TUB)
    assert sheet.minutes == 11
    assert sheet.own_minutes == 8
    assert sheet.own_hours == D(8) / 60
    assert sheet.labour_own == 2  # 8 minutes at 15 an hour
    assert sheet.labour_hired == D("0.75")  # 3 minutes at 12 and a quarter on top
    assert sheet.labour == D("2.75")
    assert sheet.direct == D("0.68") + D("2.75")


def test_the_product_overrides_the_minutes_it_names_and_keeps_the_others() -> None:
    worked = changed(PLAIN_BUTTER, work=(work(ANNA, "45", "15"), work(BEN, "30")))
    of = reckoned(worked, changed(PLAIN_TUB, work=(work(ANNA, per_batch="25"), work(BEN, per_kg="10", per_jar="1"))))
    times = of.sheet(TUB).times
    assert not isinstance(times, Gap)
    assert {time.person: time.minutes for time in times} == {ANNA: 4, BEN: 5}
    assert of.sheet(TUB).fills[0].jars == 10


def test_zero_minutes_typed_on_the_product_are_no_minutes() -> None:
    worked = changed(PLAIN_BUTTER, work=(work(ANNA, "45"),))
    assert reckoned(worked, changed(PLAIN_TUB, work=(work(ANNA, per_batch="0"),))).sheet(TUB).minutes == 0


def test_no_wage_is_a_gap_at_the_person_and_a_wage_of_nothing_is_marked_unpaid() -> None:
    worked = changed(PLAIN_BUTTER, work=(work(ANNA, "60"),))
    sheet = reckoned(Person(ANNA, "Anna"), worked, PLAIN_TUB).sheet(TUB)
    assert gap(sheet.labour_own).cure == Ref("person", ANNA, "wage-per_hour")
    assert sheet.labour_hired == 0
    assert sheet.minutes == 6
    free = reckoned(Person(ANNA, "Anna", wage=Wage(DAY, D(0))), worked, PLAIN_TUB).sheet(TUB)
    assert free.labour == 0
    assert free.marks == (UNPAID,)
    assert reckoned(worked, PLAIN_TUB).sheet(TUB).marks == ()


def test_who_spends_no_time_needs_no_wage() -> None:
    worked = changed(PLAIN_BUTTER, work=(work(ANNA, "0"),))
    of = reckoned(Person(ANNA, "Anna"), worked, PLAIN_TUB)
    assert of.sheet(TUB).labour == 0
    assert all(adds_up(jar_working.working(of, TUB, figure)) for figure in ("labour", "labour_own", "minutes"))


def test_the_time_of_what_was_made_ahead_joins_the_jars() -> None:
    ahead = formula(
        INFUSED, line(OIL, "100"), batch_grams="500", loss="10", work=(work(ANNA, "45"),), made_ahead=True
    )  # 0.1 minutes a good gram
    top = formula(BUTTER, line(SHEA, "60"), line(INFUSED, "40", blend=True), batch_grams="1000")
    sheet = reckoned(ahead, top, PLAIN_TUB).sheet(TUB)
    assert sheet.minutes == 4  # 400 g weighed in for ten tubs
    assert sheet.labour_own == 1
    assert snap(known(sheet.ingredients)) == snap(D("0.48") + D("0.2") / D("0.9"))


def test_the_time_of_what_was_made_ahead_is_missing_with_its_reason_where_its_batch_is_not_known() -> None:
    ahead = formula(INFUSED, line(OIL, "100"), made_ahead=True, work=(work(ANNA, "30"),))
    butter = formula(BUTTER, line(SHEA, "60"), line(INFUSED, "40", blend=True), batch_grams="1000", work=(work(BEN),))
    sheet = reckoned(ahead, butter, changed(PLAIN_TUB, work=(work(ANNA, "5"),))).sheet(TUB)
    assert sheet.ingredients == D("0.68")  # 60 g of shea and 40 of oil: what it costs needs no batch of the oil
    for figure in (sheet.labour_own, sheet.times):
        assert "Infused oil" in gap(figure).reason
        assert gap(figure).cure == Ref("formula", INFUSED, "batch_grams")


def test_a_top_formula_made_ahead_is_not_made_twice() -> None:
    worked = changed(PLAIN_BUTTER, loss="10", work=(work(ANNA, "45"),))
    plain, ahead = (reckoned(changed(worked, made_ahead=flag), PLAIN_TUB).sheet(TUB) for flag in (False, True))
    assert (plain[:6], plain.fills, plain.times) == (ahead[:6], ahead.fills, ahead.times)
    assert ahead.minutes == 5


def test_a_product_without_filling_asks_for_minutes_per_jar() -> None:
    of = reckoned(product(SET, parts=(Part(JAR),), work=(work(ANNA, per_batch="5"),)))
    assert gap(of.sheet(SET).minutes).cure == Ref("product", SET, "work")
    assert reckoned(product(SET, work=(work(ANNA, per_jar="5"),))).sheet(SET).minutes == 5


# --- overhead and one-offs -----------------------------------------------------------------------------------------

WORKED = changed(PLAIN_BUTTER, work=(work(ANNA, "60"),))
HOURS = Terms(overhead="hours", making_hours=D(80))
BY_JAR = Terms(overhead="jars", planned_jars=D(160))


def test_overhead_follows_the_hours_of_making() -> None:
    # 6 minutes a tub, 400 a month over 80 hours: 5 an hour
    sheet = reckoned(WORKED, PLAIN_TUB, terms=HOURS, bills={1: "300", 2: "100"}).sheet(TUB)
    assert sheet.overhead == D("0.5")
    assert sheet.full == known(sheet.direct) + D("0.5")


def test_overhead_equally_by_jar_or_left_out() -> None:
    assert reckoned(WORKED, PLAIN_TUB, terms=BY_JAR, bills={1: "400"}).sheet(TUB).overhead == D("2.5")
    assert reckoned(WORKED, PLAIN_TUB, bills={1: "400"}).sheet(TUB).overhead == 0


@pytest.mark.parametrize(("how", "field"), [("hours", "making_hours"), ("jars", "planned_jars")])
def test_overhead_without_a_plan_is_a_gap_where_the_plan_is_typed(how: str, field: str) -> None:
    sheet = reckoned(WORKED, PLAIN_TUB, terms=Terms(overhead=how), bills={1: "400"}).sheet(TUB)
    assert gap(sheet.overhead).cure == Ref("terms", 1, field)
    assert known(sheet.direct) > 0


def test_no_bills_at_all_are_marked_and_not_a_gap() -> None:
    sheet = reckoned(WORKED, PLAIN_TUB, terms=Terms(overhead="hours")).sheet(TUB)
    assert sheet.overhead == 0
    assert sheet.marks == (NO_BILLS,)


def test_no_working_time_is_marked() -> None:
    assert reckoned(PLAIN_BUTTER, PLAIN_TUB).sheet(TUB).marks == (NO_MINUTES,)


def test_minutes_of_nothing_that_were_typed_are_an_answer() -> None:
    assert reckoned(PLAIN_BUTTER, replace(PLAIN_TUB, work=(Work(ANNA, per_jar=D(0)),))).sheet(TUB).marks == ()
    assert reckoned(PLAIN_BUTTER, replace(PLAIN_TUB, work=(Work(ANNA),))).sheet(TUB).marks == (NO_MINUTES,)


@pytest.mark.parametrize(("days", "overhead"), [(0, "0"), (1, "0.5")])
def test_a_bill_counts_until_the_day_it_is_retired(days: int, overhead: str) -> None:
    book = room(WORKED, PLAIN_TUB, terms=HOURS, bills={1: "400"})
    bills = {1: replace(book.bills[1], retired=DAY + timedelta(days))}
    assert Reckoning(replace(book, bills=bills)).sheet(TUB).overhead == D(overhead)


def test_one_offs_are_shared_by_the_jars_they_serve() -> None:
    tub = replace(PLAIN_TUB, one_offs=(OneOff("Mould", D(90), D(300)), OneOff("Plate", D(40), D(200))))
    sheet = reckoned(PLAIN_BUTTER, tub).sheet(TUB)
    assert sheet.one_offs == D("0.5")
    assert sheet.full == known(sheet.direct) + D("0.5")


# --- sets ----------------------------------------------------------------------------------------------------------

TUB_IN_SET = replace(PLAIN_TUB, parts=(Part(JAR),), one_offs=(OneOff("Mould", D(30), D(100)),))


def gift(**more: Any) -> Any:
    return product(SET, members=(Member(TUB, D(2)),), parts=(Part(LID),), work=(work(ANNA, per_jar="6"),), **more)


def test_a_set_adds_what_is_in_it() -> None:
    of = reckoned(WORKED, TUB_IN_SET, gift(), terms=HOURS, bills={1: "400"})
    tub, both = of.sheet(TUB), of.sheet(SET)
    assert both.ingredients == 2 * known(tub.ingredients)
    assert both.packaging == 2 * D("0.50") + D("0.20")
    assert both.minutes == 2 * 6 + 6
    assert both.labour_own == 2 * known(tub.labour_own) + D("1.5")
    assert both.overhead == 3 * D("0.5")  # by hours, its own packing bears a share too
    assert both.one_offs == D("0.6")
    assert both.full == sum(
        (known(one) for one in (both.ingredients, both.packaging, both.labour, both.overhead, both.one_offs)), D(0)
    )
    assert both.declared_grams == 200
    assert charged_grams(of, SET) == {SHEA: D(120), OIL: D(80)}


def test_a_set_declares_the_millilitres_of_all_its_jars_and_none_where_one_is_by_weight() -> None:
    # 150 mL at 0.6 g/mL as filled are 90 g: two of them 300 mL and 180 g, with 10 g more no volume
    whipped = changed(PLAIN_BUTTER, density="0.9", air="50")
    large, small = product(TUB, fill(BUTTER, "150", "mL")), product(DUO, fill(BUTTER, "10"))
    two, mixed = (Member(TUB, D(2)),), (Member(TUB, D(2)), Member(DUO))
    found = [reckoned(whipped, large, small, product(SET, members=members)).sheet(SET) for members in (two, mixed)]
    assert [(sheet.declared_grams, sheet.declared_ml) for sheet in found] == [(D(180), D(300)), (D(190), None)]


def test_a_set_bears_its_jars_shares_and_none_of_its_own() -> None:
    of = reckoned(WORKED, TUB_IN_SET, gift(), terms=BY_JAR, bills={1: "400"})
    assert of.sheet(SET).overhead == 5
    own, *others = jar_working.working(of, SET, "overhead").steps
    assert own.working is not None
    assert [(step.amount, step.words) for step in own.working.steps] == [
        (D(0), "a set bears only the shares of what is in it")
    ]
    assert sum((known(step.amount) for step in others), D(0)) == 5


def test_a_set_with_something_unpriced_in_it_is_missing_by_the_same_reason() -> None:
    watery = formula(BUTTER, line(WATER, "100"), batch_grams="1000")
    of = reckoned(watery, TUB_IN_SET, gift())
    assert of.sheet(SET).ingredients == of.material(WATER).unit_cost
    assert known(of.sheet(SET).packaging) == D("1.20")


def test_a_set_that_holds_itself_is_named() -> None:
    of = reckoned(
        product(SET, members=(Member(DUO), Member(TUB))), product(DUO, members=(Member(SET),)), PLAIN_TUB, PLAIN_BUTTER
    )
    assert "This set holds itself: “Gift set” → “Duo” → “Gift set”" in gap(of.sheet(SET).full).reason
    gap(charged_grams(of, SET))
    assert known(of.sheet(TUB).ingredients) == D("0.68")
    assert all(adds_up(jar_working.working(of, SET, figure)) for figure in jar_working.FIGURES)


# --- asked for by others -------------------------------------------------------------------------------------------


def test_grams_charged_carry_the_losses_of_the_batch() -> None:
    of = reckoned(changed(PLAIN_BUTTER, loss="5"), PLAIN_TUB)
    charged = charged_grams(of, TUB)
    assert not isinstance(charged, Gap)
    assert charged == {SHEA: D(600) / 9, OIL: D(400) / 9}


def test_grams_of_a_filled_set_are_missing_where_those_of_a_jar_in_it_are() -> None:
    """A tub with a filling of its own and another jar beside it, of which nobody knows the batch."""
    other = formula(INFUSED, line(OIL, "100"))
    both = changed(PLAIN_TUB, members=(Member(DUO),))
    of = reckoned(PLAIN_BUTTER, other, product(DUO, fill(INFUSED, "10")), both)
    missing = charged_grams(of, TUB)
    assert isinstance(missing, Gap)
    assert missing.cure == Ref("formula", INFUSED, "batch_grams")
    sized = reckoned(PLAIN_BUTTER, changed(other, batch_grams="100"), of.book.products[DUO], both)
    assert charged_grams(sized, TUB) == {SHEA: D(60), OIL: D(50)}


def test_a_product_that_names_no_channel_is_on_all_living_ones() -> None:
    channels = {
        1: Channel(1, "Stall", DAY), 2: Channel(2, "Gone", DAY, retired=DAY),
        3: Channel(3, "Later gone", DAY, retired=DAY + timedelta(1)),
    }  # fmt: skip
    book = replace(room(PLAIN_BUTTER, PLAIN_TUB), channels=channels)
    assert [one.channel for one in Reckoning(book).sold_on(PLAIN_TUB)] == [1, 3]
    assert [one.channel for one in Reckoning(book).sold_on(replace(PLAIN_TUB, channels=(3, 2)))] == [3]


# --- properties ----------------------------------------------------------------------------------------------------

GRAMS = st.integers(1, 10**10).map(lambda millionths: D(millionths).scaleb(-6))
PERCENT = st.integers(0, 99 * 10**4).map(lambda parts: D(parts).scaleb(-4))


@given(GRAMS, PERCENT, GRAMS)
def test_whole_jars_are_those_of_exact_fractions(batch: D, loss: D, declared: D) -> None:
    of = reckoned(replace(PLAIN_BUTTER, batch_grams=batch, loss=loss), product(TUB, fill(BUTTER, str(declared))))
    ratio = Fraction(batch) * (100 - Fraction(loss)) / 100 / Fraction(declared)
    snapped = floor(ratio * 10**12 + Fraction(1, 2)) // 10**12
    assert (known(jars(of)) if snapped else 0) == snapped
    assert bool(snapped) is not isinstance(jars(of), Gap)


@given(st.integers(1, 500), st.integers(1, 10**6), st.integers(0, 400), st.integers(10, 500))
def test_an_exact_fit_is_never_lost(count: int, tenths_of_mg: int, air: int, density: int) -> None:
    # so much melt, whipped up by `air`, is what the label declares: most such densities do not end as decimals
    melt, grams_per_ml = D(tenths_of_mg).scaleb(-4), D(density).scaleb(-2)
    batch, declared = count * melt * grams_per_ml, melt * (100 + air) / 100
    whipped = replace(PLAIN_BUTTER, density=grams_per_ml, air=D(air), batch_grams=batch)
    assert jars(reckoned(whipped, product(TUB, fill(BUTTER, str(declared), "mL")))) == count


@settings(max_examples=examples.of(30))
@given(st.randoms(use_true_random=False), st.integers(1, 10**6))
def test_a_dearer_material_never_makes_a_cheaper_jar(rng: Random, more: int) -> None:
    book = small(rng)
    number = rng.choice(sorted(book.materials))
    one = book.materials[number]
    priced = replace(
        one, starting=StartingPrice(D(rng.randint(1, 10**6)).scaleb(-2), "pieces" if one.by_piece else "kg")
    )
    dearer = replace(priced, starting=StartingPrice(priced.starting.amount + D(more).scaleb(-4), priced.starting.unit))  # type: ignore[union-attr]
    orderless = replace(book, orders={}, quotes={})
    before, after = (
        Reckoning(replace(orderless, materials={**book.materials, number: replace(record, quote=None)}))
        for record in (priced, dearer)
    )
    for product_id in book.products:
        cheap, dear = before.sheet(product_id).full, after.sheet(product_id).full
        assert isinstance(cheap, Gap) is isinstance(dear, Gap)
        assert isinstance(cheap, Gap) or isinstance(dear, Gap) or dear >= cheap


@settings(max_examples=examples.of(30))
@given(st.randoms(use_true_random=False))
def test_a_higher_wage_or_bill_never_makes_a_cheaper_jar(rng: Random) -> None:
    book = small(rng)
    people = {
        number: one if one.wage is None else replace(one, wage=replace(one.wage, per_hour=one.wage.per_hour + 1))
        for number, one in book.people.items()
    }
    bills = {number: replace(bill, a_month=bill.a_month + 10) for number, bill in book.bills.items()}
    before, after = Reckoning(book), Reckoning(replace(book, people=people, bills=bills))
    for one in book.products:
        cheap, dear = before.sheet(one).full, after.sheet(one).full
        assert isinstance(cheap, Gap) or isinstance(dear, Gap) or dear >= cheap


@settings(max_examples=examples.of(30))
@given(st.randoms(use_true_random=False))
def test_the_order_of_typing_changes_nothing(rng: Random) -> None:
    book = small(rng)

    def mixed(several: Any) -> Any:
        return tuple(rng.sample(several, len(several)))

    products = {
        number: replace(one, parts=mixed(one.parts), members=mixed(one.members), work=mixed(one.work))
        for number, one in rng.sample(sorted(book.products.items()), len(book.products))
    }
    formulas = {
        number: replace(one, lines=mixed(one.lines), work=mixed(one.work)) for number, one in book.formulas.items()
    }
    orders = dict(rng.sample(sorted(book.orders.items()), len(book.orders)))
    before, after = Reckoning(book), Reckoning(replace(book, products=products, formulas=formulas, orders=orders))
    for one in book.products:
        for figure in jar_working.FIGURES:
            first, second = getattr(before.sheet(one), figure), getattr(after.sheet(one), figure)
            assert isinstance(first, Gap) is isinstance(second, Gap)
            assert isinstance(first, Gap) or snap(first) == snap(second)


@settings(max_examples=examples.of(30))
@given(st.randoms(use_true_random=False))
def test_every_figure_of_a_sheet_adds_up_from_what_it_opens_to(rng: Random) -> None:
    of = Reckoning(small(rng))
    with pytest.MonkeyPatch.context() as patched:
        # the sums below a material have tests of their own
        patched.setattr(Reckoning, "material_working", lambda *_: None)
        for number, one in of.book.products.items():
            for figure in jar_working.FIGURES:
                opened = jar_working.working(of, number, figure)
                assert adds_up(opened)
                assert opened.result == getattr(of.sheet(number), figure)
            assert all(adds_up(batch_working.jars_working(of, number, place)) for place in range(len(one.fills)))
