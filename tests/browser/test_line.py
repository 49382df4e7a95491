"""The line in a browser: a row opens and closes by keyboard; the weakest are named in place and two prices accepted."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser


def test_from_the_weakest_three_to_two_accepted_prices(open_page: Callable[..., Page]) -> None:
    page = open_page(viewport={"width": 1000, "height": 800}, locale="en-GB")
    load_example(page)
    page.goto("/price")
    row = page.locator("a[data-opens-row]").nth(1)
    row.focus()
    page.keyboard.press("Enter")
    sheet = page.locator(".opened-sheets")
    expect(sheet).to_be_visible()
    expect(row).to_have_attribute("aria-expanded", "true")
    sheet.get_by_role("link", name=re.compile("Full cost")).click()
    expect(page.locator(".opened-row .working").first).to_be_visible()
    page.keyboard.press("Escape")
    expect(sheet).to_have_count(0)
    expect(row).to_be_focused()
    expect(row).to_have_attribute("aria-expanded", "false")
    page.keyboard.press("Enter")
    expect(sheet).to_be_visible()
    page.keyboard.press("Enter")
    expect(sheet).to_have_count(0)

    page.get_by_role("link", name="Which three are weakest, and why?").click()
    weakest = page.locator("#weakest .sentences > li")
    expect(weakest).to_have_count(3)
    expect(weakest.first).to_contain_text("Own pay takes 40.6")
    page.get_by_role("link", name="Suggested prices of these three").click()
    for name in ("Nettle oil 100 mL, Market stall", "Hair butter 50 g, Market stall"):
        page.get_by_role("checkbox", name=f"Accept of {name}", exact=True).check()
    page.get_by_role("button", name="Accept the prices ticked").click()
    expect(page.get_by_text("2 suggested prices decided").first).to_be_visible()


def test_pressing_a_dot_goes_to_its_product(open_page: Callable[..., Page]) -> None:
    page = open_page(viewport={"width": 1000, "height": 800}, locale="en-GB")
    load_example(page)
    page.goto("/price/looks?only=below")
    slider = page.locator("[data-plot-at]").first
    slider.focus()
    page.keyboard.press("Home")
    box = page.locator(".plot-box").first
    expect(box.locator("output")).to_contain_text("Nettle oil 100 mL, Market stall: 15.9")
    expect(box.get_by_role("link", name="Look at it")).to_be_visible()
    box.locator(".plot-dot[data-to]").first.click()
    expect(page.get_by_role("heading", name="Nettle oil 100 mL", level=1)).to_be_visible()
