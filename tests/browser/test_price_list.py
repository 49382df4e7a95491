"""A price list from the screen to paper and to a file, without JavaScript."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, PdfMargins, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser

LISTS = "/price/lists"
MARGINS: PdfMargins = {"top": "10mm", "right": "10mm", "bottom": "10mm", "left": "10mm"}


def sheets(page: Page, paper: str) -> int:
    """How many sheets of paper a page is printed on."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", page.pdf(format=paper, margin=MARGINS)))


def copies(page: Page, name: str, many: int) -> None:
    """More products like one, by JSON."""
    found = page.request.get("/api/products?page_size=200").json()["items"]
    ident = next(one["id"] for one in found if one["name"] == name)
    for number in range(many):
        made = page.request.post(f"/api/products/{ident}/copy", data={"name": f"Hair butter {number + 1}, 50 g"})
        assert made.status == 201, made.text()


def test_forty_products_are_on_one_sheet_of_paper_and_come_as_a_file(open_page: Callable[..., Page]) -> None:
    page = open_page(java_script_enabled=False)
    load_example(page)
    copies(page, "Hair butter 50 g", 28)
    page.goto(LISTS)
    page.get_by_label("For", exact=True).select_option(label="Market stall")
    page.get_by_label("Unit prices").select_option(label="per 100 g or 100 mL")
    page.get_by_label("suggested prices too, marked").check()
    page.get_by_role("button", name="Show it").first.click()
    expect(page.locator("tbody tr")).to_have_count(40)
    assert {paper: sheets(page, paper) for paper in ("A4", "Letter")} == {"A4": 1, "Letter": 1}
    with page.expect_download() as coming:
        page.get_by_role("link", name="XLSX").click()
    assert coming.value.suggested_filename == "price-list-market-stall-2026-11-25.xlsx"
