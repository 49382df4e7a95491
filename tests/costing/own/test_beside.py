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
