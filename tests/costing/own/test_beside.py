"""Tables side by side on one sheet. Costs are worked out here in fractions of what is written."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, LB, costs, near, sentences, table
from webapp.costing.own.beside import parted
from webapp.costing.own.columns import OwnTable
from webapp.costing.own.reading import Choices
from webapp.costing.own.sheets import read_own

F = Fraction
BOTH = """
Ingredient | Pack | Price | | Balm | % | | Ingredient | %
Shea butter | 5 kg | 41 | | Shea butter | 60 | | Beeswax | 100
Beeswax | 1 lb | 9 | | Beeswax | 39 | | |
"""
SHEA, WAX = F(41, 5000), F(9) / LB


def test_prices_and_formulas_beside_each_other_are_read_as_sheets_of_their_own() -> None:
    tables = parted([table(BOTH, "All"), OwnTable("Empty", ())])
    assert [one.title for one in tables] == [
        "All", "All, from column E", "All, from column E, from column H", "Empty",
    ]  # fmt: skip
    reading = read_own(EMPTY, tables, Choices(fixes={"s1_r3_c5": "40"}))
    assert reading.good, sentences(reading)
    found = costs(reading)
    assert near(found["Balm"], SHEA * F(60, 100) + WAX * F(40, 100))
    assert near(found["All, from column E, from column H"], WAX)
    wrong = read_own(EMPTY, tables, Choices())
    assert [cell for cell, _ in sentences(wrong)] == ["F2", "F3"]  # called as on the sheet


@pytest.mark.parametrize(
    "text",
    [
        "Ingredient | Pack | Price | | Notes\nShea butter | 5 kg | 41 | | soft\nBeeswax | 1 lb | 9 | | hard",
        "Ingredient | | Firm (%) | | Soft (%)\nShea butter | | 40 | | 70\nBeeswax | | 60 | | 30",
        "Ingredient | Pack | Price\nShea butter | 5 kg | 41",
        "",
    ],
)
def test_an_empty_column_alone_parts_nothing(text: str) -> None:
    sheet = table(text, "x")
    assert parted([sheet]) == (sheet,)


def test_a_hidden_sheet_is_not_looked_at() -> None:
    sheet = replace(table(BOTH, "All"), hidden=True)
    assert parted([sheet]) == (sheet,)


PACKS = "Material | Pack | Price\nShea | 1 kg | 10\nBeeswax | 1 kg | 20\nCastor | 1 kg | 8"
#: what one gram costs
OF_SHEA, OF_WAX, OF_CASTOR = F(10, 1000), F(20, 1000), F(8, 1000)
TWO = """
Balm | | Whip |
Ingredient | % | Ingredient | %
Shea | 60 | Shea | 80
Beeswax | 40 | Castor | 20
"""
BALM, WHIP = F(60, 100) * OF_SHEA + F(40, 100) * OF_WAX, F(80, 100) * OF_SHEA + F(20, 100) * OF_CASTOR


@pytest.mark.parametrize(
    "text",
    [
        TWO,
        TWO.replace("%", "g"),
        "Balm | % | Whip | %\nShea | 60 | Shea | 80\nBeeswax | 40 | Castor | 20",
        TWO.replace("Ingredient | % | Ingredient", "Ingredient | % | What"),
        "Balm | | Whip |\nShea | 60% | Shea | 80%\nBeeswax | 40% | Castor | 20%",
        "Balm | % | Whip | g\nShea | 60 | Shea | 80\nBeeswax | 40 | Castor | 20",
        (
            "Balm | | | Whip | |\nIngredient | % | Note | Ingredient | % | Note\n"
            "Shea | 60 | melt | Shea | 80 |\nBeeswax | 40 | | Castor | 20 | last"
        ),
        (
            "Balm | | | Whip | |\nPhase | Ingredient | % | Phase | Ingredient | %\n"
            "A | Shea | 60 | A | Shea | 80\nB | Beeswax | 40 | B | Castor | 20"
        ),
        (
            "RECIPES (all in %)\n\nBalm | makes 500 g | Whip | makes 1 kg\nIngredient | % | Ingredient | %\n"
            "Shea | 60 | Shea | 80\nBeeswax | 40 | Castor | 20"
        ),
    ],
)
def test_cards_without_an_empty_column_between_are_parted_where_their_heads_begin_again(text: str) -> None:
    reading = read_own(EMPTY, parted([table(PACKS, "Prices"), table(text, "Cards")]), Choices())
    assert reading.good, (reading.faults, sentences(reading))
    assert [one.said.rows.name for one in reading.formulas] == ["Balm", "Whip"]
    found = costs(reading)
    assert near(found["Balm"], BALM)
    assert near(found["Whip"], WHIP)


def test_three_cards_and_more_below_them_are_all_read() -> None:
    text = (
        "Balm | | Whip | | Oil |\nIngredient | % | Ingredient | % | Ingredient | %\n"
        "Shea | 60 | Shea | 80 | Castor | 90\nBeeswax | 40 | Castor | 20 | Shea | 10\n\n"
        "Bar | | Rub |\nIngredient | % | Ingredient | %\nBeeswax | 70 | Castor | 50\nShea | 30 | Beeswax | 50"
    )
    reading = read_own(EMPTY, parted([table(PACKS, "Prices"), table(text, "Cards")]), Choices())
    assert reading.good, (reading.faults, sentences(reading))
    found = costs(reading)
    assert near(found["Oil"], F(90, 100) * OF_CASTOR + F(10, 100) * OF_SHEA)
    assert near(found["Bar"], F(70, 100) * OF_WAX + F(30, 100) * OF_SHEA)
    assert near(found["Rub"], F(50, 100) * OF_CASTOR + F(50, 100) * OF_WAX)
    assert {*found} == {"Shea", "Beeswax", "Castor", "Balm", "Whip", "Oil", "Bar", "Rub"}


def test_cards_below_prices_are_parted_too_and_prices_in_two_halves() -> None:
    below = parted([table(f"{PACKS}\n\n{TWO.strip()}", "All")])
    found = costs(read_own(EMPTY, below, Choices()))
    assert near(found["Balm"], BALM)
    assert near(found["Whip"], WHIP)
    halves = (
        "Item | Pack | Price | Item | Pack | Price\nShea | 1 kg | 10 | Castor | 1 kg | 8\nBeeswax | 1 kg | 20 | | |"
    )
    reading = read_own(EMPTY, parted([table(halves, "Prices")]), Choices())
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Castor"], OF_CASTOR)


@pytest.mark.parametrize(
    "text",
    [
        "Ingredient | INCI | % \nShea | Butyrospermum | 60\nBeeswax | Cera alba | 40",
        "Balm | g | Function | %\nShea | 60 | soft | 60\nBeeswax | 40 | hard | 40",
        "Ingredient | % | INCI | g\nShea | 60 | Butyrospermum | 60\nBeeswax | 40 | Cera alba | 40",
        "Balm | | |\nShea | 60 g | soft | 5 g\nBeeswax | 40 g | hard | 3 g",
        "Ingredient | Supplier | Ingredient\nShea | Mill | 1\nBeeswax | Mill | 2",
        "Ingredient | Balm | Whip\nShea | 60 | 80\nBeeswax | 40 | 20",
    ],
)
def test_other_heads_that_are_alike_part_nothing(text: str) -> None:
    sheet = table(text, "x")
    assert parted([sheet]) == (sheet,)
