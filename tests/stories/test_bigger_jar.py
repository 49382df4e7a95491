"""From the line to a bigger jar that is offered, and to one that is not worth it; without JavaScript and on a phone too.

The tin of 100 g is the one of DEVELOPERS.md: at 17.00 ten a month bring 22.43 more than now, at 10.00 34.68 less.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser
WAYS = {
    "at a desk": {"viewport": {"width": 1280, "height": 800}},
    "on a phone without JavaScript": {"viewport": {"width": 390, "height": 844}, "java_script_enabled": False},
}


@pytest.fixture(params=WAYS)
def page(request: pytest.FixtureRequest, open_page: Callable[..., Page]) -> Page:
    """The example, at the line."""
    page = open_page(locale="en-GB", **WAYS[request.param])
    load_example(page)
    page.goto("/price")
    return page


def think_of(page: Page, price: str) -> None:
    """From the line to the pomade's own page, and from there to a tin of 100 g at a price."""
    page.get_by_role("link", name="Firm pomade 50 g", exact=True).first.click()
    stall = page.locator("[id^='c-']").filter(has=page.get_by_role("heading", name="Market stall")).first
    stall.get_by_role("link", name="Is another size worth it").click()
    expect(page.get_by_role("heading", name="A bigger jar?", level=1)).to_be_visible()
    page.get_by_label("New size, on the label").first.fill("100")
    page.get_by_label("Jars you expect to sell").first.fill("10")
    page.get_by_label("Who would have bought the small jar").first.fill("50")
    page.get_by_text("Price, jar, lid and minutes of the new size").click()
    own = page.locator("details", has=page.get_by_text("Price, jar, lid and minutes of the new size")).first
    own.get_by_label("Its price").select_option(label="I type it")
    own.get_by_label("Price", exact=True).fill(price)
    own.get_by_text("or a new one").first.click()
    own.get_by_label("What it is called").first.fill("Tin 110 mL")
    own.get_by_label("Price of one").first.fill("0.62")
    page.get_by_role("button", name="Is it worth it?").click()


def test_from_the_line_to_offering_it(page: Page) -> None:
    think_of(page, "17.00")
    expect(page.get_by_role("heading", name="Worth it.")).to_be_visible()
    expect(page.get_by_text("brings £22.43 a month more than now")).to_be_visible()
    page.get_by_role("button", name="Offer it").click()
    expect(page.get_by_role("heading", name="Firm pomade 100 g", level=1)).to_be_visible()
    page.goto("/price?page=all")
    row = page.get_by_role("row").filter(has_text="Firm pomade 100 g").filter(has_text="Market stall").first
    expect(row).to_contain_text("£17.00")


def test_one_that_ends_in_not_at_this_price_and_is_kept_as_a_note(page: Page) -> None:
    think_of(page, "10.00")
    expect(page.get_by_role("heading", name="Not at this price.")).to_be_visible()
    expect(page.get_by_text("brings £34.68 a month less than now")).to_be_visible()
    page.get_by_role("button", name="Keep this as a note").click()
    note = page.locator("section", has=page.get_by_role("heading", name="What you found out about sizes"))
    expect(note).to_contain_text("Not at this price.")
    note.get_by_role("link", name="Ask it again").click()
    expect(page.get_by_role("heading", name="Not at this price.")).to_be_visible()
