"""Several lines of words above a formula: which is its name. Expected costs are worked out in fractions."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from tests.costing.own.test_sheets import EMPTY, near, sentences, table
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.rows import LEFT_OUT
from webapp.costing.own.sheets import read_own
from webapp.costing.own.title_lines import FIRST, LAST, says_jar
from webapp.costing.own.told import OfSheet

F, D = Fraction, Decimal
PRICES = "Item | Pack | Price\nShea butter | 1 kg | 10\nCoconut oil | 1 kg | 6"
HEADED = (
    "Balm\n{}\nIngredient | g\nShea butter | 60\nCoconut oil | 40\nTotal | 100\n\n"
    "Mask\n{}\nIngredient | g\nShea butter | 30\nCoconut oil | 170\nTotal | 200"
)
BARE = "Balm\n{}\nShea butter | 60\nCoconut oil | 40\nTotal | 100\n\nMask\n{}\nShea butter | 15\nCoconut oil | 85"
#: at 10 and 6 for 1000 g
BALM, MASK = F(60 * 10 + 40 * 6, 100_000), F(30 * 10 + 170 * 6, 200_000)


def read(*texts: str, title: str = "Recipes", **choices: Any) -> OwnReading:
    return read_own(EMPTY, [table(texts[0]), table(texts[1], title)], Choices(**choices))


def named(reading: OwnReading) -> list[str]:
    return [one.said.rows.name for one in reading.formulas]


def both(reading: OwnReading, *notes: str) -> None:
    assert reading.good, sentences(reading)
    assert named(reading) == ["Balm", "Mask"]
    balm, mask = reading.formulas
    assert near(balm.cost, BALM)
    assert near(mask.cost, MASK)
    said = [remark for one in reading.formulas for remark in one.said.remarks]
    assert said == [f"Read as a note: {one}." for one in notes]


@pytest.mark.parametrize("text", [HEADED, BARE])
@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("100ml jar", "100ml jar"),
        ("100ml amber jar, makes 20", "60ml tin"),
        ("for 12 jars", "in 250 ml bottles"),
        ("melt gently", "whisk until smooth"),
        ("glass jar", "50 g size"),
        ("all natural", "all natural"),
        ("Code: B12", "Code: M3"),
    ],
)
def test_a_jar_what_to_do_or_what_stands_again_below_a_title_is_a_note(text: str, first: str, second: str) -> None:
    """The line right above the heads was the name before: two formulas for one jar were joined."""
    both(read(PRICES, text.format(first, second)), first, second)


@pytest.mark.parametrize("text", [HEADED, BARE])
def test_where_two_lines_may_be_the_name_it_is_asked_once_for_the_sheet(text: str) -> None:
    reading = read(PRICES, text.format("rich", "light"))
    assert not reading.good
    assert {one.choice for one in reading.wrong} == {"sheets-1-titles"}
    said = "Is “Balm” the name of a formula, or “rich”? Choose which line is; the other is a note."
    assert reading.wrong[0].sentence.endswith(said)
    both(read(PRICES, text.format("rich", "light"), of_sheets={1: OfSheet(titles=FIRST)}), "rich", "light")
    last = read(PRICES, text.format("rich", "light"), of_sheets={1: OfSheet(titles=LAST)})
    assert last.good
    assert named(last) == ["rich", "light"]


@pytest.mark.parametrize("text", [HEADED, BARE])
@pytest.mark.parametrize(("row", "name"), [(0, "light"), (1, "Mask")])
def test_a_line_that_is_left_out_is_no_name_and_the_formula_stays(text: str, row: int, name: str) -> None:
    """Its lines vanished before, without a word."""
    at = (8 if text is HEADED else 7) + row
    reading = read(PRICES, text.format("100 g size", "light"), left_out=frozenset({f"s1_r{at}"}))
    assert reading.good, sentences(reading)
    assert named(reading) == ["Balm", name]
    assert near(reading.formulas[1].cost, MASK)


def test_a_note_that_is_left_out_takes_nothing_with_it() -> None:
    reading = read(PRICES, HEADED.format("100ml jar", "100ml jar"), left_out=frozenset({"s1_r2", "s1_r9"}))
    assert named(reading) == ["Balm", "Mask"]
    assert near(reading.formulas[1].cost, MASK)


def test_where_all_its_lines_are_left_out_a_formula_goes_and_that_is_said() -> None:
    reading = read(PRICES, HEADED.format("100ml jar", "100ml jar"), left_out=frozenset({"s1_r8", "s1_r9"}))
    assert reading.good
    assert named(reading) == ["Balm"]
    assert near(reading.formulas[0].cost, BALM)
    assert [one.row for one in reading.skipped if one.what == LEFT_OUT] == [9]


CARD = "Ingredient | g\nShea butter | 60\nCoconut oil | 40\nTotal | 100"


@pytest.mark.parametrize(
    "above",
    [
        "Soft balm\n100ml jar\n",
        "Soft balm\n\n100ml jar\n",
        "100ml jar\nSoft balm\n",
        "RECIPES (all by weight)\nSoft balm\n",
        "Recipe: Soft balm\nsmooth and light\n",
        "Soft balm\nmakes 20 x 100ml\n",
        "Salt hair\n\nSoft balm\nmelt gently\n",
    ],
)
def test_one_formula_on_a_sheet_is_called_by_its_title(above: str) -> None:
    reading = read(PRICES, above + CARD)
    assert reading.good, sentences(reading)
    assert named(reading) == ["Soft balm"]
    assert near(reading.formulas[0].cost, BALM)


def test_what_a_sheet_is_called_tells_the_name() -> None:
    reading = read(PRICES, f"Soft balm\nsmooth and light\n{CARD}", title="Soft balm")
    assert reading.good
    assert named(reading) == ["Soft balm"]


@pytest.mark.parametrize("text", ["100ml amber jar", "for 12 jars", "in a 60ml tin", "12 x 60 ml tins", "100 g size"])
def test_words_that_say_a_jar(text: str) -> None:
    assert says_jar(text)


@pytest.mark.parametrize("text", ["Balm in a jar", "60ml tin rescue balm", "Travel tin", "Balm, 100ml jar"])
def test_a_name_with_a_jar_in_it_may_be_one(text: str) -> None:
    assert not says_jar(text)
