"""Bodies that are no JSON of ours: the answer that is wanted, nothing stored, never a 500.

Cases NUM, LOC, TEX and STR are those of the published list of bad inputs, their fields by our names.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.asked import Client
from tests.bad_inputs import inputs_of
from webapp.app import make_app
from webapp.settings import Settings
from webapp.store.opening import FILE

Content = Callable[[], str]


@pytest.fixture(scope="module")
def client(prepared: tuple[Path, dict[str, int]], tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """One installation for all of these, since what is refused leaves no trace."""
    settings = Settings(data=tmp_path_factory.mktemp("bodies"))
    shutil.copy(prepared[0], settings.data / FILE)
    app = make_app(settings, today=lambda: date(2026, 11, 25))
    with Client(app, base_url="http://127.0.0.1", follow_redirects=False) as client:
        yield client


@pytest.fixture
def ids(prepared: tuple[Path, dict[str, int]]) -> dict[str, int]:
    """The number of every example, by its name."""
    return prepared[1]


@pytest.fixture
def content(client: TestClient) -> Content:
    """A hash of the whole data file."""
    file = client.app.state.settings.data / FILE  # type: ignore[attr-defined]
    return lambda: hashlib.sha256(file.read_bytes()).hexdigest()


JSON = {"Content-Type": "application/json"}
ORDER = '{"supplier": %d, "day": "2026-04-01", "currency": "EUR", "lines": [{"material": %d, "packs": "1", '
ORDER += '"size": "1", "unit": "kg", "price": %s}]}'


def price(client: TestClient, ids: dict[str, int], raw: str) -> Any:
    """An order whose one price is written `raw`."""
    return client.post("/api/orders", content=(ORDER % (ids["barn"], ids["shea"], raw)).encode(), headers=JSON)


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        ("1e999", "number-format"),
        ("NaN", "number-format"),
        ("-Infinity", "number-format"),
        ("12.5", "number-format"),
        ("12", "number-format"),
        ("9" * 5000, "number-format"),
        ("true", "number-format"),
        ("[]", "number-format"),
        ('{"amount": "1"}', "number-format"),
        ('"1e3"', "number-format"),
        ('"1,5"', "number-format"),
        ('"€5"', "number-format"),
        ('" 5"', "number-format"),
        ('"1_000"', "number-format"),
        ('"\\uff11"', "number-format"),
        ('"-1"', "number-range"),
        ('"10000000"', "number-range"),
        ('"0.00001"', "number-decimals"),
        (json.dumps("9" * 25), "number-too-long"),
    ],
)
def test_an_amount_is_a_text_of_digits(
    client: TestClient, ids: dict[str, int], content: Content, raw: str, code: str
) -> None:
    """NUM-11 and its kin: a bare number never becomes a binary fraction."""
    before = content()
    answer = price(client, ids, raw)
    assert answer.status_code == 422, answer.text
    faults = {one["field"]: one["code"] for one in answer.json()["error"]["faults"]}
    assert faults == {"lines-0-price": code}
    assert content() == before


@pytest.mark.parametrize(
    "body",
    [
        b'{"name": "a", "name": "b"}',
        b'{"name": "a", "wage": {"since": "2026-01-01", "since": "2026-01-02"}}',
        b"{",
        b"",
        b"nonsense",
        b"{'name': 'a'}",
        b'{"name": "a",}',
        b'{"name": "\xff"}',
        b"[" * 100_000,
        b'{"a":' * 40_000,
        b"\xef\xbb\xbf{}",
    ],
)
def test_what_is_no_json_is_refused(client: TestClient, content: Content, body: bytes) -> None:
    """STR-29, TEX-09."""
    before = content()
    answer = client.post("/api/people", content=body, headers=JSON)
    assert answer.status_code == 400, answer.text
    assert answer.json()["error"]["code"] in ("bad-json", "bad-encoding")
    assert content() == before


@pytest.mark.parametrize("body", ["null", "[]", '"text"', "5", "1.5", "true", '[{"name": "a"}]'])
def test_a_body_is_an_object(client: TestClient, content: Content, body: str) -> None:
    before = content()
    assert client.post("/api/people", content=body, headers=JSON).status_code == 422
    assert content() == before


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "application/json; charset=latin-1"]
)
def test_another_kind_of_content_is_refused(client: TestClient, kind: str) -> None:
    """HTT-17."""
    answer = client.post("/api/people", content=b'{"name": "a"}', headers={"Content-Type": kind})
    assert answer.status_code == 415


@pytest.mark.parametrize("lines", [None, [], [None], "", "text", {}, [[]], [{}], [5], [{"material": "x"}]])
def test_lines_that_are_none_are_refused(client: TestClient, ids: dict[str, int], lines: Any) -> None:
    body = {"supplier": ids["barn"], "day": "2026-04-01", "currency": "EUR", "lines": lines}
    answer = client.post("/api/orders", json=body)
    assert answer.status_code == 422, answer.text


@pytest.mark.parametrize("reference", [0, -1, -5, 10**9, 10**30, True, "1e3", "", 1.5, {}, [], "\uff11"])
def test_a_reference_that_is_none_is_refused(client: TestClient, ids: dict[str, int], reference: Any) -> None:
    line = {"material": ids["shea"], "packs": "1", "size": "1", "unit": "kg", "price": "9"}
    body = {"supplier": reference, "day": "2026-04-01", "currency": "EUR", "lines": [line]}
    answer = client.post("/api/orders", json=body)
    assert answer.status_code == 422, answer.text
    assert "supplier" in {one["field"] for one in answer.json()["error"]["faults"]}


@pytest.mark.parametrize(
    "since",
    ["2026-02-30", "0000-00-00", "26-01-01", "2026-1-1", "2026-01-01T00:00", "1989-12-31", "2200-01-01", 20260101],
)
def test_a_day_that_is_none_is_refused(client: TestClient, ids: dict[str, int], since: Any) -> None:
    """STR-19, STR-21."""
    body = {"name": "Power", "a_month": "30", "since": since}
    answer = client.post("/api/bills", json=body)
    assert answer.status_code == 422
    assert [one["field"] for one in answer.json()["error"]["faults"]] == ["since"]


@pytest.mark.parametrize("given", inputs_of("text", "ingredient.name", "form"), ids=lambda one: one["id"])
def test_the_published_names(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    """Those that are good are read back letter by letter, the others refused."""
    if given["id"] == "TEX-15":
        client.post("/api/materials", json={"name": "Karit\u00e9"})
        given = {**given, "text": "Karite\u0301"}
    before = content()
    answer = client.post("/api/materials", json={"name": given["text"]})
    if given["expect"]["kind"] == "ok":
        assert answer.status_code == 201, answer.text
        assert answer.json()["name"] == given["text"]
        return
    assert answer.status_code == given["expect"]["status"], answer.text
    assert answer.json()["error"]["faults"][0]["code"] == given["expect"]["kind"]
    assert content() == before


# --- the other published inputs that map to a field here


def published(group: str, field: str, *, ok: bool = False) -> pytest.MarkDecorator:
    """The inputs of a field that are refused, or those that a form can read."""
    kinds = ("ok",) if ok else ("confirm", "ok")
    inputs = [one for one in inputs_of(group, field, "form") if (one["expect"]["kind"] in kinds) == ok]
    return pytest.mark.parametrize("given", inputs, ids=lambda one: one["id"])


def one_of(field: str) -> dict[str, dict[str, Any]]:
    return {one["id"]: one for one in inputs_of("structure", field, "form")}


def order_of(ids: dict[str, int], line: dict[str, Any] | None = None, **fields: Any) -> dict[str, Any]:
    """An order of one line; `line` and `fields` over what is right."""
    right = {"material": ids["shea"], "packs": "1", "size": "1", "unit": "kg", "price": "9"}
    lines = [{**right, **(line or {})}]
    return {"supplier": ids["barn"], "day": "2026-04-01", "currency": "EUR", "lines": lines, **fields}


def refuse(client: TestClient, content: Content, address: str, body: Any, faults: dict[str, str]) -> None:
    """422 with exactly these faults, and nothing stored."""
    before = content()
    answer = client.post(address, json=body)
    assert answer.status_code == 422, answer.text
    assert {one["field"]: one["code"] for one in answer.json()["error"]["faults"]} == faults
    assert content() == before


@published("numbers", "purchase.price")
def test_a_price_that_is_none(client: TestClient, ids: dict[str, int], content: Content, given: dict[str, Any]) -> None:
    body = order_of(ids, {"price": given["text"]})
    refuse(client, content, "/api/orders", body, {"lines-0-price": given["expect"]["kind"]})


@published("locale", "purchase.price")
def test_json_has_one_notation(
    client: TestClient, ids: dict[str, int], content: Content, given: dict[str, Any]
) -> None:
    """A locale's notation is for forms: a program writes a point and no groups, so nothing has two readings."""
    refuse(client, content, "/api/orders", order_of(ids, {"price": given["text"]}), {"lines-0-price": "number-format"})


