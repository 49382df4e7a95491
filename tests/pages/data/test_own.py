"""A maker's own sheet through the pages: chosen or pasted, its columns corrected, saved in one change."""

from __future__ import annotations

import io
import re
from html import unescape
from typing import Any

import pytest
from openpyxl import Workbook
from starlette.testclient import TestClient

from tests.pages.filling import fields_in, fill
from tests.pages.workshop import kitchen, number_of
from webapp.costing.own.columns import MOST_ROWS, MOST_SHEETS

OWN = "/data/own"
PRICES = "Ingredient\tPack\tPrice\nShea butter\t5 kg\t41.00\nBeeswax\t1 lb\t9.00\n"
SUM = "Formula\tIngredient\t%\nBalm\tShea butter\t40\nBalm\tBeeswax\t60\n"


def paste(client: TestClient, text: str) -> str:
    """The address of what was pasted."""
    answer = client.post(OWN, data={"cells": text}, follow_redirects=False)
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def workbook(**sheets: list[list[Any]]) -> bytes:
    book = Workbook()
    book.remove(book.active)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def send(client: TestClient, data: bytes, name: str = "Mine.xlsx") -> Any:
    return client.post(OWN, data={"cells": ""}, files={"file": (name, data)}, follow_redirects=False)


def again(client: TestClient, address: str, **more: str) -> Any:
    """The page's own form sent as it stands, with something changed in it."""
    form = fields_in(client.get(address).text, address)
    return client.post(address, data={**form, **more}, follow_redirects=False)


def words(text: str) -> str:
    return unescape(" ".join(re.sub(r"<[^>]*>", " ", text).split()))


def test_what_is_taken_at_once_is_said_at_the_field(client: TestClient) -> None:
    text = client.get(OWN).text
    assert f"the first {MOST_SHEETS} sheets" in text
    assert f"up to {MOST_ROWS:,} rows a sheet" in text


def test_a_sheet_of_more_rows_than_are_taken_says_so_and_can_be_passed_over(client: TestClient) -> None:
    many: list[list[Any]] = [["Ingredient", "Pack", "Price"], *(["Oil", "1 kg", number] for number in range(MOST_ROWS))]
    some: list[list[Any]] = [["Ingredient", "Pack", "Price"], ["Shea butter", "5 kg", 41]]
    address = send(client, workbook(Years=many, Now=some)).headers["location"]
    said = unescape(client.get(address).text.split('id="e-sheets-0-holds"', 1)[1])
    assert "This sheet has 2,001 rows, and 2,000 can be taken at once. Save a part of it" in said
    assert again(client, address).status_code == 422
    form = fields_in(client.get(address).text, address)
    passed = client.post(address, data={**form, "sheets-0-holds": "nothing", "more": "look"})
    assert "Save 1 material" in passed.text
    whole = workbook(Years=many[:-1], Now=some)
    assert "can be taken at once" not in client.get(send(client, whole).headers["location"]).text


def test_sheets_behind_the_last_that_is_read_are_named(client: TestClient) -> None:
    rows: list[list[Any]] = [["Ingredient", "Pack", "Price"], ["Shea butter", "5 kg", 41]]
    some = {f"Month {number}": rows if number == 1 else [] for number in range(1, MOST_SHEETS + 1)}
    said = "stand behind the 30th and were not read: Old & new, Salves. Save what you need of them"
    more = {**some, "Old & new": rows, "Salves": []}
    address = send(client, workbook(**more)).headers["location"]
    shown = client.get(address)
    assert said in words(shown.text)
    assert "Empty: Month 2, Month 3," in words(shown.text)  # named in a line, not each with its choices
    assert client.post(address, data=fields_in(shown.text, address), follow_redirects=False).status_code == 303
    assert "behind the 30th" not in words(client.get(send(client, workbook(**some)).headers["location"]).text)


def test_two_columns_a_formula_under_a_merged_name_are_shown_with_their_batch_hidden_or_not(
    client: TestClient,
) -> None:
    """40 % of 8.20 a kg and 60 % of 10.00 a kg are 9.28 a kg. 700 g of shea butter would be 40 % of another batch."""
    book = Workbook()
    prices, sheet = book.active, book.create_sheet("Formulas")
    for row in (["Ingredient", "Pack", "Price"], ["Shea butter", "1 kg", 8.2], ["Beeswax", "1 kg", 10]):
        prices.append(row)
    heads: list[list[Any]] = [["Ingredient", "Firm", None, "Soft", None], [None, "%", "g", "%", "g"]]
    for row in heads:
        sheet.append(row)
    for row in (["Shea butter", 40, 400, 25, 250], ["Beeswax", 60, 600, 75, 750], ["Total", 100, 1000, 100, 1000]):
        sheet.append(row)
    sheet.merge_cells("A1:A2")
    sheet.merge_cells("B1:C1")
    sheet.merge_cells("D1:E1")
    sheet.column_dimensions["C"].hidden = True
    kept = io.BytesIO()
    book.save(kept)
    said = words(client.get(send(client, kept.getvalue()).headers["location"]).text)
    assert "a column a formula, each with its grams beside it: Firm, Soft." in said
    assert "Save 2 materials and 2 formulas" in said
    assert re.search(r"Firm new, in percent 2 1,000 g €9\.280", said), said
    sheet["C3"] = 700
    kept = io.BytesIO()
    book.save(kept)
    said = words(client.get(send(client, kept.getvalue()).headers["location"]).text)
    assert "and 700 g stand here. Correct one of them, or leave the column of grams out." in said
    assert "Save 2 materials" not in said


