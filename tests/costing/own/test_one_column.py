"""Formulas without heads: names with their amounts beside them, or both in one cell. Figures from paper.

A kilo of shea butter costs 10, of mango butter 20, of castor oil 8, of sunflower oil 4, of BTMS 30.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_phases import PRICES, come_to, passed, read
from tests.costing.own.test_sheets import EMPTY, sentences, table
from webapp.costing.own.beside import parted
from webapp.costing.own.columns import FORMULAS, MATERIALS, NOTHING
from webapp.costing.own.not_read import IN_ONE_CELL, OF_PRICED
from webapp.costing.own.one_column import in_columns
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own

F = Fraction
#: 600 at 10 and 400 at 20 of 1000
CREAM = F(14)


def workbook(text: str, title: str = "Sheet 2", **choices: object) -> OwnReading:
    """As the file of a workbook is read."""
    tables = parted((table(PRICES, "Prices"), table(text, title)))
    return read_own(EMPTY, tables, Choices(**choices))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("lines", "cost"),
    [
        ("600 g Shea butter\n400 g Mango butter", CREAM),
        ("60 % Shea butter\n40% Mango butter", CREAM),
        ("Shea butter 600 g\nMango butter: 400 g\nTotal 1000 g", CREAM),
        ("600g of Shea butter\nMelt it, then add at 40 \u00b0C.\n0.4 kg Mango butter", CREAM),
        ("|600 g Shea butter\n|400 g Mango butter", CREAM),
        ("1\u00bd kg Shea butter\n1/2 kg Mango butter", F("12.5")),
        ("3 parts Shea butter\n1 part Mango butter", F("12.5")),
    ],
)
def test_lines_with_an_amount_and_a_name_are_a_formula(lines: str, cost: Fraction) -> None:
    """They were taken for nothing that is wanted."""
    reading = workbook(lines if "|" in lines else f"Cream A\n{lines}", "Cream A")
    come_to(reading, {"Cream A": cost})
    first = lines.split("\n", maxsplit=1)[0].strip("|")
    words = f"An amount and a name stand in one cell here (\u201c{first}\u201d): read as two columns, the name and "
    assert reading.tables[1].remarks[0] == f"{words}the amount."


@pytest.mark.parametrize(
    "water", ["Distilled water q.s. to 2 kg", "Distilled water: to 2 kg", "Distilled water up to 2 kg"]
)
def test_a_line_that_takes_the_rest_is_one(water: str) -> None:
    """6 of shea butter, 8 of mango butter and a kilo of water at 0.50 in 2 kg."""
    come_to(workbook(f"Cream A\n600 g Shea butter\n400 g Mango butter\n{water}"), {"Cream A": F("14.5") / 2})


def test_the_rest_of_percent_needs_no_amount() -> None:
    """10 of shea butter, 30 of mango butter and 60 of water at 0.50 in 100: 1 + 6 + 0.3."""
    text = "Cream A\n10 % Shea butter\n30 % Mango butter\nDistilled water q.s."
    come_to(workbook(text), {"Cream A": F("7.3")})


def test_several_formulas_stand_below_each_other() -> None:
    """Half of castor oil at 8, half of sunflower oil at 4."""
    text = "Cream A\n600 g Shea butter\n400 g Mango butter\n\nOil\n50 g Castor oil\n50 g Sunflower oil"
    come_to(workbook(text), {"Cream A": CREAM, "Oil": F(6)})


def test_a_line_in_another_unit_or_in_none_is_asked() -> None:
    """They would have been names of formulas that begin there."""
    text = "Cream A\n600 g Shea butter\n2 tsp Mango butter\n100 g Mango butter\n10 minutes is how long it cools."
    reading = workbook(text)
    assert [one.said.rows.name for one in reading.formulas] == ["Cream A"]
    words = "2 tsp: a teaspoon is about 5 mL. Type it in mL, such as 10 mL, or in grams."
    assert sentences(reading) == [("B3", words)]
    come_to(workbook(text, fixes={"s1_r3_c1": "300 g"}), {"Cream A": CREAM})
    bare = text.replace("2 tsp", "300")
    assert workbook(bare).tables[1].remarks == (IN_ONE_CELL,)
    assert {one.choice for one in workbook(bare, "Recipes").wrong} == {"amounts"}


@pytest.mark.parametrize(
    "text",
    [
        "600 g Shea butter",
        "Melt the wax\nThen wait",
        "Shea butter 1 kg 12.00\nMango butter 1 kg 20.00",
        "600 g Shea butter 12.00\n400 g Mango butter 8.00",
        "10 min Shea butter\n10 min Mango butter",
        "What I listen to\nWhere I go to",
        "600 g Shea butter|a\n400 g Mango butter|b",
    ],
)
def test_what_is_no_such_line_stays_as_it_is(text: str) -> None:
    prices, other = table(PRICES, "Prices"), table(text, "Cream A")
    assert in_columns((prices, other)) == (prices, other)
    assert IN_ONE_CELL not in workbook(text).tables[-1].remarks


def test_what_is_not_known_by_price_nor_title_is_said_at_the_top() -> None:
    text = "Cream A\n600 g Rice oil\n400 g Mystery wax"
    reading = workbook(text)
    assert reading.layouts[1].holds == NOTHING
    assert reading.tables[1].remarks == (IN_ONE_CELL,)
    assert read_own(EMPTY, (table(PRICES), table(text, "Cream A")), Choices()).tables[1].remarks == (IN_ONE_CELL,)
    titled = workbook(text, "Recipes")
    assert [one.said.rows.name for one in titled.formulas] == ["Cream A"]


@pytest.mark.parametrize(
    ("text", "title", "expected"),
    [
        ("Shea butter|600 g\nMango butter|400 g", "Sheet 2", {"Sheet 2": CREAM}),
        ("Shea butter|600 g\nMango butter|400 g", "Cream A", {"Cream A": CREAM}),
        ("Cream A\nShea butter|600 g|melt\nMango butter|400 g|", "Sheet 2", {"Cream A": CREAM}),
        ("Cream A\nShea butter|3 parts\nMango butter|1 part", "Sheet 2", {"Cream A": F("12.5")}),
        (
            "Cream A\nShea butter|600 g\nMango butter|400 g\nTotal|1000 g\n\nOil\nCastor oil|1 kg\nSunflower oil|1 kg",
            "Sheet 2",
            {"Cream A": CREAM, "Oil": F(6)},
        ),
    ],
)
def test_amounts_of_what_has_a_price_elsewhere_are_a_formula_without_heads_too(
    text: str, title: str, expected: dict[str, Fraction]
) -> None:
    """It was asked which of the two sheets of prices counts."""
    reading = read(text, title)
    come_to(reading, expected)
    assert reading.tables[1].remarks == (OF_PRICED,)


@pytest.mark.parametrize(
    ("text", "title"),
    [
        ("Shea butter|600 g\nMango butter|400 g", "Stock"),
        ("Shea butter|600 g\nMango butter|400 g", "Shopping list"),
        ("Shea butter|600 g\nMango butter|400 g", "Reorder"),
        ("Shea butter|600 g|6.00\nMango butter|400 g|8.00", "Sheet 2"),
        ("Shea butter|600 g|\u20ac6\nMango butter|400 g|\u20ac8", "Sheet 2"),
        ("Rice oil|600 g\nMystery wax|400 g\nShea butter|1 g", "Sheet 2"),
        ("Shea butter|600 g\nMystery wax|400 g\nMango butter|1 g\nRice oil|1 g", "Sheet 2"),
    ],
)
def test_what_may_be_prices_or_stock_is_asked_as_before(text: str, title: str) -> None:
    reading = read(text, title)
    assert reading.layouts[1].holds == MATERIALS
    assert not reading.good


def test_a_sheet_that_is_a_formula_by_its_title_needs_no_word() -> None:
    assert read("Cream A\nShea butter|600 g\nMango butter|400 g").tables[1].remarks == ()


def test_a_batch_is_no_line_of_such_a_formula() -> None:
    reading = read("Cream A\nBatch|1 kg\nShea butter|600 g\nMango butter|400 g")
    come_to(reading, {"Cream A": CREAM})
    assert reading.layouts[1].holds == FORMULAS
    assert passed(reading) == []
