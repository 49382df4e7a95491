"""Break-even and pay in a browser: sales typed over and taken back, an income asked for, a figure opened in place."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser


def test_from_jars_sold_to_what_breaks_even(open_page: Callable[..., Page]) -> None:
    page = open_page(viewport={"width": 1000, "height": 800}, locale="en-GB")
    load_example(page)
    page.goto("/decide/sales")
    field = page.get_by_label("Firm pomade 50 g, Market stall", exact=True)
    expect(field).to_have_value("26")
    field.fill("126")
    page.get_by_role("button", name="Save the jars a month").click()
    expect(page.get_by_text("Jars sold a month saved").first).to_be_visible()
    page.get_by_role("navigation", name="Decide").get_by_role("link", name="Break-even and pay").click()
    sold = page.locator("dl.facts > div", has_text="Jars sold a month")
    expect(sold).to_contain_text("535")

    page.get_by_label("Wanted for yourself a month").fill("800")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", name="For £800.00 a month")).to_be_visible()
    opened = page.get_by_role("link", name=re.compile("how it comes about: Jars to sell a month"))
    opened.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#how-wanted .working").first).to_contain_text("Firm pomade 50 g")

    box = page.locator(".plot-box", has_text="against jars sold a month")
    box.locator(".plot-dot[data-to]").first.click()
    expect(page.get_by_role("heading", name="Firm pomade 50 g", level=1)).to_be_visible()
