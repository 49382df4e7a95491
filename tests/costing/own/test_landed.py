"""Freight that is each line's own, as a total shows in every row. Figures from fractions on paper."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.told import OfSheet

F = Fraction
WHO = "|Mill|2026-03-01"


@pytest.mark.parametrize(
    "heads", ["Price|Transport|Total cost", "Cost|Delivery|Landed cost", "Price ex VAT|Transport|Total"]
)
@pytest.mark.parametrize("who", [WHO, "||"])
def test_a_total_that_is_price_and_freight_in_every_row_is_the_price(heads: str, who: str) -> None:
    """10 and 0.50 are 10.50 a kg, 30 and 4.50 are 34.50."""
    text = f"Item|Supplier|Date|Pack|{heads}\nShea{who}|1 kg|10|0.5|10.5\nWax{who}|1 kg|30|4.5|34.5"
    reading = read(text)
    assert reading.good, (sentences(reading), reading.faults)
    found = costs(reading)
    assert near(found["Shea"], F("10.50") / 1000)
    assert near(found["Wax"], F("34.50") / 1000)
    price, freight, total = heads.split("|")
    said = f"“{total}” is the price: it is “{price}” and “{freight}” in every row, so that freight is each row’s own."
    assert said in reading.tables[0].remarks


@pytest.mark.parametrize("rows", ["10|0.5|10.5\nWax{who}|1 kg|30|4.5|30", "10|5|15\nWax{who}|1 kg|30||30"])
def test_where_a_total_is_not_so_in_every_row_freight_is_that_of_the_order(rows: str) -> None:
    """5 over 10 and 30: 11.25 and 33.75."""
    text = f"Item|Supplier|Date|Pack|Price|Transport|Total cost\nShea{WHO}|1 kg|{rows.format(who=WHO)}"
    found = costs(read(text, of_sheets={0: OfSheet(freight="top")}))
    assert near(found["Shea"], F("11.25") / 1000)
    assert near(found["Wax"], F("33.75") / 1000)


def test_packs_of_a_price_each_and_their_freight_may_be_the_total() -> None:
    """2 at 10 and 1 are 21 for 2 kg: 10.50 a kg; 1 at 30 and 4.50 are 34.50."""
    heads = "Item|Supplier|Date|Qty|Pack|Price each|Transport|Total cost"
    text = f"{heads}\nShea{WHO}|2|1 kg|10|1|21\nWax{WHO}|1|1 kg|30|4.5|34.5"
    reading = read(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea"], F("10.50") / 1000)
    assert near(costs(reading)["Wax"], F("34.50") / 1000)


@pytest.mark.parametrize("head", ["Transport", "Versand anteilig", "Shipping"])
def test_freight_in_percent_is_asked_once_for_its_sheet(head: str) -> None:
    """10 and 5 % are 10.50 a kg; 30 and 15 % are 34.50."""
    text = f"Item|Supplier|Date|Pack|Price|{head}\nShea{WHO}|1 kg|10|5%\nWax{WHO}|1 kg|30|15%"
    words = f"Sheet 1: Column F ({head}) says percent. Do they come on top of each price? Say it below."
    assert read(text).faults == (("sheets-0-freight", words),)
    for told, shea, wax in (("top", F("10.50"), F("34.50")), ("in", F(10), F(30)), ("none", F(10), F(30))):
        reading = read(text, of_sheets={0: OfSheet(freight=told)})
        assert reading.good, sentences(reading)
        assert near(costs(reading)["Shea"], shea / 1000)
        assert near(costs(reading)["Wax"], wax / 1000)


def test_freight_that_is_said_to_be_a_share_is_asked() -> None:
    text = f"Item|Supplier|Date|Pack|Price|Versand anteilig\nShea{WHO}|1 kg|10|0.5\nWax{WHO}|1 kg|30|4.5"
    assert [at for at, _ in read(text).faults] == ["sheets-0-freight"]
