"""Formulas side by side of which each has a column of pounds and one of ounces. Costs are worked out in fractions."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_ounces import OIL, PRICES, SHEA
from tests.costing.own.test_sheets import EMPTY, costs, near, sentences, table
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own

F, D = Fraction, Decimal
ROWS = "Shea butter|1|8|2|4\nOlive oil|0|8|1|"


def brought(text: str) -> OwnReading:
    return read_own(EMPTY, [table(PRICES, "Prices"), table(text, "Formulas")], Choices())


def batches(reading: OwnReading) -> list[Decimal | None]:
    return [one.said.rows.batch for one in reading.formulas]


@pytest.mark.parametrize(
    "heads",
    [
        "Material|Balm lb|Balm oz|Soft lb|Soft oz",
        "Material|Balm (lb)|Balm (oz)|Soft (lb)|Soft (oz)",
        "Material|Balm||Soft|\n|lb|oz|lb|oz",
    ],
)
def test_pounds_and_ounces_of_each_formula_are_one_weight(heads: str) -> None:
    """24 and 8 oz of 2 lb; 36 and 16 oz of 3 lb 4 oz. Ounces in step with the pounds did not count."""
    reading = brought(f"{heads}\n{ROWS}")
    assert reading.good, (reading.faults, sentences(reading))
    assert near(costs(reading)["Balm"], SHEA * F(3, 4) + OIL * F(1, 4))
    soft = costs(reading)["Soft"]
    exact = SHEA * F(36, 52) + OIL * F(16, 52)
    assert isinstance(soft, Decimal)
    assert abs(F(soft) - exact) < exact / 10**6  # grams are kept to six decimals
    even = brought(f"{heads}\nShea butter|1|8|2|4\nOlive oil|1|8|1|2")  # as many ounces to a pound in each row
    assert batches(even) == [D("1360.77711"), D("1530.874249")]  # 3 lb; 3 lb 6 oz


def test_a_batch_a_rest_and_what_is_not_in_it_may_be_said_in_both() -> None:
    """The rest of 5 lb is 2 lb 8 oz beside 2 lb 8 oz; a batch of 2 in a column of pounds was 2 g before."""
    text = (
        "Material|Balm oz|Balm lb|Soft lb|Soft oz\nShea butter|8|2|1|0\nOlive oil|q.s.||1|\nBeeswax|0|0||\nBatch|0|5|2|"
    )
    reading = brought(text)
    assert reading.good, (reading.faults, sentences(reading))
    assert near(costs(reading)["Balm"], (SHEA + OIL) / 2)
    assert batches(reading) == [D("2267.96185"), D("907.18474")]
    assert "Beeswax stands at 0: it is not in it." in reading.formulas[0].said.rows.remarks
    ounces = brought("Material|Balm lb|Balm oz\nShea butter|1|8\nOlive oil|1|0\nBatch||40")
    assert batches(ounces) == [D("1133.980925")]  # 2 lb 8 oz
    plain = brought("Material|Balm (lb)|Soft (lb)\nShea butter|1|2\nOlive oil|1|\nBatch|2|2")
    assert batches(plain) == [D("907.18474"), D("907.18474")]
    percent = brought("Material|Balm %|Soft %\nShea butter|50|100\nOlive oil|50|\nBatch|200|300")
    assert batches(percent) == [D(200), D(300)]


def test_the_same_weight_in_both_is_not_added_up_and_a_slip_is_asked() -> None:
    twice = brought("Material|Balm lb|Balm oz|Soft lb|Soft oz\nShea butter|2|32|2|4\nOlive oil|1|16|1|0")
    assert twice.good, (twice.faults, sentences(twice))
    assert batches(twice)[0] == D("1360.77711")  # 3 lb
    slip = brought("Material|Balm lb|Balm oz\nShea butter|2|32\nOlive oil|1|4")
    assert "2 lb 32 oz: one weight in two units, or a slip?" in sentences(slip)[0][1]


def test_pounds_beside_percent_are_compared_as_before() -> None:
    reading = brought("Material|Balm %|Balm oz\nShea butter|75|24\nOlive oil|25|8")
    assert (reading.good, batches(reading)) == (True, [D("907.18474")])