def test_pasted_prices_are_looked_at_and_saved_in_one_change(client: TestClient) -> None:
    address = paste(client, PRICES)
    shown = client.get(address)
    assert "Save 2 materials" in shown.text
    assert "8.20" in words(shown.text)  # 41.00 / 5 for a kg
    assert "19.84" in words(shown.text)  # 9.00 / 0.45359237
    saved = again(client, address)
    assert saved.status_code == 303, words(saved.text)
    assert saved.headers["location"].startswith("/buy/materials?done=")
    after = client.get(saved.headers["location"]).text
    assert "From Pasted cells: 2 materials." in words(after)
    undo = re.search(r'action="(/undo/[0-9]+[^"]*)"', after)
    assert undo
    token = re.search(r'action="/undo/[^>]*>\s*<input type="hidden" name="token" value="([^"]+)"', after)
    assert token
    assert client.post(unescape(undo[1]), data={"token": token[1]}, follow_redirects=False).status_code == 303
    assert "Shea butter" not in client.get("/buy/materials").text


def test_a_workbook_with_prices_and_formulas(client: TestClient) -> None:
    data = workbook(
        Prices=[["Ingredient", "Pack", "Price"], ["Shea butter", "5 kg", 41], ["Beeswax", "1 lb", 9]],
        Formulas=[["Formula", "Ingredient", "%"], ["Balm", "Shea butter", 40], ["Balm", "Beeswax", 60]],
    )
    address = send(client, data).headers["location"]
    assert "Save 2 materials and 1 formula" in client.get(address).text
    saved = again(client, address)
    assert saved.headers["location"].startswith("/make/formulas?done=")
    # 0.4 x 8.20 + 0.6 x 9.00 / 0.45359237 = 3.28 + 11.9049 = 15.1849 a kg
    assert "15.18" in words(client.get("/make/formulas").text)
    assert client.get(address).status_code == 404


@pytest.mark.parametrize(
    ("data", "name", "said"),
    [
        (b"%PDF-1.4", "a.xlsx", "This is a PDF"),
        (b"", "a.xlsx", "This file is empty"),
        (b"PK\x03\x04 broken", "a.xlsx", "This file is damaged"),
    ],
)
def test_a_file_that_cannot_be_read_is_said_at_its_field(client: TestClient, data: bytes, name: str, said: str) -> None:
    answer = send(client, data, name)
    assert answer.status_code == 422
    assert said in answer.text.split('id="e-file"', 1)[1]


def test_nothing_chosen_and_pasted_text_that_cannot_be_read(client: TestClient) -> None:
    nothing = client.post(OWN, data={"cells": " "})
    assert nothing.status_code == 422
    assert "Choose a file or paste some cells." in nothing.text
    broken = client.post(OWN, data={"cells": 'a,b\n"c,d'})
    assert broken.status_code == 422
    assert "quotation mark that does not close" in broken.text.split('id="e-cells"', 1)[1]
    assert "&#34;c,d" in broken.text


def test_what_is_wrong_stands_at_its_cell_and_what_was_typed_stays(client: TestClient) -> None:
    address = paste(client, PRICES.replace("5 kg", "5 sacks"))
    wrong = again(client, address, more="look", **{"fix-s0_r2_c1": "5 bags"})
    assert wrong.status_code == 200
    assert 'value="5 bags"' in wrong.text
    assert "5 bags: how much is in one" in wrong.text.split('id="e-fix-s0_r2_c1"', 1)[1]
    refused = client.post(address, data=fields_in(wrong.text, address))
    assert refused.status_code == 422
    assert "Shea butter" not in client.get("/buy/materials").text
    looked = again(client, address, more="look", **{"fix-s0_r2_c1": "5 kg"})
    assert "Save 2 materials" in looked.text
    assert client.post(address, data=fields_in(looked.text, address), follow_redirects=False).status_code == 303


