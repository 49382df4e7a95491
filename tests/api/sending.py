"""Sends the documented examples one after the other, as somebody would who follows the documentation."""

from __future__ import annotations

from typing import Any

from starlette.testclient import TestClient

from webapp.api.asking import STEMS
from webapp.api.examples import EXAMPLES, filled

STEM_OF = {kind: stem for stem, kind in STEMS.items()}
SINGLE = ("workshop", "terms")
FACTS = ("price", "target", "sales")
ABOUT = ("review",)


def address_of(kind: str, ids: dict[str, int]) -> str:
    """Where a body of that kind is sent."""
    if kind in SINGLE:
        return f"/api/settings/{kind}"
    if kind in FACTS:
        return f"/api/products/{ids['product']}/channels/{ids['channel']}/{kind}"
    if kind in ABOUT:
        return f"/api/materials/{ids['shea']}/{kind}"
    return f"/api/{STEM_OF[kind]}"


def send(client: TestClient, kind: str, body: Any, ids: dict[str, int]) -> Any:
    """One body, entered or put; its answer."""
    address = address_of(kind, ids)
    if kind not in (*SINGLE, *FACTS, *ABOUT):
        return client.post(address, json=body)
    return client.put(address, json=body, headers={"If-Match": client.get(address).headers["ETag"]})


def send_examples(client: TestClient) -> dict[str, int]:
    """All of them; the number that each thing was given."""
    ids: dict[str, int] = {}
    for name, (kind, body) in EXAMPLES.items():
        answer = send(client, kind, filled(body, ids), ids)
        assert answer.status_code in (200, 201), (name, answer.text)
        if "id" in answer.json():
            ids[name] = answer.json()["id"]
    return ids


def doubts(client: TestClient, address: str, body: Any) -> list[str]:
    """The answers to all that is asked before this body is entered; nothing is stored."""
    asked = client.post(address, json=body)
    assert (asked.status_code, asked.json()["error"]["code"]) == (422, "confirm"), asked.text
    return [one["answer"] for one in asked.json()["error"]["faults"]]