@published("locale", "purchase.price", ok=True)
def test_what_only_a_locale_can_read_is_refused(
    client: TestClient, ids: dict[str, int], content: Content, given: dict[str, Any]
) -> None:
    refuse(client, content, "/api/orders", order_of(ids, {"price": given["text"]}), {"lines-0-price": "number-format"})


@published("locale", "purchase.currency")
def test_foreign_money_without_a_rate(
    client: TestClient, ids: dict[str, int], content: Content, given: dict[str, Any]
) -> None:
    body = order_of(ids, currency="USD")
    refuse(client, content, "/api/orders", body, {"exchange-amount": given["expect"]["kind"]})


@published("numbers", "purchase.pack_size")
def test_a_pack_that_is_too_small(
    client: TestClient, ids: dict[str, int], content: Content, given: dict[str, Any]
) -> None:
    body = order_of(ids, {"size": given["text"]})
    refuse(client, content, "/api/orders", body, {"lines-0-size": given["expect"]["kind"]})


@published("structure", "purchase.date")
def test_a_published_day_that_is_none(
    client: TestClient, ids: dict[str, int], content: Content, given: dict[str, Any]
) -> None:
    refuse(client, content, "/api/orders", order_of(ids, day=given["text"]), {"day": given["expect"]["kind"]})


