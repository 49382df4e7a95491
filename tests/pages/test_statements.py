"""No page asks the database more often because it holds more: as many statements for 50 of each thing as for 5."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from starlette.testclient import TestClient

from tests.pages.workshop import CHANNELS, FORMULAS, MATERIALS, ORDERS, PRODUCTS, number_of
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.store.writing import Intent

pytestmark = pytest.mark.long

SUPPLIERS, LINE, CHANGES = "/buy/suppliers", "/price", "/changes"
FEW, MANY = 5, 50
HUNDRED = Decimal(100)

#: a list, and the thing on it whose own pages are counted
LISTS = {
    MATERIALS: "Oil 0",
    ORDERS: "",
    FORMULAS: "Melt 0",
    PRODUCTS: "Jar 0",
    CHANNELS: "Stall 0",
    SUPPLIERS: "Mill 0",
}
PAGES = [
    *LISTS,
    "/",
    LINE,
    "/buy/check",
    CHANGES,
    *(f"{place}/{{}}" for place in LISTS),
    *(f"{place}/{{}}/edit" for place in (MATERIALS, ORDERS, FORMULAS, PRODUCTS)),
    *(f"{place}/new" for place in LISTS),
    f"{FORMULAS}/{{}}/swap",
    f"{PRODUCTS}/{{}}/how/full",
    f"{PRODUCTS}/{{}}/try",
]


def grow(client: TestClient, first: int, end: int, day: date) -> None:
    """More of everything: a material bought in an order of its own, made into a formula, filled, sold."""
    store = client.app.state.store  # type: ignore[attr-defined]
    puts: list[Put] = []
    for number in range(first, end):
        supplier, oil, bought, melt, jar, stall = (-10 * number - step for step in range(1, 7))
        puts += [
            Put(b.Supplier(supplier, f"Mill {number}")),
            Put(b.Material(oil, f"Oil {number}")),
            Put(
                b.Order(bought, supplier, day, (b.OrderLine(oil, Decimal(1), Decimal(1), "kg", Decimal(12)),)),
            ),
            Put(b.Formula(melt, f"Melt {number}", day, (b.FormulaLine(oil, amount=HUNDRED),), batch_grams=HUNDRED)),
            Put(b.Product(jar, f"Jar {number}", day, (b.Fill(melt, Decimal(10)),))),
            Put(b.Channel(stall, f"Stall {number}", day)),
        ]
    now = store.snapshot(day)
    store.save(puts, Intent("more of everything", epoch=now.epoch, version=now.version), day)


def statements(client: TestClient, path: str) -> int:
    """How many statements the page took, as `Server-Timing` says."""
    answer = client.get(path)
    assert answer.status_code == 200, path
    counted = re.search(r'sql;desc="([0-9]+)"', answer.headers["server-timing"])
    assert counted is not None
    return int(counted[1])


def counts(client: TestClient) -> dict[str, int]:
    """The statements of every page, once each has been read after the last change."""
    found = {}
    for page in PAGES:
        place = next((place for place in LISTS if page.startswith(f"{place}/")), "")
        path = (
            page.format(first_order(client) if place == ORDERS else number_of(client, place, LISTS[place]))
            if "{}" in page
            else page
        )
        statements(client, path)
        found[page] = statements(client, path)
    return found


def first_order(client: TestClient) -> int:
    """The number of the order from Mill 0."""
    rows = client.get(ORDERS).text.split("<tr>")
    (row,) = (row for row in rows if ">Mill 0<" in row)
    return int(row.split(f'href="{ORDERS}/', 1)[1].split('"', 1)[0])


@pytest.fixture
def grown(client: TestClient, day: date) -> tuple[dict[str, int], dict[str, int]]:
    """What every page takes with few of each thing, and with many."""
    grow(client, 0, FEW, day)
    few = counts(client)
    grow(client, FEW, MANY, day)
    return few, counts(client)


def test_no_page_takes_more_statements_for_more_things(grown: tuple[dict[str, int], dict[str, int]]) -> None:
    few, many = grown
    assert {page: (few[page], many[page]) for page in PAGES if few[page] != many[page]} == {}
    assert max(few.values()) <= 10
    assert min(few.values()) > 0


def test_the_first_page_after_a_change_takes_no_more_for_more_things(client: TestClient, day: date) -> None:
    found = []
    for first, end in ((0, FEW), (FEW, MANY)):
        grow(client, first, end, day)
        client.get(MATERIALS)
        grow(client, end + 1000, end + 1001, day)  # the same change: one more of everything
        found.append(statements(client, LINE))
    assert found[0] == found[1]


def test_what_was_saved_lately_takes_no_more_statements_for_more_changes(client: TestClient, day: date) -> None:
    """Also where things were changed again, are used by later ones, or were undone, and from the first change on."""
    counted = []
    for first, end in ((0, 1), (1, 3), (3, 15)):
        for number in range(first, end):
            grow(client, number, number + 1, day)
            rename(client, f"Oil {number}", day)
        undone = client.app.state.store.snapshot(day).version  # type: ignore[attr-defined]
        assert client.post(f"/undo/{undone}", data={"token": f"token-of-{undone:03}"}).status_code == 303
        statements(client, CHANGES)
        counted.append(statements(client, CHANGES))
    assert client.get(CHANGES).text.count("Undo first") > 1
    assert len(set(counted)) == 1
    assert counted[0] <= 10


def rename(client: TestClient, name: str, day: date) -> None:
    """Call the material otherwise, and twice, so that one change of it is in the way of another."""
    store = client.app.state.store  # type: ignore[attr-defined]
    for _ in range(2):
        now = store.snapshot(day)
        (oil,) = (one for one in now.book.materials.values() if one.name.rstrip("'") == name)
        put = Put(replace(oil, name=f"{oil.name}'"))
        store.save([put], Intent("renamed", epoch=now.epoch, version=now.version), day)
