"""A workshop whose every name, note and reason is hostile, in a browser: nothing of it runs, on no page."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.every_page import PAGES, VARIANTS, by_browser, filled, load_example
from tests.hostile import hostile_seed
from tests.tried import tell
from webapp import example

pytestmark = pytest.mark.browser

#: what a page says when its rules for content are broken, put down before any of its own scripts run
LISTENING = (
    "window.broken = []; addEventListener('securitypolicyviolation', one => broken.push(one.violatedDirective));"
)


@pytest.mark.deep  # minutes; `.ci/run deep` runs it
def test_no_page_of_a_hostile_workshop_breaks_a_rule_for_its_content(
    open_page: Callable[..., Page], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The console is watched by every browser test: an error in it, or an address outside, fails this one too."""
    monkeypatch.setattr(example, "seed", hostile_seed)
    page = open_page()
    page.add_init_script(LISTENING)
    load_example(page)
    wrong = []
    addresses = filled(PAGES + VARIANTS, by_browser(page))
    for address in addresses:
        page.goto(address)
        wrong += [f"{address}: {one}" for one in page.evaluate("broken")]
        if page.locator("x-evil, [evil], [onmouseover]").count():
            wrong.append(f"{address}: something was let in")
    tell("pages of a hostile workshop in a browser", len(addresses), wrong, "content rules, console, injected elements")


def test_a_broken_rule_would_be_noticed(browser: object, live_server: str) -> None:
    context = browser.new_context(base_url=live_server)  # type: ignore[attr-defined]  # its console is not watched
    page = context.new_page()
    page.add_init_script(LISTENING)
    page.goto("/")
    page.evaluate("document.body.insertAdjacentHTML('beforeend', '<p style=\"color: red\">')")
    assert page.evaluate("new Promise(done => setTimeout(() => done(broken.length)))")
    context.close()
