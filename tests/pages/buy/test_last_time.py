"""The last pack, unit and price of a material come into an order line by themselves, over nothing that was typed."""

from __future__ import annotations

import json
import re

import pytest
from playwright.sync_api import Locator, Page, Route, expect
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in, fill
from tests.pages.workshop import ORDERS, number_of, order

SUPPLIERS = "/buy/suppliers"
LINE = f"{ORDERS}/line?row=lines-0"
SHEA = {"lines-0-material": "Shea butter"}
ABROAD = {"currency": "USD", "exchange-way": "home per unit", "exchange-amount": "0.8"}


@pytest.fixture
def bought(client: TestClient) -> tuple[int, int]:
    """Shea butter: 1 kg packs at 12.40 with 20 % tax in it from the mill, then 25 lb at 90 USD from the far mill."""
    taxed = {"lines-0-tax_rate": "20", "lines-0-tax_included": "yes"}
    assert order(client, day="2026-03-02", **taxed).status_code == 303
    far = {"lines-0-size": "25", "lines-0-unit": "lb", "lines-0-price": "90", "new_supplier": "The far mill", **ABROAD}
    assert order(client, day="2026-05-04", **far).status_code == 303
    return number_of(client, SUPPLIERS, "The mill"), number_of(client, SUPPLIERS, "The far mill")


def filled_in(client: TestClient, **typed: object) -> dict[str, str]:
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named=typed, draft=None)  # the next begins anew
    answer = client.post(ORDERS, data={**sent, "more": "last"})
    assert answer.status_code == 200
    assert 'id="e-' not in answer.text
    return fields_in(answer.text, ORDERS)


def line_of(sent: dict[str, str]) -> tuple[str, str, str, str]:
    return (sent["lines-0-packs"], sent["lines-0-size"], sent["lines-0-unit"], sent["lines-0-price"])


def test_the_button_fills_in_from_the_chosen_supplier_s_last_order(client: TestClient, bought: tuple[int, int]) -> None:
    sent = filled_in(client, supplier=bought[0], **SHEA)
    assert line_of(sent) == ("", "1", "kg", "12.40")
    assert (sent["lines-0-tax_rate"], sent.get("lines-0-tax_included")) == ("20", "yes")
    assert sent["currency"] == "EUR"
    assert client.post(ORDERS, data={**sent, "lines-0-packs": "3"}).status_code == 303


def test_the_supplier_sets_the_currency_of_an_empty_order(client: TestClient, bought: tuple[int, int]) -> None:
    sent = filled_in(client, supplier=bought[1], **SHEA)
    assert sent["currency"] == "USD"
    assert line_of(sent) == ("", "25", "lb", "90.00")
    assert (sent["lines-0-tax_rate"], sent.get("lines-0-tax_included")) == ("0", None)


def test_what_was_typed_stays(client: TestClient, bought: tuple[int, int]) -> None:
    typed = {"lines-0-size": "5", "lines-0-unit": "lb", "lines-0-price": "11", "lines-0-tax_rate": "7"}
    sent = filled_in(client, supplier=bought[0], **SHEA, **typed)
    assert line_of(sent) == ("", "5", "lb", "11")
    assert (sent["lines-0-tax_rate"], sent.get("lines-0-tax_included")) == ("7", None)
    assert filled_in(client, supplier=bought[1], **SHEA, currency="GBP")["currency"] == "GBP"
    begun = filled_in(client, supplier=bought[1], **SHEA, **{"lines-0-price": "80"})
    assert (begun["currency"], begun["lines-0-price"]) == ("EUR", "80")


def test_a_pack_of_another_size_gets_neither_unit_nor_price_of_the_last_one(
    client: TestClient, bought: tuple[int, int]
) -> None:
    sent = filled_in(client, supplier=bought[0], **SHEA, **{"lines-0-size": "500"})
    assert line_of(sent) == ("", "500", "", "")  # 12.40 was for 1 kg, and 500 kg nobody buys
    assert sent["lines-0-tax_rate"] == "20"
    same = filled_in(client, supplier=bought[0], **SHEA, **{"lines-0-size": "1"})
    assert line_of(same) == ("", "1", "kg", "12.40")


