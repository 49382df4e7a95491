"""Rows that say the heads of a sheet once more, and rows that only look like it. Costs are worked out here."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_products import SELLING
from tests.costing.own.test_sheets import costs, near, read, sentences

F = Fraction
PRICES = "Material|Pack|Price\nShea|1 kg|10\nWax|1 kg|20\nLid|1 pc|0.30\nLabel|1 pc|0.20\nDeckel|1 pc|0.30"
PRICES += "\nEtikett|1 pc|0.20"
SUM = "Formula|Ingredient|%|Batch\nBalm|Shea|60|950 g\nBalm|Wax|40|"


@pytest.mark.parametrize(
    "text",
    [
        "Product|Recipe|Fill|Lid|Label|Price\nBalm 100|Balm|95 g|Lid|Label|500",
        "Produkt|Rezept|F\u00fcllmenge|Deckel|Etikett|Preis\nBalm 100|Balm|95 g|Deckel|Etikett|500",
        "Product|Recipe|Fill|Lid|Label\nBalm 100|Balm|95 g|Lid|Label",
    ],
)
def test_a_product_whose_parts_are_called_as_their_heads_is_a_product(text: str) -> None:
    reading = read(PRICES, SUM, text, book=SELLING)
    assert reading.good, (reading.faults, sentences(reading))
    (balm,) = reading.products
    assert balm.said.name == "Balm 100"
    assert near(balm.ingredients, 95 * (F(60, 100) * F(10, 1000) + F(40, 100) * F(20, 1000)))
    assert balm.packaging == F("0.50")
    assert reading.skipped == ()


def test_a_material_and_an_ingredient_with_cells_as_their_heads_are_none_either() -> None:
    text = "Material|Kind|Form|Pack|Price\nShea|Kind|Form|1 kg|10\nWax|Kind|Form|1 kg|20"
    lines = "Ingredient|Kind|Form|%\nShea|Kind|Form|60\nWax|Kind|Form|40"
    reading = read(text, lines)
    assert reading.skipped == ()
    assert near(costs(reading)["Sheet 2"], F(60, 100) * F(10, 1000) + F(40, 100) * F(20, 1000))


def test_heads_once_more_are_still_passed_over() -> None:
    again = "Product|Recipe|Fill|Lid|Label|Price"
    rows = [f"Balm {one}|Balm|95 g|Lid|Label|500" for one in (1, 2)]
    reading = read(PRICES, SUM, "\n".join((again, rows[0], again, rows[1])), book=SELLING)
    assert [one.said.name for one in reading.products] == ["Balm 1", "Balm 2"]
    assert [(one.row, one.what) for one in reading.skipped] == [(3, "heads once more")]
    other = again.replace("Product|", "Item|").replace("Fill", "Size")
    reading = read(PRICES, SUM, "\n".join((again, rows[0], other, rows[1])), book=SELLING)
    assert [(one.row, one.what) for one in reading.skipped] == [(3, "heads once more")]
