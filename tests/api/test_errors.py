"""Whatever goes wrong is told in the one shape: a code, a sentence, and at least one fault with its field."""

from __future__ import annotations

from typing import Any

import pytest
from jsonschema_rs import Draft202012Validator
from starlette.testclient import TestClient

from webapp.api.schemas import ERROR
from webapp.guard import BODY_LIMIT

SHAPE = Draft202012Validator(ERROR)
JSON = {"Content-Type": "application/json"}
NEW = {"name": "Lakeside Oils", "currency": "EUR"}


def told(answer: Any, status: int) -> dict[str, Any]:
    """The error that was answered, of the one shape."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/json"
    body = answer.json()
    SHAPE.validate(body)
    error: dict[str, Any] = body["error"]
    assert error["faults"]
    for one in (error, *error["faults"]):
        assert one["sentence"].endswith((".", "?"))
    return error


def fields(error: dict[str, Any]) -> list[str]:
    return [one["field"] for one in error["faults"]]


@pytest.mark.parametrize("address", ["/api/materials/999", "/api/frogs", "/api/frogs/1", "/api/materials/x", "/api"])
def test_404(client: TestClient, address: str) -> None:
    error = told(client.get(address), 404)
    assert (error["code"], fields(error)) == ("not-found", [""])


@pytest.mark.parametrize(
    ("method", "address", "allowed"),
    [
        ("POST", "/api/line", "GET"),
        ("POST", "/api/changes", "GET"),
        ("POST", "/api/openapi.json", "GET"),
        ("GET", "/api/orders/preview", "POST"),
        ("PUT", "/api/orders/preview", "POST"),
        ("POST", "/api/settings/terms", "GET, PUT"),
        ("DELETE", "/api/materials", "GET, POST"),
        ("DELETE", "/api/materials/3", "GET, PUT"),
        ("POST", "/api/materials/3", "GET, PUT"),
        ("GET", "/api/undo/3", "POST"),
        ("DELETE", "/api/products/3/channels/4/price", "GET, PUT"),
    ],
)
def test_405_names_every_method_of_the_address(client: TestClient, method: str, address: str, allowed: str) -> None:
    answer = client.request(method, address, headers=JSON, content=b"{" if method != "GET" else None)
    assert fields(told(answer, 405)) == [""]
    assert answer.headers["Allow"] == allowed


@pytest.mark.parametrize(
    ("method", "address", "allowed"),
    [
        ("POST", "/buy/materials/new", "GET"),
        ("POST", "/price", "GET"),
        ("POST", "/", "GET"),
        ("GET", "/buy/orders/sum", "POST"),
        ("GET", "/start", "POST"),
        ("PUT", "/settings/terms", "GET, POST"),
        ("DELETE", "/buy/materials/3", "GET, POST"),
        ("GET", "/buy/materials/3/retire", "POST"),
    ],
)
def test_405_on_pages_too(client: TestClient, method: str, address: str, allowed: str) -> None:
    answer = client.request(method, address, follow_redirects=False)
    assert (answer.status_code, answer.headers["Allow"]) == (405, allowed)
    assert answer.headers["content-type"].startswith("text/html")


def test_409_stale_and_taken(client: TestClient, ids: dict[str, int]) -> None:
    address = f"/api/suppliers/{ids['barn']}"
    tag = {"If-Match": client.get(address).headers["ETag"]}
    assert client.put(address, json=NEW, headers=tag).status_code == 200
    error = told(client.put(address, json={**NEW, "note": "open on Mondays"}, headers=tag), 409)
    assert (error["code"], fields(error)) == ("stale", ["If-Match"])
    assert set(error["versions"]) == {"read_at", "now"}
    taken = told(client.post("/api/suppliers", json=NEW), 409)
    assert [(one["field"], one["code"]) for one in taken["faults"]] == [("name", "duplicate")]


def test_413(client: TestClient) -> None:
    error = told(client.post("/api/suppliers", content=b" " * (BODY_LIMIT + 1), headers=JSON), 413)
    assert (error["code"], fields(error)) == ("too-large", [""])


@pytest.mark.parametrize("kind", ["text/plain", "multipart/form-data", "application/json; charset=latin1"])
def test_415(client: TestClient, kind: str) -> None:
    error = told(client.post("/api/suppliers", content=b"{}", headers={"Content-Type": kind}), 415)
    assert (error["code"], fields(error)) == ("media-type", ["Content-Type"])


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ({}, ["name", "currency"]),
        ([], [""]),
        ("text", [""]),
        ({**NEW, "colour": "red"}, ["colour"]),
        ({**NEW, "sure": 1}, ["sure"]),
    ],
)
def test_422(client: TestClient, body: Any, expected: list[str]) -> None:
    error = told(client.post("/api/suppliers", json=body), 422)
    assert fields(error) == expected
    assert client.get("/api/suppliers").json()["total"] == 0


def test_428(client: TestClient, ids: dict[str, int]) -> None:
    error = told(client.put(f"/api/suppliers/{ids['barn']}", json=NEW), 428)
    assert (error["code"], fields(error)) == ("version-missing", ["If-Match"])


@pytest.mark.parametrize("body", [b"", b"{", b"\xff", b'{"a": 1, "a": 2}'])
def test_400(client: TestClient, body: bytes) -> None:
    assert fields(told(client.post("/api/suppliers", content=body, headers=JSON), 400)) == [""]
