"""A whole book by JSON: out, looked at, in as one change; faults at their rows, and nothing stored with any."""

from __future__ import annotations

import copy
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.exchange.carried import empty_store, settings_of
from webapp import example
from webapp.app import make_app

DAY = date(2026, 11, 25)


@pytest.fixture
def two(new_file: Path, tmp_path: Path) -> Iterator[tuple[TestClient, TestClient]]:
    """The example workshop, and one with nothing in it."""
    stores = [empty_store(new_file, tmp_path / name) for name in ("full", "new")]
    example.fill(stores[0], DAY)
    clients = []
    for store, name in zip(stores, ("full", "new"), strict=True):
        app = make_app(settings_of(tmp_path / name), store)
        app.state.today = lambda: DAY
        clients.append(TestClient(app, base_url="http://127.0.0.1:8000"))
    yield clients[0], clients[1]
    for store in stores:
        store.close()


def sent(client: TestClient, address: str, document: Any, **more: Any) -> Any:
    tag = client.get("/api/export").headers["etag"]
    headers = {"If-Match": tag, "Sec-Fetch-Site": "same-origin"}
    return client.post(address, json={"document": document, **more}, headers=headers)


def test_out_and_in_gives_the_same_document(two: tuple[TestClient, TestClient]) -> None:
    full, new = two
    document = full.get("/api/export").json()
    looked = sent(new, "/api/import/preview", document).json()
    assert (looked["faults"], looked["doubts"], looked["same"]) == ([], [], 0)
    assert {one["sheet"]: one["new"] for one in looked["counts"]}["orders"] == len(document["sheets"]["orders"])
    assert new.get("/api/export").json()["sheets"]["orders"] == []
    assert sent(new, "/api/import", document).json() == {"version": 1, "change": 1}
    assert new.get("/api/export").json() == document
    assert sent(new, "/api/import", document).json() == {"version": 1, "change": 0}


def test_what_a_changed_wage_does_is_said_before_it_is_stored(two: tuple[TestClient, TestClient]) -> None:
    full, _ = two
    document = full.get("/api/export").json()
    wages = document["sheets"]["wages"]
    newest = max(wages, key=lambda row: row["since"])
    part = {**document, "sheets": {"wages": [{**newest, "per_hour": "25"}]}}
    looked = sent(full, "/api/import/preview", part).json()
    assert [(one["sheet"], one["changed"]) for one in looked["counts"]] == [("people", 1)]
    (field,) = looked["changed"][0]["fields"]
    assert (field["field"], field["before"], field["after"]) == (
        f"Wages, from {newest['since']}: An hour",
        newest["per_hour"],
        "25",
    )
    assert looked["rows"]
    assert full.get("/api/export").json() == document
    sent(full, "/api/import", part)
    after = full.get("/api/export").json()
    assert len(after["sheets"]["wages"]) == len(wages)
    assert after["sheets"]["materials"] == document["sheets"]["materials"]


@pytest.mark.parametrize(
    ("sheet", "row", "said"),
    [
        ("order_lines", {"packs": "many"}, "Packs"),
        ("order_lines", {"material": "Moon dust"}, "no material called Moon dust"),
        ("formula_lines", {"belongs_to": "Nothing"}, "no formula called Nothing"),
        ("formula_lines", {"amount": ""}, "Type how much"),
        ("prices", {"since": "yesterday"}, "year-month-day"),
        ("channels", {"kind": "market"}, "Choose one of"),
        ("materials", {"name": "\u202eevil"}, "hidden character"),
        ("workshop", {"currency": "USD"}, "can't be turned"),
    ],
)
def test_a_fault_is_said_at_its_row_and_nothing_is_stored(
    two: tuple[TestClient, TestClient], sheet: str, row: dict[str, str], said: str
) -> None:
    full, _ = two
    document = full.get("/api/export").json()
    wrong = copy.deepcopy(document)
    wrong["sheets"][sheet][0] |= row
    answer = sent(full, "/api/import", wrong)
    assert answer.status_code == 422
    faults = answer.json()["error"]["faults"]
    assert any(said in one["sentence"] for one in faults), faults
    assert all(one["field"].startswith("document-sheets-") for one in faults)
    assert full.get("/api/export").json() == document


def test_a_body_that_is_none_is_refused(two: tuple[TestClient, TestClient]) -> None:
    full, _ = two
    wrong: list[Any] = [None, [], {"format": "x"}, {"format": "brimful-book", "version": 1, "sheets": {"a": []}}]
    for document in wrong:
        assert sent(full, "/api/import/preview", document).status_code == 422
    assert sent(full, "/api/import", {}, more=1).status_code == 422


def test_without_if_match_nothing_is_stored(two: tuple[TestClient, TestClient]) -> None:
    full, new = two
    document = full.get("/api/export").json()
    answer = new.post("/api/import", json={"document": document}, headers={"Sec-Fetch-Site": "same-origin"})
    assert answer.status_code == 428
