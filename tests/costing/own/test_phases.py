"""Phases of formulas that have heads of their own, and sentences above heads. Figures from paper.

Prices are for one kg: of 1000 g of leave-in milk 930 are water at 0.50, 20 castor oil at 8, 40 BTMS at 30 and 10
preservative at 40: 0.465 + 0.16 + 1.2 + 0.4 = 2.225.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, sentences, table
from tests.costing.own.test_title_lines import read as read_named
from webapp.costing.own.columns import FORMULAS, Layout
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.told import OfSheet

F = Fraction
PRICES = """
Item | €/kg
Shea butter | 10
Mango butter | 20
Castor oil | 8
Sunflower oil | 4
Distilled water | 0.50
BTMS | 30
Preservative | 40
Lavender EO | 120
"""
MILK, KILO = F("2.225"), 1000
#: 930 of water, 40 of BTMS, 10 of preservative and 20 of lavender: 0.465 + 1.2 + 0.4 + 2.4
SCENTED = F("4.465")
#: 930 of water and 40 of BTMS: 0.465 + 1.2 in 970
PLAIN = F("1.665") / F("0.97")
#: 10 of preservative and 20 of lavender: 0.4 + 2.4 in 30
LAST = F("2.8") / F("0.03")
WATER, OILS, LATE = "Water phase|g\nDistilled water|930\nCastor oil|20", "Oil phase|g\nBTMS|40", "Cool down|g"
WHOLE = f"{WATER}\n{OILS}\n{LATE}\nPreservative|10"
COSTS = """Leave-in milk
Water phase|g|Cost
Distilled water|930|0.46
Castor oil|20|0.16
Oil phase|g|Cost
BTMS|40|1.20
Cool down|g|Cost
Preservative|10|0.40"""
BOTH = """Leave-in milk
Water phase|%|g
Distilled water|93|930
Castor oil|2|20
Oil phase|%|g
BTMS|4|40
Cool down|%|g
Preservative|1|10
Total|100|1000"""
POUR = "Pour water into oil, stir until 40 \u00b0C."
HALVES = "Ingredient|g\nDistilled water|930\nBTMS|40\n{}\nIngredient|g\nPreservative|10\nLavender EO|20"


def read(text: str, title: str = "Recipes", **choices: object) -> OwnReading:
    return read_named(PRICES, text, title=title, **choices)


def come_to(reading: OwnReading, expected: dict[str, Fraction]) -> None:
    assert reading.good, (reading.faults, sentences(reading))
    assert [one.said.rows.name for one in reading.formulas] == [*expected]
    for name, one in expected.items():
        assert near(costs(reading)[name], one / KILO), (name, costs(reading)[name])


def stages(reading: OwnReading) -> list[list[str]]:
    return [[line.stage for line in one.said.rows.lines] for one in reading.formulas]


def passed(reading: OwnReading) -> list[tuple[int, str]]:
    return [(one.row, one.what) for one in reading.skipped]


@pytest.mark.parametrize(
    "text",
    [
        f"Leave-in milk\n{WHOLE}\nTotal|1000",
        f"Leave-in milk\n{WHOLE}",
        f"Leave-in milk\n{WATER}\n\n{OILS}\n\n{LATE}\nPreservative|10\n\nTotal|1000",
        f"Leave-in milk\n{WATER}\nTotal|950\n{OILS}\nTotal|40\n{LATE}\nPreservative|10\nTotal|10",
        f"Leave-in milk\nIngredient|g\n{WHOLE}",
        f"Leave-in milk\n{WATER}\nOil phase\nBTMS|40\nCool down\nPreservative|10\nTotal|1000",
        COSTS,
        BOTH,
    ],
)
def test_a_phase_with_heads_of_its_own_is_no_formula(text: str) -> None:
    """It was one each, silently; with percent beside grams each was wrong in all of its lines."""
    reading = read(text)
    come_to(reading, {"Leave-in milk": MILK})
    assert stages(reading) == [["Water phase", "Water phase", "Oil phase", "Cool down"]]
    assert reading.formulas[0].said.rows.remarks == []


def test_each_formula_of_a_sheet_has_its_own_phases() -> None:
    """With sunflower oil at 4 in place of castor oil: 2.225 - 0.08."""
    other = WHOLE.replace("Castor", "Sunflower")
    for between in ("\nTotal|1000\n\n", "\n\n", "\n"):
        reading = read(f"Leave-in milk\n{WHOLE}{between}Curl milk\n{other}")
        come_to(reading, {"Leave-in milk": MILK, "Curl milk": F("2.145")})


def test_a_phase_that_comes_again_may_be_that_of_another_formula() -> None:
    """Nothing names a second one, and both weights are totals: they were "Oil phase" and its like before."""
    text = "Water phase|g\nDistilled water|930\nOil phase|g\nBTMS|40\nTotal|970\n\nWater phase|g\nSunflower oil|20"
    reading = read(text)
    said = "Recipes: Water phase stands above and below this row. Does a formula begin here?"
    assert [(cell, words[: len(said)]) for cell, words in sentences(reading)] == [("A6", said)]
    # 930 of water, 40 of BTMS and 20 of sunflower oil: 0.465 + 1.2 + 0.08 in 990
    come_to(read(text, left_out=frozenset({"s1_r6"})), {"Recipes": F("1.745") / F("0.99")})
    come_to(read(f"{text}\nTotal|990", left_out=frozenset({"s1_r5"})), {"Recipes": F("1.745") / F("0.99")})


def test_a_phase_that_is_left_out_leaves_its_lines() -> None:
    reading = read(f"Leave-in milk\n{WHOLE}", left_out=frozenset({"s1_r5"}))
    come_to(reading, {"Leave-in milk": MILK})
    assert stages(reading) == [["Water phase", "Water phase", "Water phase", "Cool down"]]


def test_other_words_among_heads_are_a_phase_where_the_total_is_that_of_all() -> None:
    """930 at 0.50 and 70 at 30: 0.465 + 2.1. Without it, or with a total of its own, they name a formula."""
    text = "Milk\nIngredient|g\nDistilled water|930\nTo melt|g\nBTMS|70"
    come_to(read(f"{text}\nTotal|1000"), {"Milk": F("2.565")})
    come_to(read(f"{text}\n\nTotal|1000"), {"Milk": F("2.565")})
    for apart in (text, f"{text}\nTotal|70"):
        come_to(read(apart), {"Milk": F("0.5"), "To melt": F(30)})
    come_to(read(text.replace("Milk\nIngredient|g", "Milk|g")), {"Milk": F("0.5"), "To melt": F(30)})
    come_to(read("Ingredient|g\nTo melt|g\nBTMS|70", "Milk"), {"To melt": F(30)})


def test_several_ingredients_are_a_phase_below_what_is_not_whole_yet() -> None:
    """80 of shea at 10 and 20 of castor oil at 8; 60 and 40 of butters at 10 and 20 are a whole, so are the oils."""
    one = "Balm\nButters|%\nShea butter|80\nOils|%\nCastor oil|20"
    reading = read(one)
    come_to(reading, {"Balm": F("9.6")})
    assert stages(reading) == [["Butters", "Oils"]]
    several = "Balm|%\nShea butter|60\nMango butter|40\nOils|%\nCastor oil|50\nSunflower oil|50"
    come_to(read(several), {"Balm": F(14), "Oils": F(6)})
    come_to(read("Oils|%\nCastor oil|50\nSunflower oil|50"), {"Oils": F(6)})


@pytest.mark.parametrize("words", [POUR, "Melt gently and cool.", "stir slowly"])
def test_a_sentence_above_heads_once_more_names_no_formula_where_the_total_is_that_of_all(words: str) -> None:
    reading = read(f"Leave-in milk\n{HALVES.format(words)}\nTotal|1000")
    come_to(reading, {"Leave-in milk": SCENTED})
    assert passed(reading) == [(5, "a note"), (6, "heads once more"), (9, "a total")]


def test_a_gap_round_a_sentence_does_not_make_it_a_name() -> None:
    text = HALVES.format(f"\n{POUR}\n")
    come_to(read(f"Leave-in milk\n{text}\nTotal|1000"), {"Leave-in milk": SCENTED})


def test_without_a_total_it_is_asked_whether_a_formula_begins_at_the_heads() -> None:
    text = f"Leave-in milk\n{HALVES.format(POUR)}"
    reading = read(text)
    assert [cell for cell, _ in sentences(reading)] == ["A6"]
    come_to(read(text, left_out=frozenset({"s1_r6"})), {"Leave-in milk": SCENTED})


def test_words_above_heads_that_may_be_a_step_are_asked_once() -> None:
    text = f"Leave-in milk\n{HALVES.format('stir slowly')}"
    asked = read(text)
    assert [(one.cell, one.choice) for one in asked.wrong] == [("A5", "sheets-1-method")]
    named = read(text, of_sheets={1: OfSheet(method="names")})
    come_to(named, {"Leave-in milk": PLAIN, "stir slowly": LAST})
    note = read(text, of_sheets={1: OfSheet(method="note")}, left_out=frozenset({"s1_r6"}))
    come_to(note, {"Leave-in milk": SCENTED})
    titled = read(text.replace("stir slowly", "Soft Milk"), of_sheets={1: OfSheet(method="note")})
    come_to(titled, {"Leave-in milk": PLAIN, "Soft Milk": LAST})


def test_a_sentence_right_below_heads_is_a_note_too() -> None:
    water = "Leave-in milk\nWater phase|g\nMelt, stir and pour.\nDistilled water|930"
    reading = read(f"{water}\nOil phase|g\nBring it to a boil.\nBTMS|40")
    come_to(reading, {"Leave-in milk": PLAIN})
    assert passed(reading) == [(3, "a note"), (6, "a note")]


def test_a_sentence_alone_above_the_first_heads_is_no_name() -> None:
    come_to(
        read("Weigh everything first, slowly.\nIngredient|g\nDistilled water|930\nBTMS|40", "Milk"), {"Milk": PLAIN}
    )


def test_two_sentences_do_not_hide_the_total() -> None:
    """They were lines of words above a total that was taken for none."""
    text = "Leave-in milk\nIngredient|g\nDistilled water|930\nBTMS|40\nStir it\nSoft\nPreservative|10\nLavender EO|20"
    reading = read(f"{text}\nTotal|1000")
    come_to(reading, {"Leave-in milk": SCENTED})


def test_a_column_of_formulas_begins_with_its_own_names() -> None:
    rows = "Formula|Ingredient|g\nBalm|Shea butter|60\n|Mango butter|40"
    layout = Layout(FORMULAS, 2, ("formula", "ingredient", "grams"))
    assert table(f"Mine\n{rows}").rows[1][0] == "Formula"
    come_to(read(f"Mine\n{rows}", layouts={1: layout}), {"Balm": F(14)})


def test_heads_of_a_phase_may_say_no_unit() -> None:
    """930 at 0.50, 20 at 8 and 50 at 30 of 1000; an "Amount" beside the first was no head."""
    text = "Water phase|Amount\nDistilled water|930 g\nCastor oil|20 g\nOil phase|Amount\nBTMS|50 g"
    reading = read(f"Leave-in milk\n{text}")
    come_to(reading, {"Leave-in milk": F("2.125")})
    assert stages(reading) == [["Water phase", "Water phase", "Oil phase"]]
    # a stage alone in its row, or beside a price, has no heads
    plain = text.replace("Oil phase|Amount", "Oil phase")
    come_to(read(f"Leave-in milk\n{plain}"), {"Leave-in milk": F("2.125")})


def test_a_total_of_several_formulas_makes_none_of_them_a_phase() -> None:
    """60 and 40 of butters at 10 and 20; halves of water at 0.50 and BTMS at 30."""
    balm, milk = "Shea butter|60\nMango butter|40", "Distilled water|50\nBTMS|50"
    two = {"Balm": F(14), "Milk": F("15.25")}
    come_to(read(f"Balm|g\n{balm}\n\nMilk|g\n{milk}\n\nGrand total|200"), two)
    come_to(read(f"Balm\nIngredient|g\n{balm}\nMilk\nIngredient|g\n{milk}\nGrand total|200"), two)
    # a name below a gap and above heads is one, though a plain total is that of both
    come_to(read(f"Balm\nIngredient|g\n{balm}\n\nMilk\nIngredient|g\n{milk}\n\nTotal|200"), two)
    nameless = read(f"Ingredient|g\n{balm}\nTotal|100\n\nIngredient|g\n{milk}\nTotal|100\n\nGrand total|200")
    assert [cell for cell, _ in sentences(nameless)] == ["A5"]
    without = read(f"Ingredient|g\n{balm}\n\nIngredient|g\n{milk}\n\nGrand total|200")
    assert [cell for cell, _ in sentences(without)] == ["A4"]
    come_to(read(f"Mine\nIngredient|g\n{balm}\n\nIngredient|g\n{milk}\n\nTotal|200"), {"Mine": F("14.625")})


@pytest.mark.parametrize(
    "title", ["Leave-in for 4C hair", "Heat Protect Spray 230C", "Shake & Go Curl Refresher For Kids"]
)
def test_a_title_that_begins_as_a_step_does_is_a_title(title: str) -> None:
    """They begin with what is done, and 4C is no warmth. 10 and 20 in halves; water and BTMS in halves."""
    first = "Balm\nIngredient|g\nShea butter|50\nMango butter|50"
    come_to(read(f"{first}\n\n{title}\nIngredient|g\nDistilled water|50\nBTMS|50"), {"Balm": F(15), title: F("15.25")})
    come_to(read(f"{title}\nIngredient|g\nDistilled water|50\nBTMS|50"), {title: F("15.25")})


@pytest.mark.parametrize("text", ["Heat to 70 \u00b0C", "Leave for 5 min", "Leave in the mould for 5 min"])
def test_what_is_done_is_no_title_above_heads(text: str) -> None:
    come_to(read(f"Leave-in milk\n{HALVES.format(text)}\nTotal|1000"), {"Leave-in milk": SCENTED})
    assert [cell for cell, _ in sentences(read(f"Leave-in milk\n{HALVES.format(text)}"))] == ["A6"]


@pytest.mark.parametrize("title", ["Cream for 4C hair", "Cream for 3b-4c curls", "Cream for 4a/4b"])
def test_a_sort_of_hair_in_a_title_is_no_batch(title: str) -> None:
    """Both were called Cream."""
    two = "Cream for 2b hair\nIngredient|g\nShea butter|50\nMango butter|50"
    come_to(
        read(f"{two}\n\n{title}\nIngredient|g\nDistilled water|50\nBTMS|50"),
        {"Cream for 2b hair": F(15), title: F("15.25")},
    )