@published("numbers", "batch.jar_count")
def test_more_jars_than_can_be(
    client: TestClient, ids: dict[str, int], content: Content, given: dict[str, Any]
) -> None:
    """Jars of a batch follow from its grams here, so the count that is typed is that of the jars set aside."""
    fill = {"formula": ids["formula"], "declared": "50", "unit": "g"}
    body = {"name": "Hair butter, 50 g", "fills": [fill], "set_aside": given["text"]}
    refuse(client, content, "/api/products", body, {"set_aside": given["expect"]["kind"]})


@pytest.mark.parametrize("given", inputs_of("text", "supplier.url", "form"), ids=lambda one: one["id"])
def test_the_published_links(client: TestClient, content: Content, given: dict[str, Any]) -> None:
    body = {"name": f"Linked {given['id']}", "currency": "EUR", "url": given["text"]}
    if given["expect"]["kind"] == "ok":
        assert client.post("/api/suppliers", json=body).status_code == 201
        return
    refuse(client, content, "/api/suppliers", body, {"url": given["expect"]["kind"]})


@pytest.mark.parametrize(
    ("field", "stem", "body", "at"),
    [
        ("ingredient.density", "materials", {"density": {"value": None}}, "density-value"),
        ("product.margin_pct", "channels", {"target": None}, "target"),
        ("tax.rate_pct", "channels", {"tax": "in", "tax_rate": None}, "tax_rate"),
    ],
)
def test_a_figure_past_its_limit(
    client: TestClient, content: Content, *, field: str, stem: str, body: dict[str, Any], at: str
) -> None:
    """STR-11, STR-15, STR-17."""
    (given,) = one_of(field).values()
    filled = {
        name: {"value": given["text"]} if name == "density" else one or given["text"] for name, one in body.items()
    }
    refuse(client, content, f"/api/{stem}", {"name": "Past", **filled}, {at: given["expect"]["kind"]})


