"""Prices that stand in recipes. Costs are worked out here in fractions of what is written."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences, table
from webapp.costing.own.columns import FORMULAS, MATERIALS, Layout
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.told import OfSheet

F = Fraction
STACKED = """
Balm
Ingredient | % | Price/kg | Cost
Shea butter | 60 | 14 | 0.84
Olive oil | 40 | 9.40 | 0.376
Total | 100 | | 1.216

Wax
Ingredient | % | Price/kg | Cost
Beeswax | 30 | 17 | 0.51
Olive oil | 70 | 9.40 | 0.658
"""
SHEA, OIL, WAX = F(14, 1000), F("9.40") / 1000, F(17, 1000)


def test_recipes_with_prices_for_one_kg_give_formulas_and_starting_prices() -> None:
    assert laid_out(table(STACKED, "x")).roles == ("ingredient", "percent", "unit_price", "")
    reading = read(STACKED)
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Balm"], SHEA * F(60, 100) + OIL * F(40, 100))
    assert near(found["Wax"], WAX * F(30, 100) + OIL * F(70, 100))
    assert [one.said.name for one in reading.materials] == ["Shea butter", "Olive oil", "Beeswax"]
    assert reading.unpriced == ()


def test_another_price_of_the_same_is_asked_at_its_cell_and_one_that_is_blank_is_none() -> None:
    reading = read(STACKED.replace("Olive oil | 70 | 9.40", "Olive oil | 70 | 8"))
    assert sentences(reading) == [
        ("C10", "Olive oil has another price in row 4: 9.4 EUR for 1 kg. Correct one of them."),
    ]  # fmt: skip
    mended = read(STACKED.replace("Olive oil | 70 | 9.40", "Olive oil | 70 | 8"), fixes={"s0_r10_c2": "9.40"})
    assert mended.good
    blank = read(STACKED.replace("Beeswax | 30 | 17", "Beeswax | 30 |"))
    assert blank.unpriced == ("Beeswax",)
    wrong = read(STACKED.replace("Shea butter | 60 | 14", "Shea butter | 60 | dear"), STACKED.replace("Balm", "Two"))
    assert ("C3", "sheets-0-words") in [(one.cell, one.choice) for one in wrong.wrong]
    told = read(
        STACKED.replace("Shea butter | 60 | 14", "Shea butter | 60 | dear"), of_sheets={0: OfSheet(words="unknown")}
    )
    assert told.good, sentences(told)
    assert "Shea butter has another price in an earlier sheet: another." in " ".join(dict(sentences(wrong)).values())


def test_a_row_of_its_own_counts_before_a_price_in_a_recipe_and_a_formula_has_none() -> None:
    prices = "Ingredient | Pack | Price\nOlive oil | 1 kg | 8.00"
    text = STACKED.replace("Beeswax | 30 | 17 |", "Balm | 30 | 12 |")
    reading = read(prices, text)
    assert reading.good, sentences(reading)
    balm = SHEA * F(60, 100) + F(8, 1000) * F(40, 100)
    assert near(costs(reading)["Wax"], balm * F(30, 100) + F(8, 1000) * F(70, 100))


@pytest.mark.parametrize(
    ("text", "holds", "roles"),
    [
        ("Ingredient | Pack | % | Price per kg\nShea | 5 kg | 20 | 8", MATERIALS, ("name", "pack", "", "unit_price")),
        ("Ingredient | % | Cost per kg\nShea | 100 | 8", FORMULAS, ("ingredient", "percent", "")),
        ("Recipe | Ingredient | % | Price per 100 g\nBalm | Shea | 100 | 8", FORMULAS,
         ("formula", "ingredient", "percent", "")),
    ],
)  # fmt: skip
def test_what_is_no_price_of_an_ingredient_in_a_recipe(text: str, holds: str, roles: tuple[str, ...]) -> None:
    found = laid_out(table(text, "x"))
    assert (found.holds, found.roles) == (holds, roles)


def test_prices_below_heads_whose_columns_changed_are_left() -> None:
    text = "Ingredient | % | Price/kg\nA\nShea butter | 100 | 14\n% | Ingredient | g\nB\n100 | Olive oil |"
    reading = read(text, layouts={0: Layout(FORMULAS, 1, ("ingredient", "percent", "unit_price"))})
    assert [one.said.name for one in reading.materials] == ["Shea butter"]
    assert reading.unpriced == ("Olive oil",)
