"""Discounts and freight below the rows of a price list, shared by value; expected costs by paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import OfSheet

F = Fraction
LISTED = "Item|Pack|Price\nShea|5 kg|60\nCocoa|2 kg|40"


def told(text: str, discount: str = "", freight: str = "") -> OwnReading:
    return read(text, of_sheets={0: OfSheet(freight=freight, discount=discount)})


@pytest.mark.parametrize(
    ("name", "amount"),
    [("Discount 10%", "-10"), ("Discount", "10"), ("Rabatt", "-10,00 \u20ac"), ("Discount 10%", ""),
     ("Discount", "10%"), ("Discount", "(10.00)"), ("10% off", "")],
)  # fmt: skip
def test_a_discount_is_asked_about_and_taken_off_the_rows_above_by_value(name: str, amount: str) -> None:
    """10 of 100: 60 is 54 and 40 is 36, so 10.80 and 18 a kg; what stands below it keeps its price."""
    text = f"{LISTED}\n{name}||{amount}\nClay|1 kg|4"
    (asked,) = read(text).wrong
    assert (asked.row, asked.choice) == (4, "sheets-0-discount")
    assert asked.sentence.endswith("Is it taken off the 2 prices above by value, or not? Choose it for this sheet.")
    reading = told(text, discount="off")
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Shea"], F("10.80") / 1000)
    assert near(found["Cocoa"], F(18, 1000))
    assert near(found["Clay"], F(4, 1000))
    assert "60 EUR less its share of the discount is 54 EUR." in reading.materials[0].said.remarks
    assert [one.what for one in reading.skipped] == ["discount, 10 EUR, taken off the 2 rows above it by value"]
    left = told(text, discount="none")
    assert left.good
    assert near(costs(left)["Shea"], F(12, 1000))


@pytest.mark.parametrize(
    "name",
    ["Delivery", "Courier", "Waybill", "Waybill fee", "Transport", "Customs duty", "Clearing", "Clearing agent",
     "Haulage", "Frakt", "Zoll", "Frais de douane", "Flete", "Corriere", "Import duty"],
)  # fmt: skip
def test_freight_below_a_list_without_days_is_asked_about_and_shared_by_value(name: str) -> None:
    """20 on 100: 60 is 72 and 40 is 48, so 14.40 and 24 a kg."""
    text = f"{LISTED}\n{name}||20"
    assert [one.choice for one in read(text).wrong] == ["sheets-0-freight"]
    found = costs(told(text, freight="top"))
    assert near(found["Shea"], F("14.40") / 1000)
    assert near(found["Cocoa"], F(24, 1000))
    assert near(costs(told(text, freight="in"))["Shea"], F(12, 1000))


def test_each_amount_is_of_the_rows_since_the_last_one_and_of_its_supplier() -> None:
    """5 on 10 + 40, 6 on 60: 11, 44 and 66; a row that names another supplier is of that one's rows."""
    text = "Item|Supplier|Pack|Price\nA||1 kg|10\nB||1 kg|40\nDelivery|||5\nC||1 kg|60\nDelivery|||6"
    found = costs(told(text, freight="top"))
    assert [found[name] for name in "ABC"] == [Decimal("0.011"), Decimal("0.044"), Decimal("0.066")]
    text = "Item|Supplier|Pack|Price\nA|Mill|1 kg|10\nB|Press|1 kg|40\nDelivery|Mill||5"
    found = costs(told(text, freight="top"))
    assert [found[name] for name in "AB"] == [Decimal("0.015"), Decimal("0.04")]


def test_what_can_not_be_shared_is_wrong_at_its_row() -> None:
    too_much = told(f"{LISTED}\nDiscount||-101", discount="off")
    assert [one.row for one in too_much.wrong] == [4]
    other = told(f"{LISTED}\nDelivery||$20", freight="top")
    assert ("A4", "This is in USD, and Shea in EUR. Type it in that, or leave this row out.") in [
        (one.cell, one.sentence) for one in other.wrong
    ]
    nothing = told("Item|Supplier|Pack|Price\nShea|Mill|5 kg|60\nDelivery|Press||20", freight="top")
    assert [one.what for one in nothing.skipped] == ["freight, not taken: no price stands above it"]


BOUGHT = "Date|Supplier|What|Pack|Paid\n2025-03-03|Mere|Argan oil|500g|40.00\n2025-03-03|Mere|Cocoa butter|1kg|10.00"