def test_a_row_can_be_left_out_and_taken_in_again(client: TestClient) -> None:
    address = paste(client, PRICES.replace("5 kg", "5 sacks"))
    left = again(client, address, more="look", **{"leave-s0_r2": "yes"})
    assert "Save 1 material" in left.text
    assert 'name="leave-s0_r2" value="yes" checked' in left.text
    assert "What you put right: 1" in words(left.text)
    form = fields_in(left.text, address)
    del form["leave-s0_r2"]
    assert "5 sacks" in client.post(address, data={**form, "more": "look"}).text


def test_columns_are_corrected_and_remembered_for_the_same_heads(client: TestClient) -> None:
    text = "Ingredient\tIn stock\tPaid\nShea butter\t5 kg\t41.00\n"
    address = paste(client, text)
    assert "In stock" in words(client.get(address).text.split("Left out:", 1)[1])
    chosen = again(client, address, more="look", **{"sheets-0-columns-1": "pack"})
    assert "8.20" in words(chosen.text)
    assert client.post(address, data=fields_in(chosen.text, address), follow_redirects=False).status_code == 303
    second = client.get(paste(client, text.replace("Shea butter", "Cocoa butter"))).text
    assert "Save 1 material" in second
    assert "8.20" in words(second)
    met = "these heads were met before, so what was chosen for them then is chosen here, too."
    assert met in words(second)
    assert met not in words(client.get(paste(client, SUM)).text)


def test_another_kind_of_sheet_and_another_row_of_heads_are_guessed_anew(client: TestClient) -> None:
    address = paste(client, "My list\n" + SUM)
    changed = again(client, address, more="look", **{"sheets-0-holds": "materials"})
    assert 'name="sheets-0-columns-1"' in changed.text
    back = client.post(address, data={**fields_in(changed.text, address), "sheets-0-holds": "formulas", "more": "look"})
    assert "Balm" in words(back.text)
    headless = again(client, address, more="look", **{"sheets-0-heads": "0"})
    assert headless.status_code == 200


ACROSS = "Ingredient\tFirm\tSoft\nShea butter\t40\t70\nBeeswax\t60\t30\n"


def test_formulas_side_by_side_are_a_guess_that_is_shown_and_corrected(client: TestClient) -> None:
    kitchen(client)
    address = paste(client, ACROSS)
    shown = client.get(address).text
    assert "Read as formulas side by side, a column a formula: Firm, Soft." in words(shown)
    assert "Save 1 material and 2 formulas" in shown
    left = again(client, address, more="look", **{"sheets-0-columns-2": ""})
    assert "Save 1 material and 1 formula" in left.text
    turned = again(client, address, more="look", **{
        "sheets-0-columns-0": "formula", "sheets-0-columns-1": "of_ingredient", "sheets-0-columns-2": "of_ingredient",
    })  # fmt: skip
    assert "a row a formula, a column an ingredient: Firm, Soft." in words(turned.text)
    kept = again(client, address, **{
        "sheets-0-columns-0": "ingredient", "sheets-0-columns-1": "of_formula", "sheets-0-columns-2": "of_formula",
    })  # fmt: skip
    assert kept.status_code == 303, words(kept.text)
    assert number_of(client, "/make/formulas", "Soft")


def test_a_head_that_is_wrong_is_corrected_and_its_row_cannot_be_left_out(client: TestClient) -> None:
    kitchen(client)
    address = paste(client, ACROSS.replace("Soft", "firm"))
    shown = client.get(address).text
    assert "firm stands here twice" in shown.split('id="e-fix-s0_r1_c2"', 1)[1]
    assert 'name="leave-s0_r1"' not in shown
    assert "Save 1 material and 2 formulas" in again(client, address, more="look", **{"fix-s0_r1_c2": "Soft"}).text


def test_products_with_prices_on_the_channel_that_is_chosen(client: TestClient) -> None:
    kitchen(client)
    sold = "Product\tFormula\tSize\tRetail price\nTin\tBalm\t50 g\t14.00\nPot\tBalm\t100 g\t\n"
    data = workbook(
        Formulas=[["Formula", "Ingredient", "%", "Batch"], ["Balm", "Shea butter", 100, "1 kg"]],
        Sold=[line.split("\t") for line in sold.splitlines()],
    )
    address = send(client, data).headers["location"]
    shown = words(client.get(address).text)
    assert "0 materials, 1 formula and 2 products understood" in shown
    assert "Only its filling is entered: add jar, label and minutes at the product." in shown
    assert "No price here: it has none until one is entered." in shown
    channels = re.findall(r'<option value="([^"]*)"', client.get(address).text.split('name="sold-s1_c3"', 1)[1])
    kept = again(client, address, **{"sold-s1_c3": unescape(channels[1])})
    assert kept.status_code == 303, words(kept.text)
    assert kept.headers["location"].startswith("/price/products?done=")
    after = client.get(kept.headers["location"]).text
    assert "1 formula and 2 products." in words(after)
    assert number_of(client, "/price/products", "Tin")


