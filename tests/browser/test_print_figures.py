"""On paper no figure is missing that stands on the screen: of one that opens to its sum the figure is printed."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.every_page import load_example

pytestmark = pytest.mark.browser

#: A4 within margins of 12 mm, 96 dots to an inch
PAPER = {"width": 703, "height": 1000}
OPENS = ".how > summary, .steps summary"


@pytest.fixture
def page(open_page: Callable[..., Page]) -> Page:
    page = open_page(viewport=PAPER)
    load_example(page)
    return page


def first(page: Page, stem: str) -> int:
    return int(json.loads(page.request.get(f"/api/{stem}").text())["items"][0]["id"])


def figures(page: Page) -> list[str]:
    """The figures that open, as they are seen."""
    return [one.inner_text().split("\n")[0] for one in page.locator(OPENS).all() if one.is_visible()]


def test_what_a_batch_took_is_on_its_paper(page: Page) -> None:
    page.goto(f"/make/batches/{first(page, 'batches')}")
    on_screen = figures(page)
    assert len(on_screen) >= 9
    page.emulate_media(media="print")
    assert figures(page) == on_screen
    assert not page.get_by_text("look at it at those of its day").is_visible()


def test_a_sum_on_paper_has_all_of_its_steps(page: Page) -> None:
    page.goto(f"/price/products/{first(page, 'products')}/how/full")
    on_screen = figures(page)
    assert on_screen
    page.emulate_media(media="print")
    assert figures(page) == on_screen


def test_what_is_folded_away_is_not_printed(page: Page) -> None:
    page.goto(f"/price/products/{first(page, 'products')}")
    page.emulate_media(media="print")
    assert not page.get_by_text("More about this price").first.is_visible()
