"""What would lower a cost, working back from a price, and batch sizes. Expected figures are from paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random
from typing import Any

import pytest

from tests import examples
from tests.costing.making import (
    ANNA,
    BUTTER,
    DAY,
    JAR,
    OIL,
    SHEA,
    TUB,
    D,
    adds_up,
    costing,
    fill,
    formula,
    gap,
    known,
    line,
    product,
    work,
)  # fmt: skip
from tests.costing.test_line import STALL, STALLED, row, selling
from tests.small_books import small
from webapp.costing.amounts import snap
from webapp.costing.batch_sizes import BatchSizes, batch_sizes, pot_of
from webapp.costing.book import Book, Order, OrderLine, Part, Quote, Registration, Supplier
from webapp.costing.changes import apply_all
from webapp.costing.gaps import Gap, Ref
from webapp.costing.lowering import ASIDE, BATCH, OVERFILL, PACK, PART, Lowering, lowerings, working
from webapp.costing.reckoning import Reckoning
from webapp.costing.tax_in_cost import TaxChange
from webapp.costing.working_back import FIGURES, worked_back
from webapp.costing.working_back import working as back_working

OTHER_JAR = 9
#: 6.80 a kg in batches of 1000 g that take 30 minutes; 100 g and 4 more in a jar: 9 jars, one of them set aside
MADE = formula(
    BUTTER, line(SHEA, "60"), line(OIL, "40"), batch_grams="1000", pot_grams="2000", work=(work(ANNA, per_batch="30"),)
)
FILLED = product(TUB, fill(BUTTER, "100", overfill="4"), parts=(Part(JAR),), set_aside="1")


def book_of(*things: Any, **more: Any) -> Book:
    made = selling(MADE, FILLED, STALLED, *things, prices=[(TUB, STALL, "8")], sales=[(TUB, STALL, "40")], **more)
    return replace(made, materials={**made.materials, JAR: replace(made.materials[JAR], holds_ml=D(120))})


def found(book: Book) -> dict[tuple[str, Any], Lowering]:
    made = Reckoning(book)
    return {(one.kind, one.then): one for one in lowerings(made, made.row(TUB, STALL))}


# Ingredients 6.80 / 8 = 0.85; 9 jars at 0.50 over 8 = 0.5625; 30 minutes at 15 over 8 = 0.9375: 2.35 a jar.


def test_less_overfill_fills_more_jars() -> None:
    got = found(book_of())
    # 10 jars of 100 g, 9 of them good: 6.80 / 9 + 5 / 9 + 7.50 / 9 = 19.30 / 9
    assert snap(got[OVERFILL, D(0)].gain) == snap(D("2.35") - D("19.30") / 9)
    assert (OVERFILL, D(3)) not in got  # 103 g still fill 9: nothing is gained
    assert snap(known(got[OVERFILL, D(0)].month)) == snap(40 * (D("2.35") - D("19.30") / 9))


def test_a_jar_less_set_aside_is_one_more_that_pays() -> None:
    # 9 good: 6.80 / 9 + 0.50 + 7.50 / 9
    assert snap(found(book_of())[ASIDE, D(0)].gain) == snap(D("2.35") - D("18.80") / 9)


def test_the_cheapest_batch_that_the_pot_takes() -> None:
    got = found(book_of())
    # 19 jars of 104 g are 1976 g: 13.4368 + 9.50 + 7.50 over 18
    assert snap(got[BATCH, D(1976)].gain) == snap(D("2.35") - (D("1976") * D("0.0068") + D("9.5") + D("7.5")) / 18)
    assert got[BATCH, D(1976)].holder == BUTTER
    unsaid = replace(MADE, pot_grams=None)
    assert not [one for kind, one in found(book_of(unsaid)) if kind == BATCH]


def test_a_cheaper_pack_that_was_bought_or_is_quoted() -> None:
    order = Order(
        61, 8, DAY - timedelta(60), (OrderLine(SHEA, D(1), D(25), "kg", D(150)), OrderLine(OIL, D(1), D(1), "kg", D(4)))
    )
    newer = Order(62, 8, DAY - timedelta(5), (OrderLine(SHEA, D(1), D(1), "kg", D(8)),))
    quote = Quote(71, OIL, 8, DAY - timedelta(9), DAY + timedelta(9), D(5), "kg", D(15))
    book = replace(book_of(), orders={61: order, 62: newer}, suppliers={8: Supplier(8, "The mill")}, quotes={71: quote})
    packs = {one.thing: one for (kind, _), one in found(book).items() if kind == PACK}
    # shea at 6 instead of 8 on 600 g, oil at 3 instead of 4 on 400 g, over 8 jars
    assert snap(packs[SHEA].gain) == D("0.15")
    assert snap(packs[OIL].gain) == D("0.05")
    assert (packs[SHEA].offer.order, packs[OIL].offer.quote) == (61, 71)  # type: ignore[union-attr]


def test_a_pack_that_was_bought_with_tax_that_is_reclaimed_today_is_marked() -> None:
    taxed = OrderLine(SHEA, D(1), D(25), "kg", D(150), tax_rate=D(20))
    order = Order(61, 8, DAY - timedelta(60), (taxed,))
    newer = Order(62, 8, DAY - timedelta(5), (OrderLine(SHEA, D(1), D(1), "kg", D(8), tax_rate=D(20)),))
    since = DAY - timedelta(30)
    held: dict[str, Any] = {"orders": {61: order, 62: newer}, "suppliers": {8: Supplier(8, "The mill")}}
    book = replace(book_of(), registrations=(Registration(since, registered=True),), **held)
    (pack,) = [one for (kind, _), one in found(book).items() if kind == PACK]
    # 150 and 20 % on it for 25 kg are 7.20 a kg, against 8.00 of which the tax is reclaimed
    assert snap(pack.then) == D("0.0072")
    assert pack.tax == TaxChange(since, in_cost=False)
    never = replace(book, registrations=())
    assert [one.tax for (kind, _), one in found(never).items() if kind == PACK] == [None]


def test_another_jar_that_holds_the_same() -> None:
    other = costing(OTHER_JAR, "Plain jar", "0.42", "pieces", holds_ml=D(120))
    smaller = costing(10, "Small jar", "0.10", "pieces", holds_ml=D(60))
    parts = {one.other: one for (kind, _), one in found(book_of(other, smaller)).items() if kind == PART}
    assert set(parts) == {OTHER_JAR}
    assert snap(parts[OTHER_JAR].gain) == D("0.09")  # 0.08 on 9 / 8 jars


def test_a_jar_that_is_dearer_or_has_no_price_is_not_offered_in_its_place() -> None:
    dearer = costing(OTHER_JAR, "Fine jar", "0.50", "pieces", holds_ml=D(120))
    unpriced = costing(10, "New jar", None, "pieces", holds_ml=D(120))
    assert not [one for kind, one in found(book_of(dearer, unpriced)) if kind == PART]


@pytest.mark.parametrize(("batch", "pot"), [("1976", "1976"), ("2000", "1000")])
def test_no_batch_is_offered_that_the_pot_does_not_take_or_that_is_made_already(batch: str, pot: str) -> None:
    """1976 g fill 19 jars to the gram, which is cheapest: it is made already, or more than the pot holds."""
    made = replace(MADE, batch_grams=D(batch), pot_grams=D(pot))
    assert sizes(book_of(made)).cheapest.grams == D(1976)
    assert not [one for kind, one in found(book_of(made)) if kind == BATCH]


def test_what_the_book_would_refuse_is_not_offered() -> None:
    """9 jars to the gram are 936 g; the product loses nothing, but the formula 950 g, so it can't be as small."""
    lossy, careful = replace(MADE, pot_grams=D(1000), loss_grams=D(950)), replace(FILLED, loss_grams=D(0))
    assert sizes(book_of(lossy, careful)).cheapest.grams == D(936)
    assert not [one for kind, one in found(book_of(lossy, careful)) if kind == BATCH]
    kept = found(book_of(replace(lossy, loss_grams=D(0)), careful))
    assert kept[BATCH, D(936)].changes[0].record.batch_grams == D(936)  # type: ignore[union-attr]


