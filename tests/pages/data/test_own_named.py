"""Names of a maker's own sheet through the page: what has to be answered, and what only may be."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

from starlette.testclient import TestClient

from tests.pages.data.test_own import again, paste, send, words, workbook
from tests.pages.filling import fields, fields_in
from webapp.costing.own.rows import mark_of
from webapp.pages.data.own_shown import MOST_WRONG

PRICES: list[list[Any]] = [["Ingredient", "Pack", "Price"], ["Hemp seed oil", "1 kg", 20], ["Castor oil", "1 kg", 10]]
HEADS: list[Any] = ["Formula", "Ingredient", "%"]
BALM: list[list[Any]] = [HEADS, ["Balm", "Seeds of hemp", 40], ["Balm", "Vit E", 10], ["Balm", "Castor oil", 50]]
SERUM = [["Serum", "Vit. E", 10], ["Serum", "Castor oil", 90]]
HEMP = f"means-{mark_of('Seeds of hemp')}"


def arrived(client: TestClient, *rows: list[Any]) -> str:
    return str(send(client, workbook(Prices=PRICES, Formulas=[*BALM, *rows])).headers["location"])


def test_names_that_may_be_what_is_there_stand_apart_from_what_is_wrong(client: TestClient) -> None:
    address = arrived(client, *SERUM)
    text = client.get(address).text
    assert "To put right" not in text
    assert "to put right" not in words(text)
    assert "2 names are new here, and nothing is wrong with them." in words(text)
    assert "“Vit E” (also “Vit. E”) is" in words(text)
    assert "Vit. E is Vit E here." in words(text)
    options = unescape(text.split(f'name="{HEMP}"', 1)[1].split("</select>", 1)[0])
    first = [part.split("<", 1)[0].split(">", 1)[1] for part in options.split("<option ")[1:]]
    assert first == ["something new, without a price yet", "Hemp seed oil", "Castor oil", "Serum"]
    assert fields_in(text, address)[HEMP] == ""
    assert again(client, address).status_code == 303


def test_a_name_is_what_was_chosen_for_it_and_can_be_asked_again(client: TestClient) -> None:
    """40 % of 20 a kg, 10 % of 10 and 50 % of 10 are 14."""
    address = arrived(client)
    vitamin = f"means-{mark_of('Vit E')}"
    form = fields_in(client.get(address).text, address)
    answered = {**form, HEMP: "Hemp seed oil", vitamin: "Castor oil", "more": "look"}
    told = client.post(address, data=answered)
    assert re.search(r"Balm new, in percent .* 3 – €14\.00", words(told.text))
    assert "What you put right: 2" in words(told.text)
    assert "new here" not in words(told.text)
    once = fields_in(told.text, address)
    assert once[HEMP] == "Hemp seed oil"
    back = client.post(address, data={**once, HEMP: "", "more": "look"})
    assert "One name is new here, and nothing is wrong with it." in words(back.text)
    assert "Is it something you have?" in words(back.text)


def test_what_has_to_be_answered_says_what_it_may_be_and_offers_all_the_rest(client: TestClient) -> None:
    address = arrived(client, ["Serum", "Castr oil", 100])
    text = client.get(address).text
    assert "“Castr oil” is: Castor oil, or something new? Choose which." in words(text)
    field = f"means-{mark_of('Castr oil')}"
    options = text.split(f'name="{field}"', 1)[1].split("</select>", 1)[0]
    assert [options.index(name) for name in ("choose", "Castor oil", "something new", "Hemp seed oil")] == sorted(
        options.index(name) for name in ("choose", "Castor oil", "something new", "Hemp seed oil")
    )
    assert "One thing to put right" in words(text)  # the two others are not counted with it
    assert "2 names are new here" in words(text)


def test_a_new_material_called_like_one_of_the_book_is_no_fault(client: TestClient) -> None:
    assert again(client, paste(client, "Ingredient\tPack\tPrice\nShea butter\t5 kg\t41.00\n")).status_code == 303
    text = client.get(paste(client, "Ingredient\tPack\tPrice\nShea buter\t5 kg\t42.00\n")).text
    assert "To put right" not in text
    assert "One name is new here" in words(text)
    assert "something new, without a price" not in text  # it brings one


def test_of_very_many_names_some_are_shown_at_once(client: TestClient) -> None:
    many: list[list[Any]] = [["Long", f"Qx{number:03}y", 1] for number in range(100)]
    text = client.get(arrived(client, *many)).text
    assert text.count('name="means-') == MOST_WRONG
    assert "102 names are new here" in words(text)
    assert f"And {102 - MOST_WRONG} more; they are shown once some of these are answered." in words(text)


def test_what_is_saved_is_counted_as_the_button_counted_it_and_another_may_follow(client: TestClient) -> None:
    """Two rows of castor oil are one material; a new name without a price is one too."""
    rows = "Item\tSupplier\tDate\tPack\tPaid\n"
    twice = f"{rows}Castor oil\tMill\t2026-03-01\t1 kg\t10\nCastor oil\tMill\t2026-04-01\t1 kg\t11\n"
    address = paste(client, twice)
    assert "Save 1 material<" in client.get(address).text
    saved = again(client, address).headers["location"]
    assert "From Pasted cells: 1 material." in words(client.get(saved).text)
    assert 'href="/data/own">Bring another spreadsheet</a>' in client.get(saved).text
    assert "Bring another spreadsheet" not in client.get(saved.split("&")[0]).text
    second = paste(client, "Formula\tIngredient\t%\nBalm\tCastor oil\t60\nBalm\tTallow\t40\n")
    assert "Save 1 material and 1 formula<" in client.get(second).text
    after = again(client, second).headers["location"]
    assert "From Pasted cells: 1 material and 1 formula." in words(client.get(after).text)


def test_one_piece_is_not_called_pieces(client: TestClient) -> None:
    shown = words(client.get(paste(client, "Item\tPack\tPrice\nJar\t1 pcs\t0.50\nLid\t2 pcs\t0.50\n")).text)
    assert "packaging 1 piece €0.50" in shown
    assert "2 pieces €0.50" in shown


def test_a_batch_that_is_written_in_ounces_is_shown_in_them_beside_its_grams(client: TestClient) -> None:
    """64 oz of 28.349523125 g are 1814.36948 g."""
    rows: list[list[Any]] = [["Ingredient", "%", "Oz"], ["Castor oil", 75, 48], ["Hemp seed oil", 25, 16]]
    amounts = (("Bare", "48 oz"), ("Bare", "16 oz"), ("Mixed", "1 kg"), ("Mixed", "16 oz"))
    bare = [[name, PRICES[1 + place % 2][0], amount] for place, (name, amount) in enumerate(amounts)]
    data = workbook(Prices=PRICES, Balm=rows, Bare=[["Formula", "Ingredient", "Amount"], *bare])
    said = words(client.get(str(send(client, data).headers["location"])).text).replace("\u00a0", " ")
    assert "Balm new, in percent 2 64 oz (1,814.3695 g)" in said
    assert "Bare new, in grams 2 64 oz (1,814.3695 g)" in said
    assert "Mixed new, in grams 2 1,453.5924 g" in said


def test_a_cell_is_shown_with_its_day_and_number_as_people_write_them(client: TestClient) -> None:
    rows: list[list[Any]] = [
        ["Item", "Bought", "Pack", "Price"],
        ["Castor oil", "2026-02-11", "5 sax", 1.24131944444444],
    ]
    text = client.get(str(send(client, workbook(Prices=rows)).headers["location"])).text
    assert "1.2413…" in text
    shown = words(re.sub(r"<(input|select).*?>", " ", text))
    assert "1.2413194" not in shown
    assert "2026-02-11" not in shown
    assert "11 Feb 2026" in shown


def test_figures_in_sentences_are_written_as_the_workshop_writes_them(client: TestClient) -> None:
    """A third of 12.50 has no end: 4.16666666666667, which is kept as 4.1667."""
    german = {**fields(client, "/", "/start"), "locale": "de_DE", "currency": "EUR"}
    assert client.post("/start", data=german).status_code == 303
    prices: list[list[Any]] = [["Ingredient", "Pack", "Price"], ["Wax", "1 kg", 4.16666666666667]]
    one: list[list[Any]] = [["Ingredient", "%", "Price per kg"], ["Oil", 100, 9.4]]
    other: list[list[Any]] = [["Ingredient", "%", "Price per kg"], ["Oil", 100, 9.5]]
    data = workbook(Prices=prices, Balm=one, Salve=other)
    said = words(client.get(str(send(client, data).headers["location"])).text).replace("\u00a0", " ")
    assert "4,166667 € is kept as 4,1667 €." in said
    assert "Oil has another price in an earlier sheet: 9,40 € for 1 kg." in said


def test_what_prices_without_a_currency_are_in_is_chosen_beside_the_sheet(client: TestClient) -> None:
    """9.75 pounds at 1.20 are 11.70 a kg."""
    address = paste(client, "Item\tPack\tPrice\nShea butter\t1 kg\t£8.00\nMango butter\t1 kg\t9.75\n")
    text = client.get(address).text
    assert "Prices without a currency are in: Pasted cells, C3: 9.75 says no currency" in words(text)
    assert re.findall(r"<option[^>]*>(\w+)", text.split('name="currency"', 1)[1].split("</select>")[0]) == [
        "choose", "EUR", "GBP",
    ]  # fmt: skip
    told = again(client, address, more="look", currency="GBP", **{"rates-gbp": "1.2"})
    assert "€11.70" in words(told.text)
    assert fields_in(told.text, address)["currency"] == "GBP"


def test_what_is_compared_is_said_with_its_money(client: TestClient) -> None:
    """36,80 for 10 L are 3,68 a litre."""
    german = {**fields(client, "/", "/start"), "locale": "de_DE", "currency": "EUR"}
    assert client.post("/start", data=german).status_code == 303
    address = paste(client, "Rohstoff\tGebinde\tPreis\tPreis pro L\nLein\u00f6l\t10 L\t36,80\t3,92\n")
    said = words(client.get(address).text).replace("\u00a0", " ")
    assert "36,80 € for 10 L comes to 3,68 € for 1 L, which counts; “Preis pro L” says 3,92 € for 1 L." in said


def test_what_formulas_come_to_is_said_as_the_workshop_writes_it_and_their_cells_stay_as_they_are(
    client: TestClient,
) -> None:
    """40,125 + 12,125 + 47,5 = 99,75; sent back without a change it is the same."""
    german = {**fields(client, "/", "/start"), "locale": "de_DE", "currency": "EUR"}
    assert client.post("/start", data=german).status_code == 303
    address = paste(client, "Formula\tIngredient\t%\nBalm\tShea\t40,125\nBalm\tWax\t12,125\nBalm\tOil\t47,5\n")
    for page in (client.get(address), again(client, address, more="look")):
        text = words(page.text).replace("\u00a0", " ")
        assert "Balm: the lines add up to 99,75 %, 0,25 short of 100." in text
        assert fields_in(page.text, address)["fix-s0_r3_c2"] == "12,125"


def test_a_row_of_freight_is_said_as_the_workshop_writes_it(client: TestClient) -> None:
    german = {**fields(client, "/", "/start"), "locale": "de_DE", "currency": "EUR"}
    assert client.post("/start", data=german).status_code == 303
    heads = "Artikel\tLieferant\tDatum\tGebinde\tPreis"
    rows = f"{heads}\nWachs\tM\u00fchle\t01.03.2026\t1 kg\t10,00\nVersand\t\t\t\t14,90 \u20ac\n"
    text = words(client.get(paste(client, rows)).text).replace("\u00a0", " ")
    assert "the freight of the order of M\u00fchle of 01.03.2026, 14,90 \u20ac" in text


LIKELY: list[list[Any]] = [HEADS, ["Balm", "Hemp", 40], ["Balm", "Castor", 50], ["Balm", "Castr oil", 10]]


def test_yes_is_said_at_once_to_all_names_that_are_likely_one_thing(client: TestClient) -> None:
    """40 % of 20 a kg and 60 % of 10 are 14."""
    address = str(send(client, workbook(Prices=PRICES, Formulas=LIKELY)).headers["location"])
    text = client.get(address).text
    assert "One thing to put right" in words(text)
    assert "3 names are likely one thing each." in words(text)
    assert "Hemp → is Hemp seed oil Formulas, row 2" in words(text)
    assert "Yes to all of these 3" in words(text)
    assert fields_in(text, address)[f"means-{mark_of('Hemp')}"] == ""
    told = client.post(address, data={**fields_in(text, address), "more": "likely"})
    assert re.search(r"Balm new, in percent .* 3 – €14\.00", words(told.text))
    assert "What you put right: 3" in words(told.text)
    form = fields_in(told.text, address)
    assert form[f"means-{mark_of('Castr oil')}"] == "Castor oil"
    other = client.post(address, data={**form, f"means-{mark_of('Hemp')}": "", "more": "look"})
    assert "Hemp seed oil, or something new? Choose which." in words(other.text)
    assert client.post(address, data=form, follow_redirects=False).status_code == 303


def test_yes_to_all_takes_only_what_stood_there_and_leaves_other_answers(client: TestClient) -> None:
    address = str(send(client, workbook(Prices=PRICES, Formulas=LIKELY)).headers["location"])
    form = fields_in(client.get(address).text, address)
    answered = {**form, f"means-{mark_of('Castor')}": "Hemp seed oil", "more": "likely"}
    unseen = f"likely-{mark_of('Castr oil')}"
    told = client.post(address, data={name: text for name, text in answered.items() if name != unseen})
    assert "Castor is Hemp seed oil here." in words(told.text)
    assert "“Castr oil” is: Castor oil, or something new? Choose which." in words(told.text)
    assert "likely one thing" not in words(told.text)  # one alone is asked as any other


def test_what_was_agreed_to_is_remembered_for_the_next_file(client: TestClient) -> None:
    address = str(send(client, workbook(Prices=PRICES, Formulas=LIKELY)).headers["location"])
    client.post(address, data={**fields_in(client.get(address).text, address), "more": "likely"})
    again_sent = str(send(client, workbook(Prices=PRICES, Formulas=LIKELY)).headers["location"])
    text = client.get(again_sent).text
    assert "to put right" not in words(text)
    assert "Hemp is Hemp seed oil here." in words(text)


def test_a_formula_that_a_product_names_otherwise_is_chosen_from_all_there_are(client: TestClient) -> None:
    data = workbook(
        Prices=PRICES,
        Formulas=[HEADS, ["Balm", "Castor oil", 100], ["Stick", "Castor oil", 100]],
        Sold=[["Product", "Formula", "Size", "Price"], ["Tin", "Blam", "100 g", 9]],
    )
    address = str(send(client, data).headers["location"])
    text = client.get(address).text
    assert "The formula “Blam” is: No formula is called Blam. Choose the one in it." in words(text)
    field = f"means-{mark_of('Blam')}"
    told = client.post(address, data={**fields_in(text, address), field: "Stick", "more": "look"})
    assert "to put right" not in words(told.text)
    assert fields_in(told.text, address)[field] == "Stick"
