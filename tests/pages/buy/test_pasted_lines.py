"""Lines pasted from a sheet: looked at first, then in the order's form beside what was typed; nothing is stored."""

from __future__ import annotations

from html import unescape
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in
from tests.pages.workshop import ORDERS, order

LINES = f"{ORDERS}/lines"
SHEET = "Item;Qty;Pack size;Price\nShea buter;2;2,5 kg;31,00\nTin;3;48 pcs;12,40\n"


def pasted(client: TestClient, text: str, start: dict[str, str] | None = None, **typed: Any) -> Any:
    """Paste into the empty page, or into one that was come to from an order's form."""
    sent = start or fields(client, LINES, LINES)
    return client.post(LINES, data=changed(sent, named={"list": text, "more": "look", **typed}))


def stored(client: TestClient) -> int:
    return sum(int(client.get(f"/api/{stem}").json()["total"]) for stem in ("orders", "materials"))


def test_lines_are_looked_at_and_land_in_the_form_and_are_saved_there(client: TestClient) -> None:
    order(client)
    before = stored(client)
    shown = pasted(client, SHEET)
    assert shown.status_code == 200
    assert "Put 2 lines into the order" in shown.text
    assert "Read with a decimal comma, because of 2,5." in shown.text
    assert "Shea buter is not in the book yet. Did you mean Shea butter?" in shown.text
    form = client.post(LINES, data=fields_in(shown.text, LINES))
    assert form.status_code == 200
    sent = fields_in(form.text, ORDERS)
    assert stored(client) == before
    first = [sent[f"lines-0-{name}"] for name in ("material", "packs", "size", "unit", "price", "tax_rate")]
    assert first == ["Shea buter", "2", "2.5", "kg", "31.00", "0"]
    second = [sent[f"lines-1-{name}"] for name in ("material", "packs", "size", "unit", "price")]
    assert second == ["Tin", "3", "48", "pieces", "12.40"]
    assert "Did you mean Shea butter?" in form.text
    assert 'aria-invalid="true"' not in form.text
    assert "99.20" in form.text  # 2 x 31.00 + 3 x 12.40
    new = {"new_supplier": "A mill", "lines-0-material": "Shea butter", "lines-1-new_kind": "packaging"}
    assert client.post(ORDERS, data=changed(sent, named=new)).status_code == 303


def test_what_was_typed_in_the_order_stands_there_again(client: TestClient) -> None:
    typed = {"new_supplier": "A mill", "number": "R-7", "lines-1-material": "Salt", "lines-1-packs": "4"}
    charged = {"charges-0-amount": "4.95", "note": 'two\n"lines"', "lines-1-new_kind": "ingredient"}
    form = changed(fields(client, f"{ORDERS}/new", ORDERS), named={**typed, **charged})
    page = client.post(LINES, data=form)
    assert page.status_code == 200
    shown = pasted(client, SHEET, fields_in(page.text, LINES))
    sent = fields_in(client.post(LINES, data=fields_in(shown.text, LINES)).text, ORDERS)
    assert (sent["new_supplier"], sent["number"], sent["charges-0-amount"]) == ("A mill", "R-7", "4.95")
    assert sent["note"] == 'two\n"lines"'
    assert [sent[f"lines-{row}-material"] for row in range(3)] == ["Salt", "Shea buter", "Tin"]
    assert (sent["lines-0-packs"], sent["lines-0-new_kind"]) == ("4", "ingredient")
    for steering in ("token", "version", "draft", "page"):
        assert sent[steering] == form[steering]
    half = client.get(f"{ORDERS}/new").text
    assert "It is in the form again, not saved yet." in half
    assert 'value="Shea buter"' in half


def test_a_second_paste_says_what_stands_there_already_and_may_start_anew(client: TestClient) -> None:
    first = fields_in(client.post(LINES, data=fields_in(pasted(client, SHEET).text, LINES)).text, ORDERS)
    again = client.post(LINES, data=first)
    assert "2 lines stand in the order's form already: what is pasted is put below." in unescape(again.text)
    shown = pasted(client, SHEET, fields_in(again.text, LINES))
    both = fields_in(client.post(LINES, data=fields_in(shown.text, LINES)).text, ORDERS)
    assert [both[f"lines-{row}-material"] for row in range(4)] == ["Shea buter", "Tin"] * 2
    anew = pasted(client, SHEET, fields_in(again.text, LINES), anew="yes")
    sent = fields_in(anew.text, LINES)
    assert sent["anew"] == "yes"
    only = fields_in(client.post(LINES, data=sent).text, ORDERS)
    assert [only.get(f"lines-{row}-material", "") for row in range(4)] == ["Shea buter", "Tin", "", ""]
    assert "stand in the order's form already" not in unescape(client.get(LINES).text)


def test_a_number_with_two_readings_is_named_before_it_is_put_in(client: TestClient) -> None:
    shown = pasted(client, "Item\tQty\tSize\tPrice\nSalt\t2\t96,000 g\t9.50\n")
    assert '<span class="under">96,000 is read as 96000, not as 96: look whether that is right.</span>' in shown.text


