"""Columns, titles and prices that say how tax stands, on the page: asked once, said in sight, remembered."""

from __future__ import annotations

import io

from openpyxl import load_workbook
from starlette.testclient import TestClient

from tests.pages.data.test_own import again, paste, send, words, workbook

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


def test_packs_in_names_are_said_once_for_their_sheet(client: TestClient) -> None:
    text = words(client.get(paste(client, "Item\tPrice\nShea butter 1kg\t10.00\nWax 500g\t4.00\n")).text)
    said = "holds the pack, so it is read from the names: 1kg of Shea butter."
    assert text.count(said) == 1
    assert "Save 2 materials" in text


def test_how_many_pieces_a_name_says_is_said_beside_a_blank_pack_too(client: TestClient) -> None:
    """18.00 for 250 labels are 0.072 each."""
    text = words(client.get(paste(client, "Item\tPrice\nLabels, roll of 250\t18.00\n")).text)
    assert "holds the pack, so it is read from the names: 250 pieces of Labels, roll of 250." in text
    assert "€0.072" in text
    blank = words(client.get(paste(client, "Item\tPack\tPrice\nWax\t1 kg\t9\nLabels, roll of 250\t\t18.00\n")).text)
    assert "holds the pack" not in blank
    assert "Its name says how many: read as a pack of 250 pieces." in blank


def test_a_number_alone_in_brackets_is_asked_at_the_price(client: TestClient) -> None:
    """29.00 for 48 jars; typed as the page says."""
    address = paste(client, "Item\tPrice\nAmber jar 100ml (48)\t29.00\n")
    assert "Is €29.00 for one piece, or for all 48? Write it behind the price" in words(client.get(address).text)
    assert "Save 1 material" in words(again(client, address, more="look", **{"fix-s0_r2_c1": "29/48 pieces"}).text)


def test_what_a_format_shows_behind_a_price_is_read_too(client: TestClient) -> None:
    """€4.20 for 100 g are 42.00 a kg; it was 4.20 a kg before."""
    book = load_workbook(io.BytesIO(workbook(Prices=[["Item", "Pack", "Price"], ["Oil", "1 kg", 4.2]])))
    book.active["C2"].number_format = '"€"0.00"/100g"'
    kept = io.BytesIO()
    book.save(kept)
    text = words(client.get(send(client, kept.getvalue()).headers["location"]).text)
    assert "Save 1 material" in text
    assert "€42.00" in text
