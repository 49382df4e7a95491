"""From the line to a bigger jar that is worth it and is offered, and one that is not worth it at its price."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser


def from_the_line(page: Page, name: str, where: str, *, script: bool) -> None:
    """A row of the line opened, and from there on to another size."""
    page.goto("/price")
    row = page.get_by_role("row").filter(has=page.get_by_role("link", name=name, exact=True)).filter(has_text=where)
    if script:
        row.get_by_role("link", name="cost sheet").click()
        page.get_by_role("link", name="Is another size worth it?").click()
    else:
        row.get_by_role("link", name=name, exact=True).click()
        page.locator("section.sold").filter(has_text=where).get_by_role("link", name="Is another size worth it").click()
    expect(page.get_by_role("heading", name="A bigger jar?")).to_be_visible()


def expected(page: Page, size: str, jars: str, share: str) -> None:
    """A size, and what is expected of it."""
    page.get_by_label("New size, on the label").fill(size)
    page.get_by_label("Jars you expect to sell").fill(jars)
    page.get_by_label("Who would have bought the present jar").fill(share)


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_from_the_line_to_offer_it(open_page: Callable[..., Page], script: bool) -> None:
    page = open_page(java_script_enabled=script)
    load_example(page)
    from_the_line(page, "Hair butter 50 g", "Market stall", script=script)
    expected(page, "150", "12", "50")
    page.get_by_role("button", name="Is it worth it?").click()
    expect(page.get_by_role("heading", name="Worth it.")).to_be_visible()
    page.get_by_role("button", name="Keep this as a note").click()
    expect(page.get_by_role("heading", name="What you found out about sizes")).to_be_visible()
    page.get_by_role("link", name="Ask it again").click()
    page.get_by_role("button", name="Offer it").click()
    page.get_by_label("Yes, I am sure").check()
    page.get_by_role("button", name="Offer it").click()
    expect(page.get_by_role("heading", level=1, name="Melting hair butter 150 g")).to_be_visible()
    page.get_by_role("button", name="Undo").click()
    expect(page.get_by_text("taken back").or_(page.get_by_text("undone")).first).to_be_visible()


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_one_that_is_not_worth_it_at_its_price(open_page: Callable[..., Page], script: bool) -> None:
    page = open_page(java_script_enabled=script)
    load_example(page)
    from_the_line(page, "Hair butter 100 g", "Market stall", script=script)
    page.get_by_text("Price, jar, lid and minutes of the new size").click()
    page.locator("[name=candidates-0-way]").select_option("typed")
    page.locator("[name=candidates-0-price]").fill("17.00")
    expected(page, "200", "12", "100")
    page.get_by_role("button", name="Is it worth it?").click()
    expect(page.get_by_role("heading", name="Not at this price.")).to_be_visible()
    expect(page.locator("#size-found")).to_contain_text("It would be worth it once its price is at least")
