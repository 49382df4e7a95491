"""Running numbers before the titles of formulas: no part of a name where each title of a sheet has one."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, PRICES, costs, near, read, sentences, stored, table
from webapp.costing.own.numbered import without_numbers
from webapp.costing.own.reading import Choices
from webapp.costing.own.sheets import read_own

F = Fraction
SHEA = F(41, 5000)


def recipes(*titles: str) -> str:
    return "\n".join(f"{title}|\nIngredient|Grams\nShea butter|500\n|" for title in titles)


@pytest.mark.parametrize(
    ("titles", "names"),
    [
        (("1. Ori Whip", "2. Edge Control"), ("Ori Whip", "Edge Control")),
        (("1) Ori Whip", "2) Edge Control"), ("Ori Whip", "Edge Control")),
        (("#4 Ori Whip", "#7 Edge Control"), ("Ori Whip", "Edge Control")),
        (("No 3 Ori Whip", "No. 4: Edge Control"), ("Ori Whip", "Edge Control")),
        (("Nr. 1 Salbe", "Nr. 2 Balsam"), ("Salbe", "Balsam")),
        (("N\u00b0 1 Baume", "N\u00b0 2 Masque"), ("Baume", "Masque")),
        (("Recipe 1: Balm", "Recipe 2: Whip"), ("Balm", "Whip")),
        (("1 - Balm", "2 - Whip"), ("Balm", "Whip")),
        (("Formula no. 1 Balm", "Formula no. 2 Whip"), ("Balm", "Whip")),
    ],
)
def test_running_numbers_are_no_part_of_names(titles: tuple[str, ...], names: tuple[str, ...]) -> None:
    assert without_numbers(titles) == names


@pytest.mark.parametrize(
    "titles",
    [
        ("1. Ori Whip",),  # one alone may be called so
        ("1. Ori Whip", "Edge Control"),
        ("2. Ori Whip", "1. Edge Control"),  # no running numbers
        ("1. Balm", "2. Balm"),  # told apart by them alone
        ("4 Oil Blend", "7 Oil Blend"),
        ("3 Butter Balm", "5 Herb Rinse"),
        ("1.5 oz Balm", "2.5 oz Stick"),
        ("100 g Balm", "200 g Stick"),
    ],
)
def test_what_may_be_part_of_a_name_stays(titles: tuple[str, ...]) -> None:
    assert without_numbers(titles) == titles


def test_a_product_finds_its_formula_with_and_without_the_number() -> None:
    """250 g of shea butter at 41.00 for 5 kg are 2.05."""
    sold = "Product|Recipe|Size|Price\nWhip 250|Ori Whip|250 g|9\nEdge 250|2. Edge Control|250 g|9"
    reading = read(PRICES, recipes("1. Ori Whip", "2. Edge Control"), sold)
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Ori Whip", "Edge Control"]
    assert [near(one.ingredients, SHEA * 250) for one in reading.products] == [True, True]


def test_sheets_of_one_recipe_each_are_called_without_their_numbers_too() -> None:
    lines = "Ingredient|Grams\nShea butter|500"
    tables = (table(PRICES, "Prices"), table(lines, "1. Balm"), table(lines, "2. Whip"))
    reading = read_own(EMPTY, tables, Choices())
    assert [one.said.rows.name for one in reading.formulas] == ["Balm", "Whip"]
    assert [one.title for one in reading.tables] == ["Prices", "1. Balm", "2. Whip"]


def test_formulas_side_by_side_are_called_without_their_numbers_too() -> None:
    reading = read(PRICES, "Ingredient|1. Balm %|2. Whip %\nShea butter|60|100\nBeeswax|40|")
    assert [one.said.rows.name for one in reading.formulas] == ["Balm", "Whip"]


def test_what_the_book_has_with_its_number_keeps_it() -> None:
    """A book that was brought in before is the book: its formulas are not made once more under another name."""
    held = stored(read(PRICES, "Formula|Ingredient|Grams\n1. Ori Whip|Shea butter|500"))
    assert [one.name for one in held.formulas.values()] == ["1. Ori Whip"]
    reading = read(recipes("1. Ori Whip", "2. Edge Control"), book=held)
    assert [(one.said.rows.name, one.said.known) for one in reading.formulas] == [
        ("1. Ori Whip", True),
        ("2. Edge Control", False),
    ]


def test_amounts_that_are_asked_of_a_numbered_formula_are_answered_by_its_name() -> None:
    text = "1. Balm|\nIngredient|Amount\nShea butter|5\nBeeswax|3\n|\n2. Whip|\nIngredient|Amount\nShea butter|7\n"
    asked = read(PRICES, text)
    fields = {one.choice for one in asked.wrong if one.choice.startswith("kind-")}
    marks = {f"kind-{one.said.rows.mark}" for one in asked.formulas}
    assert fields <= marks
    assert costs(asked)["Balm"] is None
