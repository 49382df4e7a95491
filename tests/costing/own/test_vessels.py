"""Packs in words that no list has: one amount with what it is filled in around it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.own.test_sheets import read, sentences
from webapp.costing.own.told import Told

D = Decimal


@pytest.mark.parametrize(
    ("text", "size", "unit"),
    [
        ("4 litre gallon", "4", "L"),
        ("4L gallon", "4", "L"),
        ("gallon of 4 litres", "4", "L"),
        ("carton of 12 x 500 ml", "6000", "mL"),
        ("box (12 x 250g)", "3000", "g"),
        ("lot de 2 x 500 ml", "1000", "mL"),
        ("half kg", "0.5", "kg"),
        ("half a litre", "0.5", "L"),
        ("quarter kg", "0.25", "kg"),
        ("demi-litre", "0.5", "L"),
        ("half a dozen", "6", "pieces"),
        ("paint, 4 litres", "4", "L"),
        ("1 paint bucket (3.5 kg)", "3.5", "kg"),
        ("mudu 1.5 kg", "1.5", "kg"),
        ("keg of 25 L", "25", "L"),
        ("bouteille 500 ml", "500", "mL"),
        ("f\u00fbt 200 L", "200", "L"),
        ("le kg", "1", "kg"),
        ("le cent", "100", "pieces"),
        ("l\u2019unit\u00e9", "1", "pieces"),
        ("rouleau de 1 000", "1000", "pieces"),
        ("2 dz", "24", "pieces"),
        ("500 ct", "500", "pieces"),
    ],
)
def test_one_amount_among_other_words_is_the_pack(text: str, size: str, unit: str) -> None:
    reading = read(f"Item|Pack|Price\nThing|{text}|10")
    row = reading.materials[0].said.row
    assert (row.size, row.unit) == (D(size), unit), sentences(reading)
    assert reading.good


@pytest.mark.parametrize(
    "text",
    ["min 5 kg", "5 kg or 10 kg", "less than 5 kg", "bag of 5 kg each", "drum ~25 kg", "bag 5-10 kg", "sack under 5 kg",
     "12 bottles of 500 ml", "keg of 5 gallons", "bag 1/2 of 5 kg", "custard paint"],
)  # fmt: skip
def test_what_may_be_another_amount_is_not_read(text: str) -> None:
    reading = read(f"Item|Pack|Price\nThing|{text}|10")
    assert [one.cell for one in reading.wrong] == ["B2"], reading.materials[0].said.row


@pytest.mark.parametrize(
    ("text", "size", "unit"),
    [
        ("1 gallon (4 litres)", "4", "L"),  # a can: neither 3.785 nor 4.546 litres
        ("5 gallon (20 L)", "20", "L"),
        ("1 gallon (3.785 L)", "1", "US gallon"),
        ("1 gal (4.5 L)", "1", "imp gallon"),  # 4.54609, rounded
        ("1 gal (US)", "1", "US gallon"),
    ],
)
@pytest.mark.parametrize("system", ["", "US"])
def test_litres_beside_a_gallon_say_which_it_is_or_that_it_is_none(
    text: str, size: str, unit: str, system: str
) -> None:
    if system and unit.startswith("imp"):
        size, unit = "4.5", "L"  # it was said that gallons are US ones, which this is not
    reading = read(f"Item|Pack|Price\nThing|{text}|10", told=Told(system=system))
    row = reading.materials[0].said.row
    assert (row.size, row.unit) == (D(size), unit), sentences(reading)
