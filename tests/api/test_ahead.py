"""What lies ahead of today is kept, looked at, corrected and taken back by JSON as by the pages."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.sending import STEM_OF, doubts
from webapp.api.examples import EXAMPLES, filled

AHEAD = "2026-12-20"
DAYS = {"order": "day", "quote": "since", "formula": "since", "group": "since", "channel": "since", "product": "since"}


def entered(client: TestClient, ids: dict[str, int], name: str) -> Any:
    """An example once more, of a day that lies ahead."""
    body = filled(EXAMPLES[name][1], ids) | {DAYS[name]: AHEAD}
    body |= {"name": "Another one"} if "name" in body else {}
    body |= {"sure": doubts(client, "/api/orders", body)} if name == "order" else {}
    return client.post(f"/api/{STEM_OF[name]}", json=body)


@pytest.mark.parametrize("name", DAYS)
def test_a_thing_of_a_day_ahead_is_read_where_it_was_entered(
    client: TestClient, ids: dict[str, int], name: str
) -> None:
    answer = entered(client, ids, name)
    assert answer.status_code == 201, answer.text
    address = answer.headers["Location"]
    found = client.get(address)
    assert (found.status_code, found.json()[DAYS[name]]) == (200, AHEAD)
    assert len(client.get(f"{address}/history").json()["items"]) == 1
    listed = {one["id"]: one for one in client.get(f"/api/{STEM_OF[name]}").json()["items"]}
    assert listed[found.json()["id"]][DAYS[name]] == AHEAD
    assert len(listed) == 2


@pytest.mark.parametrize("name", ["formula", "group", "channel", "product"])
def test_what_lies_ahead_cannot_be_put_away_and_says_from_when_it_is_there(
    client: TestClient, ids: dict[str, int], name: str
) -> None:
    made = entered(client, ids, name)
    address, tag = made.headers["Location"], {"If-Match": made.headers["ETag"]}
    number = client.get(f"{address}/history").json()["items"][-1]["version"]
    for act in ("retire", "restore"):
        answer = client.post(f"{address}/{act}", headers=tag, json={"sure": ["in-use"]})
        assert answer.status_code == 422, answer.text
        (fault,) = answer.json()["error"]["faults"]
        assert fault["code"] == "not-yet"
        assert fault["sentence"].startswith(f"It exists from {AHEAD} on")
        assert fault["sentence"].endswith(f"undo the change that made it, number {number}.")
    assert client.post(f"/api/undo/{number}").status_code == 200
    assert client.get(address).status_code == 404
    assert client.post(f"{address}/retire", headers=tag).status_code == 404


@pytest.mark.parametrize("name", ["order", "quote"])
def test_what_lies_ahead_is_taken_back_and_returned(client: TestClient, ids: dict[str, int], name: str) -> None:
    made = entered(client, ids, name)
    address, tag = made.headers["Location"], {"If-Match": made.headers["ETag"]}
    assert client.post(f"{address}/withdraw").status_code == 428
    done = client.post(f"{address}/withdraw", headers=tag)
    assert done.status_code == 200, done.text
    assert client.get(address).status_code == 404
    assert client.get(f"/api/{STEM_OF[name]}").json()["total"] == 1
    assert client.get(f"/api/{STEM_OF[name]}/{ids[name]}").status_code == 200
    assert client.post(f"/api/undo/{done.json()['version']}").status_code == 200
    assert client.get(address).json() == made.json()


def test_an_order_of_a_day_ahead_is_corrected(client: TestClient, ids: dict[str, int]) -> None:
    made = entered(client, ids, "order")
    address, tag = made.headers["Location"], {"If-Match": made.headers["ETag"]}
    body = filled(EXAMPLES["order"][1], ids) | {"day": AHEAD, "number": "B-2000"}
    body["sure"] = doubts(client, "/api/orders", body)
    assert client.post(f"/api/orders/preview?change={made.json()['id']}", json=body).status_code == 200
    assert client.put(address, json=body, headers=tag).json()["number"] == "B-2000"
    assert client.get(f"{address}/working").status_code == 200


def test_another_day_has_only_what_held_then(client: TestClient, ids: dict[str, int]) -> None:
    address = entered(client, ids, "order").headers["Location"]
    assert client.get(f"{address}?on=2026-11-24").status_code == 404
    assert client.get(f"{address}?on={AHEAD}").status_code == 200
    assert client.get("/api/orders?on=2026-11-24").json()["total"] == 1
