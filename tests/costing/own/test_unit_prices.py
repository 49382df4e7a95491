"""What a price that is headed "Unit cost" is for beside a pack; expected costs by paper, in fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.own.told import OfSheet

F = Fraction
HEADS = ["Unit cost", "Unit price", "Price per unit", "Cost per unit", "Unit price (EUR)"]


@pytest.mark.parametrize("head", HEADS)
def test_rows_in_grams_beside_rows_in_kg_settle_that_it_is_that_of_the_pack(head: str) -> None:
    """20 for one g would be 20,000 a kg beside 60: so 60 is for 5 kg, 20 for 500 g and 43.20 for 48 jars."""
    reading = read(f"Item|Size|Unit|{head}\nShea|5|kg|60\nOil|500|g|20\nJar 120|48|pcs|43.2")
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Shea"], F(12, 1000))
    assert near(found["Oil"], F(40, 1000))
    assert near(found["Jar 120"], F("0.90"))
    assert "60 EUR is read as the price of 5 kg." in reading.materials[0].said.remarks
    assert reading.of_sheets[0].each == "pack"
    assert "sheets-0-each" in reading.asks  # so that it can be changed


def test_rows_in_grams_beside_rows_in_kg_settle_that_it_is_that_of_one() -> None:
    """0.04 for 500 g would be 0.08 a kg beside 2.40; for one g it is 40 a kg beside 12."""
    found = costs(read("Item|Size|Unit|Unit price\nShea|5|kg|12\nOil|500|g|0.04\nJar|48|pcs|0.9"))
    assert near(found["Shea"], F(12, 1000))
    assert near(found["Oil"], F("0.04"))
    assert near(found["Jar"], F("0.9"))


@pytest.mark.parametrize("rows", ["Shea|5|kg|60\nJar|48|pcs|43.2", "Shea|5|kg|60\nRose|10|mL|8\nJar|48|pcs|43.2"])
def test_where_nothing_settles_it_it_is_asked_once_with_both_costs(rows: str) -> None:
    """8 for 10 mL is 800 a L beside 12 a kg, or 8,000 beside 60: both may be."""
    text = f"Item|Size|Unit|Unit cost\n{rows}"
    asked = read(text)
    assert {one.choice for one in asked.wrong} == {"sheets-0-each"}
    assert asked.wrong[0].sentence.endswith(
        "\u201cUnit cost\u201d says 60 EUR beside 5 kg. Is that the price of the pack, so that 1 kg costs 12 EUR, or "
        "the price of 1 kg, so that the pack costs 300 EUR? Choose it for this sheet."
    )
    pack, one = (costs(read(text, of_sheets={0: OfSheet(each=way)})) for way in ("pack", "one"))
    assert near(pack["Shea"], F(12, 1000))
    assert near(pack["Jar"], F("0.9"))
    assert near(one["Shea"], F(60, 1000))
    assert near(one["Jar"], F("43.2"))


def test_pieces_beside_kilograms_get_the_same_answer() -> None:
    text = "Item|Pack|Unit cost\nShea|5 kg|60\nJar|48 pcs|43.2"
    assert [one.row for one in read(text).wrong] == [2, 3]
    found = costs(read(text, of_sheets={0: OfSheet(each="pack")}))
    assert near(found["Jar"], F("0.9"))


@pytest.mark.parametrize(
    ("text", "cost"),
    [
        ("Item|Size|Unit|Unit cost\nShea|1|kg|60", F(60, 1000)),  # both are the same
        ("Item|Qty|Unit|Unit price\nShea|5|kg|12", F(12, 1000)),  # as an invoice has it
        ("Item|Pack|Unit cost\nShea|5 kg|12/kg", F(12, 1000)),  # its cell says it
        ("Item|Pack|Unit cost|Total\nShea|5 kg|12|60", F(12, 1000)),  # the total counts
    ],
)
def test_what_says_it_is_not_asked(text: str, cost: Fraction) -> None:
    reading = read(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea"], cost)