def test_what_gains_most_stands_first_and_its_sum_opens() -> None:
    book = book_of()
    made = Reckoning(book)
    there = made.row(TUB, STALL)
    got = lowerings(made, there)
    assert [one.kind for one in got] == [BATCH, ASIDE, OVERFILL]
    for one in got:
        assert adds_up(working(made, there, one))
        assert snap(known(working(made, there, one).result)) == snap(one.gain)


@pytest.mark.long
def test_whatever_the_book_each_change_lowers_the_cost_by_what_it_says() -> None:
    kinds = set()
    for seed in range(examples.of(80)):
        book = small(Random(seed))
        before = Reckoning(book)
        for there in before.line():
            for one in lowerings(before, there):
                after = apply_all(book, one.changes)
                assert isinstance(after, Book)
                cost = Reckoning(after).row(there.product, there.channel).cost
                assert snap(known(there.cost) - known(cost)) == snap(one.gain) > 0
                kinds.add(one.kind)
    assert {OVERFILL, ASIDE, PACK} <= kinds


# --- working back ---


def test_from_a_price_back_to_the_jar_its_ingredients_and_an_own_hour() -> None:
    book = book_of()
    made = Reckoning(book)
    back = worked_back(made, row(book))
    # 8 x 0.6 = 4.80; beside 0.85 of ingredients 1.50 is spent; own 3.75 minutes
    assert back.highest_cost == D("4.80")
    assert snap(known(back.ingredients)) == D("3.30")
    assert snap(known(back.wage)) == snap(60 * (D("4.80") - D("1.4125")) / D("3.75"))
    for figure in FIGURES:
        made_sum = back_working(made, row(book), figure)
        assert adds_up(made_sum)
        assert snap(known(made_sum.result)) == snap(known(getattr(back, figure)))


