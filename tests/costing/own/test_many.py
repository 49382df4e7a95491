"""Prices for a hundred or a thousand: what one costs is worked out here by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.own.test_sheets import costs, read, sentences
from webapp.costing.own.price_heads import many_in
from webapp.costing.own.told import OfSheet


@pytest.mark.parametrize(
    ("head", "one"),
    [
        *((head, "0.415") for head in ("Price/100", "Price (\u20ac per 100)", "\u20ac per 100", "Price per hundred")),
        *((head, "0.415") for head in ("Price per 100 pcs", "Preis/100 St\u00fcck", "Preis je 100", "Prix pour 100")),
        *((head, "0.0415") for head in ("Cost per 1000", "Price per 1,000", "Preis pro 1.000", "Price per thousand")),
    ],
)
def test_what_is_priced_by_the_hundred_costs_a_hundredth(head: str, one: str) -> None:
    """41.50 for all of them. It was the price of one, or no price, before."""
    reading = read(f"Item|{head}\nJar 50 ml|41.50\nLid|41.50")
    assert reading.good, (reading.faults, sentences(reading))
    assert costs(reading) == {"Jar 50 ml": Decimal(one), "Lid": Decimal(one)}


def test_it_is_of_the_unit_beside_it_and_else_asked_of_what_is_no_packaging() -> None:
    assert costs(read("Item|Unit|Price per 100\nShea butter|g|3.70"))["Shea butter"] == Decimal("0.037")
    assert costs(read("Item|Price per 100\nShea butter|3.70", of_sheets={0: OfSheet(unit="g")}))[
        "Shea butter"
    ] == Decimal("0.037")
    asked = read("Item|Price per 100\nShea butter|3.70")
    assert sentences(asked) == [
        ("B2", "For 100 of what is this price? Write it behind the price, such as 12.50/100 g.")
    ]


@pytest.mark.parametrize(
    ("bought", "packs"), [("300", Decimal(3)), ("250", Decimal(250)), ("1", Decimal(1)), ("", Decimal(1))]
)
def test_what_was_bought_of_them_is_how_many_pieces(bought: str, packs: Decimal) -> None:
    (one,) = read(f"Item|Bought|Price per 100\nJar|{bought}|41.50").materials
    assert (one.said.row.packs, one.said.row.size, one.cost) == (packs, Decimal(100), Decimal("0.415"))
    assert ("300 are 3 times 100." in one.said.remarks) == (bought == "300")


def test_other_heads_say_no_number() -> None:
    for head in ("Price", "Price per 100 g", "Price 100", "Price a pack", "Price per kg", "Cost per lb", ""):
        assert many_in(head) == 0


def test_rows_without_tax_hide_no_tax_in_money() -> None:
    """2.00 of 10.00 and 6.00 of 30.00 are 20 %, and no rates of 2 and 6."""
    reading = read("Item|Pack|Price|VAT\nShea|1 kg|10.00|2.00\nWax|2 kg|30.00|0.00\nOil|1 kg|30.00|6.00")
    assert [field for field, _ in reading.faults] == ["sheets-0-order_tax"]
