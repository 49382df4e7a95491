"""Words, and a 0, in place of a price; heads that are those of a price, a pack, a density or a name."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences
from webapp.costing.gaps import Gap
from webapp.costing.own.told import OfSheet

F = Fraction
ROWS = "Item|Pack|Price\nShea|5 kg|60\nClay|1 kg"


@pytest.mark.parametrize("words", ["ask Tolu", "call supplier", "n/a", "on order", "tbc", "Check with Ana", "pending"])
def test_what_says_that_somebody_has_still_to_ask_is_a_price_that_is_not_known(words: str) -> None:
    reading = read(f"{ROWS}|{words}")
    assert reading.good, sentences(reading)
    assert isinstance(costs(reading)["Clay"], Gap)


def test_other_words_are_asked_about_once_for_the_sheet_and_can_be_typed_over() -> None:
    text = f"{ROWS}|Tolu has it\nWax|1 kg|soon"
    asked = read(text)
    assert {one.choice for one in asked.wrong} == {"sheets-0-words"}
    assert asked.wrong[0].sentence == (
        "Sheet 1, rows 3, 4: Tolu has it is no price. Type it, or say once for this sheet that such words mean that it "
        "is not known yet."
    )
    told = read(text, of_sheets={0: OfSheet(words="unknown")})
    assert told.good, sentences(told)
    assert isinstance(costs(told)["Wax"], Gap)
    assert "soon stands for its price, which is not known yet." in told.materials[2].said.remarks
    typed = read(text, fixes={"s0_r3_c2": "4", "s0_r4_c2": "9"})
    assert near(costs(typed)["Clay"], F(4, 1000))


@pytest.mark.parametrize("cell", ["0", "0.00", "free", "gift", "gratis"])
def test_a_price_of_nothing_is_asked_about(cell: str) -> None:
    text = f"{ROWS}|{cell}"
    (asked,) = read(text).wrong
    assert asked.choice == "sheets-0-zero"
    assert "Is it free, or is its price not known yet? Choose it for this sheet, or type the price." in asked.sentence
    assert costs(read(text, of_sheets={0: OfSheet(zero="free")}))["Clay"] == 0
    assert isinstance(costs(read(text, of_sheets={0: OfSheet(zero="unknown")}))["Clay"], Gap)


def test_a_price_for_one_of_0_beside_a_price_is_not_asked() -> None:
    assert read("Item|Pack|Price|Price per kg\nShea|5 kg|60|0").good


@pytest.mark.parametrize(
    "text",
    [
        "Item|Amount (EUR)|Pack\nShea|60|5 kg",
        "Item|Amount (\u20ac)|Pack\nShea|60|5 kg",
        "Item|Pack|Price ea.\nShea|5 kg|60",
        "Item|Pack|Rate\nShea|5 kg|60",
        "Item|Pack|Case price\nShea|5 kg|60",
        "Item|How I buy it|Stock|Price\nShea|5 kg|3 kg|60",
        "Mati\u00e8re|INCI|Pack|Prix\nShea|Butyrospermum|5 kg|60",
    ],
)
def test_heads_of_prices_packs_and_names(text: str) -> None:
    reading = read(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea"], F(12, 1000))


@pytest.mark.parametrize(
    ("head", "cell"),
    [
        ("1 litre weighs (g)", "960"),
        ("1 litre weighs (kg)", "0.96"),
        ("1 litre weighs", "960 g"),
        ("1 litre weighs", "0.96"),
        ("Weight of 1 L (g)", "960"),
        ("Density", "960"),
        ("Density", "0.96"),
    ],
)
def test_what_a_litre_weighs_is_a_density(head: str, cell: str) -> None:
    """48 for 5 L of 0.96 g/mL: 48 for 4.8 kg, 10 a kg."""
    reading = read(f"Item|Pack|Price|{head}\nOil|5 L|48|{cell}")
    assert near(costs(reading)["Oil"], F(10, 1000))
    assert reading.materials[0].said.row.density == Decimal("0.96")
