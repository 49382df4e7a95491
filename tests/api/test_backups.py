"""Backups by JSON: made, listed, checked, tried, copied, compared and restored; each refused in words."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.exchange.carried import empty_store, settings_of
from webapp.app import make_app
from webapp.store.opening import FILE, Store, open_store

AT = "/api/backups"
SUPPLIER = {"name": "The mill", "currency": "EUR"}


def enter(client: TestClient, name: str) -> int:
    answer = client.post("/api/suppliers", json={**SUPPLIER, "name": name})
    assert answer.status_code == 201, answer.text
    return int(answer.json()["id"])


def names(client: TestClient) -> list[str]:
    return [one["name"] for one in client.get("/api/suppliers").json()["items"]]


@pytest.fixture
def backed_up(client: TestClient) -> tuple[TestClient, dict[str, Any]]:
    """A supplier that is in the backup, and one that came after it."""
    enter(client, "Before")
    answer = client.post(AT, json={})
    assert answer.status_code == 201, answer.text
    enter(client, "After")
    return client, answer.json()


def test_what_is_made_is_listed_with_what_it_holds(backed_up: tuple[TestClient, dict[str, Any]]) -> None:
    client, made = backed_up
    assert made["whole"] is True
    assert (made["why"], made["holds"]["supplier"]) == ("asked", 1)
    listed = client.get(AT).json()
    assert [one["name"] for one in listed["items"]] == [made["name"]]
    assert (listed["drill"], listed["elsewhere"]["at"]) == (None, None)
    assert client.get(f"{AT}/{made['name']}").json()["whole"] is True


def test_the_newest_is_tried(backed_up: tuple[TestClient, dict[str, Any]]) -> None:
    client, _ = backed_up
    assert client.post(f"{AT}/drill", json={}).json()["fault"] == ""
    assert client.get(AT).json()["drill"]["fault"] == ""


def test_a_restore_is_looked_at_done_and_taken_back(backed_up: tuple[TestClient, dict[str, Any]]) -> None:
    client, made = backed_up
    at = f"{AT}/{made['name']}/restore"
    seen = f"{AT}/{made['name']}/differences"
    looked = client.get(seen)
    kinds = {one["kind"]: one for one in looked.json()["kinds"]}
    assert (kinds["supplier"]["only_now"], kinds["supplier"]["only_there"], kinds["supplier"]["changed"]) == (1, 0, 0)
    assert client.post(at, json={}).status_code == 428
    enter(client, "Meanwhile")
    tag = {"If-Match": looked.headers["etag"]}
    assert client.post(at, json={}, headers=tag).status_code == 409
    tag = {"If-Match": client.get(seen).headers["etag"]}
    done = client.post(at, json={}, headers=tag)
    assert done.status_code == 200, done.text
    assert names(client) == ["Before"]
    back = f"{AT}/{done.json()['before']}"
    tag = {"If-Match": client.get(f"{back}/differences").headers["etag"]}
    assert client.post(f"{back}/restore", json={}, headers=tag).status_code == 200
    assert sorted(names(client)) == ["After", "Before", "Meanwhile"]


def test_what_was_read_before_a_restore_saves_nothing_after_it(backed_up: tuple[TestClient, dict[str, Any]]) -> None:
    client, made = backed_up
    ident = client.get("/api/suppliers").json()["items"][0]["id"]
    old = client.get(f"/api/suppliers/{ident}").headers["etag"]
    at = f"{AT}/{made['name']}"
    tag = {"If-Match": client.get(f"{at}/differences").headers["etag"]}
    assert client.post(f"{at}/restore", json={}, headers=tag).status_code == 200
    answer = client.put(f"/api/suppliers/{ident}", json={**SUPPLIER, "name": "Stale"}, headers={"If-Match": old})
    assert answer.status_code == 409
    assert names(client) == ["Before"]


def test_the_newest_is_copied_to_a_folder(backed_up: tuple[TestClient, dict[str, Any]], tmp_path: Path) -> None:
    client, made = backed_up
    elsewhere = tmp_path / "stick"
    elsewhere.mkdir()
    answer = client.post(f"{AT}/copy", json={"folder": str(elsewhere)})
    assert answer.status_code == 201, answer.text
    assert sorted(one.name for one in elsewhere.iterdir()) == [f"{made['name']}.db", f"{made['name']}.json"]
    assert client.get(AT).json()["elsewhere"]["folder"] == str(elsewhere)


@pytest.mark.parametrize("body", [{}, {"folder": 3}, {"folder": ""}, {"folder": "here"}, {"folder": "/x", "y": 1}])
def test_a_folder_that_will_not_do_is_said_at_its_field(
    backed_up: tuple[TestClient, dict[str, Any]], body: dict[str, Any]
) -> None:
    answer = backed_up[0].post(f"{AT}/copy", json=body)
    assert answer.status_code == 422
    assert answer.json()["error"]["faults"][0]["field"] in ("folder", "y")


@pytest.mark.parametrize("name", ["x", "brimful-20261128T213240348006Z-daily", "..%2F..%2Fetc%2Fpasswd"])
def test_what_there_is_not_is_not_found(client: TestClient, name: str) -> None:
    assert client.get(f"{AT}/{name}").status_code == 404
    assert client.get(f"{AT}/{name}/differences").status_code == 404


def test_one_that_is_damaged_is_not_restored(backed_up: tuple[TestClient, dict[str, Any]], tmp_path: Path) -> None:
    client, made = backed_up
    file = next((tmp_path / "data" / "backups").glob("*.db"))
    held = bytearray(file.read_bytes())
    held[len(held) // 2] ^= 1
    file.write_bytes(held)
    assert client.get(f"{AT}/{made['name']}").json()["whole"] is False
    at = f"{AT}/{made['name']}/restore"
    seen = f"{AT}/{made['name']}/differences"
    looked = client.get(seen)
    assert (looked.status_code, looked.json()["error"]["code"]) == (409, "not-whole")
    epoch = client.get("/api/settings/workshop").headers["etag"].strip('"').partition(".")[0]
    answer = client.post(at, json={}, headers={"If-Match": f'"{epoch}.2"'})  # two changes were made
    assert (answer.status_code, answer.json()["error"]["code"]) == (409, "not-whole")
    assert sorted(names(client)) == ["After", "Before"]


def asked(store: Store, folder: Path) -> TestClient:
    """A program that asks about this store."""
    app = make_app(settings_of(folder), store, today=lambda: date(2026, 11, 25))
    return TestClient(app, base_url="http://127.0.0.1:8000", headers={"Sec-Fetch-Site": "same-origin"})


def test_a_change_from_outside_is_told_and_may_have_been_meant(new_file: Path, tmp_path: Path) -> None:
    folder = tmp_path / "mine"
    empty_store(new_file, folder).close()
    store = open_store(settings_of(folder), alone=True)
    client = asked(store, folder)
    assert client.get(AT).json()["data"]["state"] == "unknown"
    enter(client, "Before")
    made = client.post(AT, json={}).json()["name"]
    store.close()
    store = open_store(settings_of(folder), alone=True)
    assert asked(store, folder).get(AT).json()["data"]["state"] == "same"
    store.close()
    with closing(sqlite3.connect(folder / FILE)) as other:
        other.execute("UPDATE supplier SET note = 'another'")
        other.commit()
    store = open_store(settings_of(folder), alone=True)
    client = asked(store, folder)
    told = client.get(AT).json()["data"]
    assert (told["state"], told["before"]) == ("changed", made)
    assert told["closed"] < told["noticed"]
    for _ in range(2):  # said twice it is meant all the same
        answer = client.post(f"{AT}/meant", json={})
        assert (answer.status_code, answer.json()["state"]) == (200, "same")
    assert client.get(AT).json()["data"]["before"] is None
    store.close()
    store = open_store(settings_of(folder), alone=True)
    assert asked(store, folder).get(AT).json()["data"]["state"] == "same"
    store.close()
