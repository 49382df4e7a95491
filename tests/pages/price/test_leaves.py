"""What a price leaves that is typed beside a change: at once, at the cost that was worked out there.

Figures from paper: 2 kg at 12.40 and 2 kg at 27.60 of one day are 80.00 for 4 kg, 20 a kg. The jar takes 100 g, so it
costs 2.00, and at 3.80 it leaves 1.80: 47.4 %.
"""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from tests.pages.filling import changed, fields_in, fill
from tests.pages.workshop import CHANNELS, ORDER, ORDERS, PRODUCTS, kitchen_with_a_jar, number_of


def words(page: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", "", page)).replace("\u00a0", " ").split())


@pytest.fixture
def looked(client: TestClient) -> str:
    """What dearer shea butter changes, looked at: the jar at 2.50 with a target of 50."""
    kitchen_with_a_jar(client)
    at = f"{PRODUCTS}/{number_of(client, PRODUCTS, 'Jar')}/{number_of(client, CHANNELS, 'Stall')}/price"
    assert fill(client, at, at, amount="2.50").status_code == 303
    mill = number_of(client, "/buy/suppliers", "The mill")
    dearer = {"supplier": mill, "new_supplier": "", "lines-0-new_kind": "", "lines-0-price": "27.60", "more": "preview"}
    return str(fill(client, f"{ORDERS}/new", ORDERS, named={**ORDER, **dearer}).text)


def typed(client: TestClient, looked: str, amount: str) -> Any:
    """What the field asks for when that amount is typed into it."""
    address = unescape(re.search(r'hx-post="(/price/leaves[^"]*)"', looked)[1])  # type: ignore[index]
    sent = changed(fields_in(looked, ORDERS), named={"prices-0-amount": amount})
    return client.post(address, data=sent, headers={"HX-Request": "true"})


@pytest.mark.parametrize(
    ("amount", "said"),
    [
        ("3.80", "€3.80 leaves 47.4 %, 2.6 points short of 50, \u20ac1.80 of each"),
        ("4,00", "€4.00 leaves 50 %, just at the target of 50, \u20ac2.00 of each"),
        ("5", "€5.00 leaves 60.0 %, 10 points above 50, \u20ac3.00 of each"),
        ("1", "€1.00 leaves -100.0 %, 150 points short of 50, -\u20ac1.00 of each"),
        ("", ""),
        ("3.8.0", "This isn't a number. Type digits, such as 12.50."),
    ],
)
def test_it_is_said_at_the_cost_then_and_nothing_is_stored(
    client: TestClient, looked: str, amount: str, said: str
) -> None:
    answer = typed(client, looked, amount)
    assert answer.status_code == 200
    assert 'id="left-prices-0"' in answer.text
    assert words(answer.text).replace("\u2212", "-") == said
    assert client.get("/api/orders").json()["total"] == 1


def test_what_is_no_row_of_the_page_is_no_page(client: TestClient, looked: str) -> None:
    sent = fields_in(looked, ORDERS)
    for at, cost in (("prices-9", "2"), ("lines-0", "2"), ("prices-00", "2"), ("prices-0", "x"), ("prices-0", "")):
        assert client.post(f"/price/leaves?at={at}&cost={cost}", data=sent).status_code == 404
    for wrong in ({"prices-0-product": "999"}, {"prices-0-channel": "x"}, {"prices-0-product": ""}):
        assert client.post("/price/leaves?at=prices-0&cost=2", data={**sent, **wrong}).status_code == 404


@pytest.mark.browser
def test_in_a_browser_it_stands_there_as_it_is_typed(page: Page) -> None:
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    page.goto("/buy/materials")
    page.get_by_role("link", name="Shea butter, refined").click()
    page.get_by_role("link", name="Buy it again").click()
    page.locator('[name="lines-0-price"]').fill("900")
    page.get_by_role("button", name="See what it changes").click()
    page.locator('[name="prices-0-answer"]').select_option("take")
    said = page.locator("#left-prices-0")
    page.locator('[name="prices-0-amount"]').fill("1.x")
    expect(said).to_contain_text("This isn't a number.")
    page.locator('[name="prices-0-amount"]').fill("9000")
    expect(said).to_contain_text("above")
    expect(page.locator('[name="prices-0-amount"]')).to_be_focused()
