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
    with TestClient(app, base_url="http://127.0.0.1", follow_redirects=False) as client:
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
