"""Totals below weights that are not their sum: said at the formula. The sums are added up beside each case."""

from __future__ import annotations

import pytest

from tests.costing.own.test_sheets import PRICES, read, sentences
from webapp.costing.own.columns import FORMULAS, OF_FORMULA, Layout
from webapp.costing.own.reading import OwnReading

ALL = f"{PRICES}\nOil | 1 kg | 8"
BALM = "Balm\nIngredient | {}\nShea butter | {}\nOil | {}\nBeeswax | {}\n"
GRAMS = BALM.format("g", 600, 300, 100)
BOTH = "Balm\nIngredient | % | g\nShea butter | 60 | 600\nOil | 30 | 300\nBeeswax | 10 | 100\n"


def totals(reading: OwnReading, at: int = 0) -> list[str]:
    assert reading.good, sentences(reading)
    return [one for one in reading.formulas[at].said.rows.remarks if "in all" in one]


def says(row: int, total: str, lines: str) -> list[str]:
    return [f"Row {row} says {total} in all, and the lines above come to {lines}: the lines count."]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (f"{GRAMS}Total | 900", says(6, "900 g", "1000 g")),
        (f"{GRAMS}Total weight | 900", says(6, "900 g", "1000 g")),
        (f"{GRAMS}Total (g) | 400", says(6, "400 g", "1000 g")),  # 300 and 100: nothing parts them from 600
        (f"{GRAMS}Total | 0.9 kg", says(6, "0.9 kg", "1 kg")),
        (f"{GRAMS}Total | 1000", []),
        (f"{GRAMS}Total | 1 kg", []),
        (f"{GRAMS}Total | 1002", []),  # four whole numbers may be two away
        (f"{GRAMS}Total | 1003", says(6, "1003 g", "1000 g")),
        (f"{BOTH}Total | 100 | 900", says(6, "900 g", "1000 g")),
        (f"{BOTH}Total | 100 | 1000", []),
        (f"{BOTH}Total | 100", []),
        (BALM.format("kg", "0.6", "0.3", "0.1") + "Total | 0.7", says(6, "0.7 kg", "1 kg")),
        # a total and three lines in tenths may be 0.2 away in all
        (BALM.format("kg", "0.6", "0.3", "0.1") + "Total | 0.8", []),
        # parts are no weights
        (BALM.format("parts", 6, 3, 1) + "Total | 14", []),
        (BALM.format("Amount", "600 g", "300 g", "100 g") + "Total | 900", says(6, "900 g", "1000 g")),
        # what is in no unit, in ounces and grams, or unread is no sum
        (BALM.format("Amount", "60 g", "3 oz", "100 g") + "Total | 900", []),
        (BALM.format("Amount", "600 g", "30 drops", "100 g") + "Total | 900", []),
        (BALM.format("Amount", "60 %", "30 %", "10 %") + "Total | 90", []),
        (f"{GRAMS}Total | n/a", []),
        # what says other things in all
        (f"{GRAMS}Total cost | 9", []),
        (f"{GRAMS}Total jars | 9", []),
        (f"{GRAMS}Subtotal | 9", []),
        (f"{GRAMS}Total | 1000\nPackaging cost | 3\nTotal | 9", []),
        # of a part
        ("Balm\nIngredient | g\nShea butter | 600\nSubtotal | 600\nOil | 300\nBeeswax | 100\nTotal | 400", []),
        ("Balm\nIngredient | g\nPhase A\nShea butter | 600\nPhase B\nOil | 300\nBeeswax | 100\nTotal | 400", []),
    ],
)
def test_a_total_below_a_list_is_compared_with_its_weights(text: str, said: list[str]) -> None:
    assert totals(read(ALL, text)) == said


def test_where_amounts_are_wrong_their_total_waits() -> None:
    """With 300 in words, 700 are left of which nothing can be said."""
    for text in (GRAMS.replace("300", "some"), f"{GRAMS}Oil, more | lots"):
        reading = read(ALL, f"{text}\nTotal | 900")
        assert not reading.good
        assert not [one for one in reading.formulas[0].said.rows.remarks if "in all" in one]


def test_bare_amounts_are_in_what_was_said_of_them() -> None:
    text = BALM.format("Amount", 600, 300, 100)
    assert totals(read(ALL, f"{text}Total | 900 g", amounts="grams")) == says(6, "900 g", "1000 g")


SIDES = "Ingredient | Firm | | Soft |\n | % | g | % | g\n{}Shea butter | 60 | 600 | 50 | 50\nOil | 40 | 400 | 50 | 50\n"
LAYOUT = Layout(FORMULAS, 1, ("ingredient", *(OF_FORMULA,) * 4))


@pytest.mark.parametrize(
    ("total", "firm", "soft"),
    [
        ("Total | 100 | 900 | 100 | 100", says(5, "900 g", "1000 g"), []),
        ("Total | 100 | 1000 | 100 | 90", [], says(5, "90 g", "100 g")),
        ("Total | 100 | 1000 | 100 |", [], []),
    ],
)
def test_side_by_side_each_total_is_compared_in_its_column(total: str, firm: list[str], soft: list[str]) -> None:
    reading = read(ALL, SIDES.format("") + total, layouts={1: LAYOUT})
    assert [totals(reading, at) for at in (0, 1)] == [firm, soft]


def test_side_by_side_a_part_has_a_total_of_its_own_and_what_is_wrong_has_none() -> None:
    parts = (
        "Shea butter | 60 | 600 | 50 | 50\nTotal | 60 | 600 | 50 | 50\nOil | 40 | 400 | 50 | 50\nTotal | | 400 | | 90"
    )
    heads = SIDES.partition("{}")[0]
    reading = read(ALL, heads + parts, layouts={1: LAYOUT})
    assert [totals(reading, at) for at in (0, 1)] == [[], says(6, "90 g", "100 g")]
    wrong = read(ALL, SIDES.format("").replace("| 400", "| x") + "Total | 100 | 900 | 100 | 100", layouts={1: LAYOUT})
    assert not wrong.good
    assert not [one for one in wrong.formulas[0].said.rows.remarks if "in all" in one]


def test_a_weight_in_two_parts_is_compared_as_one() -> None:
    """2 lb 8 oz and 1 lb 8 oz are 4 lb, 64 oz; 3 lb 8 oz are 56 oz."""
    heads = "Ingredient | Firm | | Soft |\n | lb | oz | lb | oz\n"
    rows = "Shea butter | 2 | 8 | 1 | 0\nOil | 1 | 8 | 1 | 4\n"
    reading = read(ALL, f"{heads}{rows}Total | 3 | 8 | 2 | 4", layouts={1: LAYOUT})
    assert [totals(reading, at) for at in (0, 1)] == [says(5, "56 oz", "64 oz"), []]
    listed = "Balm\nIngredient | Weight (lb) | Weight (oz)\nShea butter | 2 | 8\nOil | 1 | 8\nTotal | 3 | 8"
    assert totals(read(ALL, listed)) == says(5, "56 oz", "64 oz")
