"""What was paid of a total less its discount is the price; beside a total that is more it is asked. By paper."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.prices import How

F = Fraction


@pytest.mark.parametrize("head", ["Paid", "Amount paid", "Net paid", "To pay", "Zu zahlen", "Net à payer"])
@pytest.mark.parametrize("off", ["10%", "10", "3", "0.1"])
def test_what_was_paid_of_a_line_total_less_its_discount_counts_for_all_packs(head: str, off: str) -> None:
    """2 kg for 30 less a tenth, 27: 13.50 a kg; nothing is off 10.00."""
    rows = f"Shea|2|1 kg|30|{off}|27\nWax|1|1 kg|10||10\nTotal|||40||37"
    reading = read(f"Item|Qty|Pack|Line total|Discount|{head}\n{rows}")
    assert (reading.good, reading.faults) == (True, ()), sentences(reading)
    found = costs(reading)
    assert near(found["Shea"], F("13.50") / 1000)
    assert near(found["Wax"], F(10, 1000))
    assert not any("Tax" in remark for one in reading.materials for remark in one.said.remarks)


@pytest.mark.parametrize(
    "text",
    [
        "Item|Qty|Pack|Line total|Paid\nShea|2|1 kg|30|27\nWax|1|1 kg|10|10",
        "Item|Qty|Pack|Line total|Discount|Paid\nShea|2|1 kg|30|10%|25\nWax|1|1 kg|10||10",
        "Item|Qty|Pack|Line total|Discount|Paid\nShea|2|1 kg|30|10%|27\nWax|1|1 kg|10||\nClay|1|1 kg|4||3",
    ],
)
def test_less_than_the_total_for_no_discount_that_is_said_is_asked_once(text: str) -> None:
    asked = read(text)
    assert len(asked.faults) == 1
    assert asked.faults[0][1].startswith("Two columns are said to hold the same (the price of a pack).")


def test_more_than_the_total_or_the_same_leaves_the_total_as_it_is() -> None:
    """5.00 of freight on top is none of the discount's: 30 for 2 kg is 15."""
    for paid in ("30", "35"):
        reading = read(f"Item|Qty|Pack|Line total|Paid\nShea|2|1 kg|30|{paid}\nWax|1|1 kg|10|10")
        assert near(costs(reading)["Shea"], F(15, 1000))


def test_net_of_what_was_paid_is_without_tax_where_no_discount_stands_beside_it() -> None:
    """20 % on top of 10.00 is 12.00 a kg; beside a discount it is in the 27.00 where that was chosen: 13.50 a kg."""
    alone = read("Item|Pack|Net paid|VAT\nShea|1 kg|10|20%\nWax|1 kg|5|20%")
    assert near(costs(alone)["Shea"], F(12, 1000))
    rows = "Shea|2|1 kg|30|10%|27|20%\nWax|1|1 kg|10||10|20%"
    beside = read(f"Item|Qty|Pack|Line total|Discount|Net paid|VAT\n{rows}", how=How(tax_included=True))
    assert near(costs(beside)["Shea"], F("13.50") / 1000)


def test_what_was_paid_for_all_packs_counts_beside_the_price_of_one() -> None:
    """3 at 12 each for 24, since one was free: 8 each; 36 would be 12 each."""
    head = "When|Shop|What|Size|How many|Price|Paid"
    for paid, each in (("24", Decimal(8)), ("36", Decimal(12))):
        rows = f"2026-03-03|N|Shea|1 kg|3|12|{paid}\n2026-03-03|N|Cocoa|500 g|1|9.8|9.8"
        reading = read(f"{head}\n{rows}")
        assert reading.good, (sentences(reading), reading.faults)
        assert [one.said.row.price for one in reading.materials] == [each, Decimal("9.8")]
        assert reading.materials[0].said.row.packs == Decimal(3)


def test_what_was_paid_that_may_be_for_one_or_all_is_asked() -> None:
    """10 paid for 3 at 12: of each, or of all of them?"""
    head = "When|Shop|What|Size|How many|Price|Paid\n2026-03-03|N|Shea|1 kg|3|12"
    assert [field for field, _ in read(f"{head}|10").faults] == ["sheets-0-columns-6"]
    assert [field for field, _ in read(f"{head}|40").faults] == ["sheets-0-columns-6"]


def test_what_was_paid_beside_packs_at_a_price_each_is_their_total() -> None:
    head = "When|Shop|What|Size|Price|Paid\n2026-03-03|N|Shea|1 kg|2 @ €11.50|23"
    reading = read(f"{head}\n2026-03-03|N|Cocoa|500 g|€9.80|9.8")
    assert reading.good, (sentences(reading), reading.faults)
    assert [(one.said.row.packs, one.said.row.price) for one in reading.materials] == [
        (Decimal(2), Decimal("11.5")), (Decimal(1), Decimal("9.8"))
    ]  # fmt: skip
    assert not read(f"{head}\n2026-03-03|N|Cocoa|500 g|3 @ €6.00|12").good
