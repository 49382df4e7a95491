"""Every kind of page in a browser: accessible, quiet, no wider than the screen, whole without JavaScript, printable."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from html import unescape
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from tests.every_page import EMPTY, PAGES, VARIANTS, by_browser, filled, load_example
from tests.pages.workshop import example

pytestmark = pytest.mark.browser

# Only what is wrong is told in full: everything that is right takes half as long again to put down; so do the
# addresses of elements within a page, which nobody reads here.
RULES = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]},
    "resultTypes": ["violations"],
    "selectors": False,
    "elementRef": False,
}
LINKS = re.compile(r'<a\b[^>]*?\bhref="(/[^"]*)"')


# What lies folded is in nobody's sight and is passed over, but only when it has been looked through: on a page of many
# workings that takes five times as long as all the rest. It is taken out meanwhile; ids count wherever they stand.
LOOK = """async options => {
    const ids = [...document.querySelectorAll('[id]')].map(one => one.id)
    const twice = [...new Set(ids.filter((one, at) => ids.indexOf(one) !== at))]
    const folded = [...document.querySelectorAll('details:not([open])')].map(one =>
        [one, [...one.childNodes].filter(part => part.tagName !== 'SUMMARY')])
    folded.forEach(([, parts]) => parts.forEach(part => part.remove()))
    const {violations} = await axe.run(document, options)
    folded.forEach(([one, parts]) => one.append(...parts))
    return [twice, violations.map(one => `${one.id}: ${one.nodes[0].html.slice(0, 160)}`)]
}"""
AXE = Axe().axe_script
ONE_H1, WIDER = (
    "document.querySelectorAll('h1').length === 1",
    "document.documentElement.scrollWidth > document.documentElement.clientWidth",
)


def faults(page: Page) -> list[str]:
    """What axe finds, and every id that is there twice."""
    page.evaluate(AXE)
    twice, found = page.evaluate(LOOK, RULES)
    return [*found, *(f"an id that is there twice: {one}" for one in twice)]


# Higher than any page is read at once: the bar that stays at the foot of a form covers nothing that could be scrolled.
SCREENS = [
    {"viewport": {"width": width, "height": 4000}, "color_scheme": theme}
    for width in (1280, 390)
    for theme in ("light", "dark")
]


every_screen = pytest.mark.parametrize(
    "screen", SCREENS, ids=lambda one: f"{one['viewport']['width']} {one['color_scheme']}"
)


#: in so many parts, so that several processes share them
PARTS = 4


@pytest.mark.deep  # minutes together; `.ci/run browser` runs two screens of the four
@every_screen
@pytest.mark.parametrize("part", range(PARTS))
def test_axe_finds_nothing_and_nothing_is_wider_than_the_screen(
    open_page: Callable[..., Page], screen: dict[str, Any], part: int
) -> None:
    page = open_page(**screen)
    complaints = complaints_of(page, EMPTY[part::PARTS])
    load_example(page)
    assert complaints | complaints_of(page, filled(PAGES, by_browser(page))[part::PARTS]) == {}


@pytest.mark.deep
@every_screen
def test_axe_finds_nothing_on_pages_that_are_asked_in_another_way(
    open_page: Callable[..., Page], screen: dict[str, Any]
) -> None:
    page = open_page(**screen)
    load_example(page)
    assert complaints_of(page, filled(VARIANTS, by_browser(page))) == {}


def complaints_of(page: Page, paths: Iterable[str]) -> dict[str, list[str]]:
    return {path: found for path in paths if (found := _looked_at(page, path))}


def _looked_at(page: Page, path: str) -> list[str]:
    answer = page.goto(path)
    one_h1, wider = page.evaluate(f"[{ONE_H1}, {WIDER}]")
    return (
        faults(page)
        + (["wider than the screen"] if wider else [])
        + ([] if one_h1 else ["h1"])
        + ([] if answer is not None and answer.ok else ["not answered"])
    )


def test_a_form_with_faults_is_accessible_too(page: Page) -> None:
    page.goto("/settings/people/new")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#e-name")).to_be_visible()
    expect(page.locator("#f-name")).to_be_focused()
    assert faults(page) == []


def test_axe_would_find_a_fault(page: Page) -> None:
    page.goto("/settings")
    page.evaluate("document.querySelector('main').insertAdjacentHTML('beforeend', '<img src=\"/static/icon.svg\">')")
    assert any(one.startswith("image-alt") for one in faults(page))


def test_pages_print(open_page: Callable[..., Page]) -> None:
    page = open_page()
    load_example(page)
    for path in ("/price", "/price/products", "/buy/orders"):
        page.goto(path)
        assert page.pdf(format="A4")[:4] == b"%PDF"


def test_nothing_is_cut_on_paper_and_nothing_is_on_it_that_can_only_be_pressed(open_page: Callable[..., Page]) -> None:
    page = open_page()
    load_example(page)
    page.emulate_media(media="print")
    page.goto("/price/products")
    product = page.locator('tbody a[href^="/price/products/"]').first.get_attribute("href") or ""
    page.goto("/buy/orders")
    order = page.locator('tbody a[href^="/buy/orders/"]').first.get_attribute("href") or ""
    # A4 within margins of 10 mm, 96 dots to an inch: upright, and for the line, which has nine columns, lying down.
    for path, width in (
        ("/price", 1045),
        ("/price/dearer", 718),
        ("/price/lists?per=1000", 718),
        (product, 718),
        (order, 718),
    ):
        page.set_viewport_size({"width": width, "height": 1000})
        page.goto(path)
        assert not page.evaluate(WIDER), path
        assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)", path
        for pressed in page.locator("nav, button, .missing a").all():
            assert not pressed.is_visible(), (path, pressed.inner_text())


def what_it_asks(link: str) -> set[str]:
    """The address, and each thing that is asked of it, whatever the number: not every set of choices is a page."""
    path, _, query = re.sub(r"[0-9]", "0", link).partition("?")
    return {path, *(f"{path}?{one}" for one in query.split("&") if one)}


@pytest.mark.deep  # several hundred pages; `.ci/run browser` runs it
def test_no_link_is_dead(client: TestClient) -> None:
    """Asked without a browser, since drawing each page is other tests' work."""
    example(client)
    seen, waiting = {"/"}, ["/"]
    asked: set[str] = set()
    while waiting:
        path = waiting.pop()
        answer = client.get(path, follow_redirects=True)
        assert answer.status_code == 200, path
        for href in LINKS.findall(answer.text):
            plain = unescape(href).split("#", 1)[0]
            asks = what_it_asks(plain)
            if plain not in seen and not asks <= asked and not plain.startswith("/static/"):
                seen.add(plain)
                asked |= asks
                waiting.append(plain)
    assert len(seen) > 30
