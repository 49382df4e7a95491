"""The line: what a jar leaves on each channel, what the rows add up to, and what may still get dearer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from random import Random
from typing import Any

import pytest

from tests.costing.making import (
    ANNA,
    BEN,
    DAY,
    JAR,
    LOTION,
    OIL,
    PLAIN_BUTTER,
    SHEA,
    TUB,
    WATER,
    D,
    costing,
    fill,
    formula,
    gap,
    known,
    line,
    product,
    room,
    work,
)  # fmt: skip
from tests.small_books import small
from webapp.costing import price_working
from webapp.costing.amounts import half_up, plain, snap
from webapp.costing.book import (
    Book,
    Channel,
    OneOff,
    Part,
    Person,
    Price,
    Sales,
    SellingTime,
    Target,
    Terms,
    Wage,
)
from webapp.costing.gaps import Gap, Ref, from_known
from webapp.costing.jars import charged_grams
from webapp.costing.line import BELOW_FLOOR, HELD_UP, SUGGESTED, Row, headroom, known_totals, left_out, totals, wage
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Working

STALL, SHOP, TRADE, DEALER = 51, 52, 53, 54
#: 0.68 of butter and a jar at 0.50; six own minutes at 15 an hour make 1.50: direct cost 2.68
JARRED = product(TUB, fill(21, "100"), parts=(Part(JAR),), work=(work(ANNA, per_jar="6"),))
LEFT_OUT = Terms(overhead="left out", target=D(40))


def channel(number: int, kind: str = "stall", **more: Any) -> Channel:
    typed: dict[str, Any] = {name: D(value) if isinstance(value, str) and name not in {"tax", "endings"} else value
             for name, value in more.items()}  # fmt: skip
    return Channel(number, f"Channel {number}", DAY, kind, **typed)


STALLED = channel(STALL, endings=".00 .50")
TRADED = channel(TRADE, "wholesale", target="25", stockist_margin="50", stockist_tax="20")


def selling(*things: Any, terms: Terms = LEFT_OUT, bills: Any = None, **facts: Any) -> Book:
    """The making room with channels, prices, targets and sales; facts are (product, channel, value)."""
    channels = {one.id: one for one in things if isinstance(one, Channel)}
    made = room(PLAIN_BUTTER, *(one for one in things if not isinstance(one, Channel)), terms=terms, bills=bills)
    kinds: dict[str, Any] = {"prices": Price, "targets": Target, "sales": Sales}
    shelves: dict[str, Any] = {
        shelf: {(p, c): kinds[shelf](p, c, DAY, None if value is None else D(value)) for p, c, value in rows}
        for shelf, rows in facts.items()
    }
    return replace(made, channels=channels, **shelves)


def row(book: Book, number: int = STALL, of: int = TUB) -> Row:
    return Reckoning(book).row(of, number)


# --- one row, by hand ------------------------------------------------------------------------------------------------


def test_a_row_without_an_accepted_price_stands_at_the_suggested_one() -> None:
    one = row(selling(JARRED, STALLED))
    # 2.68 / 0.6 = 4.466…, to the next half
    assert (one.cost, one.suggested, one.price, one.net) == (D("2.68"), D("4.50"), D("4.50"), D("4.50"))
    assert not one.accepted
    assert one.marks == (SUGGESTED,)
    assert one.margin == D("1.82") / D("4.50")
    assert one.markup == D("1.82") / D("2.68")
    assert one.floor == D("2.68")
    assert one.contribution == D("1.82")
    assert one.contribution_before_own_pay == D("3.32")
    assert one.margin_before_own_pay == D("3.32") / D("4.50")
    assert one.per_labour_hour == D("33.2")
    assert one.per_100_g == D("1.82")
    assert one.price_per_100_g == D("4.50")
    assert one.per_100_ml is None
    assert one.highest_cost == D("2.70")
    assert one.reaches


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"endings": ".00 .50"}, "the next price that ends in .00 or .50"),
        ({"endings": ".00", "step": "0.20"}, "the next price that ends in .00,"),
        ({"step": "0.20"}, "the next step of 0.2,"),
        ({}, "the smallest coin"),
    ],
)
def test_the_working_of_a_suggestion_says_which_prices_are_allowed(facts: dict[str, str], words: str) -> None:
    known_there = Reckoning(selling(JARRED, channel(STALL, **facts)))
    assert words in price_working.working(known_there, known_there.row(TUB, STALL), "suggested").note


def test_selling_time_joins_the_cost_and_the_hours_and_bears_no_overhead() -> None:
    terms = Terms(overhead="hours", making_hours=D(100), target=D(40))
    there = channel(STALL, work=(SellingTime(ANNA, per_order=D(4)), SellingTime(BEN, per_order=D(2))))
    one = row(selling(JARRED, there, terms=terms, bills={1: "500"}))
    # six minutes of making bear 0.50; selling: 4 own minutes are 1.00, 2 of a helper at 15 with the extra are 0.50
    assert one.sheet.overhead == D("0.5")
    assert one.cost == D("2.68") + D("0.50") + D("1.50")
    assert one.direct == D("4.18")
    assert one.own_pay == D("2.50")
    assert known(one.own_hours) * 60 == 10


def test_full_or_direct_cost_is_chosen_and_the_contribution_knows_no_overhead() -> None:
    dear = replace(JARRED, one_offs=(OneOff("Mould", D(100), D(100)),))
    full = row(selling(dear, STALLED, prices=[(TUB, STALL, "10")]))
    direct = row(selling(dear, STALLED, terms=replace(LEFT_OUT, cost="direct"), prices=[(TUB, STALL, "10")]))
    assert (full.cost, direct.cost) == (D("3.68"), D("2.68"))
    assert full.contribution == direct.contribution == D("7.32")


@pytest.mark.parametrize(
    ("own", "of_channel", "wanted"),
    [(None, None, "0.40"), (None, "30", "0.30"), ("20", "30", "0.20"), ("0", "30", "0")],
)
def test_the_target_is_the_products_else_the_channels_else_the_workshops(
    own: str | None, of_channel: str | None, wanted: str
) -> None:
    facts = [] if own is None else [(TUB, STALL, own)]
    there = channel(STALL) if of_channel is None else channel(STALL, target=of_channel)
    assert row(selling(JARRED, there, targets=facts)).target == D(wanted)
    assert row(selling(JARRED, there, targets=[(TUB, STALL, None)])).target == D(of_channel or "40") / 100


def test_an_accepted_price_below_the_cost_is_marked() -> None:
    assert row(selling(JARRED, STALLED, prices=[(TUB, STALL, "2.67")])).marks == (BELOW_FLOOR,)
    at_floor = row(selling(JARRED, STALLED, prices=[(TUB, STALL, "2.68")]))
    assert at_floor.marks == ()
    assert at_floor.margin == 0
    assert at_floor.distance == D("-0.4")


def test_a_price_exactly_at_its_target_reaches_it() -> None:
    # (4.50 - 2.70) / 4.50 is exactly 40 %
    one = row(
        selling(replace(JARRED, one_offs=(OneOff("Seal", D(2), D(100)),)), STALLED, prices=[(TUB, STALL, "4.50")])
    )
    assert one.distance == 0
    assert one.reaches


def test_a_price_of_nothing_gives_no_margin() -> None:
    one = row(selling(JARRED, STALLED, prices=[(TUB, STALL, "0")]))
    assert "price of 0" in gap(one.margin).reason
    assert one.profit == D("-2.68")
    assert one.reaches is None


# --- a gap travels with its reason -----------------------------------------------------------------------------------


def test_a_cost_that_is_not_known_leaves_every_figure_missing_for_the_same_reason() -> None:
    unknown = formula(LOTION, line(WATER, "100"), batch_grams="1000")
    book = selling(unknown, product(TUB, fill(LOTION, "100")), STALLED)
    reckoning = Reckoning(book)
    one, reason = reckoning.row(TUB, STALL), reckoning.material(WATER).unit_cost
    missing = (one.cost, one.suggested, one.price, one.net, one.fees, one.profit, one.margin, one.markup, one.floor,
               one.contribution, one.contribution_before_own_pay, one.margin_before_own_pay, one.per_100_g,
               one.per_labour_hour if one.own_hours else one.contribution, one.highest_cost, one.distance,
               one.price_per_100_g)  # fmt: skip
    assert all(figure == reason for figure in missing)
    assert gap(reason).cure == Ref("material", WATER, "starting")


def test_what_does_not_depend_on_the_gap_is_still_known() -> None:
    unknown = formula(LOTION, line(WATER, "100"), batch_grams="1000")
    there = channel(STALL, tax="in", tax_rate="20", share_paid="10")
    one = row(selling(unknown, product(TUB, fill(LOTION, "100")), there, prices=[(TUB, STALL, "12")]))
    assert (one.net, one.fees, one.price_per_100_g) == (D(10), D("1.2"), D(12))
    assert isinstance(one.margin, Gap)


def test_a_pitch_without_its_jars_is_missing_in_fees_and_suggestion() -> None:
    one = row(selling(JARRED, channel(STALL, pitch="20")))
    assert one.cost == D("2.68")
    assert gap(one.suggested).cure == gap(one.fees).cure == Ref("channel", STALL, "jars_a_day")


# --- wholesale and retail hang together ------------------------------------------------------------------------------


def test_the_own_shop_does_not_undercut_a_stockist() -> None:
    book = selling(JARRED, STALLED, TRADED)
    # 2.68 / 0.75 = 3.573…: 3.58; 3.58 x 1.2 / 0.5 = 8.592, to the next half
    assert row(book, TRADE).suggested == D("3.58")
    retail = row(book)
    assert retail.recommended_retail == D("8.592")
    assert (retail.suggested, retail.marks) == (D("9.00"), (SUGGESTED, HELD_UP))


def test_the_accepted_wholesale_price_counts_and_of_several_the_highest() -> None:
    dealer = channel(DEALER, "wholesale", tax="added", tax_rate="20", stockist_margin="40", stockist_tax="20")
    book = selling(JARRED, STALLED, TRADED, dealer, prices=[(TUB, TRADE, "3.00"), (TUB, DEALER, "3.70")])
    # 3.00 x 1.2 / 0.5 = 7.20; 3.70 x 1.2 / 0.6 = 7.40
    assert {one.recommended_retail for one in Reckoning(book).line()} == {D("7.40")}
    gone = replace(book, channels={**book.channels, DEALER: replace(dealer, retired=DAY - timedelta(1))})
    assert row(gone).recommended_retail == D("7.20")


def test_a_wholesale_price_that_is_not_known_leaves_the_retail_suggestion_missing() -> None:
    book = selling(JARRED, STALLED, replace(TRADED, share_net=D(80)))
    assert gap(row(book).suggested).cure == Ref("channel", TRADE, "target")


def test_where_the_target_has_no_price_the_recommended_retail_stands_beside() -> None:
    one = row(selling(JARRED, channel(STALL, share_net="60"), TRADED))
    assert gap(one.suggested).cure == Ref("channel", STALL, "target")
    assert one.recommended_retail == D("8.592")


def test_a_wholesale_price_is_not_raised_to_what_shops_ask() -> None:
    only_trade = replace(JARRED, channels=(STALL, TRADE))
    dealer = channel(DEALER, "wholesale", target="25", stockist_margin="50")
    assert row(selling(only_trade, STALLED, TRADED, dealer), DEALER).suggested == D("3.58")


def test_without_a_wholesale_channel_there_is_no_recommended_retail() -> None:
    only_stall = replace(JARRED, channels=(STALL,))
    one = row(selling(only_stall, STALLED, TRADED))
    assert one.recommended_retail is None
    assert one.suggested == D("4.50")


# --- the whole line --------------------------------------------------------------------------------------------------


def test_retired_things_are_left_out_of_the_line_and_can_still_be_asked_for() -> None:
    gone = replace(product(35, fill(21, "50")), retired=DAY - timedelta(1))
    book = selling(JARRED, gone, STALLED, replace(TRADED, retired=DAY - timedelta(1)))
    reckoning = Reckoning(book)
    assert [(one.product, one.channel) for one in reckoning.line()] == [(TUB, STALL)]
    assert isinstance(reckoning.row(35, STALL).price, Decimal)
    assert isinstance(reckoning.row(TUB, TRADE).price, Decimal)


def test_the_line_goes_by_name_and_then_by_channel() -> None:
    other = replace(product(30, fill(21, "50")), name="balm")
    reckoning = Reckoning(selling(JARRED, other, STALLED, channel(SHOP)))
    wanted = [(30, STALL), (30, SHOP), (TUB, STALL), (TUB, SHOP)]
    assert [(one.product, one.channel) for one in reckoning.line()] == wanted


def test_the_weighted_margin_is_over_the_rows_that_sell() -> None:
    book = selling(JARRED, STALLED, channel(SHOP), prices=[(TUB, STALL, "4.68"), (TUB, SHOP, "3.68")],
                   sales=[(TUB, STALL, "30"), (TUB, SHOP, "10")])  # fmt: skip
    summed = totals(book, Reckoning(book).line())
    # (2 x 30 + 1 x 10) / (4.68 x 30 + 3.68 x 10)
    assert summed.weighted_margin == D(70) / D("177.20")
    assert (summed.jars, summed.sold, summed.unsold, summed.unsold_products, summed.suggested) == (D(40), 2, 0, 0, 0)
    # 40 % of 3.68 is 1.472, 0.472 more than is left, on ten jars; the stall is above its target
    assert summed.lost_a_month == D("4.72")


def test_what_does_not_sell_is_left_out_and_counted() -> None:
    other = product(35, fill(21, "50"))
    book = selling(JARRED, other, STALLED, channel(SHOP), sales=[(TUB, STALL, "30"), (TUB, SHOP, "0")])
    summed = totals(book, Reckoning(book).line())
    assert (summed.sold, summed.unsold, summed.unsold_products) == (1, 3, 1)
    assert summed.suggested == 1  # no price is accepted anywhere; only what sells is counted
    assert summed.weighted_margin == row(book).margin


def test_a_sold_row_that_is_missing_makes_the_weighted_margin_missing_by_name() -> None:
    unknown = formula(LOTION, line(WATER, "100"), batch_grams="1000")
    book = selling(JARRED, unknown, product(35, fill(LOTION, "50")), STALLED,
                   sales=[(TUB, STALL, "30"), (35, STALL, "1")])  # fmt: skip
    summed = totals(book, Reckoning(book).line())
    for figure in (summed.weighted_margin, summed.profit, summed.lost_a_month):
        assert gap(figure).reason.startswith("Product 35, Channel 51: ")
        assert gap(figure).cure == Ref("material", WATER, "starting")
    unsold = replace(book, sales={(TUB, STALL): book.sales[TUB, STALL]})
    assert isinstance(totals(unsold, Reckoning(unsold).line()).weighted_margin, Decimal)


def test_the_known_rows_have_totals_beside_the_names_of_the_rows_they_lack() -> None:
    unknown = formula(LOTION, line(WATER, "100"), batch_grams="1000")
    book = selling(JARRED, unknown, product(35, fill(LOTION, "50")), STALLED, channel(SHOP),
                   prices=[(TUB, STALL, "4.68"), (35, SHOP, "9")],
                   sales=[(TUB, STALL, "30"), (35, STALL, "1"), (35, SHOP, "2")])  # fmt: skip
    rows = Reckoning(book).line()
    assert [(one.product, one.channel) for one, _ in left_out(rows)] == [(35, STALL), (35, SHOP)]
    assert {reason.cure for _, reason in left_out(rows)} == {Ref("material", WATER, "starting")}
    summed = known_totals(book, rows)
    # 30 jars at 4.68 leave 2.00 each; the tub on the second channel is the one row that doesn't sell
    assert (summed.net_sales, summed.profit, summed.jars) == (D("140.40"), D(60), D(30))
    assert (summed.sold, summed.unsold) == (1, 1)
    assert summed.weighted_margin == D(60) / D("140.40")
    assert isinstance(totals(book, rows).weighted_margin, Gap)


def test_nothing_sold_has_no_weighted_margin() -> None:
    book = selling(JARRED, STALLED)
    assert "jars are sold" in gap(totals(book, Reckoning(book).line()).weighted_margin).reason
    assert gap(row(book).lost_a_month).cure == Ref("product", TUB, f"sales-{STALL}")


def test_what_is_nothing_to_twelve_places_is_no_loss_and_costs_nothing() -> None:
    """4.50 for what costs 2.68, ten a month; 40 % of it would be 1.80. Half of the twelfth place is one of it."""
    one = row(selling(JARRED, STALLED, prices=[(TUB, STALL, "4.50")], sales=[(TUB, STALL, "10")]))
    near = {D("-4E-13"): (), D("-5E-13"): (BELOW_FLOOR,)}
    assert {profit: one._replace(profit=profit).marks for profit in near} == near
    lost = {D("4E-13"): D(0), D("5E-13"): D("5E-12")}
    below = {missed: D("1.80") - missed for missed in lost}
    assert lost == {
        missed: one._replace(profit=profit, margin=profit / D("4.50")).lost_a_month for missed, profit in below.items()
    }


# --- what may still get dearer ---------------------------------------------------------------------------------------


def test_an_ingredient_may_rise_by_its_headroom_and_no_further() -> None:
    book = selling(JARRED, STALLED, prices=[(TUB, STALL, "5")])
    grams = charged_grams(Reckoning(book), TUB)
    assert not isinstance(grams, Gap)
    # 5 x 0.6 - 2.68 = 0.32 over 60 g of shea
    room_left = known(headroom(row(book), grams[SHEA]))
    assert room_left == D("0.32") / 60
    dearer = {**book.materials, SHEA: costing(SHEA, "Shea", str(D(8) + D("0.32") / 60 * 1000))}
    assert snap(known(row(replace(book, materials=dearer)).margin)) == D("0.4")
    assert "none of it" in gap(headroom(row(book), D(0))).reason


def test_a_price_pays_the_wage_at_which_the_target_is_just_reached() -> None:
    hours = channel(STALL, work=(SellingTime(ANNA, per_order=D(4)), SellingTime(BEN, per_order=D(2))))
    book = selling(JARRED, hours, prices=[(TUB, STALL, "6")])
    # 6 x 0.6 = 3.60; less 1.18 of materials and 0.50 of a helper is 1.92 for ten minutes
    assert wage(book, row(book)) == D("11.52")
    paid = replace(book, people={**book.people, ANNA: Person(ANNA, "Anna", "own", Wage(DAY, D("11.52")))})
    assert row(paid).distance == 0
    unpaid = replace(book, people={**book.people, ANNA: Person(ANNA, "Anna", "own")})
    assert wage(unpaid, row(unpaid)) == D("11.52")


def test_an_employers_extra_stays_on_the_wage_that_a_price_pays() -> None:
    book = selling(JARRED, STALLED, prices=[(TUB, STALL, "6")])
    extra = replace(book, people={**book.people, ANNA: Person(ANNA, "Anna", "own", Wage(DAY, D(15), D(21)))})
    assert snap(known(wage(extra, row(extra))) * D("1.21")) == snap(known(wage(book, row(book))))


def test_the_wage_of_a_jar_whose_hours_are_not_known_is_missing_with_their_reason() -> None:
    batchless = formula(21, line(SHEA, "60"), line(OIL, "40"), work=(work(ANNA, per_batch="30"),))
    book = selling(JARRED, batchless, STALLED, prices=[(TUB, STALL, "6")])
    missing = gap(wage(book, row(book)))
    assert missing == row(book).sheet.times
    assert missing.cure == Ref("formula", 21, "batch_grams")


def test_a_jar_without_own_hours_has_no_place_by_the_hour_and_no_wage() -> None:
    book = selling(product(TUB, fill(21, "100")), STALLED)
    assert "No hours of your own" in gap(row(book).per_labour_hour).reason
    assert "No hours of your own" in gap(wage(book, row(book))).reason


# --- workings --------------------------------------------------------------------------------------------------------

# Their last step is moved up to an ending, or to the minor unit.
MOVED = ("Suggested price", "Lowest price without a loss")
OF_THE_SHEET = {"full cost of the jar", "direct cost of the jar", "own work of making it", "of making it"}
SIGNS: dict[str, Callable[[Decimal, Decimal], Decimal]] = {
    "": lambda _, amount: amount,
    "=": lambda _, amount: amount,
    "+": lambda total, amount: total + amount,
    "-": lambda total, amount: total - amount,
    "×": lambda total, amount: total * amount,
    "÷": lambda total, amount: total / amount,
}


def opens(working: Working) -> None:
    """Every sum in it comes to its result; what stands beside a step is the sum of that step."""
    total = D(0)
    for step in working.steps:
        if isinstance(step.amount, Gap) or (step.sign == "÷" and not step.amount):
            assert isinstance(working.result, Gap), working
            break
        if step.sign == "=":
            assert snap(total) == snap(step.amount), working
        total = SIGNS[step.sign](total, step.amount)
    else:
        if isinstance(working.result, Decimal) and not working.title.startswith(MOVED):
            assert snap(total) == snap(working.result), working
        elif isinstance(working.result, Decimal):
            assert snap(total) <= working.result, working
    for step in working.steps:
        if step.working is not None:
            assert _alike(step.working.result, step.amount), (working.title, step)
            # The cost sheet's own sums are held in test_jars.py.
            if step.words not in OF_THE_SHEET:
                opens(step.working)


def _alike(one: Any, other: Any) -> bool:
    return isinstance(other, Gap) if isinstance(one, Gap) else snap(one) == snap(other)


#: a jar at 6.00 with 20 % in it, of which 3 % and 0.30 are kept; two own minutes and one of a helper's sell it
SOLD = channel(
    STALL, fee="0.30", tax="in", tax_rate="20", share_paid="3",
    work=(SellingTime(ANNA, per_order=D(2)), SellingTime(BEN, per_order=D(1))),
)  # fmt: skip
#: step by step, to four places half-up; > opens to a sum of its own
STEPS = {
    # 2 x 15 / 60 + 1 x 12 x 1.25 / 60 = 0.50 + 0.25
    "cost": "2.68> +0.75>",
    # 3 % of 6.00 is 3.6 % of 5.00: 0.18
    "fees": "5> ×0.036> =0.18 +0.3>",
    "net": "6 ÷1.2",
    # 3.73 / (1 - 0.40 - 0.036) = 6.61347..., 7.93617... with tax
    "suggested": "3.43> +0.3> ÷0.564> =6.6135 ×1.2 =7.9362",
    "recommended_retail": "",
    # 3.73 / (1 - 0.036) = 3.86929..., 4.64315... with tax
    "floor": "3.43> +0.3> ÷0.964> =3.8693 ×1.2 =4.6432",
    "highest_cost": "5> ×0.564> -0.3>",
    "profit": "5> -0.48> -3.43>",
    "margin": "5> -0.48> -3.43> =1.09 ÷5",
    # 6 x 15 / 60 of making it, 2 x 15 / 60 of selling it
    "margin_before_own_pay": "1.09> +2> =3.09 ÷5",
    "markup": "1.09> ÷3.91>",
    "own_pay": "1.5> +0.5>",
    "contribution": "5> -0.48> -2.68> -0.75>",
    "contribution_before_own_pay": "5> -0.48> -2.68> -0.75> =1.09 +2>",
    "per_labour_hour": "3.09> ÷8> ×60",
    "per_100_g": "1.09> ÷100> ×100",
    "per_100_ml": "",
    "price_per_100_g": "6 ÷100> ×100",
    "price_per_100_ml": "",
}


def test_every_figure_of_a_row_opens_step_by_step_and_each_step_that_is_a_sum_opens_to_it() -> None:
    reckoning = Reckoning(selling(JARRED, SOLD, prices=[(TUB, STALL, "6")]))
    assert tuple(STEPS) == price_working.FIGURES
    one = reckoning.row(TUB, STALL)
    sums = {figure: price_working.working(reckoning, one, figure) for figure in STEPS}
    sums["made of"] = price_working.made_of(reckoning, one)
    # 6.00 with a sixth of tax; hired is one minute at 12 and a quarter more
    for figure, wanted in {**STEPS, "made of": "6 -0.68> -0.5> -0.25> -0.48> -1> -2>"}.items():
        opened = sums[figure]
        steps = [f"{at.sign}{plain(half_up(known(at.amount), 4))}{'>' * bool(at.working)}" for at in opened.steps]
        assert " ".join(steps) == wanted, figure
        opens(opened)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(60))
def test_every_figure_of_a_row_opens_to_a_sum_that_comes_to_it(seed: int) -> None:
    reckoning = Reckoning(small(Random(seed)))  # a test wants the same books again
    for one in reckoning.line():
        for name in price_working.FIGURES:
            figure = getattr(one, name)
            opened = price_working.working(reckoning, one, name)
            assert opened.result == figure or figure is None, name
            opens(opened)


@pytest.mark.parametrize("seed", range(20))
def test_the_parts_of_a_price_add_up_to_it(seed: int) -> None:
    reckoning = Reckoning(small(Random(seed)))  # a test wants the same books again
    for one in reckoning.line():
        made = price_working.made_of(reckoning, one)
        # What is left of a price when everything is paid is the contribution less overhead and one-offs.
        rest = from_known(
            lambda left, *shares: left - sum(shares), one.contribution, one.sheet.overhead, one.sheet.one_offs
        )
        assert _alike(made.result, rest)
        total = D(0)
        for step in made.steps:
            total = total if isinstance(step.amount, Gap) else SIGNS[step.sign](total, step.amount)
        assert isinstance(rest, Gap) or snap(total) == snap(rest)


def test_a_suggestion_is_opened_at_the_price_and_not_once_more_at_the_tax_that_is_in_it() -> None:
    """2.68 / 0.6 x 1.2 = 5.36, to the next half: 5.50, of which 5.50 - 5.50 / 1.2 is tax."""
    reckoning = Reckoning(selling(JARRED, channel(STALL, endings=".00 .50", tax="in", tax_rate="20")))
    steps = {step.words: step for step in price_working.made_of(reckoning, reckoning.row(TUB, STALL)).steps}
    price, tax = steps["price"].working, steps["sales tax in it"].working
    assert price is not None
    assert tax is not None
    assert (price.result, snap(known(tax.result))) == (D("5.50"), snap(D("5.5") / 6))
    net = tax.steps[1].working
    assert net is not None
    assert (net.steps[0].words, net.steps[0].working) == ("suggested price", None)


def test_the_suggested_price_opens_down_to_the_material() -> None:
    reckoning = Reckoning(selling(JARRED, STALLED, TRADED))
    opened = price_working.working(reckoning, reckoning.row(TUB, STALL), "suggested")
    assert [step.words for step in opened.steps][-1] == "recommended retail price of the stockists"
    assert "not undercut" in opened.note
    found = []
    waiting = [opened]
    while waiting:
        now = waiting.pop()
        found += [step.source for step in now.steps if step.source]
        waiting += [step.working for step in now.steps if step.working]
    assert {Ref("channel", TRADE, "stockist_margin"), Ref("person", ANNA, "wage-per_hour")} <= set(found)
    assert any(ref.kind == "material" and ref.id in {SHEA, OIL, JAR} for ref in found)


def test_a_held_up_suggestion_tells_what_the_target_alone_would_ask_for() -> None:
    # 2.68 / 0.6 = 4.4667, to the next half; wholesale 2.68 / 0.75 = 3.5733: 3.58, on a shelf 3.58 x 1.2 / 0.5 = 8.592
    one = row(selling(JARRED, STALLED, TRADED))
    assert HELD_UP in one.marks
    assert (one.suggested, one.suggested_alone) == (D("9.00"), D("4.50"))
    alone = row(selling(JARRED, STALLED))
    assert alone.suggested_alone == alone.suggested == D("4.50")
