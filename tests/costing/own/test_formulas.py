"""Formulas in a maker's own sheets, row by row: sizes of batches, stages, units, and what is asked or refused."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.own.test_sheets import LB, PRICES, F, near, read, sentences, table
from webapp.costing.book import Formula, Material
from webapp.costing.changes import Put
from webapp.costing.own.lines import FormulaRows
from webapp.costing.own.reading import OwnReading

D = Decimal
HEADS = "Ingredient|%\n"
LINES = "Shea butter|40\nBeeswax|60"


def rows(reading: OwnReading, place: int = 0) -> FormulaRows:
    return reading.formulas[place].said.rows


def amounts(reading: OwnReading) -> list[tuple[Decimal | None, str]]:
    return [(line.amount, line.unit) for line in rows(reading).lines]


@pytest.mark.parametrize(
    ("text", "batch"),
    [
        (f"{HEADS}Balm\nBatch: 2 kg\n{LINES}", "2000"),
        (f"{HEADS}Balm\nBatch size|2000\n{LINES}", "2000"),
        (f"Ingredient|%|Note\nBalm||500 g\n{LINES}", "500"),
        (f"{HEADS}Balm\nMakes 12 jars\n{LINES}", None),
        ("Formula|Ingredient|%|Batch\nBalm|||1.5 kg\nBalm|Shea butter|40|\nBalm|Beeswax|60|", "1500"),
        (f"Ingredient|%|Batch\nBalm||800\n{LINES}", "800"),
        (f"Ingredient|%|Batch (kg)\nBalm||2\n{LINES}", "2000"),
        # percent and grams beside each other: 80 and 120
        ("Formula|Ingredient|%|g\nBalm|Shea butter|40|80\nBalm|Beeswax|60|120", "200"),
        # of one line nobody says the grams
        ("Formula|Ingredient|%|g\nBalm|Shea butter|40|80\nBalm|Beeswax|60|", None),
    ],
)
def test_the_size_of_a_batch_stands_in_many_places(text: str, batch: str | None) -> None:
    reading = read(PRICES, text)
    assert reading.good, sentences(reading)
    assert (rows(reading).name, rows(reading).batch) == ("Balm", None if batch is None else D(batch))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (f"Ingredient|%|Batch\nBalm||2 L\n{LINES}", "The size of a batch is a mass"),
        (f"Ingredient|%|Batch\nBalm||a lot\n{LINES}", "The size of the batch: "),
        (f"{HEADS}Balm\nPhase A\nShea butter|3 pcs\nBeeswax|60", "write a formula in percent"),
        (
            "Formula|Ingredient|Amount\nBalm|Shea butter|20 g\nBalm|Beeswax|60 %",
            "most amounts are in grams, and this is not",
        ),
        (f"{HEADS}{'x' * 200}\n{LINES}", "200"),
        (f"{HEADS}Balm\n{LINES}\nOil|1", "1 more than 100"),
    ],
)
def test_what_is_wrong_is_said(text: str, words: str) -> None:
    reading = read(PRICES, text)
    assert not reading.good
    assert any(words in said or words.isdigit() for _, said in sentences(reading)), sentences(reading)


def test_a_heading_of_stages_stands_above_their_rows() -> None:
    reading = read(PRICES, f"{HEADS}Balm\nPhase A\nShea butter|40\nCool down\nBeeswax|60")
    assert [(line.ingredient, line.stage) for line in rows(reading).lines] == [
        ("Shea butter", "Phase A"), ("Beeswax", "Cool down"),
    ]  # fmt: skip


def test_an_ingredient_that_nothing_is_called_is_one_new_material_in_all_formulas() -> None:
    reading = read(f"{HEADS}Balm\nMoon oil|40\nShea butter|60\nSalve\nmoon OIL|100")
    assert reading.good, sentences(reading)
    made = [one.record for one in reading.changes if isinstance(one, Put)]
    assert [one.name for one in made if isinstance(one, Material)] == ["Moon oil", "Shea butter"]
    used = [[line.material for line in one.lines] for one in made if isinstance(one, Formula)]
    assert used[1] == used[0][:1]


def test_only_what_is_in_a_loop_is_said_to_contain_itself() -> None:
    """Balm and Salve are in each other; Lotion has Balm in it, and is in neither."""
    heads = "Formula|Ingredient|%\n"
    reading = read(PRICES, f"{heads}Lotion|Balm|100\nBalm|Salve|100\nSalve|Balm|100")
    assert [words for _, words in sentences(reading)] == [
        "Balm would contain itself, by way of Balm and Salve. Correct an ingredient.",
        "Salve would contain itself, by way of Balm and Salve. Correct an ingredient.",
    ]
    assert not [one for one in reading.changes if isinstance(one, Put) and isinstance(one.record, Formula)]


def test_where_a_column_names_the_formula_a_lone_word_is_no_heading_but_a_title_is() -> None:
    heads = "Formula|Ingredient|%\n"
    reading = read(PRICES, f"{heads}Balm|Shea butter|40\n|melt first|\n|Beeswax|60")
    assert not reading.good
    titled = read(PRICES, f"{heads}|Formula: Soft balm|\n|Shea butter|40\n|Beeswax|60")
    assert titled.good, sentences(titled)
    assert rows(titled).name == "Soft balm"


def test_a_material_that_is_known_is_no_heading() -> None:
    """A material's name without an amount is a line that lacks it, not the name of another formula."""
    reading = read(PRICES, f"{HEADS}Balm\nShea butter|\nBeeswax|100")
    assert [words for _, words in sentences(reading)] == ["Say how much of it, or q.s. where it takes the rest."]


