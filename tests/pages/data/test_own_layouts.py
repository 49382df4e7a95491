"""Layouts of makers' own workbooks through the page, each as a maker would write it, with its cost on paper."""

from __future__ import annotations

from starlette.testclient import TestClient

from tests.pages.data.test_own import again, send, words, workbook
from tests.pages.filling import fields_in

PRICES = [
    ["Ingredient", "Pack", "Price"],
    ["Shea butter", "1 kg", 8],
    ["Olive oil", "1 kg", 6],
    ["Beeswax", "1 kg", 10],
]


def arrived(client: TestClient, **sheets: list[list[object]]) -> str:
    """The address of a workbook that was sent."""
    return str(send(client, workbook(**sheets)).headers["location"])


def test_pounds_and_ounces_in_two_columns_are_shown_as_one_weight_and_can_be_chosen(client: TestClient) -> None:
    """20 for 2 lb 8 oz are 8 a pound of 453.59237 g, 17.64 a kg; 4 for 8 1/2 oz are 16.60 a kg.

    2 lb and 8 oz are 80 % and 20 % of 2 lb 8 oz: 14.11 and 3.32.
    """
    prices = [["Ingredient", "lb", "oz", "Price"], ["Shea butter", 2, 8, 20], ["Beeswax", None, "8 1/2", 4]]
    balm = [["Ingredient", "lb", "oz"], ["Shea butter", 2, None], ["Beeswax", None, 8]]
    address = arrived(client, Prices=prices, Balm=balm)
    text = client.get(address).text
    fields = fields_in(text, address)
    assert (fields["sheets-0-columns-1"], fields["sheets-0-columns-2"]) == ("pack", "ounces")
    assert "the ounces beside its pounds" in words(text)
    assert "Shea butter new 2.5 lb €20.00 starting price €17.64" in words(text)
    assert "Balm new, in grams 2 2.5 lb (1,133.9809 g) €17.43" in words(text)
    left = client.post(address, data={**fields, "sheets-0-columns-1": "", "more": "look"})
    assert "Choose the column with the pounds, or leave this one out." in words(left.text)
    assert client.post(address, data=fields, follow_redirects=False).status_code == 303


def test_percent_beside_ounces_are_compared(client: TestClient) -> None:
    """12.5 % of 16 oz are 2 oz. Half of 8, 37.5 % of 6 and 12.5 % of 10 are 7.50."""
    balm = [["Ingredient", "%", "oz"], ["Shea butter", 50, 8], ["Olive oil", 37.5, 6], ["Beeswax", 12.5, 3]]
    said = words(client.get(arrived(client, Prices=PRICES, Balm=balm)).text)
    assert "12.5 % of Beeswax would be 2 oz, as the other rows have it, and 3 oz stand here." in said
    balm[3][2] = 2
    said = words(client.get(arrived(client, Prices=PRICES, Balm=balm)).text)
    assert "Balm new, in percent 3 16 oz (453.5924 g) €7.500" in said


def test_pieces_by_the_dozen_are_counted(client: TestClient) -> None:
    """12 for 2 dozen are 0.50 each; 18 for a gross 0.125."""
    rows = [["Item", "Pack", "Price"], ["Jars", "2 dozen", 12], ["Lids", "1 gross", 18]]
    address = arrived(client, Packaging=rows)
    said = words(client.get(address).text)
    assert "Jars new, packaging 24 pieces" in said
    assert "Lids new, packaging 144 pieces" in said
    assert again(client, address).status_code == 303
