"""A name without an amount among the lines of a formula: asked where nothing says whether a formula begins there."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences

F = Fraction
LIST = "Item|Pack|Price\nShea butter|1 kg|10\nWax|1 kg|20\nCastor oil|1 kg|8"


def formulas(text: str) -> tuple[list[str], list[tuple[str, str]]]:
    reading = read(LIST, text)
    return [one.said.rows.name for one in reading.formulas], sentences(reading)


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("Silk\nIngredient|g\nShea butter|200\nPatchouli|\nWax|50", "B4"),
        ("Silk\nIngredient|g|drops\nShea butter|200|\nPatchouli||20\nWax|50|", "B4"),
        ("Ingredient|g\nShea butter|200\nPatchouli|\nWax|50", "B3"),  # named by its sheet
    ],
)
def test_it_is_asked_right_below_a_line(text: str, cell: str) -> None:
    """It began a formula of what stands below it, of 20 g where drops stood beside it, without a word."""
    names, asked = formulas(text)
    assert [one for one, _ in asked] == [cell]
    assert "How much Patchouli is in" in asked[0][1]
    assert "Patchouli" not in names


def test_it_may_be_said_to_be_the_name_of_a_formula() -> None:
    """Silk is Shea alone; 50 g of wax at 20 and 50 g of castor oil at 8 are 14 a kg."""
    reading = read(LIST, "Silk\nIngredient|g\nShea butter|200\nBalm|formula\nWax|50\nCastor oil|50")
    assert reading.good, (reading.faults, sentences(reading))
    assert near(costs(reading)["Balm"], F(14, 1000))


@pytest.mark.parametrize(
    "text",
    [
        "Silk\nIngredient|g\nShea butter|200\n\nBalm|\nWax|50",  # below a gap
        "Silk\nIngredient|%\nShea butter|60\nWax|40\nBalm|\nWax|100",  # what stands above is whole
        "Silk\nIngredient|%\nShea butter|60%\nWax|60%\nBalm|\nWax|100%",  # more than whole, which is told
        "Silk\nBatch|250|g\nIngredient|g\nShea butter|200\nWax|50\nBalm|\nWax|50",
        "Silk\nIngredient|g\nShea butter|200\nWax|q.s. to 300\nBalm|\nWax|50",
        "Ingredient|g\nSilk|\nShea butter|200\nBalm|\nWax|50",  # formulas are named so
        "Formula|Ingredient|g\nSilk|Shea butter|200\nBalm||\n|Wax|50",
    ],
)
def test_elsewhere_it_is_the_name_of_what_stands_below(text: str) -> None:
    names, asked = formulas(text)
    assert (len(names), names[-1]) == (2, "Balm")
    assert not any("How much" in words for _, words in asked)
