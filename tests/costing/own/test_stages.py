"""Stages of formulas: rows of words, or with what their lines come to, under the heads and under the formula's name.

Expected costs are worked out here in fractions of what is written.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences, table
from webapp.costing.own.columns import FORMULAS
from webapp.costing.own.layouts import laid_out_as
from webapp.costing.own.lines import STAGE
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.stages import is_group

F = Fraction
PRICES = "Ingredient|Pack|Price\nShea butter|1 kg|8\nOlive oil|1 kg|6\nBeeswax|1 kg|10\nPhase|1 kg|20"
BALM = F(8, 1000) * F(60, 100) + F(6, 1000) * F(20, 100) + F(10, 1000) * F(20, 100)


def stages(reading: OwnReading) -> dict[str, list[str]]:
    return {one.said.rows.name: [line.stage for line in one.said.rows.lines] for one in reading.formulas}


@pytest.mark.parametrize("unit", ["%", "g"])
@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("Oil phase", "Phase B"),
        ("Oil phase (heat to 70)", "Wax phase: last"),
        ("\u00d6lphase", "Phase aqueuse"),
        ("Oil phase A", "Oil phase B2"),
        ("Oils & butters", "Waxes"),
        ("Active ingredients", "Cool down"),
        ("Phase A|80", "Phase B|20"),
        ("Oil phase|80", "Wax phase"),
        ("Oil phase|80.0004", "Wax phase|20"),
    ],
)
def test_stages_under_the_heads_keep_the_name_above_them(unit: str, first: str, second: str) -> None:
    """60, 20 and 20 of 100; what stands beside a stage is no ingredient."""
    text = f"Balm\nIngredient|{unit}\n{first}\nShea butter|60\nOlive oil|20\n{second}\nBeeswax|20"
    reading = read(PRICES, f"{text}\n\n{text.replace('Balm', 'Soft')}")
    assert reading.good, (reading.faults, sentences(reading))
    one, other = first.partition("|")[0], second.partition("|")[0]
    assert stages(reading) == {"Balm": [one, one, other], "Soft": [one, one, other]}
    assert near(costs(reading)["Balm"], BALM)
    assert near(costs(reading)["Soft"], BALM)


@pytest.mark.parametrize(
    "text",
    [
        "Formula|Ingredient|%\nBalm|Oil phase|\n|Shea butter|60\n|Olive oil|20\n|Wax phase|\n|Beeswax|20",
        "Formula|Ingredient|%\nBalm|Oil phase|80\n|Shea butter|60\n|Olive oil|20\n|Wax phase|20\n|Beeswax|20",
        "Formula|Ingredient|%\nBalm|Oil phase|80\nBalm|Shea butter|60\nBalm|Olive oil|20\nBalm|Beeswax|20",
    ],
)
def test_a_stage_beside_the_name_of_its_formula_is_no_line(text: str) -> None:
    reading = read(PRICES, text)
    if "Balm|Olive" not in text:
        assert reading.good, sentences(reading)
        assert stages(reading) == {"Balm": ["Oil phase", "Oil phase", "Wax phase"]}
        assert near(costs(reading)["Balm"], BALM)
    else:  # the wax is of no stage of its own
        assert [cell for cell, _ in sentences(reading)] == ["C2"]


def test_without_a_name_above_it_is_that_of_the_sheet() -> None:
    reading = read(PRICES, "Ingredient|%\nOil phase|80\nShea butter|60\nOlive oil|20\nWaxes\nBeeswax|20")
    assert stages(reading) == {"Sheet 2": ["Oil phase", "Oil phase", "Waxes"]}
    assert near(costs(reading)["Sheet 2"], BALM)


def test_an_amount_beside_a_stage_that_its_lines_do_not_come_to_is_asked() -> None:
    """In grams "Oil phase | 90" was an ingredient of 90 g before."""
    text = "Balm\nIngredient|g\nOil phase|90\nShea butter|60\nOlive oil|20\nSubtotal|80\nWax phase|q.s.\nBeeswax|20"
    reading = read(PRICES, text)
    words = "Oil phase: 90 stands here, and the lines below it come to 80. Correct one of them, or leave this row out."
    assert sentences(reading)[0] == ("B3", words)
    assert [cell for cell, _ in sentences(reading)] == ["B3", "B7"]
    mended = read(PRICES, text, fixes={"s1_r3_c1": "80", "s1_r7_c1": "20"})
    assert mended.good, sentences(mended)
    assert near(costs(mended)["Balm"], BALM)
    below = read(
        PRICES, "Balm\nIngredient|g\nOil phase|80\nShea butter|60\nOlive oil|20\n\nSoft\nIngredient|g\nBeeswax|20"
    )
    assert below.good, sentences(below)
    titled = read(
        PRICES, "Balm\nIngredient|g\nOil phase|80\nShea butter|60\nOlive oil|20\nSoft|20 g\nIngredient|g\nBeeswax|20"
    )
    assert titled.good, sentences(titled)
    assert list(stages(titled)) == ["Balm", "Soft"]


def test_what_is_called_like_a_stage_and_has_a_price_is_an_ingredient() -> None:
    reading = read(
        PRICES, "Balm\nIngredient|g\nPhase|60\nShea butter|20\nBeeswax|20\n\nSoft\nIngredient|g\nOlive oil|9"
    )
    assert near(costs(reading)["Balm"], F(20, 1000) * F(60, 100) + F(8, 1000) * F(20, 100) + F(10, 1000) * F(20, 100))
    side = read(PRICES, "Ingredient|Balm %|Soft %\nPhase|60|50\nShea butter|40|50")
    assert near(costs(side)["Balm"], F(20, 1000) * F(60, 100) + F(8, 1000) * F(40, 100))


def test_stages_of_formulas_side_by_side_may_say_what_their_rows_come_to() -> None:
    """80 and 50 are the oils; in grams they were an ingredient before."""
    oils, waxes = "Oil phase|80|50\nShea butter|60|30\nOlive oil|20|20", "Wax phase|20|50\nBeeswax|20|50"
    text = f"Ingredient|Balm (g)|Soft (g)\n{oils}\n{waxes}"
    layout = laid_out_as(table(text), FORMULAS)
    for below in ("", "\nTotal|100|100", "\nBatch|100|100\nCost|1|1", "\nCost|1|1"):
        chosen = read(PRICES, f"{text}{below}", layouts={1: layout})
        assert chosen.good, sentences(chosen)
        assert near(costs(chosen)["Balm"], BALM)
        assert stages(chosen)["Soft"] == ["Oil phase", "Oil phase", "Wax phase"]
    wrong = read(PRICES, text.replace("|80|50", "|80|55"), layouts={1: layout})
    words = "Oil phase: 55 stands here, and the rows below it come to 50. Correct one of them, or leave this row out."
    assert sentences(wrong) == [("C2", words)]


def test_other_words_under_a_name_and_heads_are_asked() -> None:
    """A letter may be a formula or a stage: "A" below "Balm"."""
    text = "Balm\nIngredient|g\nA\nShea butter|60\nOlive oil|20\nBeeswax|20"
    reading = read(PRICES, text)
    words = "Is this a phase of Balm, or a formula? Type “Phase A” for a phase, or leave row 1 out."
    assert ("A3", words) in sentences(reading)
    phase = read(PRICES, text, fixes={"s1_r3_c0": "Phase A"})
    assert phase.good, sentences(phase)
    assert stages(phase) == {"Balm": ["Phase A"] * 3}
    formula = read(PRICES, text, left_out=frozenset({"s1_r1"}))
    assert formula.good, sentences(formula)
    assert near(costs(formula)["A"], BALM)


def test_what_is_a_stage_and_a_group_of_ingredients() -> None:
    assert [bool(STAGE.fullmatch(one)) for one in ("Biphase", "Two phase spray", "Oil phase cold", "Three-phase")] == [
        False, False, False, True,
    ]  # fmt: skip
    groups = ("Oils", "Hard butters & waxes", "Active ingredients", "Essential oils", "Body butters", "Base", "Oil")
    assert [is_group(one) for one in groups] == [True, True, True, False, False, False, False]
