"""The workshop itself beside its first sheets, and the way back to a sheet that waits."""

from __future__ import annotations

import re
from typing import Any

from starlette.testclient import TestClient

from tests.pages.data.test_own import OWN, again, paste, send, words, workbook
from tests.pages.filling import fields_in
from tests.pages.workshop import kitchen

NAIRA: list[list[Any]] = [["Item", "Pack", "Price"], ["Shea butter", "1 kg", "NGN 14000"], ["Wax", "1 kg", "NGN 9000"]]
TAXED: list[list[Any]] = [
    ["Item", "Pack", "Net price", "VAT", "Price with VAT"],
    ["Shea butter", "1 kg", 10, "20 %", 12],
    ["Wax", "1 kg", 20, "20 %", 24],
]


def arrived(client: TestClient, rows: list[list[Any]], name: str = "Mine.xlsx") -> str:
    return str(send(client, workbook(Prices=rows), name).headers["location"])


def test_a_currency_is_said_to_be_her_own_on_the_sheet_and_is_saved_with_it(client: TestClient) -> None:
    address = arrived(client, NAIRA)
    text = client.get(address).text
    assert "NGN is my own money" in words(text)
    assert "Type what one NGN is in EUR." in words(text)
    told = client.post(address, data={**fields_in(text, address), "more": "money-NGN"})
    assert "to put right" not in words(told.text)
    assert "NGN 14,000.00" in words(told.text).replace("\u00a0", " ")
    form = fields_in(told.text, address)
    assert form["money"] == "NGN"
    assert client.get("/settings").text.count("<dd>NGN") == 0  # nothing is saved yet
    back = client.post(address, data={**form, "money": "", "more": "look"})
    assert "NGN is my own money" in words(back.text)
    saved = client.post(address, data=form, follow_redirects=False)
    assert saved.status_code == 303
    assert re.search(r"Money NGN", words(client.get("/settings").text))
    assert "NGN 14,000.00" in words(client.get("/buy/materials").text).replace("\u00a0", " ")


def test_a_currency_of_a_book_in_use_is_no_button_but_a_way_to_the_setting(client: TestClient) -> None:
    kitchen(client)
    address = arrived(client, NAIRA)
    text = client.get(address).text
    assert "is my own money" not in words(text)
    assert 'href="/settings/workshop#f-currency"' in text
    forced = client.post(address, data={**fields_in(text, address), "more": "money-NGN"})
    assert "Type what one NGN is in EUR." in words(forced.text)


def test_whether_tax_is_got_back_is_asked_beside_prices_with_tax_and_saved_with_them(client: TestClient) -> None:
    """12.00 with tax is a cost of 12.00, and 10.00 where it is got back."""
    address = arrived(client, TAXED)
    text = client.get(address).text
    assert "Are you registered for sales tax (VAT, GST), so that you get back what you pay of it?" in words(text)
    assert "€12.00" in words(text)
    told = client.post(address, data={**fields_in(text, address), "registered": "yes", "more": "look"})
    assert "€10.00" in words(told.text)
    form = fields_in(told.text, address)
    assert form["registered"] == "yes"
    assert client.post(address, data=form, follow_redirects=False).status_code == 303
    assert "Sales tax registered" in words(client.get("/settings").text)
    later = client.get(arrived(client, TAXED)).text
    assert "Are you registered" not in words(later)


def test_whether_tax_is_got_back_is_asked_where_it_counts_alone(client: TestClient) -> None:
    plain = client.get(paste(client, "Item\tPack\tPrice\nShea butter\t1 kg\t10\n")).text
    assert "registered" not in words(plain)
    address = arrived(client, TAXED)
    no = client.post(address, data={**fields_in(client.get(address).text, address), "registered": "no"})
    assert no.status_code == 303
    assert "Sales tax not registered" in words(client.get("/settings").text)
    more = client.get(arrived(client, [*TAXED, ["Clay", "1 kg", 5, "20 %", 6]])).text
    assert 'href="/settings/terms#f-registered"' in more


def test_a_sheet_that_waits_is_offered_by_its_name_before_anything_of_it_was_answered(client: TestClient) -> None:
    address = arrived(client, NAIRA, "Shop of May.xlsx")
    for page in ("/", OWN, "/settings"):
        text = client.get(page).text
        assert re.search(r"A sheet of yours waits, from .*\d\d:\d\d: go on with Shop of May\.xlsx", words(text)), page
        assert f'href="{address}"' in text
    again(client, address, more="look")
    half = words(client.get("/settings").text)
    assert "A half-read sheet of your own (Shop of May.xlsx)" in half  # it is offered once
    assert "A sheet of yours waits" not in half


def test_a_sheet_that_waits_can_be_thrown_away_and_one_that_is_saved_is_offered_no_more(client: TestClient) -> None:
    address = arrived(client, NAIRA)
    token = address.rpartition("/")[2]
    gone = client.post("/drafts/thrown", data={"draft": "", "page": "/settings", "sheet": token})
    assert gone.status_code == 303
    assert gone.headers["location"] == "/settings"
    assert "A sheet of yours waits" not in words(client.get("/settings").text)
    assert client.get(address).status_code == 404
    second = paste(client, "Item\tPack\tPrice\nShea butter\t1 kg\t10\n")
    assert "go on with Pasted cells" in words(client.get(OWN).text)
    assert again(client, second).status_code == 303
    assert "waits" not in words(client.get(OWN).text)
    assert client.post("/drafts/thrown", data={"sheet": "../../../x", "page": "/"}).status_code == 303
