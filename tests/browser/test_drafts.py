"""In a browser: a closed tab and a link that was followed lose nothing of what was typed, not even its last letters."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.test_every_page import faults

pytestmark = pytest.mark.browser

ORDERS, PRODUCTS = "/buy/orders", "/price/products"


def go_on(page: Page, listing: str) -> None:
    """From the list into what is half entered: it is sent as the page is left, so it may come a moment after that."""
    link = page.get_by_role("link", name="go on")
    for _ in range(40):
        page.goto(listing)
        if link.count():
            break
        page.wait_for_timeout(50)
    link.click()


def test_a_half_entered_order_survives_a_closed_tab(open_page: Callable[..., Page]) -> None:
    tab = open_page()
    other = tab.context.new_page()
    tab.goto(f"{ORDERS}/new")
    tab.locator('[name="new_supplier"]').fill("The mill")
    tab.locator('[name="lines-0-material"]').fill("Shea butter")
    tab.keyboard.press("Enter")
    tab.locator('[name="lines-0-new_kind"]').select_option("ingredient")
    tab.locator('[name="lines-0-packs"]').fill("2")
    tab.locator('[name="lines-0-size"]').fill("1")
    tab.locator('[name="lines-0-unit"]').select_option("kg")
    tab.locator('[name="lines-0-price"]').press_sequentially("12.40")
    tab.close()

    go_on(other, ORDERS)
    expect(other.get_by_text("You were typing this")).to_be_visible()
    assert faults(other) == []
    for name, text in (("material", "Shea butter"), ("new_kind", "ingredient"), ("unit", "kg"), ("price", "12.40")):
        expect(other.locator(f'[name="lines-0-{name}"]')).to_have_value(text)
    other.locator('[name="note"]').fill("half a word")  # still under way when it is saved
    other.get_by_role("button", name="Save the order").last.click()
    expect(other.get_by_text("Order saved")).to_be_visible()
    other.goto(ORDERS)
    expect(other.get_by_role("link", name="go on")).to_have_count(0)


def test_a_link_that_is_followed_costs_nothing_that_was_typed(page: Page) -> None:
    page.goto(f"{PRODUCTS}/new")
    page.locator('[name="name"]').fill("Rose jar")
    page.locator('[name="fills-0-declared"]').press_sequentially("50")
    page.get_by_role("link", name="add one", exact=True).click()
    expect(page.locator('[name="name"]')).to_have_value("Stall")
    page.get_by_role("button", name="Save the channel").click()
    expect(page.get_by_text("Channel saved: Stall")).to_be_visible()

    go_on(page, PRODUCTS)
    expect(page.locator('[name="name"]')).to_have_value("Rose jar")
    expect(page.locator('[name="fills-0-declared"]')).to_have_value("50")
    expect(page.get_by_role("checkbox", name="Stall")).to_be_visible()
    page.get_by_role("button", name="Start anew").click()
    expect(page.locator('[name="name"]')).to_have_value("")
    page.goto(PRODUCTS)
    expect(page.get_by_role("link", name="go on")).to_have_count(0)
