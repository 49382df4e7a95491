"""Weights beside rounded percent: the finer ones count. What is expected is worked out here from what is written."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, LB, OZ, PRICES, costs, near, read, sentences
from webapp.costing.own.columns import FORMULAS, OF_FORMULA, Layout
from webapp.costing.own.lines import FormulaRows
from webapp.costing.own.reading import OwnReading
from webapp.costing.own.seen import weighed_in

F, D = Fraction, Decimal
ALL = f"{PRICES}\nOil | 1 kg | 8\nRose | 10 g | 30"
NAMES = ("Shea butter", "Beeswax", "Oil", "Rose")
EACH = (F(41, 5000), F(9) / LB, F(8, 1000), F(3))
COUNT = "Its grams are finer than its percent, which agree with them: its grams count."


def listed(percent: str, weights: str, unit: str = "g") -> OwnReading:
    """A list of one formula: its percent and its weights, each parted by blanks."""
    rows = zip(NAMES, percent.split(), weights.split(), strict=False)
    return read(ALL, "\n".join([f"Formula | Ingredient | % | {unit}", *(f"Firm | {' | '.join(one)}" for one in rows)]))


def beside(percent: str, weights: str, unit: str = "g") -> OwnReading:
    """The same formula beside another that is sound, with a title above both of its columns."""
    rows = zip(NAMES, percent.split(), weights.split(), strict=False)
    lines = [f"{name} | {share} | {weight} | {100 * (name == 'Oil') or ''} |" for name, share, weight in rows]
    layout = Layout(FORMULAS, 1, ("ingredient", *(OF_FORMULA,) * 4))
    heads = f"Ingredient | Firm | | Soft |\n | % | {unit} | % | {unit}"
    return read(ALL, "\n".join([heads, *lines]), layouts={1: layout})


WAYS = pytest.mark.parametrize("of", [listed, beside])


def firm(reading: OwnReading) -> FormulaRows:
    assert reading.good, sentences(reading)
    return reading.formulas[0].said.rows


def mean(amounts: str) -> Fraction:
    parts = [F(one) for one in amounts.split()]
    return sum((part * each for part, each in zip(parts, EACH, strict=False)), F(0)) / sum(parts)


@WAYS
@pytest.mark.parametrize(
    ("percent", "grams"),
    [
        ("48 32 19 1", "481 316 195 8"),  # a gram of 1000 g is a tenth of a percent
        ("48.1 31.6 19.5 0.8", "481.3 316.2 194.6 7.9"),  # and a tenth of a gram a hundredth
        ("48 32 19 1", "481.5 316 194.5 8"),  # 316 beside 481.5 is 316.0
        ("48 32 q.s. 1", "481 316 195 8"),  # the rest is 19 %
        ("48% 32% 19% 1%", "481 316 195 8"),
        ("0.48 0.32 0.19 0.01", "481 316 195 8"),  # fractions of one, to a hundredth
    ],
)
def test_finer_grams_count_and_say_the_batch(of: object, percent: str, grams: str) -> None:
    reading = of(percent, grams)  # type: ignore[operator]
    rows = firm(reading)
    assert (rows.way, rows.batch) == ("grams", sum(map(D, grams.split())))
    assert [one for one in rows.remarks if "count" in one] == [COUNT]
    assert near(costs(reading)["Firm"], mean(grams))


@WAYS
@pytest.mark.parametrize(
    ("percent", "grams"),
    [
        ("48 32 19 1", "48 32 19 1"),  # a gram of 100 g is a percent: as fine
        ("48.1 31.6 19.5 0.8", "481 316 195 8"),  # a gram of 1000 g is a tenth of one: as fine
        ("48.1 31.6 19.5 0.8", "241 158 97 4"),  # of 500 g it is two tenths: the grams are rounded from percent
        ("33.3 33.3 33.4", "83 83 84"),
        ("50 30 20", "501.5 300.9 200.6"),  # of 1003 g that is what the percent say, in more decimals
        ("50 30 20", "50.00000000001 30 20"),  # but for what a spreadsheet's arithmetic leaves behind
        ("40 59.98 0.02", "48 72.0 0.0"),  # nothing is left of 0.024 g
    ],
)
def test_percent_count_where_they_are_as_fine_or_say_the_same(of: object, percent: str, grams: str) -> None:
    reading = of(percent, grams)  # type: ignore[operator]
    rows = firm(reading)
    assert (rows.way, [one for one in rows.remarks if "count" in one]) == ("percent", [])
    found, exact = costs(reading)["Firm"], mean(percent)
    assert isinstance(found, Decimal)
    assert abs(F(found) - exact) < exact / 10**6  # shares are kept to six places


@WAYS
def test_ounces_and_kilograms_count_too_and_stay_the_unit_of_the_batch(of: object) -> None:
    """16.97, 11.15, 6.88 and 0.28 oz are 35.28 oz; a hundredth of one is 0.03 % of them."""
    ounces = "16.97 11.15 6.88 0.28"
    reading = of("48 32 19 1", ounces, "oz")  # type: ignore[operator]
    rows = firm(reading)
    assert rows.remarks == ["Its weights are finer than its percent, which agree with them: its weights count."]
    assert rows.batch is not None
    assert abs(F(rows.batch) - F("35.28") * OZ) < F(1, 10**6)  # grams are kept to six decimals
    found = costs(reading)["Firm"]
    assert isinstance(found, Decimal)
    assert abs(F(found) - mean(ounces)) < mean(ounces) / 10**6
    assert weighed_in(reading.tables[1], reading.layouts[1], rows) == "oz"
    kilograms = of("48 32 19 1", "0.481 0.316 0.195 0.008", "kg")  # type: ignore[operator]
    assert firm(kilograms).batch == 1000
    assert near(costs(kilograms)["Firm"], mean("481 316 195 8"))


def test_of_weights_in_several_units_the_coarsest_is_compared() -> None:
    """1 oz written whole stands for half an ounce more or less, 14 g of 500: the other rows' grams make it no finer."""
    text = "Formula | Ingredient | % | Amount\nFirm | Shea butter | 94 | 469 g\nFirm | Beeswax | 6 | 1 oz"
    reading = read(ALL, text)
    assert firm(reading).way == "percent"
    assert near(costs(reading)["Firm"], EACH[0] * F(94, 100) + EACH[1] * F(6, 100))


