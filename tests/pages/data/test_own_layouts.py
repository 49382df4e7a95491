"""Layouts of makers' own workbooks through the page, each as a maker would write it, with its cost on paper."""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from tests.pages.data.test_own import again, send, words, workbook
from tests.pages.filling import fields_in

PRICES: list[list[Any]] = [
    ["Ingredient", "Pack", "Price"],
    ["Shea butter", "1 kg", 8],
    ["Olive oil", "1 kg", 6],
    ["Beeswax", "1 kg", 10],
]


def arrived(client: TestClient, **sheets: Any) -> str:
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
    balm: list[list[Any]] = [
        ["Ingredient", "%", "oz"],
        ["Shea butter", 50, 8],
        ["Olive oil", 37.5, 6],
        ["Beeswax", 12.5, 3],
    ]
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


def test_prices_and_a_formula_below_them_on_one_tab_are_two_sheets_of_the_page(client: TestClient) -> None:
    """60 % of 8 and 40 % of 6 are 7.20."""
    balm = [["Balm"], ["Ingredient", "%"], ["Shea butter", 60], ["Olive oil", 40]]
    address = arrived(client, Mine=[*PRICES, [], *balm])
    said = words(client.get(address).text)
    assert "Sheet “Mine, from row 6”" in said
    assert "Balm new, in percent 2 \u2013 €7.200" in said
    assert again(client, address).status_code == 303
    moved = [["Soft"], ["Ingredient", "%"], ["Shea butter", 50], ["Olive oil", 50]]
    later = arrived(client, Mine=[*PRICES, *[[]] * 30, *moved])  # known by its heads in row 37
    assert "Soft new, in percent 2 \u2013 €7.000" in words(client.get(later).text)


def test_phases_under_the_heads_are_stages_and_other_words_there_are_asked(client: TestClient) -> None:
    """60, 20 and 20 % of 8, 6 and 10 are 8.00."""
    lines = [["Shea butter", 60], ["Olive oil", 20], ["Wax phase", None], ["Beeswax", 20]]
    rows = [["Balm"], ["Ingredient", "%"], ["Oil phase", 80], *lines]
    address = arrived(client, Prices=PRICES, Formulas=rows)
    said = words(client.get(address).text)
    assert "Balm new, in percent 3 \u2013 €8.000" in said
    rows[2] = ["A", None]
    address = arrived(client, Prices=PRICES, Formulas=rows)
    said = words(client.get(address).text)
    assert "Is this a phase of Balm, or a formula? Type “Phase A” for a phase, or leave row 1 out." in said
    form = fields_in(client.get(address).text, address)
    mended = client.post(address, data={**form, "fix-s1_r3_c0": "Phase A", "more": "look"})
    assert "Balm new, in percent 3 \u2013 €8.000" in words(mended.text)


def test_amounts_of_what_another_tab_prices_are_taken_for_a_formula(client: TestClient) -> None:
    """300 and 200 g are 60 and 40 %: 7.20."""
    address = arrived(client, Balm=[["Ingredient", "Amount"], ["Shea butter", 300], ["Olive oil", 200]], Prices=PRICES)
    form = fields_in(client.get(address).text, address)
    assert form["sheets-0-holds"] == "formulas"
    looked = client.post(address, data={**form, "amounts": "grams", "more": "look"})
    assert "Balm new, in grams 2 500 g €7.200" in words(looked.text)


def test_numbers_in_every_cell_beside_names_are_asked_for_what_they_are(client: TestClient) -> None:
    """30, 20 and 50 g of 100 g at 8, 6 and 10 are 8.60."""
    rows = [["Material", "Balm", "Soft"], ["Shea butter", 30, 2], ["Olive oil", 20, 4], ["Beeswax", 50, 3]]
    rows.append(["Lanolin", 10, 3])
    address = arrived(client, Prices=[*PRICES, ["Lanolin", "1 kg", 8.6]], Mine=rows)
    text = client.get(address).text
    said = words(text.split('id="e-sheets-1-holds"', 1)[1])
    assert "Columns B (Balm) to C (Soft) hold numbers. Are they formulas side by side?" in said
    assert again(client, address).status_code == 422
    form = fields_in(text, address)
    looked = client.post(address, data={**form, "sheets-1-holds": "formulas", "amounts": "grams", "more": "look"})
    assert "Balm new, in grams 4 110 g €8.600" in words(looked.text)


def test_lines_of_an_amount_and_a_name_and_phases_with_heads_are_shown_as_formulas(client: TestClient) -> None:
    """600 at 8 and 400 at 6 of 1000 g are 7.20 a kg; 50 at 8, 30 at 6 and 20 at 10 of 100 g are 7.80."""
    cream: list[list[Any]] = [["Cream A"], ["600 g Shea butter"], ["400 g Olive oil"]]
    balm: list[list[Any]] = [
        ["Oil phase", "g"],
        ["Shea butter", 50],
        ["Olive oil", 30],
        ["Cool down", "g"],
        ["Beeswax", 20],
    ]
    address = arrived(client, Prices=PRICES, Mixed=cream, Balm=balm)
    text = client.get(address).text
    assert "Cream A new, in grams 2 1,000 g €7.20" in words(text)
    assert "Balm new, in grams 3 100 g €7.80" in words(text)
    assert "An amount and a name stand in one cell here (“600 g Shea butter”)" in words(text)
    fields = fields_in(text, address)
    assert client.post(address, data=fields, follow_redirects=False).status_code == 303
