"""Formulas side by side in a maker's own sheet. Expected costs are worked out here in fractions of what is written."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, LB, PRICES, costs, near, read, sentences, table
from webapp.costing.book import Formula
from webapp.costing.changes import Put
from webapp.costing.own.columns import FORMULAS, MATERIALS, OF_FORMULA, OF_INGREDIENT, Layout
from webapp.costing.own.layouts import laid_out, laid_out_as, laid_out_at
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import Told

F, D = Fraction, Decimal
SHEA, WAX = F(41, 5000), F(9) / LB
DOWN = """
My pomades
Ingredient | Phase | Firm pomade | Soft pomade | Shea only
Shea butter | A | 40 | 70 |
Beeswax | A | 60 | 25 |
Coconut oil | B | | 5 |
Total | | 100 | 100 |
"""
COCONUT = "\nCoconut oil | 1 kg | 8.00"


def lines(reading: OwnReading) -> dict[str, list[tuple[str, Decimal | None, str]]]:
    return {
        one.said.rows.name: [(line.ingredient, line.amount, line.unit) for line in one.said.rows.lines]
        for one in reading.formulas
    }


def test_a_column_a_formula_with_the_ingredients_down() -> None:
    reading = read(PRICES + COCONUT, DOWN)
    assert reading.good, sentences(reading)
    roles = ("ingredient", "stage", OF_FORMULA, OF_FORMULA, "")
    assert reading.layouts[1] == Layout(FORMULAS, 2, roles)
    found = costs(reading)
    assert near(found["Firm pomade"], SHEA * F(40, 100) + WAX * F(60, 100))
    assert near(found["Soft pomade"], SHEA * F(70, 100) + WAX * F(25, 100) + F(8, 1000) * F(5, 100))
    assert [one[0] for one in lines(reading)["Firm pomade"]] == ["Shea butter", "Beeswax"]
    assert [line.stage for line in reading.formulas[1].said.rows.lines] == ["A", "A", "B"]


def test_a_row_a_formula_with_the_ingredients_across() -> None:
    rows = "Firm pomade|40%|60%|100%|2\nSoft pomade|75%||75%|\nSalve|q.s.|30%||1"
    text = f"Formula|Shea butter|Beeswax|Total|Batch (kg)\n{rows}"
    reading = read(PRICES, text.replace("75%||75%", "75%|25%|100%"))
    assert reading.good, sentences(reading)
    assert reading.layouts[1].roles == ("formula", OF_INGREDIENT, OF_INGREDIENT, "", "batch")
    found = costs(reading)
    assert near(found["Firm pomade"], SHEA * F(40, 100) + WAX * F(60, 100))
    assert near(found["Salve"], SHEA * F(70, 100) + WAX * F(30, 100))
    assert [one.said.rows.batch for one in reading.formulas] == [D(2000), None, D(1000)]
    short = read(PRICES, text)
    assert [(cell, "75 %, 25 short of 100" in words) for cell, words in sentences(short)] == [
        ("B3", True), ("B3", True),  # what its amounts are, and which of them is wrong
    ]  # fmt: skip


def test_a_blank_cell_is_not_in_the_formula_and_a_zero_is_said() -> None:
    reading = read(PRICES, "Ingredient|Firm (%)|Soft (%)\nShea butter|40|100\nBeeswax|60|0\nOil||-\nWater|0.0|")
    assert reading.good, sentences(reading)
    assert lines(reading) == {
        "Firm": [("Shea butter", D(40), "percent"), ("Beeswax", D(60), "percent")],
        "Soft": [("Shea butter", D(100), "percent")],
    }
    assert [one.said.remarks for one in reading.formulas] == [
        ["Water stands at 0: it is not in it."],
        ["Beeswax stands at 0: it is not in it."],
    ]
    assert [(one.row, one.what) for one in reading.skipped] == [(4, "in none of these formulas")]


def test_each_sum_is_looked_at_by_itself_and_what_is_wrong_stands_at_its_cell() -> None:
    heads, rows = "Ingredient|Firm (%)|Soft (%)|Third (%)", "Shea butter|40|71|three\nBeeswax|59|30|#REF!\n|1||"
    text = f"{heads}\n{rows}\nTotal|100|100|"
    reading = read(PRICES, text, layouts=side(3))
    assert [cell for cell, _ in sentences(reading)] == ["C2", "D2", "C3", "D3", "A4"]
    assert "the lines add up to 101 %, 1 more than 100" in dict(sentences(reading))["C2"]
    fixes = {"s1_r2_c2": "70", "s1_r2_c3": "3", "s1_r3_c3": "97", "s1_r4_c0": "Oil"}
    mended = read(PRICES, text, fixes=fixes, layouts=side(3))
    assert mended.good, sentences(mended)
    assert lines(mended)["Third"] == [("Shea butter", D(3), "percent"), ("Beeswax", D(97), "percent")]
    assert lines(mended)["Firm"][2] == ("Oil", D(1), "percent")
    left = read(PRICES, text, fixes={**fixes, "s1_r3_c1": "60"}, left_out=frozenset({"s1_r4"}), layouts=side(3))
    assert near(costs(left)["Firm"], SHEA * F(40, 100) + WAX * F(60, 100))


def test_where_most_columns_come_to_a_hundred_bare_amounts_are_percent() -> None:
    reading = read(PRICES, "Ingredient|Firm|Soft|Third\nShea butter|40|70|10\nBeeswax|59|30|90", layouts=side(3))
    assert sentences(reading) == [
        ("B2", "Firm: the lines add up to 99 %, 1 short of 100. Choose what its amounts are, or correct them."),
        ("B2", "Firm: the lines add up to 99 %, 1 short of 100. Correct what is wrong in it."),
        ("B3", "Firm: one of the amounts that add up to 99 %."),
    ]
    assert near(costs(reading)["Third"], SHEA * F(1, 10) + WAX * F(9, 10))


def test_grams_batches_stages_units_and_figures_beside() -> None:
    text = """
