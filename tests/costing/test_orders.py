"""Landed cost: from what an invoice says to what each line cost, against a reckoning in fractions of its own."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import permutations
from typing import Any

import pytest

from tests.costing import buying
from tests.costing.buying import D, book, charge, exchange, known, line, order, reason
from webapp.costing.book import Exchange, OrderLine, Registration
from webapp.costing.charges import missing_mass
from webapp.costing.gaps import Gap, Ref
from webapp.costing.order_working import landed_working, working
from webapp.costing.orders import Landed, landed

# --- goods ---------------------------------------------------------------------------------------------------------


def goods(one: OrderLine, currency: str = "EUR") -> Decimal:
    rate = None if currency == "EUR" else exchange("home per unit", "1")
    return known(landed(book(), order(one, currency=currency, exchange=rate)).lines[0].goods)


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ({"packs": "3", "price": "4.1650"}, "12.50"),  # 12.495, half up, rounded once
        ({"packs": "2.35", "price": "9.90"}, "23.27"),  # 23.265
        ({"packs": "2", "price": "10", "discount": "0.005"}, "20.00"),  # 19.995
        ({"packs": "2", "price": "10", "discount": "5", "discount_in": "percent"}, "19.00"),
        ({"packs": "3", "price": "3.33", "discount": "12.5", "discount_in": "percent"}, "8.74"),  # 8.74125
        ({"packs": "2", "price": "10", "total": "17.90", "discount": "1"}, "17.90"),  # a typed total wins
        ({"packs": "2", "price": "10", "discount": "20"}, "0.00"),
        ({"packs": "1", "price": "0"}, "0.00"),
    ],
)
def test_goods_are_rounded_once_after_the_discount(typed: dict[str, Any], wanted: str) -> None:
    assert goods(line(**typed)) == D(wanted)


@pytest.mark.parametrize(("currency", "wanted"), [("JPY", "1235"), ("KWD", "1234.568"), ("USD", "1234.57")])
def test_goods_are_rounded_to_the_orders_own_minor_unit(currency: str, wanted: str) -> None:
    assert goods(line(price="1234.5675"), currency) == D(wanted)


def test_a_line_without_a_price_is_missing_and_the_others_are_not() -> None:
    result = landed(book(), order(line(), line(price="5")))
    assert result.lines[0].landed == Gap(
        "On the order of 2026-06-01, Shea butter has no price. Type its price per pack or the line total.",
        Ref("order", 1, "lines-0-price"),
    )
    assert result.lines[0].unit_cost == result.lines[0].landed == result.total == result.home_total
    assert result.lines[1].landed == 5


def test_goods_below_zero_are_a_gap() -> None:
    result = landed(book(), order(line(price="5", discount="5.01")))
    assert reason(result.lines[0].landed).endswith(
        "Shea butter costs less than nothing after its discount. Lower the discount."
    )
    assert result.lines[0].goods == Gap(reason(result.lines[0].landed), Ref("order", 1, "lines-0-discount"))


def test_a_missing_price_makes_every_share_by_value_missing_but_not_an_equal_one() -> None:
    lines = (line(), line(price="5"))
    by_value = landed(book(), order(*lines, charges=(charge("3"),)))
    equally = landed(book(), order(*lines, charges=(charge("3", share="equally"),)))
    assert reason(by_value.lines[1].landed) == reason(by_value.lines[0].landed)
    assert equally.lines[1].landed == D("6.50")


# --- charges -------------------------------------------------------------------------------------------------------


def shares(result: Landed, index: int = 0) -> list[Decimal]:
    """What every line bears of charge `index`."""
    return [known(line.shares[index].amount) for line in result.lines]


THREE = (
    line(buying.SHEA, packs="2", size="5", price="60"),  # 120.00, 10 kg
    line(buying.JOJOBA, size="1", unit="L", price="40"),  # 40.00, 864.2 g
    line(buying.JAR, size="48", unit="pieces", price="20"),  # 20.00, 4440 g
)


@pytest.mark.parametrize(
    ("share", "wanted"),
    [
        ("value", ["12.00", "4.00", "2.00"]),  # 18 over 120 : 40 : 20
        ("mass", ["11.76", "1.02", "5.22"]),  # 18 over 10000 : 864.2 : 4440
        ("equally", ["6.00", "6.00", "6.00"]),
    ],
)
def test_a_charge_is_shared_by_value_by_mass_or_equally(share: str, wanted: list[str]) -> None:
    result = landed(book(), order(*THREE, charges=(charge("18", share=share),)))
    assert shares(result) == [D(amount) for amount in wanted]
    assert result.home_total == 198


def test_value_is_net_of_tax() -> None:
    lines = (line(price="120", tax_rate="20", tax_included=True), line(price="100"))
    assert shares(landed(book(), order(*lines, charges=(charge("5"),)))) == [D("2.50"), D("2.50")]


def test_mass_is_as_billed_and_breakage_does_not_change_it() -> None:
    whole = (line(buying.JAR, size="48", unit="pieces", price="20"), line(size="4.44", price="20"))
    broken = (replace(whole[0], arrived=D(24)), whole[1])
    for lines in (whole, broken):
        assert shares(landed(book(), order(*lines, charges=(charge("9", share="mass"),)))) == [D("4.50")] * 2


def test_a_discount_and_a_credit_are_taken_off() -> None:
    result = landed(book(), order(*THREE, charges=(charge("9", "discount"), charge("0.05", "credit", share="equally"))))
    assert shares(result, 0) == [D("-6.00"), D("-2.00"), D("-1.00")]
    assert shares(result, 1) == [D("-0.02"), D("-0.02"), D("-0.01")]
    assert result.total == D("170.95")


def test_a_charge_is_shared_with_its_unreclaimed_tax_as_one_amount() -> None:
    # 5.01 + 20 % = 6.01 (1.002 -> 1.00), over three: 2.01, 2.00, 2.00. Apart they would be 1.67 + 0.34 on the first.
    freight = charge("5.01", share="equally", tax_rate="20")
    assert shares(landed(book(), order(*THREE, charges=(freight,)))) == [D("2.01"), D("2.00"), D("2.00")]
    assert shares(landed(book(registered=True), order(*THREE, charges=(freight,)))) == [D("1.67")] * 3


def test_a_charge_by_mass_needs_a_mass_on_every_line_and_names_the_one_without() -> None:
    lines = (line(price="10"), line(buying.LID, size="10", unit="pieces", price="3"))
    by_mass = order(*lines, charges=(charge("4", share="mass"),))
    result = landed(book(), by_mass)
    assert missing_mass(book(), by_mass) == (1,)
    assert result.lines[0].landed == Gap(
        "What one piece of Lid weighs is not known yet. Add its weight in grams.",
        Ref("material", buying.LID, "piece_grams"),
    )
    assert missing_mass(book(), order(*lines, charges=(charge("4"),))) == ()
    assert landed(book(), order(*lines, charges=(charge("0", share="mass"),))).home_total == 13


def test_a_free_sample_is_a_legal_line_that_bears_nothing_by_value() -> None:
    result = landed(book(), order(line(price="0"), line(price="8"), charges=(charge("2"),)))
    assert [one.landed for one in result.lines] == [0, 10]
    assert result.lines[0].unit_cost == 0


def test_goods_that_are_all_free_share_a_charge_equally() -> None:
    result = landed(book(), order(line(price="0"), line(price="0"), charges=(charge("4.01"),)))
    assert [one.landed for one in result.lines] == [D("2.01"), D("2.00")]


def test_a_line_landed_below_zero_is_a_gap() -> None:
    result = landed(book(), order(line(price="1"), line(price="50"), charges=(charge("6", "credit", share="equally"),)))
    assert reason(result.lines[0].unit_cost) == (
        "On the order of 2026-06-01, Shea butter costs less than nothing after discounts and credits. Lower them."
    )
    assert result.lines[1].landed == 47


# --- tax -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("included", "registered", "net", "tax", "landed_cost"),
    [
        (False, False, "9.99", "2.00", "11.99"),  # 1.998
        (False, True, "9.99", "2.00", "9.99"),
        (True, False, "8.32", "1.67", "9.99"),  # 1.665, half up
        (True, True, "8.32", "1.67", "8.32"),
    ],
)
def test_tax_is_kept_apart_and_is_a_cost_unless_reclaimed(
    *, included: bool, registered: bool, net: str, tax: str, landed_cost: str
) -> None:
    one = line(price="9.99", tax_rate="20", tax_included=included)
    result = landed(book(registered=registered), order(one)).lines[0]
    assert (result.net, result.tax, result.landed) == (D(net), D(tax), D(landed_cost))
    assert result.tax_cost == (0 if registered else D(tax))


def test_the_tax_status_is_that_of_the_orders_day() -> None:
    before = replace(book(), registrations=(Registration(date(2026, 6, 2), registered=True),))
    one = line(price="100", tax_rate="20")
    assert landed(before, order(one, day=date(2026, 6, 1))).home_total == 120
    assert landed(before, order(one, day=date(2026, 6, 2))).home_total == 100


def test_a_lump_sum_of_tax_is_shared_by_value_unless_reclaimed() -> None:
    lumped = order(*THREE, tax_total="18.01")
    kept, reclaimed = landed(book(), lumped), landed(book(registered=True), lumped)
    assert [share.words for share in kept.lines[0].shares] == ["share of the order's sales tax, by value"]
    assert shares(kept) == [D("12.01"), D("4.00"), D("2.00")]
    assert (kept.home_total, kept.total, kept.tax) == (D("198.01"), D("198.01"), D("18.01"))
    assert (reclaimed.home_total, reclaimed.total, reclaimed.tax) == (D(180), D("198.01"), D("18.01"))


# --- exchange ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("way", "amount", "wanted"),
    [("home per unit", "0.92", "46.00"), ("units per home", "1.25", "40.00"), ("paid", "48.20", "48.20")],
)
def test_a_rate_can_be_typed_three_ways(way: str, amount: str, wanted: str) -> None:
    abroad = order(line(price="50"), currency="USD", exchange=exchange(way, amount))
    assert landed(book(), abroad).home_total == D(wanted)


def test_what_was_really_paid_is_for_all_in_the_orders_currency_tax_included() -> None:
    abroad = order(
        line(price="100", tax_rate="20"),  # 120 USD
        charges=(charge("30"), charge("7", "duty", money="home")),  # 30 USD, 7 EUR
        currency="USD",
        exchange=exchange("paid", "135"),  # 150 USD cost 135 EUR
    )
    assert landed(book(), abroad).home_total == 142
    # reclaimed: of the 150 USD, 20 are no cost; 130 x 0.9 + 7
    assert landed(book(registered=True), abroad).home_total == 124


def test_a_charge_in_home_currency_is_not_exchanged_and_keeps_home_minor_units() -> None:
    lines = (line(price="1000"), line(price="2000"))
    abroad = order(
        *lines,
        charges=(charge("10", "duty", money="home"), charge("100")),
        currency="JPY",
        exchange=exchange("home per unit", "0.006"),
    )
    result = landed(book(), abroad)
    assert shares(result, 0) == [D("3.33"), D("6.67")]
    assert shares(result, 1) == [D("33"), D("67")]
    assert result.total == 3100
    assert [one.landed for one in result.lines] == [D("9.528"), D("19.072")]


def test_a_charge_in_home_currency_that_cannot_be_shared_leaves_every_line_missing_with_its_reason() -> None:
    """Carried by mass, and of one line no mass is known. All of them together cost what they cost: 13 / 2 + 4."""
    lines = (line(price="10"), line(buying.LID, size="10", unit="pieces", price="3"))
    duty = charge("4", "duty", money="home", share="mass")
    result = landed(book(), order(*lines, charges=(duty,), currency="USD", exchange=exchange("home per unit", "0.5")))
    missing = "What one piece of Lid weighs is not known yet. Add its weight in grams."
    assert [reason(one.landed) for one in result.lines] == [missing, missing]
    assert result.home_total == D("10.50")


def test_a_missing_rate_is_a_gap_that_a_rate_cures() -> None:
    result = landed(book(), order(line(price="5"), currency="USD"))
    assert result.lines[0].landed == Gap(
        "How much EUR one USD was is not known yet. Type the exchange rate.", Ref("order", 1, "exchange-amount")
    )
    assert result.total == 5
    nought = landed(book(), order(line(price="5"), currency="USD", exchange=Exchange("units per home", D(0))))
    assert reason(nought.home_total) == "The exchange rate is 0. Type the rate."


def test_an_amount_paid_for_nothing_cannot_be_spread() -> None:
    free = order(line(price="0"), currency="USD", exchange=exchange("paid", "4"))
    assert reason(landed(book(), free).home_total).startswith("Nothing on this order is to pay in its own currency")
    unpriced = order(line(), currency="USD", exchange=exchange("paid", "4"))
    assert "has no price" in reason(landed(book(), unpriced).rate)


def test_an_exchange_on_an_order_in_home_currency_says_nothing() -> None:
    assert landed(book(), order(line(price="5"), exchange=exchange("home per unit", "2"))).home_total == 5


# --- quantity ------------------------------------------------------------------------------------------------------


def test_the_unit_cost_is_over_what_arrived_usable() -> None:
    jars = line(buying.JAR, size="48", unit="pieces", price="36", arrived="45")
    result = landed(book(), order(jars)).lines[0]
    assert (result.quantity, result.unit_cost) == (D(45), D("0.8"))


def test_nothing_usable_is_a_gap_not_a_division_by_zero() -> None:
    gone = replace(line(price="36"), arrived=D(0))
    assert reason(landed(book(), order(gone)).lines[0].unit_cost).endswith(
        "Shea butter did not arrive usable. Type what arrived."
    )


def test_a_volume_without_density_keeps_the_order_and_misses_the_unit_cost() -> None:
    result = landed(book(), order(line(buying.ROSE_WATER, unit="L", price="6"), line(price="4")))
    assert (result.total, result.home_total, result.lines[0].landed) == (D(10), D(10), D(6))
    assert "density is not known" in reason(result.lines[0].unit_cost)
    assert result.lines[0].exact == result.lines[0].unit_cost


# --- the invoice ---------------------------------------------------------------------------------------------------


def test_an_invoice_total_that_differs_is_shown() -> None:
    assert landed(book(), order(line(price="9.99"), invoice_total="10.01")).difference == D("0.02")
    assert landed(book(), order(line(price="9.99"))).difference is None
    assert landed(book(), order(line(), invoice_total="10")).difference is None


# --- opened --------------------------------------------------------------------------------------------------------


def test_a_unit_cost_opens_to_its_landed_cost_and_what_arrived() -> None:
    result = landed(
        book(), order(line(price="1"), line(buying.JAR, size="48", unit="pieces", total="36", arrived="45"))
    )
    opened = working(book(), result.lines[1], result)
    assert (opened.title, opened.day, opened.kind, opened.unit) == ("Jar", date(2026, 6, 1), "unit cost", "per piece")
    assert (opened.result, opened.steps[0].amount, opened.steps[1].amount) == (D("0.8"), D(36), D(45))
    assert opened.steps[0].source == Ref("order", 1, "lines-1")
    money, pieces = opened.steps[0].working, opened.steps[1].working
    assert money is not None
    assert pieces is not None
    assert [(step.words, step.source) for step in money.steps] == [
        ("line total as typed", Ref("order", 1, "lines-1-total"))
    ]
    assert [(step.amount, step.words) for step in pieces.steps] == [(D(45), "arrived usable")]


@pytest.mark.parametrize(
    ("included", "registered", "sign"),
    [(False, False, "+"), (False, True, ""), (True, False, ""), (True, True, "-")],
)
def test_tax_stands_in_the_sum_only_where_it_changes_it(*, included: bool, registered: bool, sign: str) -> None:
    held = book(registered=registered)
    one = order(line(price="12", tax_rate="20", tax_included=included))
    result = landed(held, one)
    steps = landed_working(held, result.lines[0], result).steps
    assert [step.sign for step in steps if "sales tax" in step.words] == ([sign] if sign else [])


@pytest.mark.parametrize(
    ("way", "amount", "wanted"),
    [
        ("home per unit", "0.92", [("×", D("0.92"))]),
        ("units per home", "1.25", [("÷", D("1.25"))]),
        ("paid", "48.20", [("×", D("48.20")), ("÷", D("50.00"))]),
    ],
)
def test_the_exchange_opens_as_it_was_typed(way: str, amount: str, wanted: list[tuple[str, Decimal]]) -> None:
    result = landed(book(), order(line(total="50"), currency="USD", exchange=exchange(way, amount)))
    steps = landed_working(book(), result.lines[0], result).steps
    assert [(step.sign, step.amount) for step in steps[1:]] == wanted


def test_the_order_of_lines_changes_no_cost_where_no_cent_is_tied() -> None:
    for lines in permutations(THREE):
        result = landed(book(), order(*lines, charges=(charge("18", share="mass"), charge("9", "discount"))))
        costs = {one.line.material: one.landed for one in result.lines}
        assert costs == {buying.SHEA: D("125.76"), buying.JOJOBA: D("39.02"), buying.JAR: D("24.22")}


# --- a share opened to its sum ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("share", "wanted"),
    [
        # 18 over goods of 120 : 40 : 20; over 10000 : 864.2 : 4440 g; over three lines
        ("value", [("", "18", "money"), ("×", "40", "money"), ("÷", "180", "money")]),
        ("mass", [("", "18", "money"), ("×", "864.2", "g"), ("÷", "15304.2", "g")]),
        ("equally", [("", "18", "money"), ("×", "1", "number"), ("÷", "3", "number")]),
    ],
)
def test_a_share_opens_to_the_whole_charge_and_the_lines_part_in_it(
    share: str, wanted: list[tuple[str, str, str]]
) -> None:
    result = landed(book(), order(*THREE, charges=(charge("18", share=share),)))
    step = next(one for one in landed_working(book(), result.lines[1], result).steps if "share of" in one.words)
    opened = step.working
    assert opened is not None
    assert [(one.sign, one.amount, one.kind) for one in opened.steps] == [(s, D(a), k) for s, a, k in wanted]
    assert opened.result == result.lines[1].shares[0].amount
    whole, mine, everything = (known(one.amount) for one in opened.steps)
    assert abs(whole * mine / everything - known(opened.result)) < D("0.01")


def test_a_discounts_share_opens_without_its_sign_and_free_goods_bear_as_much_each() -> None:
    free = tuple(replace(one, price=D(0)) for one in THREE)
    result = landed(book(), order(*free, charges=(charge("9"),)))
    opened = next(one.working for one in landed_working(book(), result.lines[0], result).steps if one.working)
    assert [(one.amount, one.kind) for one in opened.steps] == [(D(9), "money"), (D(1), "number"), (D(3), "number")]
    less = landed(book(), order(*THREE, charges=(charge("18", "discount"),)))
    taken = next(one for one in landed_working(book(), less.lines[0], less).steps if one.working)
    assert (taken.sign, taken.amount) == ("-", D(12))
    assert taken.working is not None
    assert (taken.working.steps[0].amount, taken.working.result) == (D(18), D(12))
