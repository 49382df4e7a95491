"""The interface is described whole: every route, every body with an example that posts; offline and without script."""

from __future__ import annotations

import re
from typing import Any

import pytest
from starlette.testclient import TestClient

from webapp import api
from webapp.api import examples, schemas
from webapp.costing.shapes import SHAPES

pytestmark = pytest.mark.long


def described(client: TestClient) -> dict[str, Any]:
    found: dict[str, Any] = client.get("/api/openapi.json").json()
    return found


def operations(client: TestClient) -> list[tuple[str, str, dict[str, Any]]]:
    paths = described(client)["paths"]
    return [(method, path, one) for path, methods in paths.items() for method, one in methods.items()]


def test_every_route_is_described(client: TestClient) -> None:
    told = {(method, path) for method, path, _ in operations(client)}
    assert len(told) > 80
    for stem in ("materials", "orders", "products"):
        assert {("get", f"/api/{stem}"), ("post", f"/api/{stem}"), ("put", f"/api/{stem}/{{ident}}")} <= told
    assert all(path.startswith("/api/") for _, path in told)
    assert len({one["operationId"] for _, _, one in operations(client)}) == len(told)


def test_every_body_has_a_schema_and_an_example(client: TestClient) -> None:
    named = described(client)["components"]["schemas"]
    for method, path, one in operations(client):
        if method == "get":
            assert "requestBody" not in one
        elif not re.search(r"/(retire|restore|withdraw|undo/\{version\})$", path):
            content = one["requestBody"]["content"]["application/json"]
            assert content["schema"]["$ref"].rpartition("/")[2] in named
            assert content["example"]


def test_there_is_an_example_of_every_kind() -> None:
    assert {kind for kind, _ in examples.EXAMPLES.values()} == set(SHAPES)


def test_the_examples_can_be_sent_in_order(ids: dict[str, int]) -> None:
    """The fixture sends them and looks at every answer."""
    assert set(examples.EXAMPLES) - set(ids) == {"price", "target", "sales", "review"}


def test_a_schema_is_made_of_the_shape() -> None:
    order = schemas.components()["order"]
    assert set(order["properties"]) == {field.name for field in SHAPES["order"].fields} | {"sure", "prices"}
    assert set(order["required"]) == {"supplier", "day", "lines", "currency"}
    assert order["additionalProperties"] is False
    assert order["properties"]["lines"]["items"]["properties"]["packs"]["type"] == "string"


def test_every_error_has_the_one_shape(client: TestClient) -> None:
    for _, path, one in operations(client):
        for status in ("400", "404", "409", "422", "428"):
            schema = one["responses"][status]["content"]["application/json"]["schema"]
            assert schema == {"$ref": "#/components/schemas/error"}, path


def test_the_page_shows_every_route_and_example(client: TestClient) -> None:
    page = client.get("/api/docs")
    assert page.headers["content-type"].startswith("text/html")
    for _, path, one in operations(client):
        assert f"<code>{path}</code>" in page.text
        assert f'id="{one["operationId"]}"' in page.text
    assert "Shea butter" in page.text


def test_the_page_needs_no_script_and_no_other_machine(client: TestClient) -> None:
    page = client.get("/api/docs").text
    assert not re.search(r"<script|style=|<style|\son\w+=", page)
    assert not re.search(r'(?:src|href)="(?!/|#)', page)
    for address in re.findall(r'href="(/static/[^"]+)"', page):
        assert client.get(address).status_code == 200, address


def test_nothing_of_the_interface_is_known_under_another_name() -> None:
    assert all(route.path.startswith("/api/") for part in api.PARTS for route in part.router.routes)
