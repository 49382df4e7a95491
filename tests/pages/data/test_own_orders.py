"""Orders named only at their heads, on the page of a maker's own sheet: said, chosen otherwise, asked once."""

from __future__ import annotations

from html import unescape

from starlette.testclient import TestClient

from tests.pages.data.test_own import again, paste, words

HEADS = "Date\tSupplier\tItem\tPack\tPrice\tPostage\n"
LOG = (
    f"{HEADS}2026-02-13\tOak\tBeeswax\t2 kg\t30.00\t10.00\n\t\tShea butter\t5 kg\t70.00\t\n"
    "2026-03-14\tElm\tClay\t1 kg\t4.00\t\n"
)
NAMES = (
    "Item\tSupplier\tDate\tPack\tPrice\nShea\tOak\t2026-02-13\t5 kg\t30\nCocoa\tElm\t2026-03-14\t5 kg\t50\n"
    "Shea\t\t\t5 kg\t50\n"
)
LABEL = "rows without a supplier or day of their own are"


def test_what_is_read_as_above_is_said_at_the_sheet_and_can_be_chosen_otherwise(client: TestClient) -> None:
    """10.00 over 30 and 70: shea butter 77 for 5 kg, 15.40 a kg; of no order 70, 14.00 a kg."""
    address = paste(client, LOG)
    text = words(client.get(address).text)
    assert "Row 3 says no supplier or day of its own: read as of the order above." in text
    assert LABEL in text
    assert "15.40" in text
    other = words(again(client, address, more="look", **{"sheets-0-orders": "none"}).text)
    assert "read as of the order above" not in other
    assert "14.00" in other
    assert again(client, address, **{"sheets-0-orders": "above"}).status_code == 303
    assert "110.00" in words(client.get("/buy/orders").text)


def test_what_is_in_doubt_is_asked_once_and_remembered_for_the_same_heads(client: TestClient) -> None:
    address = paste(client, NAMES)
    text = client.get(address).text
    assert "Row 4 says no supplier or day of its own. Are they of the order above? Say it below." in words(text)
    assert 'id="e-sheets-0-orders"' in text
    assert again(client, address).status_code == 422
    said = again(client, address, more="look", **{"sheets-0-orders": "above"})
    assert "Are they of the order above?" not in words(said.text)
    next_time = client.get(paste(client, NAMES.replace("30", "31"))).text
    assert "Are they of the order above?" not in words(next_time)
    assert again(client, address, **{"sheets-0-orders": "above"}).status_code == 303


def test_a_heading_of_day_and_supplier_is_passed_over_and_one_in_doubt_is_put_right(client: TestClient) -> None:
    address = paste(client, "Item\tPack\tPrice\n13/02/2026 - Oak, £4 postage\nWax\t1 kg\t15\n")
    text = client.get(address).text
    assert "This row seems to be the head of an order." in unescape(text)
    fixed = words(again(client, address, more="look", **{"fix-s0_r2_c0": "13/02/2026 - Oak"}).text)
    assert "supplier and day of the rows below it" in fixed
    assert "paid: an order" in fixed
