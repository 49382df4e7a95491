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
    assert "a discount, not taken: take it off the prices that it is of" in text
    assert again(client, address).status_code == 303
    assert "Shipping" not in words(client.get("/buy/materials").text)
    order = words(client.get("/buy/orders").text)
    assert "46.50" in order


@pytest.mark.parametrize("way", ["list", "about"])
def test_where_prices_are_no_orders_it_is_said_that_freight_is_not_taken(client: TestClient, way: str) -> None:
    address = paste(client, ROWS)
    text = words(again(client, address, more="look", prices=way).text)
    assert "freight, not taken: only what was paid, with supplier and day, is an order, and has freight" in text
    assert "Save 2 materials" in text


def test_an_amount_of_freight_that_can_not_be_read_is_put_right_at_its_cell(client: TestClient) -> None:
    address = paste(client, ROWS.replace("6.50", "6.50/kg"))
    assert "Type the freight of the order as an amount of money, not for one of something." in client.get(address).text
    fixed = again(client, address, more="look", **{"fix-s0_r4_c4": "6.50"})
    assert "€6.50, shared over its 2 lines by value" in words(fixed.text)