def test_jar_minutes_and_prices_on_two_channels_of_a_list(client: TestClient) -> None:
    """A jar is 24.00 / 48 = 0.50, two labels are 2 x 8.00 / 100 = 0.16. Whose minutes they are is asked once."""
    rows: list[list[Any]] = [
        ["Item", "Pack", "Price"],
        ["Shea butter", "1 kg", 8.2],
        ["Jar 60", "48 pcs", 24],
        ["Label", "100 pcs", 8],
    ]
    sold: list[list[Any]] = [
        ["Product", "Formula", "Size", "Jar", "Label", "Minutes", "Retail", "Wholesale"],
        ["Pot", "Balm", "50 g", "Jar 60", "2 x Label", 3, 14, 7],
    ]
    balm: list[list[Any]] = [["Formula", "Ingredient", "%", "Batch"], ["Balm", "Shea butter", 100, "1 kg"]]
    address = send(client, workbook(Prices=rows, Formulas=balm, Sold=sold)).headers["location"]
    text = client.get(address).text
    assert "Nobody said yet where you sell" in words(text)
    assert 'name="person"' in text
    assert "Say whose minutes these are; your own name will do." in words(text)
    assert again(client, address).status_code == 422
    for name, kind in (("Market", "stall"), ("Shops", "wholesale")):
        made = fill(client, "/price/channels/new", "/price/channels", name=name, kind=kind)
        assert made.status_code == 303, words(made.text)
    seen = again(client, address, person="Mira", more="look").text
    assert "“Retail” is for" in words(seen)
    assert "Jar and label" in words(seen)
    assert "50 g €0.41 €0.66 3 min €14.00 (Market), €7.00 (Shops)" in words(seen)  # 50 g at 8.20 a kg
    kept = again(client, address, person="Mira")
    assert kept.status_code == 303, words(kept.text)
    pot = client.get(f"/price/products/{number_of(client, '/price/products', 'Pot')}").text
    assert "Packaging how €0.66" in words(pot)
    assert "What an hour of Mira is worth is not known yet." in words(pot)


def test_prices_for_nowhere_lead_to_where_it_is_said_and_the_sheet_waits(client: TestClient) -> None:
    data = workbook(
        Prices=[["Ingredient", "Pack", "Price"], ["Shea butter", "5 kg", 41]],
        Formulas=[["Formula", "Ingredient", "%", "Batch"], ["Balm", "Shea butter", 100, "1 kg"]],
        Sold=[["Product", "Formula", "Size", "Retail price"], ["Tin", "Balm", "50 g", 14]],
    )
    address = send(client, data).headers["location"]
    shown = again(client, address, more="look").text
    assert "Nobody said yet where you sell" in shown
    assert 'href="/price/channels/new"' in shown.split("What is in each product", 1)[1]
    kept = fill(client, "/price/channels/new", "/price/channels", name="Stall")
    assert kept.status_code == 303
    (back,) = re.findall(r'half-read sheet[^<]*<a href="([^"]*)">go on', client.get(kept.headers["location"]).text)
    assert back.partition("?")[0] == address
    assert "Nobody said yet where you sell" not in client.get(back).text
    assert "(Stall)" in words(client.get(address).text)


def test_amounts_that_do_not_add_up_are_all_there_to_be_corrected_or_are_grams_and_a_batch_is_said_once(
    client: TestClient,
) -> None:
    """120 g at 8.20 and 80 g at 10.00 a kg are (0.984 + 0.80) / 0.2 = 8.92 a kg; 50 g of that are 0.446."""
    prices: list[list[Any]] = [["Ingredient", "Pack", "Price"], ["Shea butter", "1 kg", 8.2], ["Beeswax", "1 kg", 10]]
    recipes: list[list[Any]] = [
        ["Serum"],
        ["Ingredient", "%"],
        ["Shea butter", 120],
        ["Beeswax", 80],
        ["Balm"],
        ["Shea butter", 100],
    ]
    sold = [["Product", "Formula", "Size"], ["Tin", "Balm", "50 g"], ["Pot", "Serum", "50 g"]]
    address = send(client, workbook(Prices=prices, Recipes=recipes, Sold=sold)).headers["location"]
    text = client.get(address).text
    (field,) = re.findall(r'name="(kind-n[0-9a-f]+)"', text)
    assert "The amounts of “Serum” are" in words(text)
    assert 'name="fix-s1_r3_c1"' in text
    assert 'name="fix-s1_r4_c1"' in text
    halved = {"fix-s1_r3_c1": "60", "fix-s1_r4_c1": "40"}
    assert "Save 2 materials, 2 formulas and 2 products" in again(client, address, more="look", **halved).text
    grams = again(client, address, more="look", **{field: "grams", "fix-s1_r3_c1": "120", "fix-s1_r4_c1": "80"}).text
    assert "Serum new, in grams 2 200 g €8.920" in words(grams)
    assert "Tin new" in words(grams)
    assert "50 g €0.41" not in words(grams)
    sized = again(client, address, more="look", batch="1000").text
    assert "50 g €0.41" in words(sized)
    assert again(client, address).status_code == 303


