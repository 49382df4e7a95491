"""Every page, once: what is looked at in a browser, pictured, and held against the routes of the pages.

An address is written with words in braces for the numbers in it; `numbers` says what each stands for in the example
workshop. Without the example only the `EMPTY` ones are looked at.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

#: asks an address of the program, and sends it a body where one is given; answers the text
Ask = Callable[[str, Any], str]

#: what is asked about another size, and about a size less
ANOTHER = "product={product}&channel={channel}&candidates-0-declared=150&jars=20&share=60&one_off=40"
LESS = "ask=drop&product={product}&share=0&monthly=5"
#: pages whose first look differs from their filled one
EMPTY = (
    "/",
    "/buy/orders",
    "/buy/materials",
    "/buy/packs",
    "/make/batches",
    "/make/formulas",
    "/price",
    "/price/products",
    "/decide/hours",
    "/decide/pay",
    "/decide/sales",
    "/decide/size",
    "/decide/what-if",
    "/settings",
)
#: one address for every route that answers with a page of its own
PAGES = (
    "/",
    "/buy/check",
    "/buy/materials",
    "/buy/materials/new",
    "/buy/materials/paste",
    "/buy/materials/{material}",
    "/buy/materials/{material}/edit",
    "/buy/orders",
    "/buy/orders/lines",
    "/buy/orders/new",
    "/buy/orders/{order}",
    "/buy/orders/{order}/edit",
    "/buy/orders/{order}/without",
    "/buy/packs",
    "/buy/quotes/new",
    "/buy/quotes/{quote}",
    "/buy/quotes/{quote}/counts",
    "/buy/suppliers",
    "/buy/suppliers/new",
    "/buy/suppliers/{supplier}",
    "/changes",
    "/changes/{change}",
    "/data/export",
    "/data/import",
    "/data/own",
    "/data",
    "/data/backups",
    "/data/backups/{backup}",
    "/devices",
    "/decide/hours?hours=6",
    "/decide/hours/how/used",
    "/decide/pay",
    "/decide/pay?income=800&by=-10",
    "/decide/pay/hour/{product}",
    "/decide/pay/how/after/jars",
    "/decide/pay/price/{product}/{channel}?by=10",
    "/decide/sales",
    "/decide/sales/paste",
    f"/decide/size?{ANOTHER}&more=ask",
    f"/decide/size/how/0/gain-0?{ANOTHER}",
    f"/decide/size/row/c0/{{channel}}/price_100?{ANOTHER}",
    "/decide/what-if?kept={kept}",
    "/decide/what-if/compare?a={kept}&b={other}",
    "/make/batches",
    "/make/batches/new?formula={formula}",
    "/make/batches/{batch}",
    "/make/batches/{batch}/edit",
    "/make/formulas",
    "/make/formulas/new",
    "/make/formulas/{formula}",
    "/make/formulas/{formula}/edit",
    "/make/formulas/{formula}/copy",
    "/make/formulas/{formula}/swap",
    "/price",
    "/price/channels",
    "/price/channels/new",
    "/price/channels/{channel}",
    "/price/dearer",
    "/price/dearer/{dearer}/{with}/{on}",
    "/price/lists",
    "/price/lists/how/{product}/price?channel={shop}",
    "/price/looks",
    "/price/parts",
    "/price/parts/new",
    "/price/parts/{group}",
    "/price/products",
    "/price/products/new",
    "/price/products/{product}",
    "/price/products/{product}/edit",
    "/price/products/{product}/copy",
    "/price/products/{product}/how/full",
    "/price/products/{product}/try",
    "/price/products/{product}/{channel}/opened",
    "/price/products/{product}/{channel}/how/margin",
    "/price/products/{product}/{channel}/batch",
    "/price/products/{product}/{channel}/batch/1500",
    "/price/products/{product}/{channel}/lower",
    "/price/products/{product}/{channel}/lower/1",
    "/price/products/{product}/{channel}/price",
    "/price/products/{product}/{channel}/room",
    "/price/products/{product}/{channel}/room/fee-fee",
    "/price/products/{product}/{channel}/sales",
    "/price/products/{product}/{channel}/target",
    "/price/products/{product}/{channel}/why",
    "/price/products/{product}/{channel}/why/1",
    "/price/suggested",
    "/price/weakest",
    "/settings",
    "/settings/bills",
    "/settings/bills/new",
    "/settings/bills/{bill}",
    "/settings/people",
    "/settings/people/new",
    "/settings/people/{person}",
    "/settings/terms",
    "/settings/workshop",
    "/sign-in",
)
#: the same pages asked in another way: looked at by `.ci/run deep`
VARIANTS = (
    "/api/docs",
    "/buy/quotes/{quote}/edit",
    "/buy/suppliers/{supplier}/edit",
    "/decide/size",
    "/decide/size?ask=case",
    "/decide/size?ask=set",
    "/decide/size?start=formula",
    f"/decide/size?{LESS}&more=ask",
    "/decide/what-if",
    "/make/batches/new",
    "/price/channels/{channel}/edit",
    "/price/lists?per=1000",
    "/price/parts/{group}/edit",
    "/price?group=formula&show=net&show=month",
    "/price?only=below",
    "/price?on=2026-10-01",
    "/settings/bills/{bill}/edit",
    "/settings/people/{person}/edit",
)
#: routes that answer GET with no page of their own, and why
NO_PAGES = {
    "/buy": "goes on to the orders",
    "/data/import/{token}": "is there only while a file waits (tests/stories/test_everything_out_and_in.py)",
    "/data/own/{token}": "is there only while a sheet waits (tests/stories/test_own_sheet.py)",
    "/data/work/{token}": "is there only while something long runs (tests/pages/data/test_work.py)",
    "/make": "goes on to the formulas",
    "/pair/{token}": "is there only while a link waits (tests/stories/test_tablet.py)",
    "/buy/quotes": "goes on to the materials",
}
#: what stands for a number -> where it is the first of a list by JSON
LISTED = {
    "batch": "batches",
    "bill": "bills",
    "channel": "channels",
    "formula": "formulas",
    "group": "groups",
    "material": "materials",
    "order": "orders",
    "person": "people",
    "product": "products",
    "quote": "quotes",
    "supplier": "suppliers",
}
WHAT_IFS = (("kept", "Prices up a tenth", "10"), ("other", "Prices up a twentieth", "5"))
DEARER = re.compile(r'href="/price/dearer/([0-9]+)/([0-9]+)/([0-9]+)')
SHOP = re.compile(r'href="/price/lists/how/[0-9]+/price\?channel=([0-9]+)')


def load_example(page: Page) -> None:
    """The invented workshop, loaded from the first page."""
    page.goto("/")
    page.locator('form[action="/example"] button').click()
    expect(page.get_by_role("heading", name="What needs you now")).to_be_visible()


def numbers(ask: Ask) -> dict[str, str]:
    """What each word in an address stands for in the example workshop; two what-ifs are kept for it."""
    found = {word: _first(ask, stem) for word, stem in LISTED.items()}
    found["change"] = str(json.loads(ask("/api/changes", None))["items"][0]["version"])
    found |= dict(zip(("dearer", "with", "on"), _in(DEARER, ask("/price/dearer", None)), strict=True))
    found["backup"] = json.loads(ask("/api/backups", {}))["name"]
    (found["shop"],) = _in(SHOP, ask("/price/lists", None))
    for word, name, percent in WHAT_IFS:
        supposed = [{"kind": "prices", "way": "up", "percent": percent}]
        kept = json.loads(ask("/api/what-ifs", {"name": name, "suppositions": supposed}))
        found[word] = str(kept["id"])
    return found


def _first(ask: Ask, stem: str) -> str:
    return str(json.loads(ask(f"/api/{stem}", None))["items"][0]["id"])


def _in(pattern: re.Pattern[str], text: str) -> tuple[str, ...]:
    found = pattern.search(text)
    assert found is not None, pattern.pattern
    return found.groups()


def filled(listed: tuple[str, ...], ask: Ask) -> list[str]:
    """The addresses with the numbers of the example in them."""
    known = numbers(ask)
    return [one.format_map(known) for one in listed]


def by_browser(page: Page) -> Ask:
    """Asks by the browser's own client, without drawing what it answers."""

    def ask(address: str, body: Any) -> str:
        answer = page.request.get(address) if body is None else page.request.post(address, data=body)
        assert answer.ok, address
        return answer.text()

    return ask
