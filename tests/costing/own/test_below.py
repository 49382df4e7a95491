"""Prices and formulas below each other on one sheet of a workbook. Costs are worked out here in fractions."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, costs, near, sentences, table
from webapp.costing.own.below import stacked
from webapp.costing.own.beside import parted
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own

F = Fraction
LIST = "Ingredient|Pack|Price\nShea butter|1 kg|8\nOlive oil|1 kg|6\nBeeswax|1 kg|10"
BALM = "Balm\nIngredient|%\nShea butter|60\nOlive oil|40"
COST = F(8, 1000) * F(60, 100) + F(6, 1000) * F(40, 100)


def brought(text: str) -> OwnReading:
    """A sheet as it is read of a workbook."""
    return read_own(EMPTY, parted([table(text, "Mine")]), Choices())


@pytest.mark.parametrize(
    "text",
    [
        f"{LIST}\n\n{BALM}",
        f"{LIST}\n{BALM}",
        f"{LIST}\nTotal||24\n{BALM}",
        f"All prices in euro\n{LIST}{chr(10) * 40}{BALM}",
        f"{BALM}\n\nWhat I pay\n{LIST}",
        f"{BALM}\n\n{LIST}",
        f"{LIST}\n\n{BALM.replace('%', '%|Cost').replace('60', '60|1').replace('40', '40|2')}",
        f"{LIST}\n\nBalm|%\nShea butter|60\nOlive oil|40",
        f"{LIST}\n\nBalm\n\nIngredient|%\nShea butter|60\nOlive oil|40",
        f"{LIST}\n\n{BALM.replace('Ingredient|%', 'Ingredient|g')}",
        f"{LIST}\n\n{BALM.replace('Ingredient|%', 'Ingredient|Amount')}",
        f"{LIST}\n\nBalm\nBatch|500 g\nIngredient|%\nShea butter|60\nOlive oil|40",
    ],
)
def test_a_formula_below_prices_or_above_them_is_read_with_them(text: str) -> None:
    """60 % and 40 % of a list price each. The lines were materials with a second price before."""
    reading = brought(text)
    assert reading.good, (reading.faults, sentences(reading))
    assert [one.said.name for one in reading.materials] == ["Shea butter", "Olive oil", "Beeswax"]
    assert near(costs(reading)["Balm"], COST)
    (formula,) = reading.formulas
    here = reading.tables[formula.said.rows.sheet]
    assert [here.cell(line.row, 0) for line in formula.said.rows.lines] == ["Shea butter", "Olive oil"]


def test_several_formulas_and_more_prices_below_them_are_three_parts() -> None:
    more = "Packaging\nItem|Pack|Price\nJar|12 pcs|9"
    reading = brought(f"{LIST}\n\n{BALM}\n\nSoft\nIngredient|%\nBeeswax|100\n\n{more}")
    assert reading.good, (reading.faults, sentences(reading))
    assert [one.title for one in reading.tables] == ["Mine", "Mine, from row 6", "Mine, from row 15"]
    assert near(costs(reading)["Soft"], F(10, 1000))
    assert near(costs(reading)["Jar"], F(9, 12))
    weighed = brought(f"{LIST}\n\nMore\nIngredient|Weight|Cost\nLanolin|1 kg|5\n\n{BALM}")
    assert [one.title for one in weighed.tables] == ["Mine", "Mine, from row 10"]
    assert near(costs(weighed)["Balm"], COST)


def test_formulas_side_by_side_in_percent_below_prices_are_found_wherever_they_begin() -> None:
    gap = "\n" * 30
    reading = brought(f"{LIST}{gap}Ingredient|Balm %|Soft %\nShea butter|60|50\nOlive oil|40|50")
    assert reading.good, (reading.faults, sentences(reading))
    assert near(costs(reading)["Balm"], COST)
    assert near(costs(reading)["Soft"], F(7, 1000))


@pytest.mark.parametrize(
    "text",
    [
        LIST,
        f"{LIST}\n\nOils\n{LIST}",
        f"{LIST}\n\nPackaging\nItem|Weight|Cost\nJar|12 pcs|9",  # a pack, and no grams
        "Formula|Ingredient|%\nBalm|Oil|40\nBalm|Wax|60\nIngredient|%|Price per kg\nOil|100|8",
        f"{LIST}\nMaterial|%|5",  # a row of amounts is none of heads
        f"{LIST}\n\nBought\nIngredient|Amount\nOlive oil|2 kg",  # may be anything, so it is asked
        f"{LIST}\n\nTo order\nIngredient|Amount\nOlive oil|2 kg\nBeeswax|3 kg",
        "Name|Product|Price|g\nBalm|Balm|9|50\nIngredient|%\nOil|100",  # a list of products above it
    ],
)
def test_heads_once_more_of_the_same_kind_and_what_is_no_formula_part_nothing(text: str) -> None:
    assert len(stacked(table(text))) == 1


def test_a_note_above_the_heads_is_not_their_title_and_a_hidden_sheet_is_one() -> None:
    noted = stacked(table(f"{LIST}\nPrices of last March\nIngredient|%\nShea butter|100"))
    assert [one.rows[4:5] for one in noted] == [(("Prices of last March",),), ((),)]
    gap = stacked(table(f"{LIST}\n\nPrices of last March\n\nIngredient|%\nShea butter|100"))
    assert gap[1].title == "Materials, from row 8"
    assert len(stacked(replace(table(f"{LIST}\n\n{BALM}"), hidden=True))) == 1
    assert (
        stacked(table("Ingredient|%\nOil|100\nIngredient|Pack|Price\nOil|1 kg|8"))[1].title == "Materials, from row 3"
    )
