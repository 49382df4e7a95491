"""Pictures of every screen, into `shots/`, for looking at: `python -m tests.shots`, or `.ci/run shots`.

The empty program, the example workshop and one form with a fault; two widths, two themes.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from datetime import date
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.test_every_page import SCREENS
from tests.conftest import NO_BROWSER, launch, serving
from tests.every_page import EMPTY, PAGES, VARIANTS, by_browser, filled, load_example
from webapp.app import make_app
from webapp.settings import Settings

FOLDER = Path(__file__).parent.parent / "shots"


def name_of(path: str) -> str:
    """A file's name for an address: its words, in order."""
    words = "".join(letter if letter.isalnum() else " " for letter in path).split()
    return "-".join(words) or "first"


def take(page: Page, path: str, folder: Path, before: str = "") -> None:
    """One picture of a whole page."""
    page.goto(path)
    page.screenshot(path=folder / f"{before}{name_of(path)}.png", full_page=True)


def shoot(browser: Browser, address: str) -> int:
    """Pictures of the empty pages in every screen, then of those with the example in them. How many were taken."""
    pages = []
    screens: list[dict[str, Any]] = [*SCREENS]
    for screen in screens:
        folder = FOLDER / f"{screen['viewport']['width']}-{screen['color_scheme']}"
        folder.mkdir(parents=True)
        pages.append((folder, browser.new_context(base_url=address, **screen).new_page()))
    for folder, page in pages:
        for path in EMPTY:
            take(page, path, folder, "empty-")
    load_example(pages[0][1])
    paths = filled(PAGES + VARIANTS, by_browser(pages[0][1]))
    for folder, page in pages:
        for path in paths:
            take(page, path, folder)
        page.goto("/settings/people/new")
        page.get_by_role("button", name="Save", exact=True).click()
        page.locator("#e-name").wait_for()
        page.screenshot(path=folder / "form-with-a-fault.png", full_page=True)
    return len(pages) * (len(EMPTY) + len(paths) + 1)


def main() -> int:
    """Take the pictures anew. 0 when all are there, 1 where no browser is."""
    shutil.rmtree(FOLDER, ignore_errors=True)
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        browser = launch(playwright)
        if browser is None:
            print(f"NOT CHECKED: {NO_BROWSER}", file=sys.stderr)
            return 1
        app = make_app(Settings(data=Path(data), database=None), today=lambda: date(2026, 11, 25))
        with serving(app) as address:
            taken = shoot(browser, address)
        browser.close()
    print(f"{taken} pictures in {FOLDER.name}/")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