@pytest.mark.parametrize(
    "name",
    ["Voucher WELCOME5", "Voucher: WELCOME5", "Coupon code SAVE", "10% off voucher", "Loyalty points", "Refund",
     "Credit note", "Money off", "Gutschein", "Gutschrift", "Bon", "Avoir", "Bon de réduction", "Store credit",
     "Gutscheincode HALLO5", "10% off your first order"],
)  # fmt: skip
@pytest.mark.parametrize("amount", ["-5.00", "5.00"])
def test_a_voucher_and_what_was_given_back_is_asked_as_a_discount_is(name: str, amount: str) -> None:
    """50 less 5: times 45/50, so 36 for 500 g and 9 for 1 kg."""
    text = f"{BOUGHT}\n2025-03-03|Mere|{name}||{amount}"
    assert [(one.row, one.choice) for one in read(text).wrong] == [(4, "sheets-0-discount")]
    reading = told(text, discount="off")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Argan oil"], F(72, 1000))
    assert near(costs(reading)["Cocoa butter"], F(9, 1000))


@pytest.mark.parametrize("amount", ["-5.00", "(5.00)", "€-5.00", "-€5.00", "EUR -5.00", "−5.00", "-5.00 EUR"])
@pytest.mark.parametrize("pack", ["", "1"])
def test_an_amount_below_zero_without_a_pack_is_a_discount_whatever_it_is_called(amount: str, pack: str) -> None:
    text = f"{BOUGHT}\n2025-03-03|Mere|Birthday treat from the shop|{pack}|{amount}"
    assert [one.choice for one in read(text).wrong] == ["sheets-0-discount"]
    reading = told(text, discount="off")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Argan oil"], F(72, 1000))
    two = told(f"{text}\n2025-03-03|Mere|Voucher||-9.00", discount="off")  # 5 + 9 of 50: times 36/50
    assert near(costs(two)["Argan oil"], F("57.60") / 1000)
    assert near(costs(two)["Cocoa butter"], F("7.20") / 1000)


@pytest.mark.parametrize(
    ("row", "at"),
    [("Cocoa butter|1kg|-5.00", "E4"), ("Cocoa butter, one came back||-5.00", "E4"), ("Clay|1kg|-5.00", "E4"),
     ("Clay|bag|(5.00)", "E4"), ("||-5.00", "E4")],
)  # fmt: skip
def test_what_was_given_back_of_something_that_is_bought_is_asked_at_its_cell_in_words(row: str, at: str) -> None:
    found = dict(sentences(read(f"{BOUGHT}\n2025-03-04|Mere|{row}")))
    amount = row.rpartition("|")[2]
    words = f"{amount} is below zero: leave the row out where something was given back, or type what was paid."
    assert found[at] == words
    assert "9999999" not in " ".join(found.values())


def test_where_all_amounts_are_below_zero_none_is_a_discount_and_minus_nothing_is_a_price_of_0() -> None:
    spent = read("Item|Pack|Paid\nShea|1 kg|-10\nPostal cards||-5")
    assert [at for at, _ in sentences(spent)] == ["C2", "C3"]
    assert [one.choice for one in read("Item|Pack|Paid\nShea|1 kg|-0.00").wrong] == ["sheets-0-zero"]
    named = read("Item|Paid\nCocoa 1 kg|10\nClay 500 g|-5")
    assert [at for at, _ in sentences(named)] == ["B3"]
    freight = read("Item|Pack|Paid|Shipping\nShea|1 kg|10|2\nClay|1 kg|10|3\nFree today|||-3")
    assert [at for at, _ in sentences(freight)] == ["D4"]


def test_a_discount_of_a_day_is_of_the_rows_of_that_day_else_of_the_nearest() -> None:
    """5 of the 50 of the third: times 45/50; dated on a day without a purchase it is of the 20 above it: 15."""
    later = f"{BOUGHT}\n2025-03-20|Mere|Beeswax|1kg|20.00"
    reading = told(f"{later}\n2025-03-03|Mere|Voucher||-5.00", discount="off")
    assert near(costs(reading)["Argan oil"], F(72, 1000))
    assert near(costs(reading)["Beeswax"], F(20, 1000))
    after = told(f"{later}\n2025-03-25|Mere|Refund||-5.00", discount="off")
    assert near(costs(after)["Argan oil"], F(80, 1000))
    assert near(costs(after)["Beeswax"], F(15, 1000))
