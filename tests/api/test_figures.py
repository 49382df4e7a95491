"""What is reckoned, as JSON: the same figures as the core's, gaps with their cure, workings, and the preview."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from starlette.testclient import TestClient

from webapp.api import answers
from webapp.api.examples import EXAMPLES, filled
from webapp.costing import jar_working, price_working
from webapp.costing.amounts import plain, snap

FIELDS = ("cost", "margin", "suggested", "floor", "profit", "net")


def reckoning(client: TestClient) -> Any:
    """The core's own answers on what is stored."""
    return client.app.state.store.snapshot(date(2026, 11, 25)).reckoning  # type: ignore[attr-defined]


def test_the_line_says_what_the_core_says(client: TestClient, ids: dict[str, int]) -> None:
    (told,) = client.get("/api/line").json()["items"]
    (row,) = reckoning(client).line()
    assert (told["product"], told["channel"]) == (ids["product"], ids["channel"])
    for name in FIELDS:
        assert told[name] == plain(snap(getattr(row, name))), name
    assert told["reaches"] is row.reaches


def test_the_sheet_says_what_the_core_says_with_every_working(client: TestClient, ids: dict[str, int]) -> None:
    told = client.get(f"/api/products/{ids['product']}/sheet?workings=true").json()
    known = reckoning(client)
    sheet = known.sheet(ids["product"])
    for name in ("ingredients", "packaging", "labour", "overhead", "full", "direct", "making_hours"):
        assert told[name] == plain(snap(getattr(sheet, name))), name
    for name in jar_working.FIGURES:
        assert told["workings"][name] == answers.working(jar_working.working(known, ids["product"], name))
        alone = client.get(f"/api/products/{ids['product']}/workings/{name}").json()
        assert alone == told["workings"][name]


def test_the_prices_open_to_their_workings(client: TestClient, ids: dict[str, int]) -> None:
    (told,) = client.get(f"/api/products/{ids['product']}/prices?workings=true").json()["items"]
    assert set(told["workings"]) == set(price_working.FIGURES)
    assert told["workings"]["suggested"]["result"] == told["suggested"]
    assert told["workings"]["floor"]["result"] == told["floor"]
    pair = f"/api/products/{ids['product']}/channels/{ids['channel']}/workings"
    for name in price_working.FIGURES:
        assert client.get(f"{pair}/{name}").json() == told["workings"][name]
    assert client.get(f"{pair}/nothing").status_code == 404


@pytest.mark.parametrize("address", ["/api/products/{product}/sheet", "/api/products/{product}/prices", "/api/line"])
def test_workings_come_where_they_are_asked_for(client: TestClient, ids: dict[str, int], address: str) -> None:
    """They are long: without them an answer is a twentieth as large."""
    address = address.format(product=ids["product"])
    few = "&page_size=10" if address == "/api/line" else ""
    short, long = (client.get(f"{address}?workings={one}{few}") for one in ("false", "true"))
    assert client.get(f"{address}?{few}").json() == short.json()
    assert ("workings" in short.text, "workings" in long.text) == (False, True)
    assert len(short.content) * 5 < len(long.content)


def test_workings_of_a_whole_line_are_too_many_at_once(client: TestClient, ids: dict[str, int]) -> None:
    answer = client.get("/api/line?workings=true&page_size=11")
    assert (answer.status_code, answer.json()["error"]["faults"][0]["field"]) == (422, "page_size")


def test_a_material_opens_down_to_its_order(client: TestClient, ids: dict[str, int]) -> None:
    told = client.get(f"/api/materials/{ids['shea']}").json()["figures"]
    assert (told["unit_cost"], told["rule"], told["day"]) == ("0.0089", "latest", "2026-03-02")
    assert told["used"] == [[ids["order"], 0]]
    working = client.get(f"/api/materials/{ids['shea']}/working").json()
    assert working["result"] == "0.0089"
    assert '"kind":"order"' in client.get(f"/api/materials/{ids['shea']}/working").text


def test_the_order_reconciles(client: TestClient, ids: dict[str, int]) -> None:
    told = client.get(f"/api/orders/{ids['order']}").json()["figures"]
    assert (told["total"], told["difference"], told["home_total"]) == ("187", "0", "187")
    lines = client.get(f"/api/orders/{ids['order']}/working").json()["lines"]
    assert [one["result"] for one in lines] == [one["unit_cost"] for one in told["lines"]]


def test_a_gap_says_why_and_where_it_is_cured(client: TestClient, ids: dict[str, int]) -> None:
    new = client.post("/api/materials", json={"name": "Broccoli seed oil"}).json()
    gap = new["figures"]["unit_cost"]["gap"]
    assert gap["reason"].endswith(".")
    assert gap["cure"] == {"kind": "material", "id": new["id"], "field": "starting"}


def test_another_day_shows_what_held_then(client: TestClient, ids: dict[str, int]) -> None:
    assert client.get("/api/line?on=2026-03-01").json()["total"] == 0
    assert "gap" in client.get(f"/api/materials/{ids['shea']}?on=2026-03-01").json()["figures"]["unit_cost"]
    assert client.get("/api/line?on=2026-02-30").status_code == 422


def test_a_preview_shows_what_saving_does_and_stores_nothing(
    client: TestClient, ids: dict[str, int], content: Callable[[], str]
) -> None:
    body = filled(EXAMPLES["order"][1], ids) | {"day": "2026-11-20", "invoice_total": None}
    body["lines"] = [{**body["lines"][0], "price": "95.00"}]
    before = content()
    told = client.post("/api/orders/preview", json=body).json()
    assert content() == before
    assert [one["name"] for one in told["materials"]] == ["Shea butter"]
    (change,) = told["rows"]
    assert change["falls_below_target"] is True
    sure = [one["answer"] for one in told["questions"]]
    assert client.post("/api/orders", json={**body, "sure": sure}).status_code == 201
    after = client.get("/api/line").json()["items"][0]
    assert {name: after[name] for name in change["after"]} == change["after"]
    assert client.get(f"/api/materials/{ids['shea']}").json()["figures"]["unit_cost"] == told["materials"][0]["after"]


def test_a_preview_of_a_changed_order_leaves_the_old_one_out(client: TestClient, ids: dict[str, int]) -> None:
    body = filled(EXAMPLES["order"][1], ids)
    told = client.post(f"/api/orders/preview?change={ids['order']}", json=body).json()
    assert (told["materials"], told["rows"]) == ([], [])
    assert client.post("/api/orders/preview?change=999", json=body).status_code == 404


def test_a_preview_says_its_faults(client: TestClient, ids: dict[str, int]) -> None:
    body = filled(EXAMPLES["order"][1], ids)
    body["lines"] = [{**body["lines"][2], "unit": "kg"}]
    answer = client.post("/api/orders/preview", json=body)
    assert answer.status_code == 422
    assert answer.json()["error"]["faults"][0]["field"] == "lines-0-unit"


@pytest.mark.parametrize("stem", ["people", "materials", "orders", "formulas", "groups", "products", "channels"])
def test_lists_carry_the_same_figures_as_one(client: TestClient, ids: dict[str, int], stem: str) -> None:
    for item in client.get(f"/api/{stem}").json()["items"]:
        answer = client.get(f"/api/{stem}/{item['id']}")
        assert item.pop("etag") == answer.headers["ETag"]
        assert answer.json() == item