Ingredient | Firm | Soft | Third
Unit | g | g | %
Phase A
Shea butter | 400 | 700 | 50
Cool down
Beeswax | 0.6 kg | 300 | 50
Batch size (g) | 1000 | 1500 | 2 kg
Makes | 20 jars | 30 jars |
Cost per kg | 7.50 | 8.10 |
Market in May
"""
    reading = read(PRICES, text, layouts={1: Layout(FORMULAS, 1, ("ingredient", *(OF_FORMULA,) * 3))})
    assert reading.good, sentences(reading)
    rows = [one.said.rows for one in reading.formulas]
    assert [(one.way, one.batch) for one in rows] == [
        ("grams", D(1000)), ("grams", D(1500)), ("percent", D(2000)),
    ]  # fmt: skip
    assert [line.stage for line in rows[0].lines] == ["Phase A", "Cool down"]
    assert [(one.row, one.what) for one in reading.skipped] == [
        (2, "units"), (8, "figures beside the formulas"), (9, "figures beside the formulas"),
        (10, "in none of these formulas"),
    ]  # fmt: skip
    assert near(costs(reading)["Firm"], SHEA * F(4, 10) + WAX * F(6, 10))


def test_bare_amounts_are_asked_for_and_fractions_are_percent() -> None:
    grams = "Ingredient|Firm|Soft\nShea butter|400|700\nBeeswax|600|300"
    (asked, other) = read(PRICES, grams, layouts=side(2)).wrong
    assert (asked.choice, asked.cell, other.cell) == ("amounts", "B2", "C2")
    told = read(PRICES, grams, amounts="grams", layouts=side(2))
    assert near(costs(told)["Soft"], SHEA * F(7, 10) + WAX * F(3, 10))
    shares = read(PRICES, "Ingredient|Firm|Soft\nShea butter|0.4|0.7\nBeeswax|0.6|0.3")
    assert shares.layouts[1].roles == ("ingredient", OF_FORMULA, OF_FORMULA)
    assert near(costs(shares)["Firm"], SHEA * F(4, 10) + WAX * F(6, 10))


def side(many: int) -> dict[int, Layout]:
    return {1: Layout(FORMULAS, 1, ("ingredient", *(OF_FORMULA,) * many))}


def test_heads_once_more_and_words_outside_are_passed_over_and_so_is_a_column_without_amounts() -> None:
    """A column that is still to be filled in is no formula yet; a number with two readings is said as it was read."""
    heads = "Ingredient|Firm|Soft|Next|Notes"
    text = f"{heads}\nShea butter|400|1,500||soft\n||||by hand\n{heads}\nBeeswax|600.5|300||"
    layouts = {1: Layout(FORMULAS, 1, ("ingredient", *(OF_FORMULA,) * 3, ""))}
    reading = read(PRICES, text, layouts=layouts, amounts="grams")
    assert reading.good, sentences(reading)
    assert [(one.row, one.what, one.words) for one in reading.skipped] == [
        (3, "words outside the columns", "by hand"),
        (4, "heads once more", "Ingredient, Firm, Soft, Next, Notes"),
        (1, "no amounts below it", "Next"),
    ]
    assert list(lines(reading)) == ["Firm", "Soft"]
    assert reading.formulas[1].said.remarks == ["1,500 is read as 1500, not as 1.5."]
    without = read(PRICES, "Ingredient|Firm\nShea butter|lots", layouts=side(1))
    assert [(cell, words.partition(".")[0]) for cell, words in sentences(without)] == [("B2", "lots is no amount")]


def test_a_batch_with_two_readings_is_asked_for_by_the_one_choice_that_settles_it() -> None:
    layouts = {0: Layout(FORMULAS, 1, ("ingredient", OF_FORMULA, OF_FORMULA))}
    (asked,) = read("Ingredient|Firm|Soft\nBatch|1,500|\nShea butter|100|100", layouts=layouts).wrong
    assert (asked.cell, asked.choice) == ("B2", "sign")
    assert asked.sentence.startswith("The size of the batch: 1,500 can be read as ")


def test_a_formula_may_be_an_ingredient_of_another_beside_it() -> None:
    reading = read(PRICES, "Ingredient|Base (%)|Balm (%)\nShea butter|40|50\nBeeswax|60|\nBase||50")
    assert reading.good, sentences(reading)
    base = SHEA * F(4, 10) + WAX * F(6, 10)
    assert near(costs(reading)["Balm"], SHEA / 2 + base / 2)
    looped = read(PRICES, "Formula|Shea butter|Base|Balm\nBase|50%||50%\nBalm|50%|50%|")
    assert {cell for cell, _ in sentences(looped)} == {"C1", "D1"}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Ingredient|Firm|firm\nShea butter|100|100", ("C1", "stands here twice")),
        (f"Ingredient|{'x' * 121}|Soft\nShea butter|100|100", ("B1", "120")),
        ("Ingredient|Firm|Soft\nShea butter|100|1,000 mugs", ("C2", "mugs")),
        ("Ingredient|Firm|Soft\nBatch|a lot|2 L\nShea butter|100|100", ("C2", "The size of a batch is a mass")),
    ],
)
def test_what_cannot_be_kept_is_said(text: str, said: tuple[str, str]) -> None:
    reading = read(PRICES, text, layouts=side(2), told=Told(sign="."))
    assert any(cell == said[0] and said[1] in words for cell, words in sentences(reading)), sentences(reading)


def test_a_row_without_a_name_and_an_ingredient_that_cannot_be_kept() -> None:
    layouts = {1: Layout(FORMULAS, 1, ("formula", OF_INGREDIENT, OF_INGREDIENT))}
    reading = read(PRICES, f"Formula|Shea butter|{'x' * 121}\n|100|\nFirm|40|60\nNotes||", layouts=layouts)
    assert [(cell, words.partition(",")[0]) for cell, words in sentences(reading)][1] == ("A2", "Name the formula")
    assert sentences(reading)[0][0] == "C1"
    assert [one.what for one in reading.skipped] == ["no amounts below it"]


@pytest.mark.parametrize(
    ("roles", "field"),
    [
        (("ingredient", OF_FORMULA, OF_INGREDIENT), "sheets-1-columns-2"),
        (("ingredient", OF_FORMULA, "percent"), "sheets-1-columns-2"),
        (("formula", OF_INGREDIENT, "stage"), "sheets-1-columns-2"),
        (("", OF_FORMULA, OF_FORMULA), "sheets-1-columns-0"),
        (("ingredient", OF_FORMULA, "", OF_FORMULA), "sheets-1-columns-3"),
    ],
)
def test_columns_that_do_not_go_together_are_said_at_the_column(roles: tuple[str, ...], field: str) -> None:
    reading = read(PRICES, "Ingredient|Firm|Soft|\nShea butter|100|100|3", layouts={1: Layout(FORMULAS, 1, roles)})
    assert [at for at, _ in reading.faults] == [field]


@pytest.mark.parametrize(
    ("text", "title", "holds", "roles"),
    [
        # sums of 100 tell which way round it is, whatever the corner says
        ("Name|Firm|Soft\nShea|40|70\nWax|60|30", "x", FORMULAS, ("ingredient", OF_FORMULA, OF_FORMULA)),
        ("Name|Shea|Wax|Oil\nFirm|40|60|\nSoft|70|20|10\nDry|10|80|10", "x", FORMULAS,
         ("formula", *(OF_INGREDIENT,) * 3)),
        ("|Firm|Soft\nShea|40|70\nWax|60|30", "x", FORMULAS, ("ingredient", OF_FORMULA, OF_FORMULA)),
        # a price for one kg beside them is that of the ingredient
        ("Ingredient|Price/kg|Firm|Soft\nShea|8|40|70\nWax|9|60|30", "x", FORMULAS,
         ("ingredient", "unit_price", OF_FORMULA, OF_FORMULA)),
        # by its title, though grams come to nothing that is known
        ("Ingredient|Firm|Soft\nShea|400|70\nWax|900|30.5", "Recipes", FORMULAS,
         ("ingredient", OF_FORMULA, OF_FORMULA)),
        # what is no formulas: prices of two shops, stock, a list
        ("Ingredient|Mill|Oil house\nShea|€12|€13\nWax|€9|€8", "x", MATERIALS, ("name", "price", "")),
        ("Ingredient|Pack|Price|Old price\nShea|40|40|50\nWax|60|60|50", "x", MATERIALS, ("name", "pack", "price", "")),
        ("Ingredient|%|g\nShea|40|400\nWax|60|600", "x", FORMULAS, ("ingredient", "percent", "grams")),
    ],
)  # fmt: skip
def test_what_is_guessed(text: str, title: str, holds: str, roles: tuple[str, ...]) -> None:
    found = laid_out(table(text, title))
    assert (found.holds, found.roles) == (holds, roles)


def test_a_person_says_that_a_sheet_holds_formulas_or_where_its_heads_stand() -> None:
    grams = table("Made in May\nIngredient|Firm|Soft\nShea|400|70\nWax|900|30.5", "x")
    roles = ("ingredient", OF_FORMULA, OF_FORMULA)
    assert laid_out_as(grams, FORMULAS) == Layout(FORMULAS, 2, roles)
    assert laid_out_at(grams, FORMULAS, 2) == Layout(FORMULAS, 2, roles)
    assert laid_out_at(grams, FORMULAS, 1).roles == ("",)


def test_a_formula_that_stands_in_two_sheets_is_kept_once_and_said() -> None:
    tables = [table(PRICES), table(DOWN + "\n", "One"), table("Formula|Ingredient|%\nFirm pomade|Beeswax|100", "Two")]
    reading = read_own(EMPTY, tables, Choices())
    assert (
        "A2",
        "Firm pomade stands in an earlier sheet already. Leave one of them out, or call it something else.",
    ) in (sentences(reading))
    made = [one.record.name for one in reading.changes if isinstance(one, Put) and isinstance(one.record, Formula)]
    assert made == ["Firm pomade", "Soft pomade"]
