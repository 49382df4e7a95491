"""Every good answer is described, and is as it is described: on the examples and on the whole invented workshop."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema_rs import Draft202012Validator
from starlette.testclient import TestClient

from tests.api.sending import STEM_OF
from tests.asked import Client
from webapp import example
from webapp.api.docs import description
from webapp.api.examples import EXAMPLES, filled
from webapp.app import make_app
from webapp.costing.book import EVENTS
from webapp.settings import Settings

pytestmark = pytest.mark.long

DESCRIBED = description()
OPERATIONS = {
    f"{method.upper()} {path}": one for path, all_ in DESCRIBED["paths"].items() for method, one in all_.items()
}
#: what long work made has an address of its own each time: tests/api/test_long_work.py
READS = sorted(one for one in OPERATIONS if one.startswith("GET ") and "{token}" not in one)


@cache
def schema_of(operation: str) -> Draft202012Validator:
    """What checks the good answer of an operation."""
    responses = OPERATIONS[operation]["responses"]
    (good,) = [status for status in responses if status.startswith("2")]
    schema = responses[good]["content"]["application/json"]["schema"]
    return Draft202012Validator({**schema, "components": DESCRIBED["components"]})


def checked(client: TestClient, operation: str, address: str, **sent: Any) -> Any:
    """A good answer, as it is described."""
    answer = client.request(operation.partition(" ")[0], address, **sent)
    assert str(answer.status_code) in OPERATIONS[operation]["responses"], answer.text
    assert answer.status_code < 300, (operation, answer.text)
    faults = list(schema_of(operation).iter_errors(answer.json()))
    assert not faults, (operation, [(str(one.instance_path), one.message[:200]) for one in faults[:5]])
    return answer


@pytest.mark.parametrize("operation", sorted(OPERATIONS))
def test_every_good_answer_has_a_schema_that_refuses_something(operation: str) -> None:
    assert not schema_of(operation).is_valid({})
    assert not schema_of(operation).is_valid([])


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """The invented workshop, with gaps, a set, foreign money and people of both kinds in it."""
    day = date(2026, 11, 25)
    settings = Settings(data=tmp_path_factory.mktemp("answers") / "example", database=None)
    example.prepare(settings, day, fresh=False)
    with Client(make_app(settings, today=lambda: day), base_url="http://127.0.0.1") as client:
        yield client


def numbers(client: TestClient, path: str) -> list[Any]:
    """Every number, or name, that may stand in an address."""
    stem = path.split("/")[2]
    if stem == "backups":
        return [client.post("/api/backups", json={}).json()["name"]]
    if stem == "what-ifs":
        client.post("/api/what-ifs", json={"name": "Anything", "suppositions": [{"kind": "prices", "percent": "5"}]})
        return [one["id"] for one in client.get("/api/what-ifs").json()["items"]]
    return [one["id"] for one in client.get(f"/api/{stem}?page_size=200&retired=true").json()["items"]]


@pytest.mark.parametrize("operation", READS, ids=lambda one: one.replace("/", "."))
def test_the_workshop_is_answered_as_it_is_described(workshop: TestClient, operation: str) -> None:
    path = operation.partition(" ")[2]
    looked = 0
    for ident in numbers(workshop, path) if "{ident}" in path or "{name}" in path else [0]:
        address = path.replace("{ident}", str(ident)).replace("{name}", str(ident))
        address = address.replace("{way}/{figure}", "before/jars").replace(
            "{figure}", "margin" if "{channel}" in path else "full"
        )
        if "{channel}" in address:
            sold = f"products/{ident}/prices" if ident else "line"
            channels = [row["channel"] for row in workshop.get(f"/api/{sold}").json()["items"]][:1]
            address = address.replace("{channel}", str(channels[0]) if channels else "")
            if not channels:
                continue
        if "{material}" in address:
            held = workshop.get(f"/api/products/{ident}/prices").json()["items"][0]["headroom"]
            if "gap" in held:
                continue
            address = address.replace("{material}", next(iter(held)))
        if path.endswith("/try"):
            address += "?amount=12.50"
        checked(workshop, operation, address)
        looked += 1
    assert looked


@pytest.mark.parametrize("address", ["/api/line", "/api/products/{ident}/sheet", "/api/products/{ident}/prices"])
def test_workings_are_as_they_are_described(workshop: TestClient, address: str) -> None:
    ident = numbers(workshop, "/api/products")[0]
    few = "&page_size=2" if address == "/api/line" else ""
    checked(workshop, f"GET {address}", f"{address.format(ident=ident)}?workings=true{few}")


@pytest.mark.parametrize("name", [name for name, (kind, _) in EXAMPLES.items() if kind in STEM_OF])
def test_what_is_entered_and_changed_is_answered_as_described(
    client: TestClient, ids: dict[str, int], name: str
) -> None:
    kind, body = EXAMPLES[name]
    stem, sent = STEM_OF[kind], filled(body, ids)
    sent |= {"name": "Another"} if "name" in sent else {}
    checked(client, f"POST /api/{stem}/preview", f"/api/{stem}/preview", json=sent)
    made = checked(client, f"POST /api/{stem}", f"/api/{stem}", json=sent)
    address, tag = made.headers["Location"], {"If-Match": made.headers["ETag"]}
    tag["If-Match"] = checked(client, f"PUT /api/{stem}/{{ident}}", address, json=sent, headers=tag).headers["ETag"]
    if kind in EVENTS:
        checked(client, f"POST /api/{stem}/{{ident}}/withdraw/preview", f"{address}/withdraw/preview")
    for act in ("withdraw",) if kind in EVENTS else ("retire", "restore"):
        done = checked(client, f"POST /api/{stem}/{{ident}}/{act}", f"{address}/{act}", headers=tag)
        tag["If-Match"] = done.headers.get("ETag", "")


def test_the_other_changes_are_answered_as_described(client: TestClient, ids: dict[str, int]) -> None:
    for fact, path in [
        (one, "/api/products/{ident}/channels/{channel}/" + one) for one in ("price", "target", "sales")
    ]:
        address = path.format(ident=ids["product"], channel=ids["channel"])
        tag = {"If-Match": client.get(address).headers["ETag"]}
        body = EXAMPLES[fact][1] | {"since": "2026-11-01"}
        tag["If-Match"] = checked(client, f"PUT {path}", address, json=body, headers=tag).headers["ETag"]
        checked(client, f"POST {path}/withdraw", f"{address}/withdraw", json={"since": "2026-11-01"}, headers=tag)
    address, path = f"/api/materials/{ids['shea']}/review", "/api/materials/{ident}/review"
    tag = {"If-Match": client.get(address).headers["ETag"]}
    body = EXAMPLES["review"][1] | {"since": "2026-11-01"}
    tag["If-Match"] = checked(client, f"PUT {path}", address, json=body, headers=tag).headers["ETag"]
    checked(client, f"POST {path}/withdraw", f"{address}/withdraw", json={"since": "2026-11-01"}, headers=tag)
    for kind in ("workshop", "terms"):
        address = f"/api/settings/{kind}"
        tag = {"If-Match": client.get(address).headers["ETag"]}
        checked(client, f"PUT {address}", address, json=EXAMPLES[kind][1], headers=tag)
    formula = f"/api/formulas/{ids['formula']}"
    swap = {"old": ids["argan"], "new": ids["wax"]}
    checked(client, "POST /api/formulas/{ident}/swap/preview", f"{formula}/swap/preview", json=swap)
    tag = {"If-Match": client.get(formula).headers["ETag"]}
    checked(client, "POST /api/formulas/{ident}/swap", f"{formula}/swap", json=swap, headers=tag)
    for stem, name in (("formulas", "formula"), ("products", "product")):
        address = f"/api/{stem}/{ids[name]}/copy"
        checked(client, f"POST /api/{stem}/{{ident}}/copy", address, json={"name": "Another"})
    prices = {"lines": [{"name": "Clay", "amount": "3.20", "unit": "kg"}]}
    checked(
        client, "POST /api/materials/starting-prices/preview", "/api/materials/starting-prices/preview", json=prices
    )
    checked(client, "POST /api/materials/starting-prices", "/api/materials/starting-prices", json=prices)
    sheet = {"text": "Item\tQty\tPack\tPrice\nShea butter\t2\t5 kg\t31.00\nClay\tx\t1,500 g\t9.50"}
    read = checked(client, "POST /api/orders/lines/reading", "/api/orders/lines/reading", json=sheet).json()
    doubt = "1,500 is read as 1500, not as 1.5: look whether that is right."
    assert [doubt in row["remarks"] for row in read["rows"]] == [False, True]
    version = client.get("/api/changes").json()["items"][0]["version"]
    checked(client, "POST /api/undo/{version}", f"/api/undo/{version}")


def test_loading_the_example_is_answered_as_described(client: TestClient) -> None:
    checked(client, "POST /api/example", "/api/example")
    assert client.get("/api/products").json()["total"] > 10
    assert client.post("/api/example").status_code == 409


def test_what_is_done_with_the_data_is_answered_as_it_is_described(client: TestClient, tmp_path: Path) -> None:
    made = checked(client, "POST /api/backups", "/api/backups", json={}).json()
    checked(client, "GET /api/backups", "/api/backups")
    checked(client, "POST /api/backups/meant", "/api/backups/meant", json={})
    checked(client, "POST /api/backups/drill", "/api/backups/drill", json={})
    checked(client, "POST /api/backups/copy", "/api/backups/copy", json={"folder": str(elsewhere(tmp_path))})
    at = f"/api/backups/{made['name']}"
    tag = {"If-Match": checked(client, "GET /api/backups/{name}/differences", f"{at}/differences").headers["ETag"]}
    checked(client, "POST /api/backups/{name}/restore", f"{at}/restore", json={}, headers=tag)
    for operation in ("import/preview", "import", "own-sheet/reading", "own-sheet"):
        path = f"/api/{operation}"
        body = DESCRIBED["paths"][path]["post"]["requestBody"]["content"]["application/json"]["example"]
        tag = {"If-Match": client.get("/api/export").headers["ETag"]}
        checked(client, f"POST {path}", path, json=body, headers=tag)


def elsewhere(folder: Path) -> Path:
    """A folder that is not the data's."""
    made = folder / "stick"
    made.mkdir()
    return made