def test_without_a_price_nothing_follows() -> None:
    unknown = replace(book_of(), materials={**book_of().materials, OIL: costing(OIL, "Oil", None)}, prices={})
    assert isinstance(worked_back(Reckoning(unknown), row(unknown)).ingredients, Gap)
    assert lowerings(Reckoning(unknown), row(unknown)) == ()


# --- batch sizes ---


def sizes(book: Book) -> BatchSizes:
    got = batch_sizes(Reckoning(book), TUB, STALL)
    assert isinstance(got, BatchSizes), got
    return got


def test_jars_are_whole_so_that_the_cost_goes_in_steps() -> None:
    got = sizes(book_of())
    assert (got.most, got.pot, got.present.grams, got.present.jars) == (D(2000), D(2000), D(1000), D(8))
    steps = {one.grams: one for one in got.steps}
    # ten jars of 104 g begin at 1040 g; 1143 g are the most for them
    assert (steps[D(1040)].jars, steps[D(1143)].jars, steps[D(1144)].jars) == (D(9), D(9), D(10))
    assert steps[D(1040)].fewest
    assert not steps[D(1143)].fewest
    assert snap(known(steps[D(1143)].cost)) == snap((D(1143) * D("0.0068") + 5 + D("7.5")) / 9)
    assert steps[D(1143)].left_grams == D(103)
    assert got.cheapest.grams == D(1976)
    assert [one.grams for one in got.sizes] == [D(500), D(1000), D(1500), D(2000)]
    # nine are filled now, so from a third of that on: three
    assert min(known(one.row.sheet.fills[0].filled) for one in got.steps) == D(3)


def test_without_a_pot_three_batches_are_looked_at() -> None:
    got = sizes(book_of(replace(MADE, pot_grams=None)))
    assert (got.most, got.pot) == (D(3000), None)
    assert [one.grams for one in got.sizes] == [D(n) for n in (500, 1000, 1500, 2000, 2500, 3000)]
    assert pot_of(Reckoning(book_of()), TUB) == Ref("formula", BUTTER, "pot_grams")


def test_losses_belong_to_it() -> None:
    lossy = replace(MADE, loss=D(10), loss_grams=D(20))
    steps = {one.row.sheet.fills[0].filled: one.grams for one in sizes(book_of(lossy)).steps if one.fewest}
    # (10 x 104 + 20) / 0.9
    assert steps[D(10)] == D(1178)


def test_a_pot_that_a_whole_gram_does_not_fill_takes_a_jar_less() -> None:
    """104.05 g a jar: ten are 1040.5 g, all that the pot takes, but sizes are whole grams: nine, of 937 g or more."""
    made = replace(MADE, batch_grams=D(950), pot_grams=D("1040.5"))
    book = book_of(made, replace(FILLED, fills=(fill(BUTTER, "100", overfill="4.05"),)))
    steps = sizes(book).steps
    assert max(one.grams for one in steps) <= D("1040.5")
    assert [(one.grams, one.row.sheet.fills[0].filled) for one in steps if one.fewest][-1] == (D(937), D(9))


def test_of_jars_below_a_gram_a_whole_gram_fills_several() -> None:
    """0.4 g a jar: 1 g fills two and 2 g five, so none fills one, three or four to the gram."""
    made = replace(MADE, batch_grams=D(2), pot_grams=D(2), work=())
    book = book_of(made, replace(FILLED, fills=(fill(BUTTER, "0.4"),), set_aside=D(0)))
    found_steps = [(one.grams, one.row.sheet.fills[0].filled) for one in sizes(book).steps]
    assert found_steps == [(D(1), D(2)), (D(2), D(5))]


@pytest.mark.parametrize("fills", [(), (fill(BUTTER, "50"), fill(BUTTER, "20"))])
def test_what_has_no_batch_of_its_own_says_so(fills: tuple[Any, ...]) -> None:
    book = book_of(replace(FILLED, fills=fills, set_aside=D(0)))
    assert "no batch of its own" in gap(batch_sizes(Reckoning(book), TUB, STALL)).reason


def test_whatever_the_book_a_step_fills_whole_jars_and_fewer_grams_fill_fewer() -> None:
    counted = 0
    for seed in range(examples.of(40)):
        made = Reckoning(small(Random(seed)))
        for there in made.line()[:3]:
            got = batch_sizes(made, there.product, there.channel)
            if isinstance(got, Gap):
                continue
            for one, after in zip(got.steps, got.steps[1:], strict=False):
                assert one.grams < after.grams <= got.most
                assert known(one.jars) <= known(after.jars)
                counted += 1
    assert counted > 200
