"""What is asked of the prices of one sheet, on its page: chosen once, kept for the next sheet, or a cell typed over."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.data.test_own import again, paste, words


def test_unit_prices_are_chosen_once_for_their_sheet_and_kept_for_the_next(client: TestClient) -> None:
    """60 beside 5 kg: 12 a kg as the price of the pack, 60 as that of a kg."""
    text = "Item\tPack\tUnit cost\nShea butter\t5 kg\t60\nJar\t48 pcs\t43.20\n"
    address = paste(client, text)
    page = words(client.get(address).text)
    assert "Is that the price of the pack, so that 1 kg costs €12.00, or the price of 1 kg, so that the pack" in page
    chosen = words(again(client, address, more="look", **{"sheets-0-each": "pack"}).text)
    assert "€60.00 is read as the price of 5 kg." in chosen
    assert "Save 2 materials" in chosen
    assert "Save 2 materials" in words(client.get(paste(client, text + " \n")).text)


def test_a_cell_that_a_choice_would_cure_can_be_typed_over(client: TestClient) -> None:
    address = paste(client, "Item\tPack\tPrice\nOil\t1 gallon\t10\nWax\t1 kg\tsoon\n")
    page = words(client.get(address).text)
    assert "Or type what a cell should say: 2" in page
    fixed = again(client, address, more="look", **{"fix-s0_r2_c1": "4 L", "fix-s0_r3_c2": "9"})
    assert "Save 2 materials" in words(fixed.text)


def test_words_and_nothing_in_place_of_a_price_are_chosen_once(client: TestClient) -> None:
    address = paste(client, "Item\tPack\tPrice\nOil\t1 kg\tsoon\nWax\t1 kg\t0\nClay\t1 kg\t4\n")
    said = {"sheets-0-words": "unknown", "sheets-0-zero": "unknown"}
    assert "Save 3 materials" in words(again(client, address, more="look", **said).text)
