"""The narrowest screen that WCAG 2.2 asks for (320), and every page with JavaScript off and its guarding headers."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.browser.test_every_page import ONE_H1, WIDER
from tests.every_page import PAGES, VARIANTS, by_browser, filled, load_example

pytestmark = pytest.mark.browser

GUARDS = {
    "content-security-policy": "default-src 'none'",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cache-control": "no-store",
}


@pytest.mark.deep
@pytest.mark.parametrize("listed", [PAGES, VARIANTS], ids=["pages", "asked in another way"])
def test_narrow_pages_without_javascript_are_whole_and_guarded(
    open_page: Callable[..., Page], listed: tuple[str, ...]
) -> None:
    page = open_page(java_script_enabled=False, viewport={"width": 320, "height": 700})
    load_example(page)
    complaints: list[tuple[str, str]] = []
    for path in filled(listed, by_browser(page)):
        answer = page.goto(path)
        assert answer is not None
        given = answer.headers
        complaints += [(path, name) for name, start in GUARDS.items() if not given.get(name, "").startswith(start)]
        if "unsafe" in given["content-security-policy"]:
            complaints.append((path, "unsafe"))
        one_h1, wider = page.evaluate(f"[{ONE_H1}, {WIDER}]")
        if answer.status != 200 or not one_h1:
            complaints.append((path, "not whole"))
        if wider:
            complaints.append((path, "wider than the screen"))
    assert complaints == []
