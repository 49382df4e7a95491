"""Orders that were taken back: reached from the list, with when and why and what happened to them; page and JSON."""

from __future__ import annotations

import re

from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.pages.filling import fields, fill
from tests.pages.workshop import ORDERS, number_of, order

GONE, JSON = f"{ORDERS}?show=taken-back", "/api/orders/taken-back"


def entered(client: TestClient, **more: str) -> str:
    """The address of an order of shea butter."""
    return str(order(client, **more).headers["location"]).split("?", 1)[0]


def take_back(client: TestClient, there: str) -> None:
    sent = fields(client, f"{there}/without", f"{there}/withdraw")
    assert client.post(f"{there}/withdraw", data=sent).status_code == 303


def test_without_any_the_filter_says_so(client: TestClient) -> None:
    order(client)
    assert 'href="?show=taken-back"' in client.get(ORDERS).text
    page = client.get(GONE).text
    assert "No order was taken back." in page
    assert f'href="{ORDERS}">All that count</a>' in page
    assert checked(client, f"GET {JSON}", JSON).json() == {"items": []}


def test_it_stands_there_as_it_was_last_with_when_and_why(client: TestClient) -> None:
    there = entered(client, number="A 17")
    mill = str(number_of(client, "/buy/suppliers", "The mill"))
    assert fill(client, f"{there}/edit", there, number="A 18").status_code == 303
    other = entered(client, supplier=mill, new_supplier="", **{"lines-0-new_kind": "", "number": "A 19"})
    take_back(client, there)
    take_back(client, other)
    assert "A 18" not in client.get(ORDERS).text
    page = client.get(GONE).text
    # The one that went last stands first; each as it was last.
    assert [*re.findall(r"The mill, (A [0-9]+)", page.split("<tbody>", 1)[1].split("<a ", 1)[0])] == ["A 19"]
    assert page.index("The mill, A 19") < page.index("The mill, A 18")
    assert "A 17" not in page
    row = page.split("The mill, A 18", 1)[1]
    assert "Shea butter" in row
    assert "After taking back the order of" in row
    assert row.count("Order saved") == 2
    change = re.search(r'href="(/changes/[0-9]+)"', row)
    assert change
    assert "Order taken back" in client.get(change[1]).text

    told = checked(client, f"GET {JSON}", JSON).json()["items"]
    assert [one["order"]["number"] for one in told] == ["A 19", "A 18"]
    assert [one["kind"] for one in told[1]["history"]] == ["Order taken back", "Order saved", "Order saved"]
    own = client.get(f"/api/orders/{told[1]['order']['id']}/history").json()["items"]
    assert own[0] == told[1]["history"][0] | {"facts": own[0]["facts"]}
    assert client.get("/api/orders/999999/history").status_code == 404
    assert len(client.get(f"{JSON}?page_size=1").json()["items"]) == 1


def test_what_comes_back_is_gone_no_more(client: TestClient) -> None:
    there = entered(client)
    take_back(client, there)
    version = client.get(JSON).json()["items"][0]["history"][0]["version"]
    assert client.post(f"/undo/{version}?kind=order", data={"token": "a-token-of-its-own"}).status_code == 303
    assert "No order was taken back." in client.get(GONE).text


def test_an_order_whose_supplier_went_with_it_is_told_all_the_same(client: TestClient) -> None:
    order(client)
    assert client.post("/undo/1?kind=order", data={"token": "a-token-of-its-own"}).status_code == 303
    page = client.get(GONE).text
    assert "a supplier taken back" in page
    assert "nothing in the book" in page
