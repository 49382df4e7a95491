"""Prices for one kg or piece beside how much was bought and a total, and prices after a discount: costs by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.costing.own.test_sheets import costs, read, sentences

ROWS = "Murumuru|5|kg|12.40|62.00\nAmber jar|48|pcs|0.85|40.80"
COSTS = {"Murumuru": Decimal("0.0124"), "Amber jar": Decimal("0.85")}


@pytest.mark.parametrize(
    "heads",
    [
        *(f"Material|Qty|Unit|{price}|Total" for price in ("Price", "Cost", "Each", "Price each", "Prix", "Precio")),
        *(f"Material|Qty|Unit|Price|{total}" for total in ("Line total", "Subtotal", "Ilosc razem", "")),
        *(f"Material|Menge|Einheit|{price}|Gesamt" for price in ("Preis", "Einzelpreis", "St\u00fcckpreis")),
    ],
)
def test_a_price_for_one_is_told_from_that_for_all_by_its_total(heads: str) -> None:
    """62.00 for 5 kg is 12.40 a kg. It was 12.40 for 5 kg before."""
    reading = read(f"{heads}\n{ROWS}")
    assert reading.good, (reading.faults, sentences(reading))
    assert costs(reading) == COSTS


def test_how_much_may_stand_in_one_cell_or_its_unit_in_the_head() -> None:
    for text in ("Item|Pack|Price|Total\nOil|5 kg|12.40|62", "Item|Qty (kg)|Price|Total\nOil|5|12.40|62"):
        assert costs(read(text)) == {"Oil": Decimal("0.0124")}


def test_a_total_with_tax_proves_the_same() -> None:
    """5 kg at 12.40 and a fifth on it are 74.40: 14.88 a kg with the tax."""
    text = "Item|Qty|Unit|Price|VAT|Total\nOil|5|kg|12.40|20%|74.40\nWax|2|kg|10|20%|24"
    assert costs(read(text)) == {"Oil": Decimal("0.01488"), "Wax": Decimal("0.012")}


@pytest.mark.parametrize(
    ("text", "cost"),
    [
        ("Item|Pack|Price|Total\nOil|5 kg|62|62", "0.0124"),  # of one pack: the price is for all of it
        ("Item|Pack|Price|Total\nOil|5 kg|62|99", "0.0124"),  # no total of them
        ("Item|Pack|Price|Price per kg|Total\nOil|5 kg|62|12.40|310", "0.0124"),  # what one kg costs is said
        ("Item|Pack|Packs|Price each|Total\nOil|5 kg|3|62|186", "0.0124"),  # five times 62 it is not
    ],
)
def test_other_totals_change_nothing(text: str, cost: str) -> None:
    assert costs(read(text)) == {"Oil": Decimal(cost)}


@pytest.mark.parametrize(
    "heads", ["Price|Discount|Final price", "Preis|Rabatt|Preis nach Rabatt", "Prix|Remise|Prix remis\u00e9"]
)
def test_the_price_after_a_discount_counts(heads: str) -> None:
    assert costs(read(f"Item|Pack|{heads}\nOil|1 kg|12.40|10%|11.16")) == {"Oil": Decimal("0.01116")}


def test_an_average_below_prices_is_no_material() -> None:
    text = "Item|Price per kg\nOil|12\nWax|30\nAverage|21\nAverage price|21"
    assert set(costs(read(text))) == {"Oil", "Wax"}
