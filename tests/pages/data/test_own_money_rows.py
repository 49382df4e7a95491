"""Rows of freight in a maker's own price sheet, on its page: said at the row, kept as a charge of the order."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from tests.pages.data.test_own import again, paste, words

ROWS = (
    "Item\tSupplier\tDate\tPack\tPrice\nShea butter\tMill\t2026-03-01\t5 kg\t30.00\n"
    "Wax\tMill\t2026-03-01\t1 kg\t10.00\n"
    "Shipping\t\t\t\t6.50\nDiscount\t\t\t\t-2.00\n"
)


def test_a_row_of_freight_is_said_at_its_row_and_is_a_charge_of_the_order(client: TestClient) -> None:
    """6.50 over 30.00 and 10.00 at 3 to 1: 5 kg cost 34.875, 1 kg 11.625, all of it 46.50."""
    address = paste(client, ROWS)
    text = words(client.get(address).text)
    assert "the freight of the order of Mill of 1 Mar 2026, €6.50, shared over its 2 lines by value" in text
    assert "Is it taken off the 2 prices above by value, or not? Choose it for this sheet." in text
    kept = {"sheets-0-discount": "none"}
    assert "a discount, which is not taken off, as was chosen" in words(
        again(client, address, more="look", **kept).text
    )
    assert again(client, address, **kept).status_code == 303
    assert "Shipping" not in words(client.get("/buy/materials").text)
    order = words(client.get("/buy/orders").text)
    assert "46.50" in order


@pytest.mark.parametrize("way", ["list", "about"])
def test_where_prices_are_no_orders_it_is_asked_whether_freight_is_shared(client: TestClient, way: str) -> None:
    """2 and 6.50 on 30 and 10: 28.50 and 33.375; 9.50 and 11.125."""
    address = paste(
        client,
        ROWS.replace("Shipping\t\t\t\t6.50\nDiscount\t\t\t\t-2.00\n", "Discount\t\t\t\t-2.00\nShipping\t\t\t\t6.50\n"),
    )
    text = words(again(client, address, more="look", prices=way).text)
    assert "Does it come on top of the 2 prices above, shared by value, is it in them already" in text
    said = {"sheets-0-discount": "off", "sheets-0-freight": "top"}
    text = words(again(client, address, more="look", prices=way, **said).text)
    assert "\u20ac28.50 with its share of the freight is \u20ac33.375." in text
    assert "Save 2 materials" in text


def test_an_amount_of_freight_that_can_not_be_read_is_put_right_at_its_cell(client: TestClient) -> None:
    address = paste(client, ROWS.replace("6.50", "6.50/kg"))
    assert "Type the freight of the order as an amount of money, not for one of something." in client.get(address).text
    fixed = again(client, address, more="look", **{"fix-s0_r4_c4": "6.50"})
    assert "€6.50, shared over its 2 lines by value" in words(fixed.text)