def test_prices_and_a_formula_side_by_side_on_one_sheet_are_both_read(client: TestClient) -> None:
    rows: list[list[Any]] = [["Ingredient", "Pack", "Price", None, "Balm", "%"], ["Oil", "1 kg", 8, None, "Oil", 100]]
    address = send(client, workbook(All=rows)).headers["location"]
    text = words(client.get(address).text)
    assert "Save 1 material and 1 formula" in text
    assert "Sheet “All, from column E”" in text
    assert "Balm new, in percent 1 – €8.000" in text
    assert again(client, address).status_code == 303


def test_which_formula_is_in_a_product_is_chosen_and_what_its_batch_leaves_is_said(client: TestClient) -> None:
    data = workbook(
        Prices=[["Ingredient", "Pack", "Price"], ["Shea butter", "5 kg", 41]],
        Formulas=[["Formula", "Ingredient", "%", "Batch"], ["Balm", "Shea butter", 100, "1 kg"]],
        Sold=[["Product", "Size", "Label"], ["Pot", "340 g", "-"]],
    )
    address = send(client, data).headers["location"]
    shown = again(client, address, more="look", **{"sheets-2-holds": "products"}).text
    assert "No formula is called Pot. Choose the one in it." in words(shown)
    assert "In “Pot” is" in words(shown)
    field = re.search(r'name="(means-n[0-9a-f]+)"', shown)
    assert field
    chosen = again(client, address, more="look", **{field[1]: "Balm"})
    assert "A batch of 1,000 g fills 2 of these, which bear the 320 g that are left over." in words(chosen.text)
    assert "What you put right: 1" in words(chosen.text)
    assert "Save 1 material, 1 formula and 1 product" in chosen.text
    left = again(client, address, more="look", **{field[1]: "new"})
    assert "Save 1 material and 1 formula" in left.text
    assert client.post(address, data=fields_in(left.text, address), follow_redirects=False).status_code == 303


def test_a_slip_is_asked_and_a_new_thing_is_told_apart(client: TestClient) -> None:
    kitchen(client)
    address = paste(client, SUM.replace("Shea butter", "Shea buter"))
    shown = client.get(address).text
    assert "Shea butter, or something new? Choose which." in unescape(shown)
    field = re.search(r'name="(means-n[0-9a-f]+)"', shown)
    assert field
    meant = again(client, address, more="look", **{field[1]: "Shea butter"})
    assert "Shea buter is Shea butter here." in words(meant.text)
    assert "New, and without a price: Beeswax." in words(meant.text)
    saved = client.post(address, data=fields_in(meant.text, address), follow_redirects=False)
    assert saved.status_code == 303
    assert number_of(client, "/make/formulas", "Balm")


def test_a_starting_price_keeps_no_supplier_and_that_is_said(client: TestClient) -> None:
    address = paste(client, "Item\tSupplier\tPack\tPrice\nShea butter\tMill\t5 kg\t41.00\n")
    assert "keeps no supplier" not in client.get(address).text  # list prices
    assert "keeps no supplier" in again(client, address, more="look", prices="about").text


def test_prices_that_were_paid_are_orders_of_their_day(client: TestClient) -> None:
    text = "Item\tSupplier\tDate\tPack\tPrice\nShea butter\tMill\t2026-03-01\t5 kg\t41.00\n"
    address = paste(client, text)
    assert "paid: an order" in client.get(address).text
    assert again(client, address).status_code == 303
    assert "Mill" in client.get("/buy/orders").text


def test_what_was_chosen_stands_there_again_after_a_walk(client: TestClient) -> None:
    address = paste(client, PRICES.replace("1 lb", "1 gal"))
    again(client, address, more="look", system="US")
    back = client.get(address).text
    assert re.search(r'<option value="US" selected>', back)
    assert "You were typing this" in back
    assert address in client.get("/").text


def test_after_a_walk_it_is_said_again_what_is_wrong(client: TestClient) -> None:
    address = paste(client, PRICES.replace("5 kg", "5 sacks"))
    again(client, address, more="look")
    back = client.get(address).text
    assert "You were typing this" in back
    assert "5 sacks: how much is in one" in back.split('id="e-fix-s0_r2_c1"', 1)[1]
    assert "One thing to put right" in words(back)
    assert "your own file is not changed" in words(back)
    assert "What you typed" not in words(back)  # nobody typed: it is her sheet that says so


