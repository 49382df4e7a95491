"""What was opened is open again after the way back, and paper says whose it is and wastes no sheet."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser


def test_an_opened_sum_is_open_again_after_the_way_back_from_its_order(open_page: Callable[..., Page]) -> None:
    page = open_page(viewport={"width": 1000, "height": 700}, locale="en-GB")
    load_example(page)
    page.goto("/price/products")
    page.goto(page.get_by_role("link", name="Firm pomade 50 g", exact=True).get_attribute("href") or "")
    page.locator("tr", has_text="Ingredients").locator(".how-link").click()
    steps = page.locator("#how-ingredients details")
    expect(steps.first).to_be_visible()
    link = page.locator("#how-ingredients a[href^='/buy/orders/']").first
    steps.evaluate_all("every => every.forEach((one) => (one.open = true))")
    page.evaluate("window.scrollTo(0, 400)")
    link.click()
    expect(page.locator("tr:target th")).to_be_visible()
    page.go_back()
    expect(link).to_be_visible()
    page.wait_for_function("window.scrollY > 0")


@pytest.mark.parametrize("path", ["/price?page=all", "/price/products"])
def test_no_sheet_of_paper_is_blank_and_each_says_whose_it_is(open_page: Callable[..., Page], path: str) -> None:
    page = open_page(locale="en-GB")
    load_example(page)
    page.goto(path)
    boxes = re.findall(rb"/MediaBox\s*\[0 0 ([0-9.]+) ([0-9.]+)\]", page.pdf(prefer_css_page_size=True))
    assert boxes
    # The line lies down, and so does every sheet of it: one that stands is the blank one after it.
    assert len({float(wide) > float(high) for wide, high in boxes}) == 1
    page.emulate_media(media="print")
    expect(page.locator(".on-paper")).to_contain_text("Wendlemoor Hair Kitchen")
    expect(page.get_by_text("More about this price").first).not_to_be_visible()


def test_the_points_of_a_plot_are_gone_through_by_keyboard(open_page: Callable[..., Page]) -> None:
    """One tab stop; arrow keys and Home go from point to point, and what each tells is said and shown."""
    page = open_page(viewport={"width": 360, "height": 700}, locale="en-GB")
    load_example(page)
    page.goto("/buy/materials")
    page.goto(page.get_by_role("link", name="Shea butter, refined", exact=True).get_attribute("href") or "")
    slider = page.locator("[data-plot-at]").first
    box = page.locator(".plot-box").first
    slider.focus()
    dots = box.locator(".plot-dot")
    newest = box.locator("output").inner_text()
    expect(box.locator(".plot-dot.at")).to_have_count(1)
    page.keyboard.press("Home")
    expect(box.locator("output")).not_to_have_text(newest)
    first = box.locator("output").inner_text()
    assert first in dots.locator("title").all_text_contents()
    assert slider.get_attribute("aria-valuetext") == first
    page.keyboard.press("End")
    expect(box.locator("output")).to_have_text(newest)
    page.keyboard.press("Tab")
    expect(slider).not_to_be_focused()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
