"""Any page as of a day: asked in its foot, its links stay on the day, and no act is offered that would be refused."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta

import pytest
from starlette.testclient import TestClient

from tests.asked import Client
from tests.pages.workshop import CHANNELS, MATERIALS, example, number_of
from webapp import pages
from webapp.app import make_app
from webapp.costing.book import KINDS, SHELVES
from webapp.pages import addresses
from webapp.pages.as_of import stay_on
from webapp.settings import Settings

pytestmark = pytest.mark.long

DAY, TODAY = date(2026, 1, 5), date(2026, 11, 25)
YESTERDAY = TODAY - timedelta(1)


def of_the_page(html: str) -> str:
    """What a page says between its band and its foot."""
    return html.split("<main", 1)[1].split("</main>", 1)[0]


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ('<a href="/buy/orders">', '<a href="/buy/orders?on=2026-01-05">'),
        ('<a href="/">', '<a href="/?on=2026-01-05">'),
        ('<a href="/price?sort=margin#row">', '<a href="/price?sort=margin&amp;on=2026-01-05#row">'),
        ('<a href="?sort=name">', '<a href="?sort=name&amp;on=2026-01-05">'),
        ('<a href="/price?on=2025-01-01">', '<a href="/price?on=2025-01-01">'),
        ('<a href="/price?a=b&amp;on=2025-01-01">', '<a href="/price?a=b&amp;on=2025-01-01">'),
        ('<a hx-get="/price/products/3/how/full">', '<a hx-get="/price/products/3/how/full?on=2026-01-05">'),
        ('<a data-today href="/price">', '<a data-today href="/price">'),
        ('<link href="/static/a.css?v=1">', '<link href="/static/a.css?v=1">'),
        ('<a href="#main">', '<a href="#main">'),
        ('<a href="https://mill.example/">', '<a href="https://mill.example/">'),
        ('<form method="get" data-as-of action="/x">', '<form method="get" data-as-of action="/x">'),
        (
            '<form method="get" class="try">',
            '<form method="get" class="try"><input type="hidden" name="on" value="2026-01-05">',
        ),
    ],
)
def test_a_link_stays_on_the_day(written: str, kept: str) -> None:
    assert stay_on(written, DAY) == kept
    assert stay_on(kept, DAY).count("on=2026-01-05") == kept.count("on=2026-01-05")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """The invented workshop, loaded once for all that only look."""
    app = make_app(Settings(data=tmp_path_factory.mktemp("shop"), database=None), today=lambda: TODAY)
    with Client(app, base_url="http://127.0.0.1", follow_redirects=False) as client:
        example(client)
        for name in ("Dearer", "Cheaper"):
            kept = client.post("/api/what-ifs", json={"name": name, "suppositions": []})
            assert kept.status_code == 201, kept.text
        yield client


#: what an address asks for beside things
ANOTHER_SIZE = "?product={product}&channel={channel}&candidates-0-declared=150&jars=20&share=60&more=ask"
ASKED = {
    addresses.COMPARED: "?a=1&b=2",
    addresses.PAY_PRICE: "?by=5",
    addresses.SIZE: ANOTHER_SIZE,
    addresses.SIZE_HOW: ANOTHER_SIZE,
    addresses.SIZE_ROW: ANOTHER_SIZE,
}
FIGURE = {
    addresses.PRICE_LIST_HOW: "price",
    addresses.PAY_HOW: "jars",
    addresses.HOURS_HOW: "used",
    addresses.LOWER_HOW: "1",
    addresses.BATCH_SIZES_HOW: "1500",
    addresses.SIZE_HOW: "gain-0",
    addresses.SIZE_ROW: "price_100",
}


def every_address(client: TestClient) -> Iterator[str]:
    """Every address of the pages that is looked at, once, with the first thing of its kind and a figure that opens."""
    book = client.app.state.store.snapshot(YESTERDAY).book  # type: ignore[attr-defined]
    product = min(book.products)
    channel = min(book.products[product].channels or book.channels)
    for route in (one for router in pages.routers for one in router.routes):
        if "GET" not in getattr(route, "methods", ()):
            continue
        path = route.path  # type: ignore[attr-defined]
        # the data itself and the door have no other day
        if path.startswith((addresses.DATA, addresses.DEVICES, addresses.SIGN_IN, addresses.PAIRED)):
            continue
        kind = addresses.kind_at(path) or "material"
        shelf = getattr(book, SHELVES[KINDS[kind]][1]) if kind not in addresses.SINGLE else {1: None}
        figure = FIGURE.get(path, "margin" if "{channel}" in path else "full")
        there = {"ident": min(shelf, default=1), "product": product, "channel": channel, "figure": figure}
        found = path + ASKED.get(path, "")
        yield found.format(**there, version=1, way="after", place=0, which="c0")


def test_on_another_day_no_address_offers_an_act(shop: TestClient) -> None:
    seen, offering, not_there = 0, [], []
    for path in every_address(shop):
        answer = shop.get(f"{path}{'&' if '?' in path else '?'}on={YESTERDAY}")
        while answer.status_code in (303, 307):
            answer = shop.get(answer.headers["location"])
        seen += 1
        if answer.status_code != 200:
            not_there.append((path, answer.status_code))
        elif 'method="post"' in answer.text or "hx-post" in of_the_page(answer.text):
            offering.append(path)
    assert offering == []
    assert not_there == []
    assert seen > 50


def test_today_acts_are_offered(shop: TestClient) -> None:
    """What the walk above looks for is really there on other days."""
    assert 'method="post"' in of_the_page(shop.get(material(shop)).text)


def material(shop: TestClient) -> str:
    return f"{MATERIALS}/{number_of(shop, MATERIALS, 'Argan oil')}"


def test_the_foot_asks_for_a_day_and_keeps_what_was_asked(shop: TestClient) -> None:
    page = shop.get("/price?sort=margin&done=3").text
    form = page.split('<form method="get" data-as-of', 1)[1].split("</form>", 1)[0]
    assert '<input type="hidden" name="sort" value="margin">' in form
    assert 'name="done"' not in form


def test_the_banner_leads_back_to_today(shop: TestClient) -> None:
    page = shop.get(f"/price?sort=margin&on={DAY}").text
    assert "As it was on 5 Jan 2026." in page
    assert '<a data-today href="/price?sort=margin">Back to today</a>' in page
    assert 'name="on" value="2026-01-05" required' in page


def test_every_link_of_a_page_stays_on_the_day(shop: TestClient) -> None:
    page = shop.get(f"{material(shop)}?on={TODAY - timedelta(30)}").text
    links = [link for link in re.findall(r'<a href="(/[^"]*)"', page) if not link.startswith("/static")]
    assert len(links) > 5
    assert [link for link in links if f"on={TODAY - timedelta(30)}" not in link] == []


def test_a_form_is_shown_as_it_was_or_leads_to_the_one_of_today(shop: TestClient) -> None:
    stall = f"{CHANNELS}/{min(shop.app.state.store.snapshot(DAY).book.channels)}"  # type: ignore[attr-defined]
    assert '<fieldset class="as-was" id="channel" disabled>' in shop.get(f"{stall}?on={DAY}").text
    edit = shop.get(f"{material(shop)}/edit?on={DAY}").text
    assert f'data-today href="{material(shop)}/edit">Change it as it is today' in edit


def test_what_was_not_there_yet_says_where_it_is_today(shop: TestClient) -> None:
    order = max(shop.app.state.store.snapshot(TODAY).book.orders)  # type: ignore[attr-defined]
    answer = shop.get(f"/buy/orders/{order}?on=2020-01-01")
    assert answer.status_code == 404
    assert f'href="/buy/orders/{order}">The same page today</a>' in answer.text


def test_an_address_is_escaped_in_the_foot(shop: TestClient) -> None:
    page = shop.get("/price", params={"x": '"><script>1</script>'}).text
    assert "<script>1" not in page
