"""Orders whose supplier and day stand only at their head: read as above, or asked once. Figures by paper."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_freight import charges
from tests.costing.own.test_money_rows import names, passed
from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.book import Charge
from webapp.costing.own.prices import ABOUT, LIST, PAID
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import OfSheet

F, D = Fraction, Decimal
LOG = "Date|Supplier|Item|Pack|Price"
NEWER = f"{LOG}\n13/02/2026|Oak|Shea|5kg|30\n14/03/2026|Elm|Cocoa|5kg|50\n||Shea|5kg|50"
NAME_FIRST = "Item|Supplier|Date|Pack|Price\nShea|Oak|2026-02-13|5kg|30\nCocoa|Elm|2026-03-14|5kg|50\nShea|||5kg|50"


def said_of(reading: OwnReading) -> list[tuple[str, str]]:
    """Supplier and day of each row, as they were read."""
    rows = [one.said.row for one in reading.materials]
    return [(row.supplier, row.day.isoformat() if row.day else "") for row in rows]


def test_rows_below_a_head_share_its_freight_by_value() -> None:
    """10 over 30 and 70 is 3 and 7: 2 kg cost 33, 16.50 a kg; 5 kg cost 77, 15.40 a kg."""
    heads = "Date|Supplier|Item|Qty|Pack|Unit price|Line total|Postage"
    reading = read(f"{heads}\n13/02/2026|Oak|Beeswax|2|1kg|15|30|10\n||Shea|1|5kg|70|70|")
    assert (reading.good, reading.prices) == (True, PAID), sentences(reading)
    assert charges(reading) == [(Charge("freight", D(10)),)]
    found = costs(reading)
    assert near(found["Beeswax"], F("16.50") / 1000)
    assert near(found["Shea"], F("15.40") / 1000)
    assert reading.tables[0].remarks == ("Row 3 says no supplier or day of its own: read as of the order above.",)
    assert "sheets-0-orders" in reading.asks


def test_a_newer_price_below_its_head_counts_before_an_older_one() -> None:
    """50 for 5 kg on 14 March is 10 a kg; 30 of February would be 6. Said to be of no order, that is what stays."""
    reading = read(NEWER)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea"], F(10, 1000))
    assert said_of(reading)[2] == ("Elm", "2026-03-14")
    other = read(NEWER, of_sheets={0: OfSheet(orders="none")})
    assert near(costs(other)["Shea"], F(6, 1000))
    assert said_of(other)[2] == ("", "")
    assert other.tables[0].remarks == ()


def test_where_names_come_first_it_is_asked_once_and_only_where_it_changes_a_cost() -> None:
    asked = read(NAME_FIRST)
    words = "Sheet 1: Row 4 says no supplier or day of its own. Are they of the order above? Say it below."
    assert (asked.good, asked.faults) == (False, (("sheets-0-orders", words),))
    for told, cost in (("above", F(10, 1000)), ("none", F(6, 1000))):
        settled = read(NAME_FIRST, of_sheets={0: OfSheet(orders=told)})
        assert settled.good, settled.faults
        assert near(costs(settled)["Shea"], cost)
    once = read(NAME_FIRST.replace("Shea|||", "Clay|||"))
    assert (once.good, once.faults, said_of(once)[2]) == (True, (), ("", ""))
    assert "sheets-0-orders" in once.asks
    assert read(NAME_FIRST, prices=ABOUT).faults == ()


def test_freight_at_heads_alone_shows_that_rows_below_are_of_the_order() -> None:
    """6 over 30 and 10 is 4.50 and 1.50; 2 on 4."""
    heads = "Item|Supplier|Date|Pack|Price|Shipping"
    rows = "Shea|Oak|2026-02-13|5 kg|30|6\nWax|||1 kg|10|\nClay|Elm|2026-02-14|1 kg|4|2"
    reading = read(f"{heads}\n{rows}")
    assert (reading.good, reading.faults) == (True, ()), sentences(reading)
    found = costs(reading)
    assert near(found["Shea"], F("34.50") / 5000)
    assert near(found["Wax"], F("11.50") / 1000)
    assert near(found["Clay"], F(6, 1000))
    below = read(f"{heads}\n{rows.replace('10|', '10|3')}")
    assert [field for field, _ in below.faults] == ["sheets-0-orders"]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ("2026-02-13|Oak|A|1 kg|3\n|Oak|B|1 kg|4\n2026-03-13|Elm|C|1 kg|5", ("Oak", "2026-02-13")),
        ("2026-02-13|Oak|A|1 kg|3\n2026-02-13||B|1 kg|4\n2026-03-13|Elm|C|1 kg|5", ("Oak", "2026-02-13")),
        ('2026-02-13|Oak|A|1 kg|3\n"|ditto|B|1 kg|4', ("Oak", "2026-02-13")),
    ],
)  # fmt: skip
def test_one_of_both_beside_the_same_as_above_and_ditto_marks_are_as_above(
    rows: str, expected: tuple[str, str]
) -> None:
    reading = read(f"{LOG}\n{rows}")
    assert (reading.good, reading.prices) == (True, PAID), sentences(reading)
    assert said_of(reading)[1] == expected


@pytest.mark.parametrize("row", ["|Elm|B|1 kg|4|2", "2026-02-20||B|1 kg|4|2"])
def test_one_of_both_beside_another_than_above_is_asked_where_there_is_freight(row: str) -> None:
    text = f"{LOG}|Freight\n2026-02-13|Oak|A|1 kg|3|1\n{row}\n2026-03-13|Ash|C|1 kg|5|1"
    asked = read(text)
    assert [field for field, _ in asked.faults] == ["sheets-0-orders"]
    assert read(text, of_sheets={0: OfSheet(orders="above")}).good


def test_an_empty_row_between_leaves_open_whose_the_rows_below_are() -> None:
    parted = f"{LOG}|Freight\n2026-02-13|Oak|A|1 kg|3|1\n\n||B|1 kg|4|\n2026-03-13|Elm|C|1 kg|5|1"
    assert [field for field, _ in read(parted).faults] == ["sheets-0-orders"]
    between = f"{LOG}|Freight\n2026-02-13|Oak|A|1 kg|3|1\n||B|1 kg|4|\n\n2026-03-13|Elm|C|1 kg|5|1"
    reading = read(between)
    assert (reading.good, said_of(reading)[1]) == (True, ("Oak", "2026-02-13"))


def test_where_most_rows_say_both_themselves_a_blank_one_is_asked() -> None:
    rows = "2026-02-13|Oak|A|1 kg|3|1\n2026-02-13|Oak|B|1 kg|3|\n2026-02-13|Oak|C|1 kg|3|\n2026-03-13|Elm|D|1 kg|4|1"
    asked = read(f"{LOG}|Freight\n{rows}\n||E|1 kg|5|")
    assert [field for field, _ in asked.faults] == ["sheets-0-orders"]


@pytest.mark.parametrize(
    "text",
    [
        "Date|Supplier|Item|Pack|Price\n2026-02-13|Oak|Shea|5 kg|30\n||Wax|1 kg|10\n||Clay|1 kg|4\n||Oil|1 L|9",
        "Date|Item|Pack|Price\n2026-02-13|Shea|5 kg|30\n|Wax|1 kg|10\n|Clay|1 kg|4",
        "Item|Pack|Price|Supplier|Last bought\nShea|5 kg|30|Oak|2026-02-13\nWax|1 kg|10||\nClay|1 kg|4|Elm|2026-03-01",
    ],
)
def test_a_list_that_is_no_list_of_orders_stays_as_it_is(text: str) -> None:
    reading = read(text)
    assert reading.faults == ()
    assert said_of(reading)[1] == ("", "")
    assert reading.tables[0].remarks == ()


def test_suppliers_that_stand_once_over_their_rows_of_a_price_list_are_those_of_all() -> None:
    reading = read("Supplier|Item|Pack|Price\nOak|Shea|5 kg|30\n|Wax|1 kg|10\nElm|Clay|1 kg|4\n|Oil|1 kg|9")
    assert (reading.good, reading.prices) == (True, LIST), sentences(reading)
    assert [supplier for supplier, _ in said_of(reading)] == ["Oak", "Oak", "Elm", "Elm"]


def test_a_row_that_is_left_out_still_is_the_head_of_those_below_it() -> None:
    reading = read(NEWER, left_out=frozenset({"s0_r3"}))
    assert said_of(reading) == [("Oak", "2026-02-13"), ("Elm", "2026-03-14")]


# --- heads of orders in rows of their own


@pytest.mark.parametrize(
    "head",
    ["13/02/2026 - Oak Supply", "Oak Supply, 13/02/2026", "Oak Supply (13.02.2026)",
     "Order from Oak Supply, 13 Feb 2026",
     "2026-02-13: Oak Supply", "13/02/2026|Oak Supply", "Order 13/02/2026 - Oak Supply - Invoice no. A-1207",
     "Bestellung vom 13.02.2026: Oak Supply"],
)  # fmt: skip
def test_a_row_of_day_and_supplier_alone_is_that_of_the_rows_below(head: str) -> None:
    reading = read(
        f"Item|Pack|Price\n{head}\nWax|1 kg|15\nShea|5 kg|30\n\n14/03/2026 - Elm\nCocoa|5 kg|50\nShea|5 kg|50"
    )
    assert (reading.good, reading.prices) == (True, PAID), sentences(reading)
    assert names(reading) == ["Wax", "Shea", "Cocoa", "Shea"]
    assert said_of(reading) == [("Oak Supply", "2026-02-13")] * 2 + [("Elm", "2026-03-14")] * 2
    assert near(costs(reading)["Shea"], F(10, 1000))
    assert [what for _, what in passed(reading)] == ["supplier and day of the rows below it"] * 2


def test_days_of_heads_tell_how_days_are_written_and_are_asked_where_none_does() -> None:
    heads = "Item|Pack|Price\n13/02/2026 - Oak\nWax|1 kg|15\n04/03/2026 - Elm\nClay|1 kg|4"
    assert [day for _, day in said_of(read(heads))] == ["2026-02-13", "2026-03-04"]
    open_still = read(heads.replace("13/02", "03/02"))
    assert {one.choice for one in open_still.wrong} == {"days"}


def test_a_head_in_its_own_columns_brings_its_freight_to_the_first_row() -> None:
    """10 over 30 and 70: 33 for 2 kg, 77 for 5 kg."""
    rows = "13/02/2026|Oak||||10\n||Wax|2 kg|30|\n||Shea|5 kg|70|\n14/03/2026|Elm||||\n||Clay|1 kg|4|"
    reading = read(f"{LOG}|Postage\n{rows}")
    assert (reading.good, reading.prices) == (True, PAID), sentences(reading)
    assert charges(reading) == [(Charge("freight", D(10)),), ()]
    assert near(costs(reading)["Wax"], F("16.50") / 1000)
    assert near(costs(reading)["Shea"], F("15.40") / 1000)
    assert near(costs(reading)["Clay"], F(4, 1000))


def test_a_day_alone_is_that_of_rows_whose_suppliers_stand_in_a_column() -> None:
    reading = read(
        "Item|Supplier|Pack|Price\n13/02/2026\nWax|Oak|1 kg|15\nShea|Elm|5 kg|30\n14/03/2026\nClay|Oak|1 kg|4"
    )
    assert (reading.good, reading.prices) == (True, PAID), sentences(reading)
    assert said_of(reading) == [("Oak", "2026-02-13"), ("Elm", "2026-02-13"), ("Oak", "2026-03-14")]


@pytest.mark.parametrize("head", ["Oak, 13/02/2026 - £4.50 postage", "Oak 13/02/2026 by Ash"])
def test_a_head_of_which_not_all_is_read_is_said_to_seem_one(head: str) -> None:
    text = f"Item|Pack|Price\n{head}\nWax|1 kg|15"
    asked = read(text)
    assert [cell for cell, _ in sentences(asked)] == ["A2"]
    assert asked.wrong[0].sentence.startswith("This row seems to be the head of an order.")
    fixed = read(text, fixes={"s0_r2_c0": "13/02/2026 - Oak"}, prices=PAID)
    assert (fixed.good, said_of(fixed)) == (True, [("Oak", "2026-02-13")])
    left = read(text, left_out=frozenset({"s0_r2"}))
    assert (left.good, said_of(left)) == (True, [("", "")])


@pytest.mark.parametrize(
    "row",
    ["Prices checked 13/02/2026", "Stocktake 13/02/2026", "Cocoa butter", "Rose oil|2026-02-13|"],
)
def test_other_words_alone_are_no_head_of_an_order(row: str) -> None:
    reading = read(f"Item|Date|Pack|Price\n{row}\nWax||1 kg|15\nClay||1 kg|4")
    assert said_of(reading)[-1] == ("", "")


def test_a_day_that_is_no_day_stands_wrong_where_it_is() -> None:
    wrong = read(NEWER.replace("14/03/2026", "34/03/2026"))
    assert "A3" in [cell for cell, _ in sentences(wrong)]
    assert read(NEWER, fixes={"s0_r3_c0": "15/03/2026"}).materials[2].said.row.day == date(2026, 3, 15)
