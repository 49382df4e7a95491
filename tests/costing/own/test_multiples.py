"""Columns of one recipe in several sizes: "single | double"; costs are worked out here in fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, costs, near, sentences, table
from webapp.costing.own.multiples import in_sizes
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own

F = Fraction
PRICES = "Ingredient | Pack | Price\nShea butter | 1 kg | 8\nOil | 1 kg | 6\nBeeswax | 1 kg | 17"
#: 220 g at 8 and 80 g at 6; 50 g at 17 and 50 g at 8
WHIP, STICK = F(220 * 8 + 80 * 6, 300 * 1000), F(50 * 17 + 50 * 8, 100 * 1000)
TWO = (
    "Whip\nIngredient | {0} | {1}\nShea butter | 220 | 440\nOil | 80 | 160\n{2}"
    "Stick\nIngredient | {0} | {1}\nBeeswax | 50 | 100\nShea butter | 50 | 100"
)


def recipes(text: str) -> OwnReading:
    return read_own(EMPTY, (table(PRICES), table(text, "Recipes")), Choices())


@pytest.mark.parametrize(
    ("one", "two"), [("single (g)", "double (g)"), ("1x (g)", "2x (g)"), ("x1 g", "x2 g"), ("Single (g)", "Double")]
)
@pytest.mark.parametrize("gap", ["\n", "Total | 300 | 600\n\n"])
def test_a_recipe_in_two_sizes_is_one_and_heads_with_titles_begin_another(one: str, two: str, gap: str) -> None:
    """They were two formulas, single and double, each with the lines of both recipes."""
    reading = recipes(TWO.format(one, two, gap))
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Whip", "Stick"]
    found = costs(reading)
    assert near(found["Whip"], WHIP)
    assert near(found["Stick"], STICK)


def test_where_the_amounts_are_no_multiples_the_columns_are_not_sizes() -> None:
    assert in_sizes(table("Ingredient | single (g) | double (g)\nShea butter | 220 | 440\nOil | 80 | 80")) is None
    assert in_sizes(table("Ingredient | Whip | Stick\nShea butter | 220 | 440\nOil | 80 | 160")) is None
    assert in_sizes(table("Item | x1 | x10\nTin | 1 | 10\nJar | 2 | 20", "Prices")) is None
