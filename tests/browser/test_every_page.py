"""Every kind of page in a browser: accessible, quiet, no wider than the screen, whole without JavaScript, printable."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}
EMPTY = (
    "/",
    "/buy/orders",
    "/buy/materials",
    "/buy/packs",
    "/make/formulas",
    "/price",
    "/price/products",
    "/decide/what-if",
    "/settings",
)
LISTS = (
    "/buy/orders",
    "/buy/materials",
    "/buy/suppliers",
    "/make/formulas",
    "/price/products",
    "/price/channels",
    "/price/parts",
)
FIXED = (
    "/",
    "/price",
    "/price?only=below",
    "/price?group=formula&show=net&show=month",
    "/price/weakest",
    "/price/suggested",
    "/price/looks",
    "/price/dearer",
    "/price/lists",
    "/settings",
    "/settings/workshop",
    "/settings/terms",
    "/settings/people",
    "/settings/bills",
    "/buy/materials/paste",
    "/buy/quotes/new",
    "/buy/orders/lines",
    "/buy/check",
    "/buy/packs",
    "/decide/what-if",
    "/api/docs",
)


def load_example(page: Page) -> None:
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    expect(page.get_by_role("heading", name="What needs you now")).to_be_visible()


def kinds_of_pages(page: Page) -> list[str]:
    """One of every kind: lists, new ones, the first thing of each list with its acts, a product's decisions."""
    found = [*FIXED, "/settings/people/new", "/settings/bills/new"]
    for listing in LISTS:
        page.goto(listing)
        first = page.locator(f'tbody a[href^="{listing}/"]').first.get_attribute("href") or ""
        found += [listing, f"{listing}/new", first]
        if listing in ("/buy/orders", "/buy/materials", "/make/formulas", "/price/products"):
            found.append(f"{first}/edit")
        if listing == "/make/formulas":
            found.append(f"{first}/swap")
    product = next(one for one in found if one.startswith("/price/products/") and one[-1].isdigit())
    page.goto(product)
    pair = page.locator('a[href$="/price"]', has_text="Decide").first.get_attribute("href") or ""
    return [
        *found,
        f"{product}/try",
        f"{product}/how/full",
        pair,
        *(pair[: -len("price")] + act for act in ("target", "why", "room", "lower", "batch")),
    ]


LINKS = re.compile(r'<a\b[^>]*?\bhref="(/[^"]*)"')


def faults(page: Page) -> list[str]:
    found = Axe().run(page, options=RULES).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:160]}" for one in found]


# Higher than any page is read at once: the bar that stays at the foot of a form covers nothing that could be scrolled.
SCREENS = [
    {"viewport": {"width": width, "height": 4000}, "color_scheme": theme}
    for width in (1280, 390)
    for theme in ("light", "dark")
]


@pytest.mark.deep  # over a minute each; `.ci/run browser` runs them
@pytest.mark.parametrize("screen", SCREENS, ids=lambda one: f"{one['viewport']['width']} {one['color_scheme']}")
def test_axe_finds_nothing_and_nothing_is_wider_than_the_screen(
    open_page: Callable[..., Page], screen: dict[str, Any]
) -> None:
    page = open_page(**screen)
    complaints = {path: found for path in EMPTY if (found := _looked_at(page, path))}
    load_example(page)
    complaints |= {path: found for path in kinds_of_pages(page) if (found := _looked_at(page, path))}
    assert complaints == {}


def _looked_at(page: Page, path: str) -> list[str]:
    page.goto(path)
    wider = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    return (
        faults(page)
        + (["wider than the screen"] if wider else [])
        + ([] if page.locator("h1").count() == 1 else ["h1"])
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
        assert not page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"), path
        assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)", path
        for pressed in page.locator("nav, button, .missing a").all():
            assert not pressed.is_visible(), (path, pressed.inner_text())


@pytest.mark.deep  # over a minute each; `.ci/run browser` runs them
@pytest.mark.deep
def test_no_link_is_dead(page: Page) -> None:
    load_example(page)
    seen, waiting = {"/"}, ["/"]
    shapes: set[str] = set()
    while waiting:
        path = waiting.pop()
        answer = page.request.get(path)  # by the browser's own client; drawing each page is other tests' work
        assert answer.status == 200, path
        for href in LINKS.findall(answer.text()):
            plain = unescape(href).split("#", 1)[0]
            shape = "".join("0" if letter.isdigit() else letter for letter in plain)
            if plain not in seen and shape not in shapes and not plain.startswith("/static/"):
                seen.add(plain)
                shapes.add(shape)
                waiting.append(plain)
    assert len(seen) > 30