@pytest.mark.parametrize(
    ("ident", "amounts", "at"),
    [("STR-01", ("60", "39"), "lines"), ("STR-03", ("100", "0"), "lines-1-amount"), ("STR-05", (), "lines")],
)
def test_formula_lines_that_do_not_add_up(
    client: TestClient, ids: dict[str, int], content: Content, *, ident: str, amounts: tuple[str, ...], at: str
) -> None:
    materials = (ids["shea"], ids["argan"])
    lines = [{"material": one, "amount": amount} for one, amount in zip(materials, amounts, strict=False)]
    kind = one_of("formula.lines")[ident]["expect"]["kind"]
    refuse(client, content, "/api/formulas", {"name": "Not whole", "lines": lines}, {at: kind})


def test_formulas_nested_too_deep(client: TestClient, ids: dict[str, int], content: Content) -> None:
    """STR-09: the twenty-first. (STR-07, one within itself, is in test_things.)"""
    inner = ids["formula"]
    for depth in range(2, 21):
        line = {"formula": inner, "amount": "100"}
        inner = client.post("/api/formulas", json={"name": f"Within {depth}", "lines": [line]}).json()["id"]
    body = {"name": "Within 21", "lines": [{"formula": inner, "amount": "100"}]}
    refuse(
        client, content, "/api/formulas", body, {"lines-0-formula": one_of("formula.base")["STR-09"]["expect"]["kind"]}
    )


def ask_first(client: TestClient, content: Content, address: str, body: dict[str, Any], code: str) -> None:
    """Asked about and not stored; stored once the same is sent with yes."""
    before = content()
    asked = client.post(address, json=body)
    assert (asked.status_code, asked.json()["error"]["code"]) == (422, "confirm"), asked.text
    assert [one["code"] for one in asked.json()["error"]["faults"]] == [code]
    assert content() == before
    assert client.post(address, json={**body, "sure": [code]}).status_code == 422
    sure = [one["answer"] for one in asked.json()["error"]["faults"]]
    assert client.post(address, json={**body, "sure": sure}).status_code == 201
    assert content() != before


def test_a_price_of_nothing_is_asked_about(client: TestClient, ids: dict[str, int], content: Content) -> None:
    """NUM-21."""
    ask_first(client, content, "/api/orders", order_of(ids, {"price": "0"}), "zero-price")


def test_more_than_the_jar_holds_is_asked_about(client: TestClient, ids: dict[str, int], content: Content) -> None:
    """STR-13: 60 g at 0.9 g/mL are 66.7 mL, the jar holds 50."""
    tin = client.post("/api/materials", json={"name": "Tin", "kind": "packaging", "holds_ml": "50"}).json()["id"]
    line = {"material": ids["shea"], "amount": "100"}
    time = {"person": ids["ada"], "per_batch": "30"}
    batter = {"name": "Melt", "density": "0.9", "lines": [line], "work": [time]}
    melt = client.post("/api/formulas", json=batter).json()["id"]
    fill = {"formula": melt, "declared": "60", "unit": "g"}
    body = {"name": "Overfull", "fills": [fill], "parts": [{"material": tin}]}
    ask_first(client, content, "/api/products", body, "overfull")


def test_the_same_order_twice_is_one(client: TestClient, ids: dict[str, int]) -> None:
    """STR-25. (STR-23, a stale change, is in test_things.)"""
    before = client.get("/api/orders").json()["total"]
    key = {"Idempotency-Key": "one-order-only"}
    answers = [client.post("/api/orders", json=order_of(ids), headers=key) for _ in range(2)]
    assert [one.status_code for one in answers] == [201, 201]
    assert client.get("/api/orders").json()["total"] == before + 1
