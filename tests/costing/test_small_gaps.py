"""Figures that can't be told, each with the reason that cures it: lines, parts and batches that are not whole yet."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.costing.making import (
    ANNA,
    BUTTER,
    DAY,
    INFUSED,
    JAR,
    OIL,
    PLAIN_BUTTER,
    PLAIN_TUB,
    SET,
    SHEA,
    TUB,
    D,
    adds_up,
    costing,
    fill,
    formula,
    gap,
    line,
    product,
    reckoned,
    room,
    work,
)  # fmt: skip
from tests.costing.test_line import JARRED, STALLED, selling
from webapp.costing import book as b
from webapp.costing.amounts import share_out
from webapp.costing.batch_sizes import batch_sizes, pot_of
from webapp.costing.candidate_prices import _after
from webapp.costing.changes import Put
from webapp.costing.densities import suggested_for, warning
from webapp.costing.dependence import charged_costs, shares_of
from webapp.costing.difference import MovedMaterial
from webapp.costing.formula_working import hundred, of_hundred, working
from webapp.costing.formulas import leaves_of, unit_cost_of
from webapp.costing.gaps import Gap, Ref
from webapp.costing.invoices import bought_again
from webapp.costing.jars import charged_grams
from webapp.costing.material_history import _leaves
from webapp.costing.pack_use import charged_of, keeps, planned
from webapp.costing.parts import charged_pieces, part_costs, parts_cost
from webapp.costing.pay import pay
from webapp.costing.pay_working import hour_working
from webapp.costing.reckoning import Reckoning
from webapp.costing.rises import name_of, rises
from webapp.costing.waterfall import usual_day

STALL = 51
CHANNEL = b.Channel(STALL, "Stall", DAY)


def with_stall(*things: object, **more: object) -> Reckoning:
    return Reckoning(replace(room(*things), channels={STALL: CHANNEL}, **more))  # type: ignore[arg-type]


# --- formulas


def test_a_line_without_an_ingredient_is_asked_for_and_the_formula_has_no_cost() -> None:
    of = reckoned(formula(BUTTER, line(SHEA, "60"), b.FormulaLine(None, None, D(40))))
    assert gap(of.formula(BUTTER).per_gram).reason == "A line of “Butter” has no ingredient yet. Choose one."
    nothing = unit_cost_of(of, of.book.formulas[BUTTER].lines[1])
    assert gap(nothing).reason == "This line has no ingredient yet. Choose one."
    leaves = leaves_of(of, of.book.formulas[BUTTER])
    assert leaves == {SHEA: D("0.6")}


def test_the_leaves_of_what_has_no_amounts_are_not_known_nor_are_those_of_what_holds_it() -> None:
    empty = formula(INFUSED)
    of = reckoned(empty, formula(BUTTER, line(INFUSED, "100", blend=True)))
    assert isinstance(leaves_of(of, empty), Gap)
    assert isinstance(leaves_of(of, of.book.formulas[BUTTER]), Gap)


def test_a_hundred_grams_cost_a_hundred_times_a_gram_and_open_to_it() -> None:
    """60 % at 8.00 and 40 % at 5.00 a kg: 6.80 a kg, 0.68 for 100 g."""
    opened = of_hundred(working(reckoned(PLAIN_BUTTER), BUTTER), "as weighed")
    assert (opened.result, opened.title, adds_up(opened)) == (D("0.68"), "100 g as weighed", True)
    assert isinstance(hundred(Gap("No price yet.")), Gap)


# --- parts


def test_a_part_that_is_not_chosen_has_no_cost_and_is_no_part_of_a_jar() -> None:
    of = reckoned(PLAIN_BUTTER, replace(PLAIN_TUB, parts=(b.Part(), b.Part(JAR))))
    held = of.book.products[TUB]
    assert gap(parts_cost(of, held.parts)).reason == "One of the parts is not chosen yet. Choose it."
    assert [one.material for one in part_costs(of, held)] == [JAR]
    assert charged_pieces(of, TUB) == {JAR: D(1)}


def test_what_a_jar_pays_for_is_missing_by_the_reason_of_a_part_without_a_price() -> None:
    """68 cents of butter and a jar at 0.50; a jar of which nobody knows the price."""
    of = reckoned(PLAIN_BUTTER, replace(PLAIN_TUB, parts=(b.Part(JAR),)))
    assert charged_costs(of, TUB) == {SHEA: D("0.48"), OIL: D("0.20"), JAR: D("0.50")}
    unpriced = reckoned(costing(JAR, "Jar", None, "pieces"), PLAIN_BUTTER, of.book.products[TUB])
    assert gap(charged_costs(unpriced, TUB)).reason.startswith("Jar has no price yet")
    no_oil = reckoned(costing(OIL, "Oil", None), PLAIN_BUTTER, of.book.products[TUB])
    assert gap(charged_costs(no_oil, TUB)).reason.startswith("Oil has no price yet")
    no_batch = reckoned(replace(PLAIN_BUTTER, batch_grams=None), of.book.products[TUB])
    assert gap(charged_costs(no_batch, TUB)).cure == Ref("formula", BUTTER, "batch_grams")


def test_pieces_of_a_set_are_those_of_its_members_and_missing_where_one_is() -> None:
    """Two tubs with a jar each; of a tub whose batch is not known and that sets one aside nobody knows them."""
    tub = replace(PLAIN_TUB, parts=(b.Part(JAR),))
    both = b.Product(SET, "Gift set", DAY, members=(b.Member(TUB, D(2)),), parts=(b.Part(JAR),))
    of = reckoned(PLAIN_BUTTER, tub, both)
    assert charged_pieces(of, SET) == {JAR: D(3)}
    assert charged_of(of, both, JAR) == D(3)
    assert charged_of(of, both, SHEA) == D(120)
    batchless = replace(PLAIN_BUTTER, batch_grams=None)
    of = reckoned(batchless, replace(tub, set_aside=D(1)), both)
    for figure in (charged_pieces(of, TUB), charged_pieces(of, SET), charged_of(of, both, JAR)):
        assert isinstance(figure, Gap)
    assert isinstance(charged_of(of, of.book.products[TUB], JAR), Gap)
    assert isinstance(charged_grams(of, SET), Gap)
    assert charged_of(of, b.Product(99, "Nothing yet", DAY), SHEA) == D(0)


# --- batches


def test_what_a_planned_batch_takes_is_not_known_without_its_size_or_its_amounts() -> None:
    of = reckoned(PLAIN_BUTTER, formula(24, line(SHEA, "100")), formula(25, batch_grams="100"))
    assert planned(of, BUTTER, D(2)) == {SHEA: D(1200), OIL: D(800)}
    assert isinstance(planned(of, 24, D(2)), Gap)
    assert isinstance(planned(of, 25, D(2)), Gap)


def test_what_spoils_and_does_not_say_when_is_asked_for_and_a_jar_keeps() -> None:
    of = reckoned(costing(SHEA, "Shea", "8", shelf_months=D(18)))
    assert (keeps(of, SHEA), keeps(of, JAR)) == (D(18), None)
    assert isinstance(keeps(of, OIL), Gap)


def test_a_batch_has_a_pot_where_the_product_has_one_filling() -> None:
    duo = product(SET, fill(BUTTER, "60"), fill(BUTTER, "40"))
    of = with_stall(PLAIN_BUTTER, PLAIN_TUB, duo)
    pot = pot_of(of, TUB)
    assert pot is not None
    assert (pot.id, pot.field) == (BUTTER, "pot_grams")
    assert pot_of(of, SET) is None
    assert isinstance(batch_sizes(of, SET, STALL), Gap)


def test_sizes_of_a_batch_are_few_enough_to_look_at_and_the_cheapest_is_among_them() -> None:
    """7 min a batch at 15.00 an hour are 1.75: the largest pot shares it among most jars."""
    worked = replace(PLAIN_BUTTER, work=(work(ANNA, per_batch="7"),), pot_grams=D(1500))
    found = batch_sizes(with_stall(worked, PLAIN_TUB), TUB, STALL)
    assert not isinstance(found, Gap)
    assert (found.most, found.pot, found.cheapest.grams) == (D(1500), D(1500), D(1500))
    assert found.cheapest.cost is not None
    assert isinstance(found.cheapest.cost, D)
    assert abs(found.cheapest.cost - (D("10.20") + D("1.75")) / 15) < D("1e-30")
    assert found.cheapest.left_grams == D(0)
    small = batch_sizes(with_stall(replace(worked, batch_grams=D(30000), pot_grams=D(60000)), PLAIN_TUB), TUB, STALL)
    assert not isinstance(small, Gap)
    assert small.thinned
    assert not found.thinned


def test_work_of_a_batch_is_not_known_where_its_blend_is_not() -> None:
    """Minutes of a made-ahead blend without a size of its own batch come with what it is in."""
    blend = formula(INFUSED, line(OIL, "100"), work=(work(ANNA, per_batch="30"),), made_ahead=True)
    of = reckoned(blend, formula(BUTTER, line(INFUSED, "100", blend=True), batch_grams="1000"))
    assert isinstance(of.formula(BUTTER).carried, Gap)


# --- what moves and what does not


def test_a_material_that_cost_nothing_moved_by_no_share_and_a_new_one_by_none() -> None:
    before, after = reckoned(costing(SHEA, "Shea", "0")), reckoned(costing(SHEA, "Shea", "8"))
    moved = MovedMaterial(SHEA, before.material(SHEA), after.material(SHEA))
    assert (moved.change, gap(moved.change_share).reason) == (
        D("0.008"),
        "It cost nothing before, so the change is no share of it.",
    )
    new = moved._replace(before=None)
    assert (new.change, new.change_share) == (None, None)
    assert new.tax(before, after) is None
    # 8.00 to 10.00 a kg is a quarter more
    dearer = MovedMaterial(SHEA, after.material(SHEA), reckoned(costing(SHEA, "Shea", "10")).material(SHEA))
    assert dearer.change_share == D("0.25")


def test_what_costs_nothing_has_no_shares_and_what_has_no_cost_says_why() -> None:
    free = reckoned(costing(SHEA, "Shea", "0"), formula(BUTTER, line(SHEA, "100"), batch_grams="1000"), PLAIN_TUB)
    assert shares_of(free, TUB) == {}
    missing = reckoned(costing(SHEA, "Shea", None), PLAIN_BUTTER, PLAIN_TUB)
    assert isinstance(shares_of(missing, TUB), Gap)


def test_the_day_to_compare_with_is_that_of_the_price_or_the_last_on_which_anything_changed() -> None:
    book = room(PLAIN_BUTTER, PLAIN_TUB)
    day = DAY.replace
    changed = [day(day=1), day(day=12), DAY]
    assert usual_day(book, (TUB, STALL), changed) == day(day=12)
    assert usual_day(book, (TUB, STALL), [DAY]) is None
    accepted = replace(book, prices={(TUB, STALL): b.Price(TUB, STALL, day(day=5), D(2))})
    assert usual_day(accepted, (TUB, STALL), changed) == day(day=5)


def test_a_candidate_that_does_not_fit_the_book_is_refused() -> None:
    with pytest.raises(ValueError, match="already one called Shea"):
        _after(room(), [Put(b.Material(-1, "Shea"))])


def test_a_line_is_ordered_again_without_what_was_true_of_one_delivery() -> None:
    """A total of 24.00 for three packs is 8.00 each; one of 25.00 comes out in no four decimals and stays."""
    bought = b.OrderLine(SHEA, D(3), D(1), "kg", D(9), total=D(24), arrived=D(2), not_priced="sample")
    again = bought_again(bought)
    assert (again.price, again.total, again.arrived, again.not_priced) == (D(8), None, None, "")
    assert bought_again(replace(bought, total=D(25))).total == D(25)
    assert bought_again(replace(bought, total=None)).price == D(9)


def test_densities_are_suggested_and_warned_of_only_for_what_is_weighed() -> None:
    jojoba = b.Material(6, "Jojoba oil", density=b.Density(DAY, D("0.5")))
    assert suggested_for(jojoba) != ()
    assert suggested_for(replace(jojoba, kind="packaging")) == ()
    assert warning(jojoba) is not None
    assert warning(replace(jojoba, kind="packaging")) is None
    assert warning(replace(jojoba, density=None)) is None


# --- the ends of what can be said


def test_shares_by_weights_that_never_end_add_up_all_the_same() -> None:
    """1.00 by 1/3, 1/3 and 1/3, cut off after 50 digits: the first of equal remainders gets the cent that is left."""
    third = D(1) / 3
    assert share_out(D("1.00"), [third, third, third], 2) == (D("0.34"), D("0.33"), D("0.33"))
    assert share_out(D("1.00"), [third, third, 2 * third], 2) == (D("0.25"), D("0.25"), D("0.50"))


def test_a_purchase_near_the_last_day_there_is_never_leaves_its_window() -> None:
    assert _leaves(DAY.replace(year=9999, month=12, day=1), D(12)) is None
    left = _leaves(DAY, D(12))
    assert left is not None
    assert (left - DAY.replace(year=2027)).days in (0, 1)


def test_lines_that_take_the_rest_or_are_written_in_what_their_formula_is_not_give_no_cost() -> None:
    """Such a formula is refused when it is entered; where one came into the data all the same, its cost is missing."""
    parts = reckoned(formula(BUTTER, line(SHEA, "1", "part"), line(OIL, None, "part", rest=True), way="parts"))
    assert isinstance(parts.formula(BUTTER).per_gram, Gap)
    blend = formula(INFUSED, line(OIL, "100"))
    drops = reckoned(blend, formula(BUTTER, line(INFUSED, "5", "drops", blend=True), line(SHEA, "9", "g"), way="grams"))
    assert isinstance(drops.formula(BUTTER).per_gram, Gap)


def test_what_is_left_at_another_price_is_that_price_less_the_cost() -> None:
    """0.68 a tub: at 2.00 it leaves 1.32, and 66 % of the price."""
    row = with_stall(PLAIN_BUTTER, PLAIN_TUB).row(TUB, STALL)
    assert (row.left_at(D(2)), row.margin_at(D(2))) == (D("1.32"), D("0.66"))


def test_how_far_it_may_rise_is_told_as_the_highest_too() -> None:
    """5.00 less 40 % kept less 2.68 leaves 0.32 for 40 g of oil at 0.005 a gram: 0.008 more, 0.013 at most."""
    known = Reckoning(selling(JARRED, STALLED, prices=[(TUB, STALL, "5")]))
    row = known.row(TUB, STALL)
    oil = {name_of(known, one): one for one in rises(known, row)}["Oil"]
    assert (oil.now, oil.may_rise, oil.highest, oil.share) == (D("0.005"), D("0.008"), D("0.013"), D("1.6"))


def test_an_hour_of_what_is_not_sold_opens_to_nothing() -> None:
    known = with_stall(PLAIN_BUTTER, PLAIN_TUB)
    with pytest.raises(KeyError):
        hour_working(known, pay(known), TUB)
