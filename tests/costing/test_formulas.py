"""Formulas: shares, the rest, pre-blends, what a gram costs and what it carries."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import examples
from tests.costing.making import (
    ANNA,
    BEN,
    BUTTER,
    INFUSED,
    LOTION,
    OIL,
    PLAIN_BUTTER,
    SHEA,
    WATER,
    D,
    adds_up,
    changed,
    costing,
    formula,
    gap,
    known,
    line,
    reckoned,
    work,
)
from tests.small_books import small
from webapp.costing import formula_working
from webapp.costing.amounts import snap
from webapp.costing.book import Formula
from webapp.costing.gaps import Gap, Ref
from webapp.costing.reckoning import Reckoning
from webapp.costing.weighing import amounts_of

# --- what a gram costs ---------------------------------------------------------------------------------------------


def test_percent_by_mass_costs_each_share() -> None:
    cost = reckoned(PLAIN_BUTTER).formula(BUTTER)
    assert cost.per_gram == D("0.0068")  # 0.6 x 8 + 0.4 x 5 a kg
    assert cost.good_cost == cost.per_gram


def test_one_line_takes_the_rest() -> None:
    of = reckoned(formula(BUTTER, line(SHEA, "60"), line(OIL, None, rest=True)))
    assert of.formula(BUTTER).per_gram == D("0.0068")
    assert [share.amount for share in of.shares(BUTTER)] == [60, 40]


def test_grams_millilitres_and_drops_are_weighed() -> None:
    # 50 g shea, 50 mL oil = 45 g, 90 drops = 3 mL = 2.7 g of oil
    of = reckoned(formula(BUTTER, line(SHEA, "50", "g"), line(OIL, "50", "mL"), line(OIL, "90", "drops"), way="grams"))
    assert [share.amount for share in of.shares(BUTTER)] == [50, 45, D("2.7")]
    assert snap(known(of.formula(BUTTER).per_gram)) == snap((50 * D("0.008") + D("47.7") * D("0.005")) / D("97.7"))


def test_parts_need_not_add_up_to_anything() -> None:
    of = reckoned(formula(BUTTER, line(SHEA, "3", "part"), line(OIL, "2", "part"), way="parts"))
    assert of.formula(BUTTER).per_gram == D("0.0068")


@pytest.mark.parametrize(
    ("lines", "way", "says"),
    [
        ((line(SHEA, "60"), line(OIL, "37")), "percent", "add up to 97 %: 3 % missing"),
        ((line(SHEA, "60"), line(OIL, "40.5")), "percent", "add up to 100.5 %: 0.5 % too much"),
        ((line(SHEA, "100"), line(OIL, None, rest=True)), "percent", "take 100 %, so nothing is left"),
        ((line(SHEA, "60"), line(OIL, None)), "percent", "Line 2 of “Butter” has no amount in percent"),
        ((line(SHEA, None, rest=True), line(OIL, None, rest=True)), "percent", "Line 2 of “Butter” has no amount"),
        ((line(SHEA, "60"), line(OIL, "5", "g")), "percent", "Line 2 of “Butter” has no amount in percent"),
        ((line(SHEA, "60", "g"), line(OIL, "5")), "grams", "Line 2 of “Butter” has no amount in g, mL or drops"),
        ((line(SHEA, "3", "part"), line(OIL, None, rest=True)), "parts", "Only a formula in percent"),
        ((line(SHEA, "9", "g"), line(SHEA, "5", "mL")), "grams", "Shea is measured by volume and its density"),
    ],
)
def test_what_does_not_add_up_says_by_how_much(lines: tuple[object, ...], way: str, says: str) -> None:
    of = reckoned(formula(BUTTER, *lines, way=way))  # type: ignore[arg-type]
    assert says in gap(of.formula(BUTTER).per_gram).reason


@pytest.mark.parametrize("way", ["parts", "grams"])
def test_a_formula_with_nothing_in_it_asks_for_its_amounts(way: str) -> None:
    missing = gap(reckoned(formula(BUTTER, way=way)).formula(BUTTER).per_gram)
    assert missing == Gap("“Butter” has no amounts yet. Type what goes in.", Ref("formula", BUTTER, "lines"))


def test_drops_ask_for_how_many_make_a_millilitre() -> None:
    thick = costing(OIL, "Oil", "5", density=reckoned().book.materials[OIL].density)
    of = reckoned(thick, formula(BUTTER, line(OIL, "9", "drops"), way="grams"))
    assert gap(of.formula(BUTTER).per_gram).cure == Ref("material", OIL, "drops_per_ml")


def test_a_missing_price_is_a_gap_with_its_own_reason_and_the_other_lines_are_known() -> None:
    of = reckoned(formula(BUTTER, line(SHEA, "60"), line(WATER, "40")))
    assert of.formula(BUTTER).per_gram == of.material(WATER).unit_cost
    first, second = of.shares(BUTTER)
    assert first.cost == D("0.0048")
    assert "Rose water has no price yet" in gap(second.cost).reason
    assert second.share == D("0.4")


def test_shares_of_mass_and_of_cost_each_make_a_whole() -> None:
    shares = reckoned(PLAIN_BUTTER).shares(BUTTER)
    assert sum(known(share.share) for share in shares) == 1
    assert snap(sum((known(share.cost_share) for share in shares), D(0))) == 1
    assert [share.grams for share in shares] == [600, 400]


# --- blends --------------------------------------------------------------------------------------------------------


def test_a_blend_melted_in_costs_as_weighed_and_brings_no_time_along() -> None:
    infused = formula(INFUSED, line(OIL, "100"), loss="10", batch_grams="500", work=(work(ANNA, "30"),))
    of = reckoned(infused, formula(BUTTER, line(SHEA, "50"), line(INFUSED, "50", blend=True)))
    assert of.formula(BUTTER).per_gram == D("0.0065")
    assert of.formula(BUTTER).minutes == ()


AHEAD = formula(
    INFUSED,
    line(OIL, "100"),
    loss="10",
    batch_grams="500",
    work=(work(ANNA, "30", "12"), work(BEN, "9")),
    made_ahead=True,
)


def test_loss_divides_and_is_never_added() -> None:
    of = reckoned(AHEAD)
    assert of.formula(INFUSED).good_cost == D("0.005") / D("0.9")
    assert of.formula(INFUSED).per_gram == D("0.005")


def test_cost_and_minutes_travel_with_a_good_gram_made_ahead() -> None:
    of = reckoned(AHEAD, formula(BUTTER, line(SHEA, "50"), line(INFUSED, "50", blend=True), batch_grams="900"))
    made = of.formula(INFUSED)
    # 450 good grams of 500: Anna 30 + 12 x 0.5 = 36 minutes, Ben 9
    assert made.minutes == ((ANNA, D("0.08")), (BEN, D("0.02")))
    assert of.formula(BUTTER).carried == ((ANNA, D("0.04")), (BEN, D("0.01")))
    assert snap(known(of.formula(BUTTER).per_gram)) == snap((D("0.008") + D("0.005") / D("0.9")) / 2)


def test_a_fixed_loss_counts_by_the_batch_and_asks_for_its_size() -> None:
    of = reckoned(changed(AHEAD, loss_grams="50"))
    assert of.formula(INFUSED).good_cost == D("0.00625")  # 500 g weighed, 400 g out
    unsized = changed(AHEAD, loss_grams="50", batch_grams=None)
    assert gap(reckoned(unsized).formula(INFUSED).good_cost).cure == Ref("formula", INFUSED, "batch_grams")


def test_made_ahead_twice_over_is_carried_through() -> None:
    middle = formula(LOTION, line(INFUSED, "100", blend=True), batch_grams="900", loss="50", made_ahead=True)
    of = reckoned(AHEAD, middle)
    assert of.formula(LOTION).good_cost == D("0.01") / D("0.9")
    assert of.formula(LOTION).minutes == ((ANNA, D("0.16")), (BEN, D("0.04")))


def test_nothing_left_of_a_blend_made_ahead_says_so() -> None:
    of = reckoned(changed(AHEAD, loss_grams="450"))
    assert "Nothing is left of a batch of “Infused oil”" in gap(of.formula(INFUSED).good_cost).reason


def test_made_ahead_twice_over_the_reason_of_the_inner_one_is_carried_through() -> None:
    """What is set up a batch of the inner one is not known without its batch; so neither is that of the outer one."""
    inner = changed(AHEAD, batch_grams=None, loss_grams="0", work=(work(ANNA, "30"),))
    outer = formula(LOTION, line(INFUSED, "100", blend=True), made_ahead=True, batch_grams="1000")
    of = reckoned(inner, outer)
    for number in (INFUSED, LOTION):
        assert gap(of.formula(number).minutes).cure == Ref("formula", INFUSED, "batch_grams")


def test_the_grams_of_a_blend_of_which_nothing_is_left_are_missing_by_that_reason() -> None:
    of = reckoned(changed(AHEAD, loss_grams="450"), formula(BUTTER, line(INFUSED, "100", blend=True)))
    assert "Nothing is left of a batch of “Infused oil”" in gap(of.leaves(BUTTER)).reason


def test_leaves_go_through_every_blend_and_grow_by_what_is_lost_in_it() -> None:
    of = reckoned(AHEAD, formula(BUTTER, line(OIL, "10"), line(INFUSED, "90", blend=True)))
    assert of.leaves(BUTTER) == {OIL: D("1.1")}  # 0.1 + 0.9 / 0.9


def test_a_blend_by_volume_asks_for_its_density() -> None:
    top = formula(BUTTER, line(INFUSED, "100", "mL", blend=True), way="grams")
    assert gap(reckoned(AHEAD, top).formula(BUTTER).per_gram).cure == Ref("formula", INFUSED, "density")
    of = reckoned(changed(AHEAD, density="0.9"), top)
    assert of.formula(BUTTER).whole == 90


# --- loops and depth -----------------------------------------------------------------------------------------------


def _holding(number: int, *inner: int) -> Formula:
    return formula(number, *(line(one, str(100 / len(inner)).removesuffix(".0"), blend=True) for one in inner))


def test_a_loop_is_named_and_whatever_leans_on_it_is_missing_too() -> None:
    of = reckoned(_holding(BUTTER, INFUSED), _holding(INFUSED, LOTION), _holding(LOTION, INFUSED))
    assert "“Infused oil” → “Formula 23” → “Infused oil”" in gap(of.formula(BUTTER).per_gram).reason
    for one in (INFUSED, LOTION):
        gap(of.formula(one).per_gram)
        gap(of.leaves(one))
        assert adds_up(formula_working.working(of, one))


def test_a_formula_that_holds_itself_is_a_loop() -> None:
    of = reckoned(_holding(BUTTER, BUTTER))
    assert "“Butter” → “Butter”" in gap(of.formula(BUTTER).per_gram).reason


def test_twenty_deep_is_costed_and_one_more_is_refused() -> None:
    chain = [_holding(100 + depth, 99 + depth) for depth in range(1, 21)]
    of = reckoned(formula(100, line(SHEA, "100")), *chain)
    assert of.formula(119).per_gram == D("0.008")
    assert "more than 20 deep" in gap(of.formula(120).per_gram).reason


def test_a_chain_of_thousands_does_not_run_away() -> None:
    of = reckoned(formula(1000, line(SHEA, "100")), *(_holding(1000 + depth, 999 + depth) for depth in range(1, 3000)))
    assert "more than 20 deep" in gap(of.formula(3999).per_gram).reason
    assert "more than 20 deep" in gap(of.leaves(3999)).reason if isinstance(of.leaves(3999), Gap) else False


def test_each_formula_of_a_wide_nest_is_costed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    from webapp.costing import formulas

    costed: list[int] = []
    cost = formulas.formula_cost

    def counted(of: Reckoning, one: Formula) -> formulas.FormulaCost:
        costed.append(one.id)
        return cost(of, one)

    monkeypatch.setattr(formulas, "formula_cost", counted)
    rungs = [_holding(100 + rung, 99 + rung, 99 + rung) for rung in range(1, 20)]
    of = reckoned(formula(100, line(SHEA, "100")), *rungs)
    assert of.formula(119).per_gram == D("0.008")
    assert costed == list(range(100, 120))


# --- properties ----------------------------------------------------------------------------------------------------

AMOUNTS = st.lists(st.integers(1, 10**9).map(lambda millionths: D(millionths).scaleb(-6)), min_size=1, max_size=6)


@given(AMOUNTS, st.integers(1, 10**6))
def test_scaling_a_formula_changes_no_cost_per_gram(amounts: list[D], factor: int) -> None:
    def per_gram(times: int) -> D:
        lines = [line(SHEA if place % 2 else OIL, str(each * times), "g") for place, each in enumerate(amounts)]
        return known(reckoned(formula(BUTTER, *lines, way="grams")).formula(BUTTER).per_gram)

    assert snap(per_gram(1)) == snap(per_gram(factor))


@given(AMOUNTS, st.randoms(use_true_random=False))
def test_the_order_of_lines_changes_nothing(amounts: list[D], rng: Random) -> None:
    lines = [line(SHEA if place % 2 else OIL, str(each), "part") for place, each in enumerate(amounts)]
    shuffled = rng.sample(lines, len(lines))
    first, second = (reckoned(formula(BUTTER, *some, way="parts")).formula(BUTTER) for some in (lines, shuffled))
    assert first.per_gram == second.per_gram


@given(AMOUNTS)
def test_a_gram_costs_what_exact_fractions_say(amounts: list[D]) -> None:
    lines = [line(SHEA if place % 2 else OIL, str(each), "part") for place, each in enumerate(amounts)]
    prices = [Fraction(8, 1000) if place % 2 else Fraction(5, 1000) for place in range(len(amounts))]
    paid = sum((Fraction(each) * price for each, price in zip(amounts, prices, strict=True)), Fraction(0))
    exact = paid / sum(map(Fraction, amounts), Fraction(0))
    cost = known(reckoned(formula(BUTTER, *lines, way="parts")).formula(BUTTER).per_gram)
    assert abs(Fraction(cost) - exact) < Fraction(1, 10**40)


@settings(max_examples=examples.of(30))
@given(st.randoms(use_true_random=False))
def test_every_cost_of_a_gram_adds_up_from_what_it_opens_to(rng: Random) -> None:
    of = Reckoning(small(rng))
    for one in of.book.formulas:
        assert adds_up_above_orders(of, one)
        shares = of.shares(one)
        if not isinstance(amounts_of(of.book, of.book.formulas[one]).whole, Gap):
            assert snap(sum((known(share.share) for share in shares), D(0))) == 1


def adds_up_above_orders(of: Reckoning, one: int) -> bool:
    """The sums of the formulas themselves; those of the material costs have tests of their own."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Reckoning, "material_working", lambda *_: None)
        return adds_up(formula_working.working(of, one)) and adds_up(formula_working.good_working(of, one))


def test_a_working_goes_down_to_the_material() -> None:
    opened = formula_working.working(reckoned(PLAIN_BUTTER), BUTTER)
    below, shea = opened.steps[0].working, PLAIN_BUTTER.lines[0].material
    assert shea is not None
    assert opened.steps[0].source == Ref("material", shea)  # how much of it there is, stands one step below
    assert below is not None
    assert below.steps[0].source == Ref("formula", BUTTER, "lines-0-amount")
    assert below.steps[1].working is not None
    assert below.steps[1].working.title.startswith("Shea")
    assert opened.result == D("0.0068")
