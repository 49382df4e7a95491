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


def test_what_has_no_pack_is_said_to_be_a_cost_of_its_order_by_one_press_for_all_rows_of_its_name(
    client: TestClient,
) -> None:
    """4.00 on 30.00 and 10.00, and 2.00 on 10.00 of the other order: 56.00 in all."""
    address = paste(
        client,
        "Item\tSupplier\tDate\tPack\tPrice\nShea butter\tMill\t2026-03-01\t5 kg\t30.00\n"
        "Wax\tMill\t2026-03-01\t1 kg\t10.00\nPorter\tMill\t2026-03-01\t\t4.00\n"
        "Clay\tMill\t2026-03-02\t1 kg\t10.00\nPorter\tMill\t2026-03-02\t\t2.00\n",
    )
    page = client.get(address).text
    assert page.count("All 2 Porter are costs of their orders, shared over it") == 1
    assert 'value="cost-s0_r4_c3.s0_r6_c3"' in page
    text = words(again(client, address, more="cost-s0_r4_c3.s0_r6_c3").text)
    assert "the freight of the order of Mill of 1 Mar 2026, €4.00, shared over its 2 lines by value" in text
    assert "the freight of the order of Mill of 2 Mar 2026, €2.00" in text
    assert "Save 3 materials" in text
    assert (
        again(client, address, **{"fix-s0_r4_c3": "cost of this order", "fix-s0_r6_c3": "freight"}).status_code == 303
    )


def test_a_press_that_means_no_cell_changes_nothing(client: TestClient) -> None:
    address = paste(client, ROWS)
    assert again(client, address, more="cost-x.s0").status_code == 200


def test_freight_below_two_suppliers_is_asked_once_in_sight_and_answered_by_a_choice(client: TestClient) -> None:
    """40 over 100 and 300: 10 of A and 30 of B."""
    address = paste(
        client,
        "Date\tSupplier\tItem\tPack\tPrice\n2026-02-07\tA\tShea\t1 kg\t100\n2026-02-07\tB\tWax\t1 kg\t300\n"
        "\t\tTransport\t\t40\n",
    )
    text = words(client.get(address).text)
    assert "or is it that of B right above it? Choose it for this sheet." in text
    assert "freight below orders of several suppliers" in text
    text = words(again(client, address, more="look", **{"sheets-0-shared": "day"}).text)
    assert "A €10.00, B €30.00" in text
    assert again(client, address, **{"sheets-0-shared": "day"}).status_code == 303
