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
    assert ("A4", "This is in USD, and Shea above it in EUR. Type it in that, or leave this row out.") in [
        (one.cell, one.sentence) for one in other.wrong
    ]
    nothing = told("Item|Pack|Price\nDelivery||20\nShea|5 kg|60", freight="top")
    assert [one.what for one in nothing.skipped] == ["freight, not taken: no price stands above it"]
