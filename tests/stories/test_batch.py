"""A batch is weighed at the bench: a tablet or a phone in one hand, nothing but taps and three numbers."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser
#: WCAG 2.5.5 (enhanced) asks for targets of 44 by 44 CSS pixels (from memory)
LEAST = 44
SMALL = """least => [...document.querySelectorAll(`main input:not([type=hidden]), main select, main textarea,
  main button, main label.pick`)].filter(one => !one.closest('.unseen') && !one.classList.contains('unseen')
    && !(one.type === 'checkbox' && one.closest('label.pick')) && one.getClientRects().length)
  .map(one => [one.name || one.textContent.trim().slice(0, 30), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < least || box.width < least)
  .map(([name, box]) => `${name} ${box.width}x${box.height}`)
"""


@pytest.mark.parametrize("size", [(820, 1180), (390, 844)], ids=["on a tablet", "on a phone"])
def test_a_batch_is_weighed_with_taps_and_three_numbers(open_page: Callable[..., Page], size: tuple[int, int]) -> None:
    page = open_page(viewport={"width": size[0], "height": size[1]}, has_touch=True, is_mobile=True)
    load_example(page)
    page.goto("/make/formulas")
    page.get_by_role("link", name="Firm pomade").tap()
    page.get_by_role("link", name="Make a batch").tap()
    expect(page.get_by_role("heading", name="A batch of Firm pomade")).to_be_visible()
    assert page.evaluate(SMALL, LEAST) == []
    ticks = page.locator(".weigh label.pick")
    assert ticks.count() == 7
    for place in range(7):
        if place != 4:
            ticks.nth(place).tap()
    weigh(page, "Castor oil", "1032")
    page.get_by_label("Firm pomade 50 g").fill("37")
    page.get_by_label(re.compile("Maud")).fill("75")
    page.get_by_role("button", name="Save the batch").tap()
    expect(page.get_by_text("Batch saved")).to_be_visible()
    # 980 g as planned and 1032 g of oil; 37 x 50.5 = 1868.5 are in tins: 143.5 / 2012 = 7.1 %
    told = page.locator(".facts > div")
    expect(told.filter(has_text="Weighed in").first).to_contain_text("2,012")
    expect(told.filter(has_text="Lost or left over")).to_contain_text("7.1")


def weigh(page: Page, name: str, grams: str) -> None:
    """Type what the scale showed of one ingredient."""
    page.get_by_label(re.compile(f"{name}.*weighed")).fill(grams)