def test_what_was_put_right_is_in_sight_and_can_be_taken_back(client: TestClient) -> None:
    address = paste(client, PRICES.replace("5 kg", "5 sacks"))
    assert "What you put right" not in client.get(address).text
    mended = again(client, address, more="look", **{"fix-s0_r2_c1": "5 kg"})
    shown = words(mended.text)
    assert "What you put right: 1" in shown
    assert "The sheet says 5 sacks. Empty this to have that again." in shown
    assert "8.20" in shown  # 41.00 / 5 for a kg
    other = again(client, address, more="look", **{"fix-s0_r2_c1": "10 kg"})
    assert "4.10" in words(other.text)
    back = again(client, address, more="look", **{"fix-s0_r2_c1": ""})
    assert "5 sacks: how much is in one" in back.text.split('id="e-fix-s0_r2_c1"', 1)[1]
    assert fields_in(back.text, address)["fix-s0_r2_c1"] == "5 sacks"
    assert "What you put right" not in back.text


def test_a_name_that_was_answered_is_in_sight_and_asked_again_where_it_is_emptied(client: TestClient) -> None:
    kitchen(client)
    address = paste(client, SUM.replace("Shea butter", "Shea buter"))
    field = re.search(r'name="(means-n[0-9a-f]+)"', client.get(address).text)
    assert field
    meant = again(client, address, more="look", **{field[1]: "Shea butter"})
    assert "What you put right: 1" in words(meant.text)
    assert fields_in(meant.text, address)[field[1]] == "Shea butter"
    assert "something new? Choose" not in meant.text
    asked = again(client, address, more="look", **{field[1]: ""})
    assert "Shea butter, or something new? Choose which." in unescape(asked.text)
    assert "What you put right" not in asked.text


VOLUMES = "Ingredient\tPack\tPrice\nMarsh oil\t2 L\t18.40\nFen oil\t500 ml\t6.00\n"


def test_what_one_ml_weighs_is_typed_beside_the_sheet(client: TestClient) -> None:
    address = paste(client, VOLUMES)
    shown = client.get(address).text
    assert "What one mL weighs, of 2 materials bought by volume" in words(shown)
    field = re.findall(r'name="(density-n[0-9a-f]+)"', shown)[0]
    looked = again(client, address, more="look", **{field: "0.92"})
    assert "€10.00" in words(looked.text)  # 18.40 / (2000 mL x 0.92 g/mL) = 0.01 a gram
    assert "Fen oil is bought by volume and its density is not known yet" in words(looked.text)
    for more in ({}, {"more": "look"}):
        wrong = again(client, address, **{field: "heavy", **more})
        assert wrong.status_code == (200 if more else 422)
        assert "Type digits" in wrong.text.split(f'id="e-{field}"', 1)[1]
        assert 'value="heavy"' in wrong.text
    assert "Marsh oil" not in client.get("/buy/materials").text
    assert again(client, address, **{field: "0.92"}).status_code == 303
    number = number_of(client, "/buy/materials", "Marsh oil")
    assert "typed beside the maker" in unescape(client.get(f"/buy/materials/{number}").text)


def test_an_own_density_goes_before_a_published_one_which_is_shown_with_its_source(client: TestClient) -> None:
    """9.20 for 1000 mL of 0.92 g are 0.01 a gram; of 0.9563 g (BP 2025: 0.958 in water of 0.99821) 9.62 a kg."""
    address = paste(client, "Ingredient\tPack\tPrice\nCastor oil\t1 L\t9.20\nMarsh oil\t1 L\t8.00\n")
    shown = client.get(address).text
    assert "What one mL weighs, of 2 materials bought by volume" in words(shown)
    assert "0.9563 is published; it counts where that is taken above: BP 2025, Virgin Castor Oil." in words(shown)
    fields = re.findall(r'name="(density-n[0-9a-f]+)"', shown)
    taken = again(client, address, more="look", published="yes")
    assert "0.9563 counts until you type your own: BP 2025, Virgin Castor Oil." in words(taken.text)
    assert "€9.620" in words(taken.text)
    own = again(client, address, more="look", published="yes", **{fields[1]: "0.92"})
    assert "€10.00" in words(own.text)
    assert "Type digits" in again(client, address, more="look", **{fields[1]: "heavy"}).text
    assert again(client, address, published="yes", **{fields[1]: "0.92"}).status_code == 303
    number = number_of(client, "/buy/materials", "Castor oil")
    assert "typed beside the maker" in unescape(client.get(f"/buy/materials/{number}").text)