def test_a_named_formula_without_rows_of_its_own_yet_waits_for_them() -> None:
    reading = read(
        PRICES, "Formula|Ingredient|%|Note\nBalm|||softer\n|Shea butter|40|\n|Beeswax|60|\n|||\n||| as always"
    )
    assert reading.good, sentences(reading)
    assert (rows(reading).name, len(rows(reading).lines)) == ("Balm", 2)


def test_rows_above_any_name_are_the_sheets_own() -> None:
    reading = read(PRICES, f"{HEADS}{LINES}")
    assert rows(reading).name == "Sheet 2"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Formula|Ingredient|Amount\nBalm|Shea butter|40 %\nBalm|Beeswax|60%", [("40", "percent"), ("60", "percent")]),
        ("Formula|Ingredient|Amount|Unit\nBalm|Shea butter|40|g\nBalm|Beeswax|2|drops", [("40", "g"), ("2", "drops")]),
        ("Formula|Ingredient|Amount (kg)\nBalm|Shea butter|0.4\nBalm|Beeswax|0.6", [("400", "g"), ("600", "g")]),
        ("Formula|Ingredient|Amount\nBalm|Shea butter|0.5 L\nBalm|Beeswax|20 ml", [("500", "mL"), ("20", "mL")]),
        ("Formula|Ingredient|Parts\nBalm|Shea butter|3\nBalm|Beeswax|q.s.", [("3", "part"), (None, "percent")]),
        ("Formula|Ingredient|Amount\nBalm|Shea butter|60\nBalm|Beeswax|q.s.", [("60", "percent"), (None, "percent")]),
        # shares of one that are to be a percent, with a line that takes the rest, stay as they are
        ("Formula|Ingredient|%\nBalm|Shea butter|0.96\nBalm|Beeswax|q.s.", [("0.96", "percent"), (None, "percent")]),
        # a sign of percent says that one is one percent
        (
            "Formula|Ingredient|Amount\nBalm|Shea butter|0.96%\nBalm|Beeswax|q.s.",
            [("0.96", "percent"), (None, "percent")],
        ),
        (
            "Formula|Ingredient|Amount\nBalm|Shea butter|0.4\nBalm|Beeswax|0.6",
            [("40.0", "percent"), ("60.0", "percent")],
        ),
    ],
)
def test_amounts_with_the_unit_that_stands_nearest(text: str, expected: list[tuple[str | None, str]]) -> None:
    assert amounts(read(PRICES, text)) == [(None if one is None else D(one), unit) for one, unit in expected]