def test_no_price_of_another_currency_or_another_supplier(client: TestClient, bought: tuple[int, int]) -> None:
    assert line_of(filled_in(client, **SHEA)) == ("", "25", "lb", "")  # the last of all was in USD
    assert fill(client, f"{SUPPLIERS}/new", SUPPLIERS, name="A third", currency="EUR").status_code == 303
    third = number_of(client, SUPPLIERS, "A third")
    assert line_of(filled_in(client, supplier=third, **SHEA)) == ("", "", "", "")
    assert line_of(filled_in(client, new_supplier="A fourth", **SHEA)) == ("", "", "", "")


def test_what_stands_under_a_line(client: TestClient, bought: tuple[int, int]) -> None:
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named={"supplier": bought[0], **SHEA})
    said = client.post(LINE, data=sent).text
    assert "Last time from The mill, 2 Mar 2026: 1 kg at" in said
    assert 'data-into="lines-0-price" data-text="12.40"' in said
    unknown = client.post(LINE, data={**sent, "lines-0-material": "Cocoa butter"}).text
    assert "Cocoa butter is new; it is" in unknown
    assert 'name="lines-0-new_kind"' in unknown
    assert 'name="lines-0-new_kind"' not in said
    assert client.post(f"{ORDERS}/line?row=charges-0", data=sent).status_code == 404
    assert client.get(ORDERS).text.count("The mill") == 1


def test_an_order_being_corrected_is_not_its_own_last_time(client: TestClient, bought: tuple[int, int]) -> None:
    del bought
    page = client.get(ORDERS).text
    newest = page.split(f'href="{ORDERS}/')[2].split('"', 1)[0]
    assert "Last time from The mill, 2 Mar 2026" in client.get(f"{ORDERS}/{newest}/edit").text


def test_a_line_that_fills_in_a_price_brings_its_currency_first(client: TestClient, bought: tuple[int, int]) -> None:
    """Whoever types on before the supplier's answer has come must not get 90 dollars as 90 euros."""
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named={"supplier": bought[1], **SHEA})
    said = client.post(LINE, data=sent).text
    currency, price = (
        'data-into="currency" data-text="USD" data-over="EUR"',
        'data-into="lines-0-price" data-text="90.00"',
    )
    assert said.index(currency) < said.index(price)
    goes_with = said.split(price, 1)[1].split("data-with='", 1)[1].split("'", 1)[0]
    assert json.loads(goes_with) == [["currency", "USD"], ["lines-0-size", "25"], ["lines-0-unit", "lb"]]
    assert 'data-into="currency"' not in client.post(LINE, data={**sent, "currency": "USD"}).text


def test_the_tax_that_is_brought_is_said_beside_the_line(client: TestClient) -> None:
    taxed = {"lines-0-tax_rate": "7.7", "lines-0-tax_included": "yes"}
    assert order(client, **taxed).status_code == 303
    mill = number_of(client, "/buy/suppliers", "The mill")
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named={"supplier": mill, "lines-0-material": "Shea butter"})
    words = "Tax 7.7\u00a0% in the price as last time."
    assert words in client.post(LINE, data=sent).text
    assert words not in client.post(LINE, data={**sent, "lines-0-tax_rate": "20"}).text
    # Drawn as a whole, it says so only of what stands in the field.
    assert words not in client.post(ORDERS, data={**sent, "more": "lines"}).text
    filled = client.post(ORDERS, data={**sent, "more": "last"}).text
    assert words in filled
    # One rate on all that was bought is said where it is folded away; of several each stands open.
    assert re.search(r'<details class="fold"><summary>Discount, tax \(7.7 %\), what arrived', filled)
    other = {"lines-1-material": "Mango", "lines-1-packs": "1", "lines-1-tax_rate": "20"}
    apart = client.post(ORDERS, data={**fields_in(filled, ORDERS), **other, "more": "lines"}).text
    assert len(re.findall(r'<details class="fold"[^>]* open data-by-itself><summary>Discount, tax, what', apart)) == 2