@WAYS
def test_what_contradicts_is_told_as_ever(of: object) -> None:
    """395 g of 1000 g are 39.5 %, no 19 %: the others have some 10 g a percent, 19 % of which are 190 g and more."""
    reading = of("48 32 19 1", "481 316 395 8")  # type: ignore[operator]
    said = [words for _, words in sentences(reading)]
    assert len(said) == 1
    assert said[0].startswith("Firm: 19 % of Oil would be 18")
    # 48, 32, 19 and 4 % are 103: more than four halves of a percent away from 100
    assert not of("48 32 19 4", "481 316 195 40").good  # type: ignore[operator]


@WAYS
def test_a_batch_that_is_typed_stays_and_the_weights_are_shares_of_their_sum(of: object) -> None:
    batch = "Batch (g) | 2000 | |" if of is beside else "Batch: 2000 g"
    heads = "Ingredient | Firm | | Soft |\n | % | g | % | g" if of is beside else "Firm\nIngredient | % | g"
    text = "Shea butter | 48 | 481\nBeeswax | 32 | 316\nOil | 19 | 195\nRose | 1 | 8"
    order = [heads, batch, text] if of is beside else [heads, text, batch]
    layout = {"layouts": {1: Layout(FORMULAS, 1, ("ingredient", *(OF_FORMULA,) * 4))}}
    reading = read(ALL, "\n".join(order), book=EMPTY, **(layout if of is beside else {}))
    rows = firm(reading)
    assert rows.batch == 2000
    assert "Its grams come to 1000 g; its batch is said to be 2000 g." in rows.remarks
    assert near(costs(reading)["Firm"], mean("481 316 195 8"))


def test_percent_that_come_to_100_are_one_formula_though_its_grams_count() -> None:
    """Oil on both sides of a gap: 48, 32, 19 and 1 % are one whole."""
    text = "Firm\nIngredient | % | g\nShea butter | 48 | 481\nOil | 32 | 316\n\nBeeswax | 19 | 195\nOil | 1 | 8"
    reading = read(ALL, text)
    assert firm(reading).way == "grams"
    exact = (EACH[0] * 481 + EACH[2] * 324 + EACH[1] * 195) / 1000
    assert near(costs(reading)["Firm"], exact)
    alone = read(ALL, text.replace("% | ", "").replace("48 |", "").replace("32 |", "").replace("19 |", ""))
    assert not alone.good
