"""For one of what prices are by a title above them, a note below, or a column "Per" beside them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.costing.own.test_sheets import costs, near, read, sentences

F = Fraction


@pytest.mark.parametrize(
    "text",
    [
        "prices per kg\nItem|Pack|Price\nShea|5 kg|10",
        "All prices (EUR) per kg\n\nItem|Pack|Price\nShea|5 kg|10",
        "Preise je kg\nItem|Pack|Preis\nShea|5 kg|10",
        "Prix au kg\nItem|Pack|Prix\nShea|5 kg|10",
        "Item|Pack|Price\nShea|5 kg|10\n\nPrices are per kg.",
        "Item|Pack|Price|Per\nShea|5 kg|10|kg",
        "Item|Pack|Price|Per\nShea|5 kg|10|per kg",
    ],
)
def test_what_is_said_of_all_prices_is_what_each_is_for(text: str) -> None:
    """10 for one kg, so 50 for 5 kg."""
    reading = read(text)
    assert reading.good, sentences(reading)
    assert near(costs(reading)["Shea"], F(10, 1000))
    assert "10 EUR for 1 kg makes 50 EUR for 5 kg." in reading.materials[0].said.remarks


def test_a_head_that_says_that_a_price_is_that_of_a_pack_goes_before_a_title() -> None:
    assert near(costs(read("prices per kg\nItem|Pack|Price per pack\nShea|5 kg|10"))["Shea"], F(2, 1000))


def test_pieces_among_prices_per_kg_are_asked() -> None:
    assert [cell for cell, _ in sentences(read("prices per kg\nItem|Pack|Price\nJar|48 pcs|10"))] == ["C3"]


@pytest.mark.parametrize("per", ["48", "per 48", "48 pcs", "per 48 pieces"])
def test_a_column_per_with_a_number_is_so_many_pieces(per: str) -> None:
    found = costs(read(f"Item|Price|Per\nJar|24|{per}\nShea|10|kg"))
    assert near(found["Jar"], F(24, 48))
    assert near(found["Shea"], F(10, 1000))


def test_a_number_of_what_nobody_says_is_asked_with_what_to_choose() -> None:
    (wrong,) = read("Item|Price|Per\nShea|10|48\nOil|3|kg").wrong
    assert (wrong.cell, wrong.choice) == ("C2", "sheets-0-unit")
    assert "48 of what?" in wrong.sentence