@pytest.mark.browser
def test_in_a_browser_the_line_fills_as_its_material_is_named(page: Page) -> None:
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    page.goto(f"{ORDERS}/new")

    def says(name: str, text: str) -> None:
        expect(page.locator(f'[name="{name}"]')).to_have_value(text)

    page.locator('[name="supplier"]').select_option(label="Sorrelgate Botanicals")
    page.locator('[name="lines-0-material"]').fill("mango butter")
    page.keyboard.press("Enter")
    expect(page.locator('[name="lines-0-packs"]')).to_be_focused()
    # The example's last order of it there: packs of 1.5 kg at 21.90, 20 % tax on top.
    for name, text in (("size", "1.5"), ("unit", "kg"), ("price", "21.90"), ("tax_rate", "20")):
        says(f"lines-0-{name}", text)
    page.keyboard.type("2")
    expect(page.locator("#order-sum")).to_contain_text("52.56")  # 2 x 21.90 = 43.80, and 20 %
    page.locator('[name="lines-0-price"]').fill("22")
    page.locator('[name="lines-0-material"]').fill("Castor oil")
    with page.expect_response("**/drafts"):
        page.keyboard.press("Enter")
    says("lines-0-price", "22")  # typed
    says("lines-0-size", "")  # of that supplier there was only a small pack in a hurry

    page.goto(f"{ORDERS}/new")
    page.get_by_role("button", name="Start anew").click()
    page.locator('[name="supplier"]').select_option(label="Tuppahanna Wax and Butter")
    says("currency", "USD")
    expect(page.locator('[name="exchange-amount"]')).to_be_visible()
    page.locator('[name="lines-0-material"]').fill("Castor oil")
    page.keyboard.press("Enter")
    says("lines-0-unit", "US gallon")
    says("lines-0-price", "48.90")
    for _ in range(4):
        page.keyboard.press("Enter")
    expect(page.locator('[name="lines-1-material"]')).to_be_focused()
    page.keyboard.type("Marula oil")
    page.keyboard.press("Tab")
    expect(page.locator('[name="lines-1-new_kind"]')).to_be_visible()
    page.locator('[name="lines-2-material"]').press_sequentially("Tin")  # the last of three: a fourth opens below
    expect(page.locator('[name="lines-3-material"]')).to_have_count(1)
    expect(page.locator('[name="lines-4-material"]')).to_have_count(0)


@pytest.mark.browser
def test_what_comes_while_somebody_types_is_typed_over_and_never_beside_another_pack(page: Page) -> None:
    """Answers that come late: into the field where the next key falls, and beside a pack that was typed meanwhile."""
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    page.goto(f"{ORDERS}/new")
    page.locator('[name="supplier"]').select_option(label="Sorrelgate Botanicals")
    late: list[Route] = []

    def hold(route: Route) -> None:
        late.append(route)

    def field(name: str) -> Locator:
        return page.locator(f'[name="{name}"]')

    page.route("**/buy/orders/line?*", hold)
    with page.expect_request("**/buy/orders/line?*"):
        field("lines-0-material").fill("mango butter")
        page.keyboard.press("Tab")
    field("lines-0-size").focus()
    page.keyboard.press("ControlOrMeta+a")
    late.pop().continue_()
    expect(field("lines-0-size")).to_have_value("1.5")
    page.keyboard.type("3")
    expect(field("lines-0-size")).to_have_value("3")

    with page.expect_request("**/buy/orders/line?*"):
        field("lines-1-material").fill("mango butter")
        page.keyboard.press("Tab")
    field("lines-1-size").press_sequentially("500")
    late.pop().continue_()
    expect(page.locator("#about-lines-1")).to_contain_text("Last time")
    expect(field("lines-1-size")).to_have_value("500")
    expect(field("lines-1-unit")).to_have_value("")  # nobody bought 500 kg
    expect(field("lines-1-price")).to_have_value("")  # 21.90 was for 1.5 kg
    expect(field("lines-1-tax_rate")).to_have_value("20")
