"""Two columns a formula, percent and grams, under heads in one row or in two. Costs worked out here in fractions."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, LB, PRICES, costs, near, read, sentences, table
from webapp.costing.own.columns import FORMULAS, MATERIALS, OF_FORMULA, OF_INGREDIENT, Layout, OwnTable
from webapp.costing.own.heads import Column, named_columns, unit_alone, units_below
from webapp.costing.own.layouts import laid_out, laid_out_at
from webapp.costing.own.reading import Choices
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import Told

F, D = Fraction, Decimal
SHEA, WAX = F(41, 5000), F(9) / LB
FIRM, SOFT = SHEA * F(40, 100) + WAX * F(60, 100), SHEA * F(70, 100) + WAX * F(30, 100)
BOTH = ("ingredient", *(OF_FORMULA,) * 4)
ROWS = "\nShea butter | 40 | 400 | 70 | 1400\nBeeswax | 60 | 600 | 30 | 600"
TOTAL = "\nTotal | 100 | 1000 | 100 | 2000"
#: heads over percent and grams of a firm and a soft formula, and in which row they stand
HEADS = {
    "a name once above both, the units below": ("Ingredient | Firm | | Soft |\n | % | g | % | g", 1),
    "the corner beside the units": ("x | Firm | | Soft |\nIngredient | % | g | % | g", 2),
    "both heads say the name": ("Ingredient | Firm (%) | Firm (g) | Soft (%) | Soft (g)", 1),
    "without brackets": ("Ingredient | Firm % | Firm g | Soft % | Soft g", 1),
    "the unit first": ("Ingredient | % Firm | g Firm | % Soft | g Soft", 1),
    "words for units": ("Ingredient | Firm | | Soft |\n | Percent | Weight (g) | Percent | Grams", 1),
    "the unit alone beside": ("Ingredient | Firm % | g | Soft % | g", 1),
    "the unit alone beside a bare name": ("Ingredient | Firm | Grams | Soft | Grams", 1),
    "the batch between": ("Ingredient | Firm | | Soft |\nBatch | | 1 kg | | 2 kg\n | % | g | % | g", 1),
    "names twice": ("Ingredient | Firm | Firm | Soft | Soft\n | % | g | % | g", 1),
    "a title above": ("Summer | 2026\n\nIngredient | Firm | | Soft |\n | % | g | % | g", 3),
}


@pytest.mark.parametrize("total", [TOTAL, ""])
@pytest.mark.parametrize("kind", HEADS)
def test_percent_count_and_grams_beside_them_say_the_batch(kind: str, total: str) -> None:
    heads, row = HEADS[kind]
    reading = read(PRICES, heads + ROWS + total)
    assert reading.layouts[1] == Layout(FORMULAS, row, BOTH)
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Firm", "Soft"]
    assert [(one.said.rows.way, one.said.rows.batch) for one in reading.formulas] == [
        ("percent", D(1000)), ("percent", D(2000)),
    ]  # fmt: skip
    found = costs(reading)
    assert near(found["Firm"], FIRM)
    assert near(found["Soft"], SOFT)


def test_grams_first_and_a_third_column_are_no_other_formulas() -> None:
    text = "Ingredient | Firm | | | Soft | |\n | g | % | g | g | % | Cost"
    text += "\nShea butter | 400 | 40 | 800 | 1400 | 70 | 11\nBeeswax | 600 | 60 | 1200 | 600 | 30 | 12"
    reading = read(PRICES, text)
    assert reading.layouts[1].roles == ("ingredient", OF_FORMULA, OF_FORMULA, "", OF_FORMULA, OF_FORMULA, "")
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Soft"], SOFT)
    every = read(PRICES, text, layouts={1: Layout(FORMULAS, 1, (*BOTH, OF_FORMULA, ""))})
    assert sentences(every)[0] == ("D1", "Firm stands here twice. Call one of them something else, or leave it out.")


def test_one_formula_alone_with_two_columns_is_read_so_too() -> None:
    text = "Ingredient | Firm |\n | % | g\nShea butter | 40 | 400\nBeeswax | 60 | 600"
    reading = read(PRICES, text)
    assert reading.layouts[1].roles == BOTH[:3]
    assert near(costs(reading)["Firm"], FIRM)
    listed = read(PRICES, "Firm\nIngredient | % | g\nShea butter | 40 | 400\nBeeswax | 60 | 600")
    assert listed.layouts[1].roles == ("ingredient", "percent", "grams")
    assert near(costs(listed)["Firm"], FIRM)


def test_either_column_may_be_left_out_and_one_that_is_empty_does_not_count() -> None:
    heads = "Ingredient | Firm | | Soft |\n | % | g | % | g"
    left = read(PRICES, heads + ROWS, layouts={1: Layout(FORMULAS, 1, ("ingredient", "", OF_FORMULA, OF_FORMULA, ""))})
    assert left.good, sentences(left)
    assert [(one.said.rows.name, one.said.rows.way) for one in left.formulas] == [
        ("Firm", "grams"),
        ("Soft", "percent"),
    ]
    assert near(costs(left)["Firm"], FIRM)
    empty = heads + "\nBatch | 1 kg | | |\nShea butter | | 400 | 70 |\nBeeswax | | 0.6 kg | 30 |"
    reading = read(PRICES, empty)
    assert reading.good, sentences(reading)
    assert [(one.said.rows.way, one.said.rows.batch) for one in reading.formulas] == [
        ("grams", D(1000)), ("percent", None),
    ]  # fmt: skip
    assert near(costs(reading)["Firm"], FIRM)
    assert near(costs(reading)["Soft"], SOFT)


def test_decimal_commas_a_rest_a_zero_empty_cells_and_other_units_of_mass() -> None:
    """Firm: 38.5 % shea and wax for the rest, 61.5 %. Soft: 14 oz of 20 oz shea are 70 %, 6 oz wax 30 %."""
    text = """
