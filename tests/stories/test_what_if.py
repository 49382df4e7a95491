"""A higher wage and another butter, seen on the whole line before and after, accepted, taken back; as it is typed."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser


def add(page: Page, kind: str, number: int) -> None:
    """One more supposition of a kind."""
    page.get_by_label("What may change").or_(page.get_by_label("What else may change")).select_option(kind)
    page.get_by_role("button", name="Add it").click()
    expect(page.locator(f"#f-suppositions-{number}")).to_be_visible()


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_suppose_look_accept_and_take_it_back(open_page: Callable[..., Page], script: bool) -> None:
    page = open_page(java_script_enabled=script)
    load_example(page)
    page.goto("/decide/what-if")
    add(page, "wage", 0)
    page.locator("#f-suppositions-0-person").select_option(label="Maud Fennick")
    page.locator("#f-suppositions-0-amount").fill("18.00")
    add(page, "swap", 1)
    page.locator("#f-suppositions-1-material").select_option(label="Mango butter")
    page.locator("#f-suppositions-1-other").select_option(label="Shea butter, refined")
    if not script:
        page.get_by_role("button", name="See what it does").click()
    month = page.get_by_role("region", name="A month of the whole line")
    expect(month.get_by_role("row", name="Margin of the whole line")).to_contain_text("38.0")
    expect(page.locator("#impact")).to_contain_text("then below target")
    page.get_by_role("button", name="Accept what counts").click()
    undo = page.get_by_role("button", name="Undo")
    expect(page.get_by_text("What-if accepted: 2 suppositions")).to_be_visible()
    undo.click()
    expect(page.get_by_text("taken back").or_(page.get_by_text("undone")).first).to_be_visible()