def test_what_was_chosen_is_chosen_again_for_a_later_sheet_with_the_same_heads(client: TestClient) -> None:
    """The gallon, the slip and the density are answered once: in the file that is sent anew, and in next month's."""
    kitchen(client)
    rows = "Formula\tIngredient\t%\nBalm\tShea buter\t100\n"
    first = paste(client, rows)
    field = re.search(r'name="(means-n[0-9a-f]+)"', client.get(first).text)
    assert field
    again(client, first, more="look", **{field[1]: "Shea butter"})
    sent_anew = words(client.get(paste(client, rows.replace("Balm", "Salve"))).text)
    assert "What you put right: 1" in sent_anew
    assert "Save 1 formula" in sent_anew
    prices = PRICES.replace("1 lb", "1 gal")
    assert again(client, paste(client, prices), system="US").status_code == 303
    later = client.get(paste(client, prices.replace("9.00", "9.50")).replace("\n", "")).text
    assert re.search(r'<option value="US" selected>', later)


def test_a_price_beside_a_number_of_packs_is_asked_for_its_sheet_once_and_remembered(client: TestClient) -> None:
    """63.00 for three packs of 5 kg is 4.20 a kg; for one of them it would be 12.60."""
    rows = "Ingredient\tQty\tPack\tPrice\nShea butter\t3\t5 kg\t63.00\n"
    address = paste(client, rows)
    asked = client.get(address).text
    assert "is €63.00 for one of them, or for all?" in asked.split('id="e-sheets-0-priced"', 1)[1]
    told = again(client, address, more="look", **{"sheets-0-priced": "all"})
    assert "3 × 5 kg" in words(told.text)
    assert "4.20" in words(told.text)
    assert client.post(address, data=fields_in(told.text, address), follow_redirects=False).status_code == 303
    later = client.get(paste(client, rows.replace("63", "66"))).text.replace("\n", "")
    assert re.search(r'name="sheets-0-priced".*?<option value="all" selected>', later)


def test_what_one_ml_weighs_is_taken_from_the_sheets_own_price_for_one_kg_where_it_is_ticked(
    client: TestClient,
) -> None:
    """38.50 for 5 L at 8.37 a kg: 7.70 / 8.37 is 0.92 g/mL, and a kg costs 7.70 / 0.92 = 8.3696."""
    address = paste(client, "Ingredient\tPack\tPrice\tPrice per kg\nMarsh oil\t5 L\t38.50\t8.37\n")
    shown = client.get(address).text
    assert "In g/mL: Marsh oil 0.92." in words(shown)
    taken = again(client, address, more="look", by_price="yes")
    assert "8.37" in words(taken.text).split("What each material will cost", 1)[1]
    assert "Density 0.92 g/mL: it follows from the price" in words(taken.text)


def test_a_sheet_without_a_price_says_so_and_may_be_said_to_have_none(client: TestClient) -> None:
    address = paste(client, "Ingredient\tPack\tSupplier\tWorth\nShea butter\t5 kg\tMill\t41.00\n")
    assert "No column is taken for a price." in client.get(address).text.split('id="e-sheets-0-priced"', 1)[1]
    assert "Save 1 material" in again(client, address, more="look", **{"sheets-0-priced": "none"}).text


def test_amounts_beside_prices_are_asked_and_may_be_formulas_or_none(client: TestClient) -> None:
    """Shea and oil at 8.00 and 6.00 a kg: 400 g and 600 g cost 3.20 and 3.60, which is 6.80 for one kg of it."""
    rows = (
        "Ingredient\tPack\tPrice\tFirm\tSoft\nShea butter\t1 kg\t8.00\t400\t\nBeeswax\t1 kg\t9.00\t\t200\n"
        "Marsh oil\t1 kg\t6.00\t600\t300\n"
    )
    address = paste(client, rows)
    asked = client.get(address).text
    words_of_it = "Columns D (Firm) to E (Soft) hold amounts and are left out."
    assert words_of_it in asked.split('id="e-sheets-0-formulas"', 1)[1]
    assert "Save 3 materials" not in asked
    assert "Save 3 materials" in again(client, address, more="look", **{"sheets-0-formulas": "no"}).text
    told = again(client, address, more="look", amounts="grams", **{"sheets-0-formulas": "yes"})
    assert "Save 3 materials and 2 formulas" in told.text
    assert "6.80" in words(told.text)
    assert re.search(r'name="sheets-0-formulas".*?<option value="yes" selected>', told.text.replace("\n", ""))
    assert client.post(address, data=fields_in(told.text, address), follow_redirects=False).status_code == 303
    later = client.get(paste(client, rows.replace("8.00", "8.50"))).text.replace("\n", "")
    assert re.search(r'name="sheets-0-formulas".*?<option value="yes" selected>', later)


