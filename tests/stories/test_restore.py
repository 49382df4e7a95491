"""A backup is made, something is entered by mistake, what going back would change is read, and it is gone back."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.every_page import load_example

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_from_a_mistake_back_to_the_backup(open_page: Callable[..., Page], script: bool) -> None:
    page = open_page(java_script_enabled=script, viewport={"width": 390, "height": 800})
    load_example(page)
    page.get_by_role("link", name="Settings").click()
    page.get_by_role("link", name="Your data").click()
    page.get_by_role("link", name="Backups, restore, a copy elsewhere").click()
    page.get_by_role("button", name="Make a backup now").click()
    expect(page.get_by_text("A backup was made and checked.")).to_be_visible()
    page.goto("/buy/suppliers/new")
    page.get_by_label("Name").fill("A mistake")
    page.get_by_role("button", name="Save the supplier").click()
    expect(page.get_by_role("heading", level=1, name="A mistake")).to_be_visible()
    page.goto("/data/backups")
    page.locator("tbody th a").first.click()
    expect(page.get_by_role("heading", name="What restoring it would change")).to_be_visible()
    expect(page.get_by_role("cell", name="A mistake")).to_be_visible()
    expect(page.get_by_text("No cost and no price moves.")).to_be_visible()
    page.get_by_role("button", name="Restore this backup").click()
    expect(page.get_by_text("The data is now as in that backup.")).to_be_visible()
    expect(page.locator("tbody tr")).to_have_count(2)
    page.goto("/buy/suppliers")
    expect(page.get_by_role("link", name="A mistake")).to_have_count(0)