def test_every_operation_that_changes_is_looked_at_above() -> None:
    """What a new route answers needs a line in one of the tests."""
    kinds = "|".join(STEM_OF.values())
    known = rf"(POST|PUT) /api/({kinds})(/preview|/{{ident}}(/retire|/restore|/copy|/(swap|withdraw)(/preview)?)?)?"
    known += r"|(POST|PUT) /api/products/{ident}/channels/{channel}/(price|target|sales)(/withdraw)?"
    known += r"|(POST|PUT) /api/materials/{ident}/review(/withdraw)?"
    known += r"|POST /api/orders/lines/reading"
    known += r"|POST /api/sales(/reading)?"
    known += r"|POST /api/sizes(/offers)?|POST /api/(products|formulas)/{ident}/verdicts(/{verdict}/(drop|keep))?"
    known += (
        r"|PUT /api/settings/(workshop|terms)|POST /api/(example|undo/{version}|materials/starting-prices(/preview)?)"
        r"|POST /api/packs"
        r"|POST /api/backups(/drill|/copy|/meant|/{name}/restore)?|POST /api/import(/preview)?(/begin)?"
        r"|GET /api/(work|import|import/preview)/{token}|POST /api/work/{token}/stop"
        r"|POST /api/own-sheet(/reading)?"
        r"|POST /api/devices/(link|close|open|sign-out|{ident}/sign-out)"
        r"|POST /api/what-ifs(/preview|/accept)?|PUT /api/what-ifs/{ident}|POST /api/what-ifs/{ident}/drop"
    )
    assert [one for one in OPERATIONS if one not in READS and not re.fullmatch(known, one)] == []


def test_an_answer_with_a_number_or_a_name_too_many_would_be_noticed(workshop: TestClient) -> None:
    told = workshop.get("/api/line").json()
    schema = schema_of("GET /api/line")
    assert schema.is_valid(told)
    assert not schema.is_valid({**told, "colour": "red"})
    told["items"][0]["cost"] = 1.5
    assert not schema.is_valid(told)
