"""A page in a browser: how long from asking for it until it is drawn whole and what is pressed is answered."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urljoin

from playwright.sync_api import sync_playwright

from tests.bench.first_page import program, served
from tests.conftest import launch

#: milliseconds from asking until all scripts have run and two frames more were drawn: a press is answered from then on
UNTIL_USABLE = """() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(
    () => done(performance.now()))))"""


def usable_after(folder: Path, paths: tuple[str, ...], rounds: int) -> dict[str, list[float]] | None:
    """Milliseconds until each page can be used, of the program as it is served; None where there is no browser.

    Each page is asked for once beforehand, so that the server keeps what it keeps between two looks.
    """
    with served(program(folder), folder) as (address, _), sync_playwright() as playwright:
        browser = launch(playwright)
        if browser is None:
            return None
        page = browser.new_page()
        page.set_default_timeout(600_000)
        found: dict[str, list[float]] = {path: [] for path in paths}
        for once in range(rounds + 1):
            for path in paths:
                page.goto(urljoin(address, path))
                if once:
                    found[path].append(page.evaluate(UNTIL_USABLE))
        browser.close()
    return found
