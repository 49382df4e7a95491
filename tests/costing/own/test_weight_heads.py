"""Heads of formulas that say a unit of mass in whatever words: read in that unit, and never as grams.

Expected figures are worked out here in fractions of what is written; a pound and an ounce as `costing/units.py` names.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import LB, OZ, PRICES, costs, near, read, sentences
from webapp.costing.own.columns import FORMULAS, MATERIALS, Layout, role_of, roles_in, unit_in
from webapp.costing.own.heads import unit_alone
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.weight_heads import other_unit, weight_unit

F, D = Fraction, Decimal
SHEA, WAX = F(41, 5000), F(9) / LB
#: how much of a unit is a gram
GRAMS = {"g": F(1), "kg": F(1000), "oz": OZ, "lb": LB}
HEADS = (
    ("Weight (oz)", "oz"),
    ("Weight (lb)", "lb"),
    ("Weight (in ounces)", "oz"),
    ("Wt. oz", "oz"),
    ("Wt (lb)", "lb"),
    ("Weight in oz", "oz"),
    ("Weight, oz.", "oz"),
    ("Weight/oz", "oz"),
    ("oz. by weight", "oz"),
    ("oz (by weight)", "oz"),
    ("oz/batch", "oz"),
    ("Pounds per batch", "lb"),
    ("Amount needed (oz)", "oz"),
    ("Quantity (kg)", "kg"),
    ("Menge kg", "kg"),
    ("Menge in kg", "kg"),
    ("Gewicht (g)", "g"),
    ("Gewicht in Gramm", "g"),
    ("Einwaage g", "g"),
    ("Unzen", "oz"),
    ("Poids (g)", "g"),
    ("Poids en kg", "kg"),
    ("Quantit\u00e9 en g", "g"),
    ("Peso en gramos", "g"),
    ("Grams/batch", "g"),
)


def two(head: str) -> OwnReading:
    """A balm of 3 and 1 of what the head says."""
    return read(PRICES, f"Balm\nIngredient|{head}\nShea butter|3\nBeeswax|1")


@pytest.mark.parametrize(("head", "unit"), HEADS)
def test_amounts_are_in_the_unit_of_their_head(head: str, unit: str) -> None:
    """3 to 1, and the batch 4 of the unit; in grams for all of them, or not found, before."""
    reading = two(head)
    assert reading.good, (reading.faults, sentences(reading))
    (one,) = reading.formulas
    assert one.said.rows.batch is not None
    assert abs(F(one.said.rows.batch) - GRAMS[unit] * 4) < F(1, 10**5)
    assert abs(F(str(one.cost)) - (SHEA * F(3, 4) + WAX * F(1, 4))) < F(1, 10**8)
    assert (weight_unit(head), unit_in(head), unit_alone(head)) == (unit, unit, unit_alone(head) and unit)


@pytest.mark.parametrize(
    ("head", "role"),
    [
        ("Price per oz", "unit_price"),
        ("/kg", "unit_price"),
        ("per oz", "unit_price"),
        ("\u20ac per kg", "unit_price"),
        ("Cost oz", ""),
        ("oz jar", ""),
        ("Oz or lb", ""),
        ("Grams for 1 kg", ""),
        ("Batch oz", ""),
        ("Batch (oz)", "batch"),
        ("oz each", ""),
        # a weight in what is no unit of mass, or in one that is not known, is not in grams
        ("Weight (mL)", "amount"),
        ("Weight (cups)", "amount"),
        ("Weight (fl oz)", "amount"),
        ("Poids (livres)", "amount"),
        ("Gewicht (Pfund)", "amount"),
        ("Weight (16 oz batch)", "amount"),
        ("Weight (lb or oz)", "amount"),
        ("\u00be oz", ""),
        ("1 oz", ""),
        ("Weight", "grams"),
        ("Grams (16 oz batch)", "grams"),
    ],
)
def test_other_heads_are_no_amounts_or_in_no_unit_that_is_known(head: str, role: str) -> None:
    assert role_of(head, FORMULAS) == role
    assert weight_unit(head) == ""


def test_the_grams_of_a_batch_are_grams_only_where_its_head_says_no_other_unit() -> None:
    for batch in ("500 g", "1 kg"):
        assert roles_in(("Ingredient", f"Batch 1 ({batch})"), FORMULAS) == ("ingredient", "grams")
    assert roles_in(("Ingredient", "Batch 1 (16 oz)"), FORMULAS) == ("ingredient", "amount")


@pytest.mark.parametrize(
    ("head", "words"),
    [
        ("Weight (mL)", ""),  # read in mL: the density is wanted, and no fault
        ("Weight (cups)", "cups: a cup is 237 or 240 mL in the United States"),
        ("Weight (fl oz)", "fl oz can be a US or an imperial measure"),
        ("Weight (16 oz batch)", "The amounts of Balm come to 4."),
    ],
)
def test_what_is_in_another_unit_is_never_read_as_grams(head: str, words: str) -> None:
    reading = two(head)
    assert [one.unit for one in reading.formulas[0].said.rows.lines] == (["mL", "mL"] if not words else []) or words
    assert all(words in said for _, said in sentences(reading)[:1])
    assert bool(sentences(reading)) == bool(words)


def test_a_column_that_is_chosen_to_be_grams_below_another_unit_is_asked() -> None:
    chosen = {1: Layout(FORMULAS, 2, ("ingredient", "grams"))}
    text = "Balm\nIngredient|Weight (oz)\nShea butter|3\nBeeswax|1"
    reading = read(PRICES, text, layouts=chosen)
    words = "Its head says oz, and it is taken for grams. Choose “its amount, unit as said”, or correct the head in "
    assert reading.faults == (("sheets-1-columns-1", f"{words}your sheet."),)
    assert read(PRICES, text.replace("oz", "g"), layouts=chosen).good
    assert not read(
        PRICES, "Shea butter|3\nBeeswax|1", layouts={1: Layout(FORMULAS, 0, ("ingredient", "grams"))}
    ).faults


def test_ounces_beside_grams_are_compared_with_them_whichever_stands_first() -> None:
    """16, 9.6 and 6.4 oz are 453.59…, 272.16… and 181.44… g: the same weights as 453.6, 272.2 and 181.4."""
    for heads, row in (("Weight (oz)|Grams", "{1}|{0}"), ("Grams|Wt. oz", "{0}|{1}")):
        lines = [("Shea butter", "453.6", "16.0"), ("Beeswax", "272.2", "9.6"), ("Lanolin", "181.4", "6.4")]
        text = "\n".join(f"{name}|{row.format(grams, ounces)}" for name, grams, ounces in lines)
        reading = read(f"{PRICES}\nLanolin|1 kg|10", f"Balm\nIngredient|{heads}\n{text}")
        assert reading.good, sentences(reading)
        assert reading.formulas[0].said.rows.batch == D("907.2")
        exact = (F("453.6") * SHEA + F("272.2") * WAX + F("181.4") * F(1, 100)) / F("907.2")
        assert near(costs(reading)["Balm"], exact)


def test_ounces_that_are_not_the_grams_beside_them_are_asked_also_where_all_are_in_proportion() -> None:
    """272.2 g are 9.60… oz; a column for another batch is no share of this one."""
    text = "Balm\nIngredient|Grams|oz\nShea butter|453.6|16.0\nBeeswax|272.2|{}"
    reading = read(PRICES, text.format("8.6"))
    words = "Balm: 272.2 g of Beeswax would be 9.6016 oz, and 8.6 oz stand here. Correct one of them, or leave the "
    assert sentences(reading) == [("C4", f"{words}column of weights out.")]
    twice = read(PRICES, text.replace("16.0", "32.0").format("19.2"))
    assert [cell for cell, _ in sentences(twice)] == ["C3", "C4"]
    assert "453.6 g of Shea butter would be 16.0003 oz, and 32 oz" in sentences(twice)[0][1]
    # a row with ounces only is in ounces
    assert read(PRICES, text.replace("453.6", "").format("9.6")).formulas[0].said.rows.batch == D("725.792370")


def test_pounds_and_ounces_in_such_words_are_one_weight() -> None:
    """2 lb 8 oz and 8 oz are 40 and 8 oz."""
    for heads in ("Wt. lb|Wt. oz", "lb by weight|oz by weight", "Weight lb|Weight oz"):
        reading = read(PRICES, f"Balm\nIngredient|{heads}\nShea butter|2|8\nBeeswax||8")
        assert reading.layouts[1].roles == ("ingredient", "amount", "ounces"), heads
        assert abs(F(str(reading.formulas[0].said.rows.batch)) - OZ * 48) < F(1, 10**5)


def test_a_word_for_another_unit_is_told_from_grams() -> None:
    assert [other_unit(one) for one in ("Weight", "Grams or oz", "Weight (oz)", "fl. oz", "Tropfen")] == [
        "", "", "oz", "fl oz", "tropfen",
    ]  # fmt: skip


def test_a_weight_beside_a_price_is_of_packs_unless_it_is_used() -> None:
    """5 lb at 30 are 6 a pound; what a batch needs is in no pack."""
    for head in ("Weight in lb", "Wt. lb", "lb by weight"):
        reading = read(f"Ingredient|{head}|Price\nShea butter|5|30")
        assert near(costs(reading)["Shea butter"], F(6) / LB), head
    for head in ("lb per batch", "Weight needed (lb)"):
        assert role_of(head, MATERIALS) == ""
