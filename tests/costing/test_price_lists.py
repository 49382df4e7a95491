"""What a price list says of a row: the listed price, a case, a unit price, what is left off. Figures are on paper."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from random import Random
from typing import Any

import pytest

from tests.costing.making import DUO, LOTION, SET, TUB, D, costing, fill, formula, line, product, total_of
from tests.costing.test_line import JARRED, STALL, TRADE, channel, selling
from tests.small_books import small
from webapp.costing.amounts import minor_places
from webapp.costing.book import Book, Channel, Member
from webapp.costing.gaps import Gap
from webapp.costing.price_list_working import FIGURES, working
from webapp.costing.price_lists import FORMULA, ListAsked, PriceList, price_list, unit_price
from webapp.costing.reckoning import Reckoning

CASED = replace(JARRED, case_jars=D(12))
SHOPS = channel(TRADE, "wholesale", tax="in", tax_rate="20", stockist_margin="50", stockist_tax="20")


def listed(book: Book, number: int = TRADE, **more: Any) -> PriceList:
    return price_list(Reckoning(book), ListAsked(number, **more))


def test_a_list_for_shops_is_net_of_tax_and_a_case_is_so_many_times_the_listed_price() -> None:
    found = listed(selling(CASED, SHOPS, prices=[(TUB, TRADE, "5.05")]))
    (one,) = found.rows
    # 5.05 / 1.2 = 4.20833…, listed 4.21; x 12 = 50.52 and not 50.50. On the shelf 4.20833… x 1.2 / 0.5 = 10.10
    assert (one.price, one.case_jars, one.case_price) == (D("4.21"), D(12), D("50.52"))
    assert one.recommended_retail == D("10.10")
    assert (found.wholesale, found.tax, found.rate, found.stockist_tax) == (True, "added", D("0.2"), D("0.2"))


def test_a_price_without_tax_is_listed_as_it_was_decided() -> None:
    shops = replace(SHOPS, tax="added")
    (one,) = listed(selling(replace(JARRED, case_jars=D(6)), shops, prices=[(TUB, TRADE, "4.205")])).rows
    assert (one.price, one.case_price) == (D("4.205"), D("25.23"))


def test_a_stall_lists_what_is_marked_and_recommends_nothing() -> None:
    found = listed(selling(CASED, channel(STALL, tax="in", tax_rate="20"), prices=[(TUB, STALL, "9.99")]), STALL)
    assert (found.rows[0].price, found.rows[0].recommended_retail) == (D("9.99"), None)
    assert (found.tax, found.wholesale) == ("in", False)


@pytest.mark.parametrize("tax", ["in", "added", "none"])
def test_no_rate_is_no_tax(tax: str) -> None:
    found = listed(selling(JARRED, replace(SHOPS, tax=tax, tax_rate=D(0)), prices=[(TUB, TRADE, "5")]))
    assert found.tax == "none"


def test_only_accepted_prices_stand_on_it_unless_suggested_ones_are_asked_for() -> None:
    book = selling(JARRED, channel(STALL, endings=".00 .50"))
    found = listed(book, STALL)
    assert found.rows == ()
    (left,) = found.left_off
    assert (left.name, left.gap.cure and left.gap.cure.field) == ("Tub", f"price-{STALL}")
    (one,) = listed(book, STALL, suggested=True).rows
    # direct cost 2.68 / 0.6 = 4.466…, to the next half
    assert (one.price, one.accepted) == (D("4.50"), False)


def test_what_has_no_price_at_all_is_left_off_with_the_reason_of_its_cost() -> None:
    unpriced = product(DUO, fill(LOTION, "50"))
    made = formula(LOTION, line(1, "50"), line(6, "50"))
    book = selling(unpriced, costing(6, "Scent", None), made, channel(STALL))
    found = listed(book, STALL, suggested=True)
    assert found.rows == ()
    assert found.left_off[0].gap == Reckoning(book).row(DUO, STALL).price
    assert isinstance(found.left_off[0].gap, Gap)


def test_a_unit_price_is_of_one_thing_and_by_what_the_label_says() -> None:
    thing = product(TUB, fill(21, "115", "mL"))
    # 14.50 / 115 x 1000 = 126.0869…; x 100 = 12.6086…
    assert unit_price(D("14.50"), thing, D(1000), 2) == D("126.09")
    assert unit_price(D("14.50"), thing, D(100), 2) == D("12.61")
    assert unit_price(D("1450"), thing, D(100), 0) == D("1261")
    assert unit_price(D("14.50"), thing, None, 2) is None
    assert unit_price(D("15"), product(DUO, fill(21, "40"), fill(21, "40")), D(1000), 2) is None
    assert unit_price(D("15"), product(SET, fill(21, "40"), members=(Member(TUB, D(1)),)), D(1000), 2) is None


def test_a_unit_price_of_just_one_has_no_tenths_of_a_penny() -> None:
    """Price Marking Order (Northern Ireland) 2004 art. 13: a tenth below one pound, a penny from one pound on."""
    thing = product(TUB, fill(21, "100"))
    assert [str(unit_price(D(price), thing, D(100), 2)) for price in ("0.99", "1", "1.01")] == ["0.990", "1.00", "1.01"]


def test_by_formula_and_size_small_ones_stand_before_large_ones() -> None:
    named = {"a": ("Zest 30 g", "30"), "b": ("Butter 100 g", "100"), "c": ("Butter 50 g", "50")}
    things = [replace(product(200 + n, fill(21, size)), name=name) for n, (name, size) in enumerate(named.values())]
    prices = [(one.id, STALL, "5") for one in things]
    book = selling(*things, channel(STALL), prices=prices)
    assert [one.name for one in listed(book, STALL).rows] == ["Butter 50 g", "Butter 100 g", "Zest 30 g"]
    assert [one.name for one in listed(book, STALL, order=FORMULA).rows] == ["Zest 30 g", "Butter 50 g", "Butter 100 g"]


def test_by_name_numbers_count_as_numbers_and_a_name_may_begin_another() -> None:
    names = ["Balm 100", "Balm", "balm 50 g", "Balm 50", "7 balms", "Balm"]
    things = [replace(product(200 + n, fill(21, "50")), name=name) for n, name in enumerate(names)]
    book = selling(*things, channel(STALL), prices=[(one.id, STALL, "5") for one in things])
    found = [one.name for one in listed(book, STALL).rows]
    assert found == ["7 balms", "Balm", "Balm", "Balm 50", "balm 50 g", "Balm 100"]


@pytest.mark.parametrize("seed", range(40))
def test_every_row_of_a_channel_is_listed_or_left_off_and_a_case_is_a_multiple(seed: int) -> None:
    known = Reckoning(small(Random(seed)))  # a test wants the same books again
    for number in known.book.channels:
        for suggested, order in ((False, "name"), (True, FORMULA)):
            found = price_list(known, ListAsked(number, order, suggested, D(100)))
            rows = {one.product: one for one in known.line() if one.channel == number}
            assert sorted([one.product for one in found.rows] + [one.product for one in found.left_off]) == sorted(rows)
            for one in found.rows:
                assert one.accepted or suggested
                assert one.case_price == (one.price * one.case_jars if one.case_jars else None)
                row = rows[one.product]
                exact = row.net if found.wholesale else row.price
                assert isinstance(exact, Decimal)
                assert abs(one.price - exact) <= D("0.5").scaleb(-minor_places(found.currency))


@pytest.mark.parametrize("seed", range(20))
def test_the_sum_of_every_figure_leads_to_it_but_for_half_a_coin(seed: int) -> None:
    known = Reckoning(small(Random(seed)))
    half = D("0.5").scaleb(-minor_places(known.book.workshop.currency))
    for row in known.line():
        asked = ListAsked(row.channel, suggested=True, per=D(100))
        for found in (working(known, row, asked, figure) for figure in FIGURES if isinstance(row.price, Decimal)):
            if found is not None and not isinstance(found.result, Gap):
                total = total_of(found)
                assert isinstance(total, Decimal)
                assert abs(total - found.result) <= half


def test_every_figure_opens_to_a_sum_that_ends_in_it() -> None:
    book = selling(CASED, SHOPS, prices=[(TUB, TRADE, "5.05")])
    asked = ListAsked(TRADE, per=D(1000))
    known = Reckoning(book)
    (one,) = price_list(known, asked).rows
    sums = {figure: working(known, known.row(TUB, TRADE), asked, figure) for figure in FIGURES}
    assert {figure: found.result for figure, found in sums.items() if found} == {
        "price": one.price,
        "unit_price": one.unit_price,
        "case_price": one.case_price,
        "recommended_retail": D("10.10"),
    }
    # 4.21 / 100 x 1000
    assert one.unit_price == D("42.10")
    assert [step.amount for step in sums["case_price"].steps] == [D("4.21"), D(12)]  # type: ignore[union-attr]
    assert working(known, known.row(TUB, TRADE), ListAsked(TRADE), "unit_price") is None


@pytest.mark.parametrize(
    ("where", "steps", "result"),
    [
        # 5.05 with a fifth of tax in it: shops read 5.05 / 1.2 = 4.2083, a stall's buyer what is marked
        (SHOPS, [D("5.05"), D("1.2")], "4.21"),
        (channel(STALL, tax="in", tax_rate="20"), [D("5.05")], "5.05"),
        (replace(SHOPS, tax="added"), [D("5.05")], "5.05"),
    ],
)
def test_a_price_on_a_list_opens_to_its_net_only_for_shops(where: Channel, steps: list[Decimal], result: str) -> None:
    known = Reckoning(selling(JARRED, where, prices=[(TUB, where.id, "5.05")]))
    opened = working(known, known.row(TUB, where.id), ListAsked(where.id), "price")
    assert opened is not None
    assert ([step.amount for step in opened.steps], opened.result) == (steps, D(result))


def test_a_suggested_price_on_a_list_opens_to_its_suggestion_and_an_accepted_one_to_where_it_was_typed() -> None:
    book = selling(JARRED, channel(STALL))
    asked = ListAsked(STALL)
    known = Reckoning(book)
    opened = working(known, known.row(TUB, STALL), asked, "price")
    assert opened is not None
    assert [step.words for step in opened.steps] == ["suggested price"]
    assert opened.steps[0].working is not None
    known = Reckoning(selling(JARRED, channel(STALL), prices=[(TUB, STALL, "5.05")]))
    opened = working(known, known.row(TUB, STALL), asked, "price")
    assert opened is not None
    assert (opened.steps[0].words, opened.steps[0].working, opened.result) == ("accepted price", None, D("5.05"))
    assert working(known, known.row(TUB, STALL), asked, "case_price") is None
