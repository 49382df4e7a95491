"""An invoice of 12 lines with freight and a new material, by keyboard alone: three prices taken, one kept knowingly.

What is typed and what it comes to stand in tests/invoice.py; the costs shown are those reckoned there on paper.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example
from tests.invoice import FREIGHT, LINES, NEW, NEW_DENSITY, ON_PAPER, SUPPLIER, TOTAL, names

pytestmark = pytest.mark.browser
DESK, PHONE = {"width": 1280, "height": 900}, {"width": 360, "height": 740}
MOST_TABS = 400
#: what this invoice brings below its target, at the suggested price
TAKEN = (
    "Scalp oil 100 mL, Shops, wholesale",
    "Hair butter, salon tub 900 g, Shops, wholesale",
    "Scalp oil 30 mL, Market stall",
)
KEPT, REASON = "Nettle oil 100 mL, Market stall", "to get it known"


class Keys:
    """A person at a keyboard: what is not reached by Tab is not reached."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def at(self) -> str:
        """The name of the field, or the words of the button, that has the focus."""
        return str(self.page.evaluate("(({name, value, textContent}) => name && name !== 'more' ? name : "
                                      "(textContent || value || '').trim())(document.activeElement)"))  # fmt: skip

    def to(self, name: str) -> None:
        """Tab on until the field of that name, or the button with those words, has the focus."""
        for _ in range(MOST_TABS):
            if self.at() == name:
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"Tab does not lead to {name}")

    def put(self, name: str, text: str) -> None:
        """Write over what stands in a field."""
        self.to(name)
        self.page.keyboard.press("ControlOrMeta+a")
        self.page.keyboard.type(text)

    def choose(self, name: str, words: str) -> None:
        """Type the beginning of an option of a chooser; where it stops at another one, on by the arrow."""
        self.to(name)
        self.page.keyboard.type(words)
        for _ in range(MOST_TABS):
            chosen = self.page.evaluate("document.activeElement.selectedOptions[0].textContent")
            if str(chosen).startswith(words):
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{name} has no {words}")

    def press(self, words: str) -> None:
        self.to(words)
        self.page.keyboard.press("Enter")


def enter_lines(page: Page, keys: Keys, *, java_script: bool) -> None:
    called = names()
    for number, (key, packs, size, unit, price) in enumerate(LINES):
        row = f"lines-{number}"
        if not page.locator(f'[name="{row}-material"]').count():
            keys.press("Add lines")
            expect(page.locator(f'[name="{row}-material"]')).to_be_visible()
        keys.put(f"{row}-material", called[key])
        if java_script and called[key] == NEW:
            page.keyboard.press("Tab")
            expect(page.locator(f"#about-{row}")).to_contain_text("is new")
        keys.put(f"{row}-packs", packs)
        keys.put(f"{row}-size", size)
        keys.choose(f"{row}-unit", unit)
        keys.put(f"{row}-price", price)


def say_what_is_new(keys: Keys) -> None:
    last = f"lines-{len(LINES) - 1}"
    keys.choose(f"{last}-new_kind", "an ing")
    keys.put(f"{last}-density", NEW_DENSITY)


@pytest.mark.parametrize(
    ("java_script", "screen"),
    [
        (True, DESK),
        pytest.param(False, PHONE, marks=pytest.mark.deep),
        pytest.param(True, PHONE, marks=pytest.mark.deep),
        pytest.param(False, DESK, marks=pytest.mark.deep),
    ],
    ids=["at a desk", "on a phone without JavaScript", "on a phone", "at a desk without JavaScript"],
)
def test_an_invoice_is_entered_looked_at_and_saved_with_its_prices(
    open_page: Callable[..., Page], java_script: bool, screen: dict[str, int]
) -> None:
    page = open_page(java_script_enabled=java_script, locale="en-GB", viewport=screen)
    load_example(page)
    page.goto("/buy/orders/new")
    keys = Keys(page)
    keys.choose("supplier", SUPPLIER)
    enter_lines(page, keys, java_script=java_script)
    if java_script:
        say_what_is_new(keys)
    keys.put("charges-0-amount", FREIGHT)
    keys.put("invoice_total", TOTAL)
    keys.press("See what it changes")
    if not java_script:  # what is new is asked once the page has been sent
        expect(page.get_by_text("Say what it is").first).to_be_visible()
        say_what_is_new(keys)
        keys.press("See what it changes")
    block = page.locator("#impact")
    expect(block).to_be_visible()
    costs = {
        "Hair butter 50 g": "butter-50",
        "Firm pomade 50 g": "pomade-50",
        "Whipped curl butter 115 mL": "whipped-115",
    }
    for name, key in costs.items():
        before, then = ON_PAPER[key]
        row = block.locator("tr", has_text=f"{name}, Market stall").first
        expect(row).to_contain_text(f"£{then}now £{before}")
    rows = block.locator("tr.short")
    for name in (*TAKEN, KEPT):
        answer = rows.filter(has_text=name).locator("select")
        keys.choose(str(answer.get_attribute("name")), "keep it" if name == KEPT else "new price")
        if name == KEPT:
            keys.put(str(answer.get_attribute("name")).replace("-answer", "-why"), REASON)
    save = "Save the order and the prices decided"
    expect(page.get_by_role("button", name=save)).to_be_visible()
    keys.press(save)
    expect(page.get_by_text("Castor oil would cost 52.7 % less than before").first).to_be_visible()
    expect(page.locator("[data-ask]").first).to_be_visible()  # said before, and asked now
    page.wait_for_load_state()  # without JavaScript it is a new page, which may be seen before all of it is there
    for _ in range(page.locator("[name=sure]").count()):  # each doubt for itself
        keys.to("sure")
        page.keyboard.press("Space")
        page.keyboard.press("Tab")
    keys.press(save)
    expect(page.get_by_text("with 3 new prices and one price kept")).to_be_visible()
    page.get_by_role("link", name="Price", exact=True).click()
    for name in TAKEN:
        product, _, channel = name.partition(", ")
        row = page.locator("tr", has_text=product).filter(has_text=channel).first
        expect(row).not_to_have_class("short")
    page.goto("/price/products")
    page.get_by_role("link", name=KEPT.partition(",")[0]).click()
    expect(page.get_by_text(REASON).first).to_be_attached()
