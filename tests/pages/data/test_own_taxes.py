"""Columns, titles and prices that say how tax stands, on the page: asked once, said in sight, remembered."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.data.test_own import again, paste, words

BY_ROW = "Item\tPack\tPrice\tVAT\nOil\t1 kg\t10.00\tinc\nWax\t1 kg\t10.00\tex\n"


def test_the_rate_is_asked_once_and_remembered_for_the_same_heads(client: TestClient) -> None:
    """Wax costs 10.00 and a fifth on it: 12.00."""
    address = paste(client, BY_ROW)
    text = words(client.get(address).text)
    assert (
        "Tax comes on top of these prices, and its rate is not said. Type it below, such as 20, or 0 for none." in text
    )
    assert "One thing to put right" in text
    assert "the rate of sales tax where a row says none" in text
    wrong = again(client, address, more="look", **{"sheets-0-rate": "twenty"})
    assert "Type the rate of tax in percent, such as 20." in wrong.text
    told = words(again(client, address, more="look", **{"sheets-0-rate": "20"}).text)
    assert "Save 2 materials" in told
    assert "€12.00" in told
    once_more = words(client.get(paste(client, BY_ROW.replace("Wax", "Soap"))).text)
    assert "Save 2 materials" in once_more
    assert "€12.00" in once_more


def test_what_yes_means_is_asked_once(client: TestClient) -> None:
    rows = "Item\tPack\tPrice\tVAT?\nOil\t1 kg\t10.00\tY\nWax\t1 kg\t10.00\tN\n"
    address = paste(client, rows)
    assert "What does Y below “VAT?” mean" in words(client.get(address).text)
    told = words(again(client, address, more="look", **{"sheets-0-yes": "in_none"}).text)
    assert "Save 2 materials" in told


def test_a_title_that_says_it_is_said_and_can_be_changed(client: TestClient) -> None:
    address = paste(client, "All prices inc VAT\nItem\tPack\tPrice\nOil\t1 kg\t10.00\n")
    text = words(client.get(address).text)
    assert "says “All prices inc VAT”: tax is read as in its prices." in text
    assert "where a row says nothing of sales tax, it" in text
    changed = words(again(client, address, more="look", **{"sheets-0-tax": "out"}).text)
    assert "Tax comes on top of these prices" in changed
    assert "tax is read as" not in changed
