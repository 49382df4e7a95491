"""What a batch weighs by how many jars of a product it makes: 18 jars of 50 g are 900 g."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import EMPTY, near, read, sentences, stored
from webapp.costing.own.reading import OwnReading

D, F = Decimal, Fraction
SHEA = "Item|Pack|Price\nShea|1 kg|10"
BALM = "Formula|Ingredient|%\nBalm|Shea|100"
SAID = "A batch weighs 900 g: the 18 jars of 50 g that Tin says it makes."


def batch(reading: OwnReading) -> Decimal | None:
    return reading.formulas[0].said.batch


def test_jars_of_one_product_say_what_a_batch_weighs() -> None:
    """50 g at 10 a kg are 0.50; nothing of 900 g is left over."""
    reading = read(SHEA, BALM, "Product|Formula|Fill|Makes\nTin|Balm|50 g|18 jars")
    assert reading.good, sentences(reading)
    assert (batch(reading), reading.unsized) == (D(900), ())
    assert SAID in reading.formulas[0].said.remarks
    assert near(reading.products[0].ingredients, F("0.50"))


@pytest.mark.parametrize(
    "rows",
    [
        "Tin|Balm|50 g|18\nPot|Balm|100 g|9",  # two of one formula: what is filled of a batch is not said
        "Tin|Balm|50 ml|18",
        "Tin|Balm|50 g|",
        "Tin|Balm|50 g|many",
        "Tin|Balm||18",
        "Tin|Balm + Balm|50 g + 40 g|18",
        "Tin|Salve|50 g|18",
        "Tin|Balm|5 kg|99999",  # more than a batch may weigh
    ],
)
def test_a_batch_that_its_products_do_not_say_is_still_asked(rows: str) -> None:
    reading = read(SHEA, BALM, f"Product|Formula|Fill|Makes\n{rows}")
    assert (batch(reading), reading.unsized) == (None, ("Balm",))


def test_a_batch_that_is_said_stays() -> None:
    sold = "Product|Formula|Fill|Makes\nTin|Balm|50 g|18"
    assert batch(read(SHEA, "Formula|Ingredient|Grams\nBalm|Shea|1000", sold)) == D(1000)
    held = stored(read(SHEA, f"{BALM.replace('%', '%|Batch')}|1 kg"))
    again = read(SHEA, BALM, sold, book=replace(EMPTY, materials=held.materials, formulas=held.formulas))
    assert SAID not in again.formulas[0].said.remarks
    assert again.unsized == ()


def test_a_batch_that_fills_other_jars_than_its_row_says_is_said() -> None:
    """1,000 g fill 10 jars of 100 g, or 22 of 45 g."""
    balm = "Formula|Ingredient|Grams\nBalm|Shea|1000"
    reading = read(SHEA, balm, "Product|Formula|Fill|Makes\nTin|Balm|100 g|18\nPot|Balm|45 g|20\nBox|Balm|50 g|20")
    said = [[remark for remark in one.said.remarks if "By its row" in remark] for one in reading.products]
    assert said == [
        ["By its row a batch makes 18 jars; here it fills 10."],
        ["By its row a batch makes 20 jars; here it fills 22."],
        [],
    ]