def test_lines_are_pasted_into_an_order_that_is_corrected(client: TestClient) -> None:
    there = order(client).headers["location"].partition("?")[0]
    number = there.rpartition("/")[2]
    assert f'formaction="{LINES}?order={number}"' in client.get(f"{there}/edit").text
    page = client.post(f"{LINES}?order={number}", data=fields(client, f"{there}/edit", there))
    shown = pasted(client, "Item,Qty,Pack size,Price\nShea butter,1,500 g,8.00\n", fields_in(page.text, LINES))
    form = client.post(LINES, data=fields_in(shown.text, LINES))
    assert client.post(there, data=fields_in(form.text, there)).status_code == 303
    now = client.get(there).text
    assert "500 g" in now
    assert "32.80" in now  # 2 x 12.40 + 8.00
    for strange in ("0", "x", "99999"):
        assert client.post(f"{LINES}?order={strange}", data={"day": ""}).status_code in (200, 404)
        assert client.post(LINES, data={"list": "Item,Qty,Price\na,1,1.50\n", "order": strange}).status_code == 404


def test_all_or_nothing(client: TestClient) -> None:
    bad = pasted(client, SHEET + "Wax;x;1 kg;9,50\n", more="")
    assert bad.status_code == 422
    assert "1 of 3 rows cannot be put in yet (line 4)" in bad.text
    assert "Packs: x is no amount. Type digits." in bad.text
    assert "Put 3 lines" not in bad.text
    assert fields_in(bad.text, LINES)["list"] == SHEET + "Wax;x;1 kg;9,50\n"


def test_a_sign_and_columns_are_asked_where_they_are_open(client: TestClient) -> None:
    text = "Was;Wieviel;Menge;Preis\nSalz;1;1 kg;1,250\n"
    asked = pasted(client, text)
    assert asked.status_code == 422
    assert 'id="e-columns-0"' in asked.text
    assert "Such as Preis" in asked.text
    roles = {f"columns-{place}": role for place, role in enumerate(("material", "packs", "size", "price"))}
    chosen = pasted(client, text, fields_in(asked.text, LINES), heads="yes", **roles)
    assert chosen.status_code == 422
    assert "1,250 can be read in two ways. Choose how decimals are written." in chosen.text
    assert 'id="e-sign"' in chosen.text
    read = pasted(client, text, fields_in(chosen.text, LINES), sign="comma")
    assert read.status_code == 200
    assert "1.25" in read.text
    other = pasted(client, SHEET, fields_in(read.text, LINES))  # what was chosen held for the other heads
    assert fields_in(other.text, LINES)["columns-2"] == "size"


ROWS = "Item,Qty,Pack size,Price\n" + "Shea,1,1 kg,2.50\n" * 120


def test_more_lines_than_the_form_takes_are_refused(client: TestClient) -> None:
    more = pasted(client, f"{ROWS}Shea,1,1 kg,2.50\n")
    assert more.status_code == 422
    assert "there is room for 120. Paste fewer." in more.text


@pytest.mark.deep
def test_as_many_lines_as_are_taken_can_be_sent(client: TestClient) -> None:
    shown = pasted(client, ROWS)
    assert shown.status_code == 200
    form = client.post(LINES, data=fields_in(shown.text, LINES))
    assert client.post(f"{ORDERS}/sum", data=fields_in(form.text, ORDERS)).status_code == 200


@pytest.mark.parametrize(
    "named",
    [
        {"list": "a\x00b;c\n1;2"},
        {"columns-0": "no such", "columns-19": "packs"},
        {"heads": "maybe", "sign": "dot"},
        {"kept": "text"},
        {"kept-lines-0-material-more": "x", "kept-supplier": "-5"},
        {"kept-lines": "x"},
        {"kept-lines-0": "x"},
        {"list": '"'},
        {"list": "\u202e;\U0001f600\n;"},
        {"list-0": "x"},
        {"columns": "x"},
    ],
)
def test_what_no_page_sends_is_answered_calmly(client: TestClient, named: dict[str, str]) -> None:
    for more in ("look", ""):
        sent = {"list": SHEET, "seen": "Item|Qty|Pack size|Price", "more": more, **named}
        assert client.post(LINES, data=sent).status_code in (200, 422)


@pytest.mark.browser
def test_a_file_is_read_into_the_field_and_its_lines_reach_the_form(page: Page) -> None:
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    page.goto(f"{ORDERS}/new")
    page.locator('[name="number"]').fill("R-7")
    page.get_by_role("button", name="Paste lines from a sheet").click()
    file = {
        "name": "a.csv",
        "mimeType": "text/csv",
        "buffer": "Item;Qty;Size;Price\nBeeswax, y\u00e9llow;2;1 kg;9,50".encode("cp1252"),
    }
    page.get_by_label("Or a CSV file").set_input_files(file)  # type: ignore[arg-type]
    expect(page.get_by_label("Rows of the sheet")).to_have_value(
        "Item;Qty;Size;Price\nBeeswax, y\u00e9llow;2;1 kg;9,50"
    )
    page.get_by_role("button", name="Look at the lines").click()
    page.get_by_role("button", name="Put the line into the order").click()
    expect(page.locator('[name="lines-0-material"]')).to_have_value("Beeswax, yellow")
    expect(page.locator('[name="number"]')).to_have_value("R-7")
