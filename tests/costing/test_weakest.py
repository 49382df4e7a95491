"""The weakest products and why. Figures are from paper: shares of a price, and differences of shares."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from tests.books import example_book
from tests.costing.making import ANNA, DAY, JAR, OIL, SHEA, TUB, D, adds_up, costing, fill, known, product, work
from tests.costing.test_line import JARRED, SHOP, STALL, STALLED, channel, selling
from webapp.costing.amounts import ONE, snap
from webapp.costing.book import Book, Part, Price
from webapp.costing.reckoning import Reckoning
from webapp.costing.weakest import (
    ALONE,
    MOVED,
    SHARE,
    TARGET,
    TARGET_ROSE,
    Cause,
    Ranking,
    Weak,
    amounts_of,
    shares_of,
    weakest,
)
from webapp.costing.weakest_working import working

BIG, SMALL = 34, 35
MADE = {"parts": (Part(JAR),), "work": (work(ANNA, per_jar="6"),)}
#: 1.36 of butter, 0.50 the jar, 1.50 own pay
TWICE = product(BIG, fill(21, "200"), **MADE)
SAME = product(SMALL, fill(21, "100"), **MADE)
# A tub has 0.68 of butter (0.48 of it shea), 0.50 the jar and 1.50 own pay: at 4 its shares are 17, 12.5 and 37.5 %.
PRICES = [(TUB, STALL, "4"), (BIG, STALL, "8"), (SMALL, STALL, "6.40")]
THREE = selling(JARRED, TWICE, SAME, STALLED, prices=PRICES)


def ranked(book: Book, then: Book | None = None, many: int = 3) -> Ranking:
    now = Reckoning(book)
    return weakest(now, now.line(), lambda _: Reckoning(then or book), many)


def first(book: Book, then: Book | None = None) -> Weak:
    return ranked(book, then).weak[0]


def test_the_weakest_is_furthest_below_its_target() -> None:
    found = ranked(THREE)
    # 33 - 40; (8 - 3.36) / 8 - 40 %; (6.40 - 2.68) / 6.40 - 40 %
    assert [one.row.product for one in found.weak] == [TUB, BIG, SMALL]
    assert [one.distance for one in found.weak] == [D("-0.07"), D("0.18"), D("0.18125")]
    assert [one.row.product for one in ranked(THREE, many=1).weak] == [TUB]


def test_three_are_told_where_nobody_says_how_many() -> None:
    """A fourth at 7.00 keeps (7 - 2.68) / 7, which is more than each of the three."""
    fourth = product(SMALL + 1, fill(21, "100"), **MADE)
    book = selling(JARRED, TWICE, SAME, fourth, STALLED, prices=[*PRICES, (SMALL + 1, STALL, "7")])
    now = Reckoning(book)
    found = weakest(now, now.line(), lambda _: now).weak
    assert [one.row.product for one in found] == [TUB, BIG, SMALL]


def test_its_cause_is_the_part_that_is_furthest_above_the_others() -> None:
    weak = first(THREE)
    # the others: 2.04 of butter, 1.00 of jars, 3.00 own pay in 14.40; above: 2.83, 5.56 and 16.67 points
    assert weak.cause == Cause(SHARE, "labour_own", D("0.375"), D(3) / D("14.4"), every=True)
    others = weak.others
    assert others is not None
    assert (others.rows, others.channel, others.by_jars) == (2, STALL, False)
    assert snap(others.margin) == snap((D("14.4") - D("6.04")) / D("14.4"))


def test_one_part_above_and_the_others_alike_is_not_more_of_everything() -> None:
    """Both at 3.00, with 0.68 of butter and a jar at 0.50: six minutes at 15 an hour are 1.50, four are 1.00."""
    quicker = replace(SAME, work=(work(ANNA, per_jar="4"),))
    weak = first(selling(JARRED, quicker, STALLED, prices=[(TUB, STALL, "3"), (SMALL, STALL, "3")]))
    assert weak.cause == Cause(SHARE, "labour_own", D("0.5"), D(1) / 3, every=False)


def test_the_others_count_by_their_jars_a_month() -> None:
    weak = first(replace(THREE, sales=selling(sales=[(BIG, STALL, "30"), (TUB, STALL, "5")]).sales))
    # only the big one sells beside it: 1.36, 0.50 and 1.50 in 8; butter takes as much in both
    others = weak.others
    assert others is not None
    assert (others.rows, others.by_jars) == (1, True)
    assert snap(others.shares["ingredients"]) == D("0.17")
    assert weak.cause.part == "labour_own"
    assert weak.cause.other == D("0.1875")


def test_a_part_names_the_material_that_it_is_made_of_most() -> None:
    dear = {**THREE.materials, JAR: costing(JAR, "Jar", "0.10", "pieces"), SHEA: costing(SHEA, "Shea", "40")}
    only = selling(JARRED, SAME, STALLED, prices=[(TUB, STALL, "9"), (SMALL, STALL, "20")])
    cause = first(replace(only, materials=dear)).cause
    # 60 g of shea at 0.04: 2.40 of 2.60 of butter; own pay is 1.50 in each
    assert (cause.part, cause.material, cause.amount) == ("ingredients", SHEA, D("2.40"))


def _cheaper(book: Book, **prices: str) -> Book:
    named = {"shea": SHEA, "oil": OIL}
    return replace(
        book,
        materials={
            **book.materials,
            **{named[name]: costing(named[name], name, price) for name, price in prices.items()},
        },
    )


def _accepted(book: Book, amount: str, days: int = 30) -> Book:
    price = Price(TUB, STALL, DAY - timedelta(days=days), D(amount))
    return replace(book, prices={**book.prices, (TUB, STALL): price})


def test_what_moved_since_the_price_was_accepted_is_the_cause_where_it_was_right_then() -> None:
    now = _accepted(THREE, "4.20")
    weak = first(now, _cheaper(now, shea="4", oil="4.5"))
    # then 0.24 of shea and 0.18 of oil: (4.20 - 2.42) / 4.20 = 42.4 %; now 0.48 and 0.20: 36.2 %
    assert weak.short_then is None
    assert weak.cause == Cause(MOVED, "ingredients", D("0.68") / D("4.2"), D("0.42") / D("4.2"), False, SHEA, D("0.24"))


def test_a_price_that_was_short_already_has_its_cause_in_itself() -> None:
    now = _accepted(THREE, "4.00")
    weak = first(now, _cheaper(now, shea="7"))
    # (4 - 2.62) / 4 = 34.5 % then
    assert weak.short_then == D("0.055")
    assert weak.cause.kind == SHARE


def test_a_price_that_just_reached_its_target_then_was_not_short() -> None:
    now = _accepted(THREE, "4.00")
    weak = first(now, _cheaper(now, shea="4", oil="4"))
    # then 0.24 of shea and 0.16 of oil: 4 - 0.40 - 0.50 - 1.50 = 1.60, which is 40 % of 4
    assert weak.short_then is None
    assert (weak.cause.kind, weak.cause.material) == (MOVED, SHEA)


def test_where_only_the_net_price_fell_no_material_is_named() -> None:
    """2.10, of which a sixth has become tax: 1.75 net. The same 0.68 of butter and 0.50 of jar are more of it."""
    bare = product(TUB, fill(21, "100"), parts=(Part(JAR),))
    before = _accepted(selling(bare, SAME, STALLED, prices=[(SMALL, STALL, "9")]), "2.10")
    now = replace(before, channels={STALL: replace(STALLED, tax="in", tax_rate=D(20))})
    cause = first(now, before).cause
    assert cause == Cause(MOVED, "ingredients", D("0.68") / D("1.75"), D("0.68") / D("2.1"), False, None, D(0))


def test_a_target_that_was_raised_is_said_where_nothing_costs_more() -> None:
    now = _accepted(THREE, "4.00")
    weak = first(now, replace(now, terms=replace(now.terms, target=D(30))))
    assert weak.cause.kind == TARGET_ROSE


def test_a_higher_target_is_said_where_no_part_takes_more() -> None:
    book = selling(JARRED, SAME, STALLED, prices=[(TUB, STALL, "6"), (SMALL, STALL, "5")], targets=[(TUB, STALL, "70")])
    cause = first(book).cause
    assert (cause.kind, cause.own, cause.other) == (TARGET, D("0.7"), D("0.4"))


def test_alone_in_the_line_its_largest_part_is_named() -> None:
    weak = first(selling(JARRED, STALLED, prices=[(TUB, STALL, "4")]))
    assert (weak.cause.kind, weak.cause.part, weak.others) == (ALONE, "labour_own", None)


def test_each_product_stands_at_its_worst_row_and_what_has_no_say_is_counted() -> None:
    shop = channel(SHOP, "online")
    book = selling(JARRED, TWICE, STALLED, shop, prices=[(TUB, STALL, "4"), (TUB, SHOP, "5")])
    found = ranked(book)
    assert [(one.row.product, one.row.channel) for one in found.weak] == [(TUB, STALL)]
    assert (found.unpriced, found.unknown) == (2, 0)
    unknown = replace(book, materials={**book.materials, OIL: replace(book.materials[OIL], starting=None)})
    assert (ranked(unknown).weak, ranked(unknown).unknown) == ((), 2)


def test_a_part_of_the_line_is_held_against_all_of_it() -> None:
    known_now = Reckoning(THREE)
    row = known_now.row(TUB, STALL)
    found = weakest(known_now, [row], lambda _: known_now)
    assert found.weak[0].others == first(THREE).others


@pytest.mark.parametrize("cost", ["full", "direct"])
def test_shares_and_margin_are_the_whole_price(cost: str) -> None:
    book, _ = example_book(DAY)
    book = replace(book, terms=replace(book.terms, cost=cost))
    for row in Reckoning(book).line():
        shares = shares_of(book, row)
        if isinstance(shares, dict):
            assert snap(sum(shares.values(), D(0)) + known(row.margin)) == ONE
            assert snap(sum(amounts_of(book, row).values(), D(0))) == snap(known(row.cost) + known(row.fees))


def _checked(book: Book, then: Book | None = None) -> None:
    now = Reckoning(book)
    for weak in ranked(book, then, many=20).weak:
        made = working(now, weak)
        assert made is not None
        assert adds_up(made)
        assert made.result == weak.row.margin


def test_the_working_leads_from_the_others_or_from_the_day_to_the_margin() -> None:
    _checked(THREE)
    now = _accepted(THREE, "4.20")
    then = _cheaper(now, shea="4", oil="6")
    made = working(Reckoning(now), first(now, then))
    assert made is not None
    assert made.steps[0].day == DAY - timedelta(days=30)
    _checked(now, then)
    _checked(example_book(DAY)[0])


def test_one_that_is_alone_has_no_sum_to_open() -> None:
    book = selling(JARRED, STALLED, prices=[(TUB, STALL, "4")])
    assert working(Reckoning(book), first(book)) is None


def test_the_others_are_counted_in_words_and_one_is_the_only_other() -> None:
    sums = [working(Reckoning(book), first(book)) for book in (THREE, replace(THREE, products=_two(THREE)))]
    words = [made.steps[0].words for made in sums if made is not None]
    assert words == ["margin over the 2 others on Channel 51", "margin of the only other in the rest of the line"]


def _two(book: Book) -> dict[int, Any]:
    return {one: held for one, held in book.products.items() if one != SMALL}


def test_a_product_that_was_entered_after_its_price_was_accepted_has_no_then() -> None:
    """Nothing is said of a day on which it was not there: its cause is its largest part beside the others."""
    now = _accepted(THREE, "4")
    weak = first(now, replace(now, day=DAY - timedelta(30), products={}, prices={}))
    assert (weak.then, weak.cause.kind) == (None, SHARE)
