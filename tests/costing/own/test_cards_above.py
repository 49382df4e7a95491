"""Formulas without heads that stand above one with heads: read, or said to be passed over. Figures from paper.

A kilo of shea butter costs 10, of mango butter 20, of castor oil 8 and of sunflower oil 4.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_phases import come_to, read
from tests.costing.own.test_sheets import read as read_sheets
from tests.costing.own.test_sheets import sentences

F = Fraction
BELOW = "Braid Oil\nIngredient|Parts\nCastor oil|4\nSunflower oil|4"
#: 8 and 4 in halves
BRAID = F(6)
#: 60 at 10 and 40 at 20 of 100
BUTTER = F(14)


@pytest.mark.parametrize(
    ("lines", "cost"),
    [
        ("Shea butter|3 parts\nMango butter|1 part", F("12.5")),
        ("Shea butter|60\nMango butter|40", BUTTER),
        ("Shea butter|600 g\nMango butter|400 g", BUTTER),
        ("Shea butter|600 g\nMango butter|400 g\nTotal|1000 g", BUTTER),
        ("Shea butter|60%|600 g|first\nMango butter|40%|400 g|then", BUTTER),
    ],
)
@pytest.mark.parametrize("between", ["\n\n", "\n"])
def test_a_card_without_heads_above_one_with_heads_is_read(lines: str, cost: Fraction, between: str) -> None:
    """It was lost, and not said."""
    reading = read(f"3-1 Butter\n{lines}{between}{BELOW}")
    come_to(reading, {"3-1 Butter": cost, "Braid Oil": BRAID})
    assert [one.what for one in reading.skipped if one.what != "a total"] == []


def test_several_cards_stand_above_a_chart_or_a_title_with_a_batch() -> None:
    """60 of castor oil at 8 and 40 of sunflower oil at 4; 58 is none of the lines."""
    cards = "My recipes\n\n3-1 Butter\nShea butter|60\nMango butter|40\n\nSeal\nCastor oil|60\nSunflower oil|40"
    chart = "Ingredient|Loc|Curl\nShea butter|60|30\nMango butter|40|50\nCastor oil||20"
    # 30 at 10, 50 at 20 and 20 at 8
    come_to(read(f"{cards}\n\n{chart}"), {"3-1 Butter": BUTTER, "Seal": F("6.4"), "Loc": BUTTER, "Curl": F("14.6")})
    soft = "Soft|20 g\nIngredient|g\nShea butter|12\nMango butter|8"
    come_to(read(f"{cards}\n{soft}"), {"3-1 Butter": BUTTER, "Seal": F("6.4"), "Soft": BUTTER})


def test_a_card_right_above_the_heads_is_one_too() -> None:
    reading = read("3-1 Butter\nShea butter|600 g\nMango butter|400 g\nIngredient|Parts\nCastor oil|4\nSunflower oil|4")
    come_to(reading, {"3-1 Butter": BUTTER, "Recipes": BRAID})


def test_what_is_not_known_as_a_material_is_asked_as_in_other_formulas() -> None:
    reading = read(f"3-1 Butter\nShea butter|600 g\nMystery wax|400 g\n\n{BELOW}")
    assert [one.said.rows.name for one in reading.formulas] == ["3-1 Butter", "Braid Oil"]
    assert [line.ingredient for line in reading.formulas[0].said.rows.lines] == ["Shea butter", "Mystery wax"]


def test_bare_amounts_of_it_are_asked() -> None:
    reading = read(f"3-1 Butter\nShea butter|600\nMango butter|400\n\n{BELOW}")
    assert [(one.cell, one.choice) for one in reading.wrong] == [("B2", "amounts")]
    come_to(
        read(f"3-1 Butter\nShea butter|600\nMango butter|400\n\n{BELOW}", amounts="grams"),
        {"3-1 Butter": BUTTER, "Braid Oil": BRAID},
    )


def test_one_that_is_called_as_another_below_is_wrong() -> None:
    reading = read(f"Braid oil\nShea butter|60\nMango butter|40\n\n{BELOW}")
    words = "Braid Oil begins in row 1 already. Call one of them something else, or leave it out."
    assert sentences(reading) == [("A5", words)]


@pytest.mark.parametrize(
    ("above", "passed"),
    [
        ("Shea butter|600 g", [(1, "Shea butter, 600 g")]),
        ("Mystery wax|600 g\nOther wax|400 g", [(1, "Mystery wax, 600 g"), (2, "Other wax, 400 g")]),
        ("Version|2\nBatch|500 g\nCost|4.50\nTotal|100\nMy oils|soft", [(1, "Version, 2")]),
    ],
)
def test_what_holds_a_name_and_an_amount_and_is_no_card_is_said(above: str, passed: list[tuple[int, str]]) -> None:
    reading = read(f"{above}\n\n{BELOW}")
    come_to(reading, {"Braid Oil": BRAID})
    assert [(one.row, one.words) for one in reading.skipped if one.what == "above the heads, in no formula"] == passed
    left = read(f"{above}\n\n{BELOW}", left_out=frozenset({"s1_r1"}))
    assert 1 not in [one.row for one in left.skipped if one.what == "above the heads, in no formula"]


def test_jars_that_are_bought_are_no_ingredients() -> None:
    prices = "Item|Pack|Price\nCastor oil|1 kg|8\nSunflower oil|1 kg|4\nJar|10 pcs|5\nLid|10 pcs|2"
    reading = read_sheets(prices, f"Jar|12\nLid|12\n\n{BELOW}")
    assert [one.said.rows.name for one in reading.formulas] == ["Braid Oil"]
    assert [one.words for one in reading.skipped] == ["Jar, 12", "Lid, 12"]
