"""What a name was meant to be instead is chosen where a new thing is asked about, with and without JavaScript."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields, fields_in
from tests.pages.workshop import MATERIALS, ORDERS, order

SLIP = {"lines-0-material": "Shae buter", "lines-0-new_kind": "", "new_supplier": "Another mill"}
CHOICE = '<option value="=Shea butter">no: Shea butter</option>'


def materials(client: TestClient) -> int:
    return client.get(MATERIALS).text.count('<th scope="row">')


def test_without_javascript_a_slip_is_refused_and_put_right_by_one_choice(client: TestClient) -> None:
    order(client)
    refused = order(client, **SLIP)
    assert refused.status_code == 422
    assert CHOICE in refused.text
    assert materials(client) == 1
    sent = {**fields_in(refused.text, ORDERS), "lines-0-new_kind": "=Shea butter"}
    looked = client.post(ORDERS, data={**sent, "more": "preview"})
    assert looked.status_code == 200
    assert fields_in(looked.text, ORDERS)["lines-0-material"] == "Shea butter"
    assert client.post(ORDERS, data=sent).status_code == 303
    assert materials(client) == 1


def test_what_stands_under_the_line_offers_it(client: TestClient) -> None:
    order(client)
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named={"lines-0-material": "Shae buter"})
    said = client.post(f"{ORDERS}/line?row=lines-0", data=sent).text
    assert "Did you mean Shea butter? If so, choose it." in said
    assert CHOICE in said
    assert "Last time" not in said


def test_the_last_pack_comes_with_what_was_meant(client: TestClient) -> None:
    order(client)
    chosen = {"lines-0-material": "Shae buter", "lines-0-new_kind": "=Shea butter", "supplier": "1"}
    sent = changed(fields(client, f"{ORDERS}/new", ORDERS), named=chosen)
    filled = fields_in(client.post(ORDERS, data={**sent, "more": "last"}).text, ORDERS)
    assert [filled[f"lines-0-{name}"] for name in ("material", "size", "unit")] == ["Shea butter", "1", "kg"]


@pytest.mark.parametrize("kind", ["=", "=No such thing", "=Shae buter"])
def test_a_choice_that_is_none_is_asked_again(client: TestClient, kind: str) -> None:
    order(client)
    answer = order(client, **{**SLIP, "lines-0-new_kind": kind})
    assert answer.status_code == 422
    assert fields_in(answer.text, ORDERS)["lines-0-material"] == "Shae buter"
    assert materials(client) == 1


@pytest.mark.browser
def test_in_a_browser_the_choice_takes_the_place_of_the_slip(page: Page) -> None:
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    page.goto(f"{ORDERS}/new")
    page.locator('[name="supplier"]').select_option(label="Sorrelgate Botanicals")
    page.locator('[name="lines-0-material"]').fill("magno buter")
    page.keyboard.press("Enter")
    page.locator('[name="lines-0-new_kind"]').select_option(label="no: Mango butter")
    expect(page.locator('[name="lines-0-material"]')).to_have_value("Mango butter")
    expect(page.locator('[name="lines-0-price"]')).to_have_value("21.90")
    expect(page.locator('[name="lines-0-packs"]')).to_be_focused()
    expect(page.locator('[name="lines-0-new_kind"]')).to_have_count(0)


@pytest.mark.browser
@pytest.mark.parametrize(
    ("supplier", "goes_to"),
    [
        # it was bought here before: its pack and price are brought, so the line is done
        ("Sorrelgate Botanicals", "lines-1-material"),
        # never bought here: the pack has still to be typed
        ("Tuppahanna Wax and Butter", "lines-0-size"),
    ],
)
def test_in_a_browser_the_choice_goes_on_to_what_the_line_lacks(page: Page, supplier: str, goes_to: str) -> None:
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    page.goto(f"{ORDERS}/new")
    page.locator('[name="supplier"]').select_option(label=supplier)
    page.locator('[name="lines-0-material"]').fill("magno buter")
    page.keyboard.press("Enter")
    page.locator('[name="lines-0-packs"]').fill("2")
    page.locator('[name="lines-0-new_kind"]').select_option(label="no: Mango butter")
    expect(page.locator('[name="lines-0-new_kind"]')).to_have_count(0)
    expect(page.locator(f'[name="{goes_to}"]')).to_be_focused()