def test_an_amount_that_is_cut_to_six_places_or_could_be_read_otherwise_says_so() -> None:
    reading = read(PRICES, "Ingredient|g\nShea butter|1,234\nBeeswax|0.12345678\nJojoba|1.5")
    assert rows(reading).remarks != []


def test_the_names_of_a_title_above_the_heads_are_read_without_their_word() -> None:
    assert rows(read(PRICES, f"Recipe: Soft balm\n{HEADS}{LINES}")).name == "Soft balm"
    assert rows(read(PRICES, f"Soft balm|2026\n{HEADS}{LINES}")).name == "Sheet 2"
    assert table("a|b").width == 2


def test_what_a_spreadsheet_lost_in_its_last_digits_is_made_up_for_in_the_largest() -> None:
    """33.33 + 33.33 + 33.3399 = 99.9999: the last one is read as 33.34. A hundredth is no such loss."""
    reading = read(PRICES, f"{HEADS}Shea butter|33.33\nBeeswax|33.33\nOil|33.3399")
    assert [line.amount for line in rows(reading).lines] == [D("33.33"), D("33.33"), D("33.34")]
    assert rows(reading).remarks == ["Oil is read as 33.34 %, so that the lines add up to 100."]
    edge = read(PRICES, f"{HEADS}Shea butter|33.33\nBeeswax|33.33\nOil|33.339")  # a thousandth away, and a little more
    assert rows(edge).lines[2].amount == D("33.34")
    beyond = read(PRICES, f"{HEADS}Shea butter|33.33\nBeeswax|33.33\nOil|33.3389")
    assert any("0.0011 short of 100" in said for _, said in sentences(beyond))
    assert any("0.02 short of 100" in said for _, said in sentences(read(PRICES, f"{HEADS}Shea butter|40\nOil|59.98")))


def test_a_batch_above_the_heads_is_none_of_them() -> None:
    """500 g at 41 / 5000 a gram and 500 g at 9 / lb, per gram."""
    reading = read(PRICES, "Balm||\nMakes|1000|g\n||\nIngredient|Grams|Method\nShea butter|500|melt\nBeeswax|500|")
    assert reading.good, sentences(reading)
    assert reading.layouts[1].heads == 4
    (balm,) = reading.formulas
    assert near(balm.cost, F(41, 5000) / 2 + F(9) / LB / 2)


def test_notes_below_a_formula_are_passed_over_and_no_formulas() -> None:
    text = "Balm\nIngredient|%\nShea butter|40\nBeeswax|60\nTotal|100\n\nMethod\nMelt slowly\n\nKeeps six months"
    reading = read(PRICES, text)
    assert reading.good, sentences(reading)
    assert [one.said.rows.name for one in reading.formulas] == ["Balm"]
    assert [(one.row, one.what) for one in reading.skipped][1:] == [(7, "a note"), (8, "a note"), (10, "a note")]


def test_a_name_without_lines_above_all_formulas_is_asked_and_so_is_one_where_there_is_no_formula() -> None:
    reading = read(PRICES, "Formula|Ingredient|%\nSalve||\nBalm|Shea butter|40\nBalm|Beeswax|60")
    assert [cell for cell, _ in sentences(reading)] == ["A2"]


def test_a_formula_in_which_another_waits_for_a_price_waits_too() -> None:
    prices = "Ingredient|Pack|Price\nWater|1 gal|2\nShea butter|1 kg|12"
    lines = "Base|Water|100\nCream|Base|50\nCream|Shea butter|50\nBalm|Shea butter|100"
    reading = read(prices, f"Formula|Ingredient|%\n{lines}")
    assert [one.choice for one in reading.wrong] == ["system"]
    base, cream, balm = (one.cost for one in reading.formulas)
    assert (base, cream) == (None, None)
    assert near(balm, F(12, 1000))


def test_a_batch_that_was_said_for_all_is_that_of_a_formula_that_says_none() -> None:
    lines = "Balm|Shea butter|100|2 kg\nWax|Beeswax|100|"
    reading = read(PRICES, f"Formula|Ingredient|%|Batch\n{lines}", batch=Decimal(1000))
    assert [one.said.batch for one in reading.formulas] == [Decimal(2000), Decimal(1000)]