Zutat | Firm | | Soft |
 | % | kg | % | oz
Shea butter | 38,5 | 0,77 | 70 % | 14
Beeswax | q.s. | 1,23 | 30 % | 6
Coconut oil | 0 | 0,0 | |
Oil | | - | n/a |
Summe | 100 | 2 | 100 % | 20
"""
    reading = read(PRICES, text)
    assert reading.good, sentences(reading)
    rows = [one.said.rows for one in reading.formulas]
    assert [one.batch for one in rows] == [D(2000), D("566.990463")]  # 20 x 28.349523125 g, each to six places
    assert rows[0].remarks == ["Coconut oil stands at 0: it is not in it."]
    assert [one.what for one in reading.skipped] == ["units", "a total", "in none of these formulas"]
    found = costs(reading)
    assert near(found["Firm"], SHEA * F(385, 1000) + WAX * F(615, 1000))
    assert near(found["Soft"], SOFT)


def test_what_stands_in_one_column_only_or_cannot_be_read_is_said_at_its_cell() -> None:
    text = "Ingredient | Firm | | Soft |\n | % | g | % | g\nShea butter | 40 | 400 | 70 | #REF!"
    text += "\nBeeswax | 60 | 600 | 30 | lots\nCoconut oil | | 25 g | 0 | 3 drops\nWater | | 0 | | q.s."
    reading = read(PRICES, text)
    assert [(cell, words.partition(".")[0]) for cell, words in sentences(reading)] == [
        ("E3", "#REF! is what a spreadsheet writes where a formula failed"),
        ("E4", "lots is no amount"),
        ("B5", "25 g stand beside it, and no amount of Coconut oil here"),
        ("D5", "3 drops stand beside it, and no amount of Coconut oil here"),
        ("D6", "q"),
    ]


def test_a_gram_column_that_is_not_in_mass_is_not_compared() -> None:
    text = "Ingredient | Firm | | Soft |\n | % | g | % | g\nShea butter | 40 | 8 mL | 70 | 700"
    reading = read(PRICES, f"{text}\nBeeswax | 60 | 5 drops | 30 | 300")
    assert reading.good, sentences(reading)
    assert [one.said.rows.batch for one in reading.formulas] == [None, D(1000)]


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("%", "%"), ("(g)", "g"), ("in grams", "grams"), ("Weight (g)", "g"), ("% w/w", "%"), ("oz", "oz"),
        ("Amount (kg)", "kg"), ("Parts", "parts"), ("Anteil in %", "%"), ("Firm (%)", ""), ("Firm", ""), ("", ""),
        ("40", ""), ("Amount", ""),
    ],
)  # fmt: skip
def test_a_cell_that_is_only_a_unit(text: str, unit: str) -> None:
    assert unit_alone(text) == unit


def test_the_names_and_units_of_columns_as_their_heads_say_them() -> None:
    two = table("Name | Firm | | Soft\nIngredient | % | g |\nShea | 40 | 400 | 1")
    assert units_below(two, 1) == 2
    assert units_below(two, 0) == 0
    firm = {1: Column("Firm", "%"), 2: Column("Firm", "g")}
    assert named_columns(two, 1) == {0: Column("Name", ""), **firm, 3: Column("Soft", "")}
    assert named_columns(two, 2) == {0: Column("Ingredient", ""), **firm}
    # a unit alone without a name above it, or beside what is no formula, has none
    assert named_columns(table("My balm\nIngredient | % | g\nShea | 40 | 400"), 2) == {0: Column("Ingredient", "")}
    assert named_columns(table("% | g\n40 | 400"), 1) == {}
    assert named_columns(table("Notes | g\nsoft | 400"), 1) == {0: Column("Notes", "")}
    # a name that only ends in what may be a unit is one where nothing shares the rest of it
    assert named_columns(table("Balm g | Balm oil\n1 | 2"), 1) == {0: Column("Balm g", ""), 1: Column("Balm oil", "")}
    assert named_columns(table("Balm - % | Balm: g\n1 | 2"), 1) == {0: Column("Balm", "%"), 1: Column("Balm", "g")}


@pytest.mark.parametrize(
    ("text", "holds", "roles"),
    [
        ("Ingredient|Price|%|g\nShea|8|40|400\nWax|9|60|600", FORMULAS, ("ingredient", "", "percent", "grams")),
        ("Item|Pack|Unit|Price\nShea|5|kg|41\nWax|1|lb|9", MATERIALS, ("name", "pack", "unit", "price")),
        # a row a formula: percent are enough, and the grams are left out, and seen to be
        ("Formula|Shea %|Shea g|Wax %|Wax g\nFirm|40|400|60|600\nSoft|70|700|30|300", FORMULAS,
         ("formula", OF_INGREDIENT, "", OF_INGREDIENT, "")),
    ],
)  # fmt: skip
def test_what_is_guessed_where_no_formula_has_two_columns(text: str, holds: str, roles: tuple[str, ...]) -> None:
    found = laid_out(table(text, "x"))
    assert (found.holds, found.roles) == (holds, roles)


def test_the_heads_of_either_row_may_be_chosen_and_a_workbook_leaves_out_empty_cells() -> None:
    rows = (("", "Firm", "", "Soft"), ("Ingredient", "%", "g", "%", "g"), ("Shea butter", "40", "400", "70", "1400"))
    sheet = OwnTable("x", (*rows, ("Beeswax", "60", "600", "30", "600")), exact=True)
    assert laid_out_at(sheet, FORMULAS, 2) == Layout(FORMULAS, 2, BOTH)
    assert laid_out_at(sheet, FORMULAS, 1) == Layout(FORMULAS, 1, BOTH)
    ingredients = Layout(FORMULAS, 1, ("formula", OF_INGREDIENT, OF_INGREDIENT))
    across = read(PRICES, "Formula | Shea butter (%) | Beeswax (%)\nFirm | 40 | 60", layouts={1: ingredients})
    assert near(costs(across)["Firm"], FIRM)


def test_a_rest_beside_grams_in_a_column_without_a_unit_is_asked_for_by_the_choice_that_settles_it() -> None:
    text = (
        "Ingredient | Firm | | Soft |\n | % | g | % | g\nShea butter | 40 | 1,400 | 100 | 5\nBeeswax | 60 | 2,100 | |"
    )
    whole = PRICES.replace(".00", "")  # 41.00 would say how decimals are written
    (asked, other) = read(whole, text).wrong
    assert (asked.choice, asked.cell, other.cell) == ("sign", "C3", "C4")
    told = read(whole, text, told=Told(sign="."))
    assert told.good, sentences(told)
    assert told.formulas[0].said.rows.batch == D(3500)


@pytest.mark.parametrize("heads", ["Ingredient | Whip oz | Edge oz", "Ingredient | Whip (oz) | Edge oz"])
def test_names_that_end_in_a_unit_are_formulas_side_by_side(heads: str) -> None:
    """22 and 8 oz, 5 and 5 oz: bare names with their unit were asked for the column that says how much.

    Ounces are kept in grams to six decimals.
    """
    prices = "Ingredient | Pack | Price\nShea butter | 1 kg | 8\nOil | 1 kg | 6\nBeeswax | 1 kg | 17"
    text = f"{heads}\nShea butter | 22 | 5\nOil | 8 |\nBeeswax | | 5\nTotal | 30 | 10"
    reading = read_own(EMPTY, (table(prices), table(text, "Recipes")), Choices())
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert abs(F(str(found["Whip"])) - F(22 * 8 + 8 * 6, 30 * 1000)) < F(1, 10**9)
    assert abs(F(str(found["Edge"])) - F(5 * 8 + 5 * 17, 10 * 1000)) < F(1, 10**9)


def test_jars_at_the_foot_of_a_column_are_no_amount_of_it() -> None:
    """22 and 8 oz; 50 and 50 percent; 95 and 5: the two in percent were left out without a word."""
    prices = "Ingredient | Pack | Price\nShea butter | 1 kg | 8\nOil | 1 kg | 6\nBeeswax | 1 kg | 17"
    text = (
        "Ingredient | Whip (oz) | Stick (%) | Mist (%)\nShea butter | 22 | 50 |\nOil | 8 | | 95\n"
        "Beeswax | | 50 | 5\nmakes | 12 4-oz jars | 10 tins | 6 8-oz"
    )
    reading = read(prices, text)
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert abs(F(str(found["Whip"])) - F(22 * 8 + 8 * 6, 30 * 1000)) < F(1, 10**9)
    assert abs(F(str(found["Stick"])) - F(50 * 8 + 50 * 17, 100 * 1000)) < F(1, 10**9)
    assert abs(F(str(found["Mist"])) - F(95 * 6 + 5 * 17, 100 * 1000)) < F(1, 10**9)
