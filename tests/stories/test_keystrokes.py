"""How many keys a line of an order takes beyond its numbers: at most 25, with and without JavaScript, known or new.

Counted is every key from a line's first field to the next line's: letters of names and units, Enter, Tab, choices.
Not counted are the digits that stand on the invoice.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser
MOST = 25
NEW = {"packs": "1", "size": "2", "unit": "kg", "price": "38.00"}
LID, PART = "Black lid for the 120 and 250 mL jars", "120 and"
LIDS = {"packs": "3", "size": "100", "unit": "pi", "price": "18.20"}


class Strokes:
    """A person at a keyboard whose strokes are counted; a field that a key leads to is selected whole."""

    def __init__(self, page: Page, step: str) -> None:
        self.page, self.step, self.counted = page, step, 0

    def press(self, *keys: str) -> None:
        for key in keys:
            self.counted += 1
            self.page.keyboard.press(key)

    def at(self) -> str:
        """The name of the field, or the words of the button, that has the focus."""
        return str(self.page.evaluate("(({name, value, textContent}) => name && name !== 'more' ? name : "
                                      "(textContent || value || '').trim())(document.activeElement)"))  # fmt: skip

    def to(self, name: str) -> None:
        """Step on until a field or a button has the focus."""
        for _ in range(2 * MOST):
            if self.at() == name:
                return
            self.press(self.step)
        raise AssertionError(f"{self.step} does not lead to {name}, but to {self.at()}")

    def line(self, row: int, name: str, numbers: dict[str, str]) -> None:
        """One line: its name, then its numbers, and its unit."""
        self.to(f"lines-{row}-material")
        self.press(*name)
        for field, text in numbers.items():
            self.to(f"lines-{row}-{field}")
            if field == "unit":
                self.press(*text)
            else:
                self.page.keyboard.type(text)

    def taken(self) -> int:
        found, self.counted = self.counted, 0
        return found


@pytest.mark.parametrize("java_script", [True, False], ids=["with JavaScript", "without JavaScript"])
def test_a_line_takes_few_keys(open_page: Callable[..., Page], java_script: bool) -> None:
    page = open_page(java_script_enabled=java_script, locale="en-GB")
    load_example(page)
    page.goto("/buy/orders/new")
    page.locator('[name="supplier"]').select_option(label="Sorrelgate Botanicals")
    page.locator('[name="lines-0-material"]').focus()
    keys = Strokes(page, "Enter" if java_script else "Tab")
    counts: dict[str, int] = {}

    if java_script:  # its pack, unit and price come by themselves
        keys.line(0, "mango butter", {"packs": "2"})
        expect(page.locator('[name="lines-0-price"]')).to_have_value("21.90")
    else:
        keys.line(0, "mango butter", {"packs": "2", "size": "1.5", "unit": "kg", "price": "21.90"})
    keys.to("lines-1-material")
    counts["known"] = keys.taken()

    keys.line(1, "Marula oil", NEW)
    if java_script:
        keys.to("lines-1-new_kind")
        keys.press(*"an")
    keys.to("lines-2-material")
    counts["new"] = keys.taken()

    keys.line(2, PART, LIDS)
    if java_script:
        keys.to("lines-2-new_kind")
        keys.press("n")
        expect(page.locator('[name="lines-2-material"]')).to_have_value(LID)
    else:
        keys.to("Add lines")
        keys.press("Enter")
        expect(page.locator('[name="lines-3-material"]')).to_be_focused()
    keys.to("lines-3-material")
    counts["by a part of its name"] = keys.taken()

    if not java_script:  # which of two names was meant is asked once the page has been sent; kg says what is new
        page.get_by_role("button", name="See what it changes").click()
        keys.to("lines-2-new_kind")
        keys.taken()
        keys.press("n", keys.step)
        counts["by a part of its name"] += keys.taken()
        keys.to("Fill in from the last order")
        keys.press("Enter")
        expect(page.locator('[name="lines-2-material"]')).to_have_value(LID)
    expect(page.locator('[name="lines-1-new_kind"]')).to_have_value("ingredient")
    assert max(counts.values()) <= MOST, counts
