"""What may be asked behind the question mark: what a route does not know is refused, never passed over."""

from __future__ import annotations

from typing import Any

import pytest
from starlette.testclient import TestClient


def faults(answer: Any) -> dict[str, str]:
    assert answer.status_code == 422, answer.text
    return {one["field"]: one["sentence"] for one in answer.json()["error"]["faults"]}


@pytest.mark.parametrize(
    ("address", "wrong", "known"),
    [
        ("/api/materials?serach=shea", "serach", ("on", "page", "page_size", "retired", "search")),
        ("/api/line?pagesize=3", "pagesize", ("on", "page", "page_size")),
        ("/api/changes?page=2", "page", ("on", "page_size")),
        ("/api/settings/workshop?sure=x", "sure", ("on",)),
        ("/api/materials/5?working=true", "working", ("on",)),
    ],
)
def test_a_word_that_is_not_known_is_refused(
    client: TestClient, ids: dict[str, int], address: str, wrong: str, known: tuple[str, ...]
) -> None:
    told = faults(client.get(address))
    assert set(told) == {wrong}
    assert set(known) <= {word.strip(".,") for word in told[wrong].split()}


def test_a_change_knows_only_what_it_asks(client: TestClient, ids: dict[str, int]) -> None:
    body = {"name": "Lakeside Oils", "currency": "EUR"}
    told = faults(client.post("/api/suppliers?shure=x", json=body))
    assert told == {"shure": "This is not asked for here. What may be asked: sure."}
    assert client.get("/api/suppliers").json()["total"] == 1
    assert client.post("/api/suppliers?sure=x", json=body).status_code == 201


def test_a_page_passes_over_what_it_does_not_know(client: TestClient, ids: dict[str, int]) -> None:
    """A link from elsewhere may carry words of its own."""
    assert client.get("/buy/materials?from=mail").status_code == 200
