"""Volumes in a maker's own formulas: fluid ounces as mL, cups and spoons asked; a fault quotes its cell as it stands.

29.5735295625 mL are a fluid ounce of the United States, 28.4130625 mL an imperial one.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import OZ, costs, near, read, sentences
from webapp.costing.own.columns import FORMULAS, OF_FORMULA, Layout
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import Told

F = Fraction
D = Decimal
PRICES = "Item|Pack|Price|Density\nOlive oil|1 kg|10|0.9\nMango|1 kg|20|"
LAYOUT = {1: Layout(FORMULAS, 2, ("ingredient", "amount"))}


def amounts(text: str, system: str = "") -> OwnReading:
    return read(PRICES, f"Balm\nIngredient|Amount\n{text}", layouts=LAYOUT, told=Told(system=system))


@pytest.mark.parametrize(
    ("text", "system", "millilitres", "kept"),
    [
        ("2 fl oz", "US", F("59.147059125"), "59.147059"),
        ("2 fl. oz.", "imp", F("56.826125"), "56.826125"),
        ("2 US fl oz", "", F("59.147059125"), "59.147059"),
        ("1 imp pint", "", F("568.26125"), "568.26125"),
    ],
)
def test_fluid_ounces_are_millilitres(text: str, system: str, millilitres: F, kept: str) -> None:
    reading = amounts(f"Olive oil|{text}\nMango|100 g", system)
    assert reading.good, sentences(reading)
    (line, _) = reading.formulas[0].said.rows.lines
    assert (line.amount, line.unit) == (D(kept), "mL")
    assert abs(F(kept) - millilitres) <= F("0.0000005")
    unit = text if not system else f"2 {system} fl oz"
    assert reading.formulas[0].said.remarks == [f"{unit} are read as {kept} mL."]
    grams = F(kept) * F("0.9")
    assert near(costs(reading)["Balm"], (grams * 10 + 2000) / (grams + 100) / 1000)


def test_whose_ounces_they_are_is_asked_once_for_all() -> None:
    asked = amounts("Olive oil|2 fl oz\nMango|1 fl oz")
    assert {one.choice for one in asked.wrong} == {"system"}
    assert "system" in asked.asks


def test_side_by_side_they_are_said_too() -> None:
    layout = {1: Layout(FORMULAS, 1, ("ingredient", OF_FORMULA))}
    reading = read(PRICES, "Ingredient|Balm\nOlive oil|2 US fl oz\nMango|100 g", layouts=layout)
    assert reading.formulas[0].said.remarks == ["2 US fl oz are read as 59.147059 mL."]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2 tbsp", "2 tbsp: a tablespoon is about 15 mL, in Australia 20. Type it in mL, such as 30 mL, or in grams."),
        ("\u00bd tsp", "\u00bd tsp: a teaspoon is about 5 mL. Type it in mL, such as 2.5 mL, or in grams."),
        ("1 cup", "1 cup: a cup is 237 or 240 mL in the United States, 250 mL elsewhere. Type it in mL, such as 240"),
        ("30 + 10", "30 + 10 is no amount. Type it with its unit, such as 1 kg."),
        ("2026-01-02", "2026-01-02 is no amount."),
        ("3 pinch", "pinch is no unit that is known here."),
    ],
)
def test_what_is_no_amount_is_quoted_as_it_stands(text: str, words: str) -> None:
    (said,) = sentences(amounts(f"Olive oil|{text}\nMango|100 g"))
    assert said[1].startswith(words)


def test_a_fraction_behind_a_hyphen_is_added() -> None:
    """1.5 oz at 20 and 100 g at 10 a kg."""
    reading = amounts("Olive oil|100 g\nMango|1-1/2 oz")
    ounces = F("42.524285")  # kept to six places
    assert abs(ounces - OZ * F(3, 2)) < F("0.000001")
    assert near(costs(reading)["Balm"], (1000 + ounces * 20) / (100 + ounces) / 1000), sentences(reading)


@pytest.mark.parametrize(("text", "grams"), [("2 Pfund", F(1000)), ("2 x 250 g", F(500)), ("1 stone", F("6350.29318"))])
def test_units_that_are_several_of_another_are_all_of_it(text: str, grams: F) -> None:
    """A Pfund is 500 g; 14 lb of 453.59237 g are a stone."""
    reading = amounts(f"Olive oil|100 g\nMango|{text}")
    assert near(costs(reading)["Balm"], (1000 + grams * 20) / (100 + grams) / 1000), sentences(reading)