def test_only_what_is_new_of_a_sheet_is_counted_where_it_is_saved(client: TestClient) -> None:
    text = "Item\tSupplier\tDate\tPack\tPrice\n"
    old = "Shea butter\tMill\t2026-03-01\t5 kg\t41.00\n"
    assert again(client, paste(client, text + old)).status_code == 303
    more = old.replace("Shea butter", "Beeswax").replace("41.00", "9.00")
    both = words(client.get(paste(client, text + old + more)).text)
    assert "2 materials and 0 formulas understood. 1 material of them stands in the book already as it is." in both
    assert "Save 1 material" in both
    waits = words(client.get(paste(client, text + old.replace("41.00", "$43.00") + more)).text)
    assert "Type what one USD is in EUR." in waits
    assert "in the book already as it is" not in waits  # what becomes of its price is not known yet
    dearer = words(client.get(paste(client, text + old.replace("41.00", "43.00"))).text)
    assert "stand in the book already" not in dearer
    assert "Save 1 material" in dearer


def test_a_half_read_file_is_offered_by_its_name(client: TestClient) -> None:
    rows: list[list[Any]] = [["Ingredient", "Pack", "Price"], ["Shea butter", "5 kg", 41]]
    address = send(client, workbook(Now=rows), "Prices of May.xlsx").headers["location"]
    again(client, address, more="look")
    assert "A half-read sheet of your own (Prices of May.xlsx)" in words(client.get("/").text)


def test_sent_twice_it_is_saved_once(client: TestClient) -> None:
    address = paste(client, PRICES)
    form = fields_in(client.get(address).text, address)
    assert client.post(address, data=form, follow_redirects=False).status_code == 303
    assert client.post(address, data=form, follow_redirects=False).status_code == 404


def test_what_was_changed_meanwhile_is_not_overwritten(client: TestClient) -> None:
    kitchen(client)
    address = paste(client, PRICES.replace("Price", "Price\tDensity").replace("41.00", "41.00\t0.91"))
    form = fields_in(client.get(address).text, address)
    number = number_of(client, "/buy/materials", "Shea butter")
    edit = f"/buy/materials/{number}"
    changed = {**fields_in(client.get(f"{edit}/edit").text, edit), "note": "from the mill"}
    assert client.post(edit, data=changed, follow_redirects=False).status_code == 303
    stale = client.post(address, data=form, follow_redirects=False)
    assert stale.status_code == 409
    assert "Save 2 materials" in stale.text
    assert client.post(address, data=fields_in(stale.text, address), follow_redirects=False).status_code == 303


@pytest.mark.parametrize("token", ["0" * 32, "nothing", "..%2f..%2fbrimful.db"])
def test_there_is_nothing_at_another_token(client: TestClient, token: str) -> None:
    assert client.get(f"{OWN}/{token}").status_code == 404
    assert client.post(f"{OWN}/{token}", data={"more": "look"}).status_code == 404


def test_the_first_page_and_the_settings_lead_there(client: TestClient) -> None:
    form = fields_in(client.get("/").text, "/start")
    answer = client.post("/start", data={**form, "next": "own"}, follow_redirects=False)
    assert answer.headers["location"].startswith(f"{OWN}?done=")
    assert f'href="{OWN}"' in client.get("/settings").text


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"--x\r\n",
        b"nothing",
        b'--x\r\nContent-Disposition: form-data; name="cells"\r\n\r\nno end',
        b"--x\r\nContent-Disposition: form-data\r\n\r\nno name\r\n--x--\r\n",
        b"--x\r\nno blank line\r\n--x--\r\n",
    ],
)
def test_a_body_that_is_no_form_is_refused(client: TestClient, body: bytes) -> None:
    answer = client.post(OWN, content=body, headers={"Content-Type": "multipart/form-data; boundary=x"})
    assert answer.status_code == 400


def test_text_that_is_not_utf_8_is_refused(client: TestClient) -> None:
    body = b'--x\r\nContent-Disposition: form-data; name="cells"\r\n\r\n\xff\xfe\r\n--x--\r\n'
    assert (
        client.post(OWN, content=body, headers={"Content-Type": "multipart/form-data; boundary=x"}).status_code == 400
    )


HOSTILE = "<script>alert(1)</script>\"'&{{ 7*7 }}"


def test_hostile_texts_in_a_file_are_shown_as_texts(client: TestClient) -> None:
    rows: list[list[Any]] = [["Ingredient", HOSTILE, "Pack", "Price"], [HOSTILE, HOSTILE, HOSTILE, 1]]
    data = workbook(**{"A&B": [*rows, ["x", 1, "1 kg", HOSTILE]]})
    address = send(client, data, f"{HOSTILE}.xlsx").headers["location"]
    text = client.get(address).text
    assert "<script>alert" not in text
    assert "49" not in words(text).replace("7*7", "")
