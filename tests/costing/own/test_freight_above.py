"""Freight and tax in rows above their order, as the first row of a sheet shows; figures from paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_freight import charges
from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.book import Charge
from webapp.costing.own.prices import PAID
from webapp.costing.own.told import OfSheet

F, D = Fraction, Decimal
FIRST = "2025-03-03|Mere|Shea butter|1kg|10.00\n2025-03-03|Mere|Cocoa butter|1kg|10.00"
SECOND = "2025-03-20|Hollow|Beeswax|1kg|10.00\n2025-03-20|Hollow|Mango butter|1kg|10.00"
HEADS = "Date|Supplier|What|Pack|Paid"


def test_freight_above_the_first_line_of_a_sheet_shows_that_each_is_of_the_order_below_it() -> None:
    """4.00 over 10.00 and 10.00 make 12.00 each; 2.00 make 11.00 each."""
    reading = read(f"{HEADS}\n||Delivery||4.00\n{FIRST}\n||Delivery||2.00\n{SECOND}")
    assert reading.good, sentences(reading)
    assert charges(reading) == [(Charge("freight", D(4)),), (Charge("freight", D(2)),)]
    found = costs(reading)
    assert [found[name] for name in ("Shea butter", "Cocoa butter")] == [D("0.012")] * 2
    assert [found[name] for name in ("Beeswax", "Mango butter")] == [D("0.011")] * 2
    assert [(one.row, one.what) for one in reading.skipped] == [
        (2, "the freight of the order of Mere of 2025-03-03 below it, 4 EUR, shared over its 2 lines by value"),
        (5, "the freight of the order of Hollow of 2025-03-20 below it, 2 EUR, shared over its 2 lines by value"),
    ]


@pytest.mark.parametrize("own", ["2025-03-20|", "|hollow"])
@pytest.mark.parametrize("first", ["|", "2025-03-03|", "|Mere", "2025-03-03|mere"])
def test_such_freight_may_say_the_day_or_the_supplier_of_its_order(first: str, own: str) -> None:
    reading = read(f"{HEADS}\n{first}|Delivery||4.00\n{FIRST}\n{own}|Delivery||2.00\n{SECOND}")
    assert reading.good, sentences(reading)
    assert charges(reading) == [(Charge("freight", D(4)),), (Charge("freight", D(2)),)]
    other = read(f"{HEADS}\n{first}|Delivery||4.00\n{FIRST}\n|Mere|Delivery||2.00\n{SECOND}\n|Mere|Delivery||1.00")
    assert charges(other) == [(Charge("freight", D(7)),), ()]


def test_freight_above_orders_of_several_suppliers_of_one_day_is_asked() -> None:
    lines = "2025-03-03|Mere|Shea butter|1kg|10.00\n2025-03-03|Hollow|Beeswax|1kg|10.00\n2025-03-03|Mere|Clay|1kg|10.00"
    text = f"{HEADS}\n||Delivery||4.00\n{lines}\n2025-03-04|Hollow|Silk|1kg|10.00"
    words = (
        "This stands above orders of Mere and of Hollow of one day. Write beside it in your sheet which of them it is "
        "of, a row for each where it is of both, or leave it out."
    )
    assert sentences(read(text)) == [("A2", words)]
    for name, freight in (
        ("Mere", [(Charge("freight", D(4)),), (), ()]),
        ("Hollow", [(), (Charge("freight", D(4)),), ()]),
    ):
        reading = read(text, fixes={"s0_r2_c0": "2025-03-03", "s0_r2_c1": name})
        assert reading.good, sentences(reading)
        assert charges(reading) == freight
    assert charges(read(text, fixes={"s0_r2_c1": "Mere"}))[0] == (Charge("freight", D(4)),)


def test_an_order_without_freight_among_such_has_none() -> None:
    """Of three orders the second has none, and 6.00 make 13.00 each in the third."""
    third = SECOND.replace("03-20", "03-27").replace("Beeswax", "Clay").replace("Mango butter", "Silk")
    reading = read(f"{HEADS}\n||Delivery||4\n{FIRST}\n{SECOND}\n||Delivery||6\n{third}")
    assert charges(reading) == [(Charge("freight", D(4)),), (), (Charge("freight", D(6)),)]
    assert near(costs(reading)["Silk"], F(13, 1000))


def test_freight_above_the_rows_of_a_list_without_days_is_shared_over_those_up_to_the_next() -> None:
    """20 on 60 and 40: 72 and 48; 5 on 10: 15."""
    text = "Item|Pack|Price\nDelivery||20\nShea|5 kg|60\nCocoa|2 kg|40\nDelivery||5\nClay|1 kg|10"
    asked = read(text).wrong
    assert [(one.row, one.choice) for one in asked] == [(2, "sheets-0-freight"), (5, "sheets-0-freight")]
    assert "on top of the 2 prices below, shared by value, is it in them" in asked[0].sentence
    reading = read(text, of_sheets={0: OfSheet(freight="top")})
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Shea"], F("14.40") / 1000)
    assert near(found["Cocoa"], F(24, 1000))
    assert near(found["Clay"], F(15, 1000))
    assert [one.what for one in reading.skipped] == [
        "freight, 20 EUR, shared over the 2 rows below it by value",
        "freight, 5 EUR, shared over the row below it by value",
    ]


@pytest.mark.parametrize("first", ["Delivery", "VAT"])
def test_tax_above_its_order_is_of_the_order_below_it_with_its_freight(first: str) -> None:
    """4.00 of each over 10.00 and 10.00 make 14.00 each, and 2.00 of each 12.00 each."""
    second = {"Delivery": "VAT", "VAT": "Delivery"}[first]
    text = f"{HEADS}\n||{first}||4\n||{second}||4\n{FIRST}\n||{first}||2\n||{second}||2\n{SECOND}"
    reading = read(text, of_sheets={0: OfSheet(order_tax="top")})
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea butter"], F(14, 1000))
    assert near(costs(reading)["Beeswax"], F(12, 1000))
    said = "sales tax: 4 EUR is the sales tax of this order of 2025-03-03 below it, shared over its 2 lines by value"
    assert said in [one.what for one in reading.skipped]


def test_freight_above_all_and_below_all_is_asked_where_nothing_stands_below_it() -> None:
    reading = read(f"{HEADS}\n||Delivery||4\n{FIRST}\n||Delivery||2\n{SECOND}\n||Delivery||3")
    words = (
        "This sheet begins with such a row, so each is read as that of the order below it, and nothing stands below "
        "this one. Move it above those that it is of in your sheet, write its supplier and day beside it, or leave it "
        "out."
    )
    assert sentences(reading) == [("A8", words)]
    more = read(f"{HEADS}\n||Delivery||4\n{FIRST}\n||Delivery||3", f"{HEADS}\n{SECOND}")
    assert [(one.sheet, one.row) for one in more.wrong] == [(0, 5)]
    alone = read(f"{HEADS}\n||Delivery||4\n||Delivery||3", prices=PAID)
    assert [one.what for one in alone.skipped] == ["freight, not taken: no price stands above it"] * 2


def test_what_is_left_out_or_stands_in_an_earlier_sheet_does_not_change_whose_freight_is() -> None:
    text = f"{HEADS}\n||Delivery||4\n{FIRST}\n||Delivery||2\n{SECOND}"
    left = read(text, left_out=frozenset({"s0_r2"}))
    assert charges(left) == [(), (Charge("freight", D(2)),)]
    again = read(f"{HEADS}\n{FIRST}", text)
    assert charges(again) == [(Charge("freight", D(4)),), (Charge("freight", D(2)),)]
    below = f"{HEADS}\n{FIRST}\n||Delivery||2\n{SECOND}"
    passed_over = read(f"{HEADS}\n{FIRST}", below)
    assert charges(passed_over) == [(), ()]
    assert "freight, not taken: no price stands above it" in [one.what for one in passed_over.skipped]
    assert charges(read(below, left_out=frozenset({"s0_r2", "s0_r3"}))) == [()]


def test_freight_above_rows_of_a_list_that_an_earlier_sheet_has_is_of_none_of_the_others() -> None:
    heads = "Item|Pack|Price"
    rows = "Delivery||20\nShea|5 kg|60\nDelivery||5\nClay|1 kg|10\nDelivery||3\nSilk|1 kg|10"
    reading = read(f"{heads}\nClay|1 kg|10", f"{heads}\n{rows}", of_sheets={1: OfSheet(freight="top")})
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Shea"], F(16, 1000))
    assert near(found["Clay"], F(10, 1000))
    assert near(found["Silk"], F(13, 1000))
    assert "freight, not taken: no price stands below it" in [one.what for one in reading.skipped]


def test_a_sheet_whose_first_row_is_a_line_keeps_freight_below_it_whatever_another_sheet_does() -> None:
    above = f"{HEADS}\n||Delivery||4\n{FIRST}"
    reading = read(above, f"{HEADS}\n{SECOND}\n||Delivery||2")
    assert charges(reading) == [(Charge("freight", D(4)),), (Charge("freight", D(2)),)]
    own = read(f"{HEADS}\n2025-03-03|Mere|Delivery||4\n{FIRST}\n||Delivery||2\n{SECOND}")
    assert charges(own) == [(Charge("freight", D(4)),), (Charge("freight", D(2)),)]
    named = read(f"{HEADS}\n2025-03-20|Hollow|Delivery||4\n{FIRST}\n||Delivery||2\n{SECOND}")
    assert charges(named) == [(Charge("freight", D(2)),), (Charge("freight", D(4)),)]
