"""A material's price found still right, by JSON: set, read, taken back; what is old honours it, and no cost moves."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.sending import doubts

#: the example looks back 9 months: on 25 November 2026 what is from before 25 February 2026 is old
ORDER = {"day": "2026-01-05", "currency": "EUR"}


@pytest.fixture
def old(client: TestClient, ids: dict[str, int]) -> str:
    """Where the review of a material is that was bought long ago."""
    made = client.post("/api/materials", json={"name": "Mango butter"}).json()["id"]
    line = {"material": made, "packs": "1", "size": "1", "unit": "kg", "price": "20.00"}
    assert client.post("/api/orders", json={**ORDER, "supplier": ids["barn"], "lines": [line]}).status_code == 201
    return f"/api/materials/{made}/review"


def stale(client: TestClient) -> list[str]:
    return [one["name"] for one in client.get("/api/needs").json()["stale"]]


def put(client: TestClient, address: str, **body: Any) -> Any:
    return client.put(address, json=body, headers={"If-Match": client.get(address).headers["ETag"]})


def test_it_is_no_longer_old_and_its_cost_is_the_same(client: TestClient, old: str) -> None:
    material = old.removesuffix("/review")
    before = client.get(material).json()["figures"]
    assert "Mango butter" in stale(client)
    assert before["stale"] is True
    said = put(client, old, since="2026-11-25", reason="asked")
    assert said.json()["now"] == {
        "material": int(material.rpartition("/")[2]),
        "since": "2026-11-25",
        "answer": "still right",
        "reason": "asked",
    }
    assert "Mango butter" not in stale(client)
    assert client.get(material).json()["figures"] == before | {"stale": False}
    assert "Mango butter" in [one["name"] for one in client.get("/api/needs?on=2026-11-24").json()["stale"]]


def test_it_is_dated_today_where_no_day_is_sent_and_taken_back_by_its_day(client: TestClient, old: str) -> None:
    assert put(client, old).json()["now"]["since"] == "2026-11-25"
    tag = {"If-Match": client.get(old).headers["ETag"]}
    assert client.post(f"{old}/withdraw", json={"since": "2026-11-24"}, headers=tag).status_code == 404
    back = client.post(f"{old}/withdraw", json={"since": "2026-11-25"}, headers=tag)
    assert back.json() == {"now": None, "dated": []}
    assert "Mango butter" in stale(client)
    assert [one["kind"] for one in client.get(f"{old}/history").json()["items"]] == [
        "review taken back",
        "price found still right",
    ]


def test_an_old_price_says_what_depends_on_it(client: TestClient, ids: dict[str, int], old: str) -> None:
    """Nothing does yet; then a formula of it alone, in a jar: all that hangs on it is its own grams."""
    (told,) = [one for one in client.get("/api/needs").json()["stale"] if one["name"] == "Mango butter"]
    assert told == {
        "material": told["material"],
        "name": "Mango butter",
        "day": "2026-01-05",
        "formulas": [],
        "products": [],
        "prices": 0,
        "share": None,
        "most": None,
    }
    line = {"material": told["material"], "amount": "100", "unit": "percent"}
    melt = client.post("/api/formulas", json={"name": "Melt", "batch_grams": "1000", "lines": [line]}).json()["id"]
    fill = {"formula": melt, "declared": "100", "unit": "g"}
    jar = {"name": "Tub", "fills": [fill], "channels": [ids["channel"]]}
    jar["sure"] = doubts(client, "/api/products", jar)
    jar = client.post("/api/products", json=jar).json()["id"]
    (told,) = [one for one in client.get("/api/needs").json()["stale"] if one["name"] == "Mango butter"]
    assert (told["formulas"], told["products"], told["prices"], told["most"]) == ([melt], [jar], 1, jar)
    assert told["share"] == "1"


def test_what_it_is_refused_for(client: TestClient, old: str) -> None:
    ahead = put(client, old, since="2026-11-26")
    assert (ahead.status_code, ahead.json()["error"]["faults"][0]["field"]) == (422, "since")
    assert put(client, old, answer="perhaps").status_code == 422
    assert client.put(old, json={}).status_code == 428
    first = {"If-Match": client.get(old).headers["ETag"]}
    assert client.put(old, json={}, headers=first).status_code == 200
    assert client.put(old, json={"reason": "again"}, headers=first).status_code == 409
    assert client.get("/api/materials/999999/review").status_code == 404
