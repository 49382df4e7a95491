"""What buying puts on paper: figures and decisions, in ink on white, without what is only pressed or still empty."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, PdfMargins, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser
MARGINS: PdfMargins = {"top": "10mm", "right": "10mm", "bottom": "10mm", "left": "10mm"}
#: A4 less its margins, in CSS pixels
PAPER = {"width": 718, "height": 1047}
SHEETS = re.compile(rb"/Type\s*/Page\b(?!s)")


@pytest.fixture
def page(open_page: Callable[..., Page]) -> Page:
    """The example, looked at on a dark screen that is as wide as paper."""
    page = open_page(viewport=PAPER, color_scheme="dark")
    load_example(page)
    return page


def ident_of(page: Page, name: str) -> int:
    found = page.request.get(f"/api/materials?search={name}").json()["items"]
    return int(found[0]["id"])


def on_paper(page: Page) -> str:
    """The words that are printed. Nothing is dark, nothing is pressed there, nothing stands over the edge."""
    page.emulate_media(media="print")
    ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
    wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    pressed = [one for one in page.locator("button, .button, nav").all() if one.is_visible()]
    assert (ground, wide <= 0, pressed) == ("rgb(255, 255, 255)", True, [])
    return " ".join(page.locator("body").inner_text().replace("\u00a0", " ").split())


def test_the_preview_of_an_order(page: Page) -> None:
    """900 for a pack of shea butter: every jar with it falls; a second, blank line and blank charges stay off."""
    page.goto(f"/buy/orders/new?material={ident_of(page, 'shea')}")
    page.locator('[name="lines-0-price"]').fill("900")
    page.get_by_role("button", name="See what it changes").click()
    expect(page.locator("#impact")).to_be_visible()
    words = on_paper(page)
    for wanted in ("What this changes", "then below target", "new price leaves", "What moves them", "Shea butter"):
        assert wanted in words
    for useless in ("Only where it is not in the list", "Arrived usable", "Freight and other charges What", "One tax"):
        assert useless not in words
    lines = [one for one in page.locator("[data-line]").all() if one.is_visible()]
    assert len(lines) == 1
    assert "Sales tax of 20 % on every line and charge." in words
    assert len(SHEETS.findall(page.pdf(format="A4", margin=MARGINS))) <= 6


def test_packs_with_their_answer(page: Page) -> None:
    page.goto(f"/buy/packs?material={ident_of(page, 'shea')}")
    page.locator('[name="needs-0-amount"]').fill("12000")
    page.get_by_role("button", name="Find the cheapest packs").last.click()
    expect(page.get_by_text("Cheapest:").first).to_be_visible()
    assert "Cheapest:" in on_paper(page)
    assert len([one for one in page.locator("[data-lines=needs] [data-line]").all() if one.is_visible()]) == 1


@pytest.mark.parametrize(
    ("path", "wanted"),
    [
        ("/buy/materials/{shea}", "Price history|Suppliers and packs side by side|Cautions"),
        ("/buy/check", "Check these prices|As bought|What depends on it"),
        ("/buy/quotes/new?material={shea}", "A quote|Shea butter|Price of a pack"),
        ("/changes", "What was saved lately|Example workshop loaded"),
        ("/buy/orders", "Supplier orders|With freight and charges"),
        ("/buy/orders?show=taken-back", "Orders taken back|No order was taken back."),
    ],
)
def test_what_else_is_printed(page: Page, path: str, wanted: str) -> None:
    page.goto(path.format(shea=ident_of(page, "shea")))
    words = on_paper(page)
    assert [one for one in wanted.split("|") if one not in words] == []
    assert "Show: All that count" not in words
