"""The application as a whole: one way of answering errors, nothing of a fault shown, static files as they are."""

from __future__ import annotations

import inspect
import json
import logging
from collections.abc import Iterator
from datetime import date

import pytest
from fastapi import APIRouter, FastAPI, Path
from fastapi.routing import APIRoute
from pydantic import BaseModel
from starlette.exceptions import HTTPException
from starlette.responses import StreamingResponse
from starlette.testclient import TestClient

from webapp import VERSION, errors
from webapp.app import join_interface, join_pages, make_app
from webapp.errors import Fault, Problem, Stale, Unprocessable
from webapp.problems import Unforeseen, as_json
from webapp.settings import Settings

SITUATIONS = [
    kind for _, kind in inspect.getmembers(errors, inspect.isclass) if issubclass(kind, Problem) and kind is not Problem
]


class Body(BaseModel, extra="forbid"):
    """What the probe takes."""

    name: str
    lines: list[str] = []


def made(kind: type[Problem]) -> Problem:
    """One of each situation."""
    faults = [Fault("name", "required", "Give it a name.")]
    if issubclass(kind, errors.NotYet):
        return kind(faults, made=3)
    return kind(faults) if issubclass(kind, Unprocessable) else kind()


def breaking(app: FastAPI, under: str) -> None:
    """Addresses at which each situation, a fault of the framework, and one of our own can be met."""
    probe = APIRouter(prefix=under)

    @probe.get("/raise/{name}")
    def raised(name: str) -> None:
        raise made(getattr(errors, name))

    @probe.get("/http/{status}")
    def refused(status: int) -> None:
        raise HTTPException(status, "words for programmers")

    @probe.get("/bug")
    def bug() -> None:
        raise RuntimeError("SECRET".swapcase())

    @probe.get("/half")
    def half() -> StreamingResponse:
        def parts() -> Iterator[bytes]:
            yield b"begun"
            raise RuntimeError("midway")

        return StreamingResponse(parts())

    @probe.post("/body")
    def body(body: Body) -> str:
        return body.name

    @probe.get("/thing/{number}")
    def thing(number: int = Path(ge=1, le=999_999_999)) -> int:
        return number

    app.include_router(probe)


@pytest.fixture
def broken(settings: Settings, day: date) -> Iterator[TestClient]:
    app = make_app(settings, today=lambda: day)
    breaking(app, "/probe")
    breaking(app, "/api/for/probe")
    with TestClient(app, base_url="http://127.0.0.1", follow_redirects=False) as client:
        yield client


@pytest.mark.parametrize("kind", SITUATIONS)
def test_each_situation_is_answered_as_json_under_api(broken: TestClient, kind: type[Problem]) -> None:
    answer = broken.get(f"/api/for/probe/raise/{kind.__name__}")
    assert answer.status_code == kind.status
    if kind is errors.WrongHost:
        return
    assert answer.headers["content-type"] == "application/json"
    assert answer.json() == as_json(made(kind))
    assert set(answer.json()["error"]) >= {"code", "sentence", "faults"}


@pytest.mark.parametrize("kind", SITUATIONS)
def test_each_situation_is_answered_as_a_page_elsewhere(broken: TestClient, kind: type[Problem]) -> None:
    answer = broken.get(f"/probe/raise/{kind.__name__}", follow_redirects=False)
    if kind is errors.SignInFirst:
        assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in")
        return
    assert answer.status_code == kind.status
    if kind is not errors.WrongHost:
        assert answer.headers["content-type"].startswith("text/html")
        assert answer.text.lower().startswith("<!doctype html>")


@pytest.mark.parametrize("kind", SITUATIONS)
def test_each_situation_has_a_code_and_a_sentence_that_ends(kind: type[Problem]) -> None:
    problem = made(kind)
    assert problem.sentence[0].isupper()
    assert problem.sentence.endswith(".")
    assert kind.code == kind.code.lower()
    assert 400 <= kind.status < 600


def test_no_two_situations_share_a_code() -> None:
    codes = [kind.code for kind in SITUATIONS]
    assert len(codes) == len(set(codes))


def test_a_stale_answer_names_both_versions() -> None:
    assert as_json(Stale(read_at=3, now=5))["error"]["versions"] == {"read_at": 3, "now": 5}  # type: ignore[index]


def test_busy_says_when_to_come_back(broken: TestClient) -> None:
    assert broken.get("/api/for/probe/raise/Busy").headers["retry-after"] == "5"


def test_one_fault_is_also_the_sentence() -> None:
    one = Fault("name", "required", "Give it a name.")
    assert Unprocessable([one]).sentence == "Give it a name."
    assert Unprocessable([one, one]).sentence == Unprocessable.default


def test_a_name_that_is_taken_is_a_conflict_and_anything_else_wrong_comes_first() -> None:
    taken, missing = Fault("name", "duplicate", "That name is taken."), Fault("fill", "required", "This is needed.")
    assert Unprocessable([taken]).status == 409
    assert Unprocessable([taken, missing]).status == 422
    assert Unprocessable.status == 422


@pytest.mark.parametrize("path", ["/probe/bug", "/api/for/probe/bug"])
def test_a_bug_answers_calmly_with_a_reference_that_is_in_the_log(
    broken: TestClient, path: str, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.WARNING):
        answer = broken.get(f"{path}?q=ASKED", headers={"Cookie": "c=COOKIE"})
    assert answer.status_code == 500
    assert Unforeseen.default in answer.text
    reference = caplog.text.partition("[")[2].partition("]")[0]
    assert len(reference) == 8
    assert reference in answer.text
    assert "in bug" in caplog.text
    for private in ("secret", "ASKED", "COOKIE"):
        assert private not in caplog.text
        assert private not in answer.text
    assert "RuntimeError" not in answer.text
    assert "content-security-policy" in answer.headers


def test_an_answer_that_breaks_off_is_not_begun_again(broken: TestClient, caplog: pytest.LogCaptureFixture) -> None:
    with pytest.raises(RuntimeError, match="midway"):
        broken.get("/probe/half")
    assert "GET /probe/half" in caplog.text


@pytest.mark.parametrize("under", ["/probe", "/api/for/probe"])
@pytest.mark.parametrize(("status", "shown"), [(404, 404), (403, 403), (400, 400), (418, 400)])
def test_what_the_framework_refuses_is_told_in_our_words(
    broken: TestClient, under: str, status: int, shown: int
) -> None:
    answer = broken.get(f"{under}/http/{status}")
    assert answer.status_code == shown
    assert "programmers" not in answer.text


@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE"])
def test_a_changing_address_answers_to_its_own_method_only(broken: TestClient, method: str) -> None:
    answer = broken.request(method, "/api/for/probe/body")
    assert answer.status_code == 405
    assert answer.headers["allow"] == "POST"
    assert answer.json()["error"]["code"] == "method"


def test_no_address_that_changes_anything_answers_get(settings: Settings) -> None:
    app = make_app(settings)
    join_interface(app)
    join_pages(app)
    routes = [route for route in app.routes if isinstance(route, APIRoute)]
    assert {"/buy/orders", "/api/{stem}"} <= {route.path for route in routes}
    both = [r.path for r in routes if r.methods and "GET" in r.methods and r.methods - {"GET", "HEAD", "OPTIONS"}]
    assert both == []
    words = ("delete", "undo", "retire", "withdraw", "restore")
    asked = [r.path for r in routes if r.methods and "GET" in r.methods and r.path.rsplit("/", 1)[-1] in words]
    assert asked == []


@pytest.mark.parametrize("number", ["0", "-1", "x", "1.5", "1e3", "9" * 30, "1000000000", "%F0%9F%A7%B4"])
def test_a_number_that_is_no_id_is_nowhere(broken: TestClient, number: str) -> None:
    assert broken.get(f"/probe/thing/{number}").status_code == 404
    assert broken.get(f"/api/for/probe/thing/{number}").status_code == 404


@pytest.mark.parametrize(
    ("sent", "status", "faults"),
    [
        ({}, 422, [("name", "required")]),
        ({"name": 1}, 422, [("name", "type")]),
        ({"name": "a", "lines": [1]}, 422, [("lines.0", "type")]),
        ({"name": "a", "EXTRA": 1}, 422, [("EXTRA", "unknown-field")]),
        ([], 422, [("", "type")]),
    ],
)
def test_a_body_that_does_not_fit_names_the_field(
    broken: TestClient, sent: object, status: int, faults: list[tuple[str, str]]
) -> None:
    answer = broken.post("/api/for/probe/body", json=sent)
    assert answer.status_code == status
    found = answer.json()["error"]["faults"]
    assert [(one["field"], one["code"]) for one in found] == faults
    assert all(one["sentence"].endswith(".") for one in found)


@pytest.mark.parametrize("raw", [b"{", b"", b"nonsense", b'{"name": "\xff"}', b"[" * 100_000])
def test_broken_json_is_an_answer_not_a_fault(broken: TestClient, raw: bytes) -> None:
    answer = broken.post("/api/for/probe/body", content=raw, headers={"Content-Type": "application/json"})
    assert answer.status_code in (400, 422)
    assert answer.json()["error"]["sentence"]


def test_what_was_sent_is_not_repeated(broken: TestClient) -> None:
    answer = broken.post("/api/for/probe/body", json={"name": {"<b>TYPED</b>": 1}})
    assert answer.status_code == 422
    assert "TYPED" not in answer.text


def test_a_page_of_errors_that_cannot_be_drawn_is_still_a_page(
    broken: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> str:
        raise RuntimeError

    monkeypatch.setattr("webapp.app.error_pages.error_page", fail)
    answer = broken.get("/nowhere")
    assert answer.status_code == 404
    assert "There is nothing at this address." in answer.text


@pytest.mark.parametrize(
    ("name", "kind"),
    [("icon.svg", "image/svg+xml"), ("vendor/htmx.min.js", "text/javascript"), ("css/tokens.css", "text/css")],
)
def test_files_are_called_what_they_are(client: TestClient, name: str, kind: str) -> None:
    answer = client.get(f"/static/{name}")
    assert answer.status_code == 200
    assert answer.headers["content-type"].partition(";")[0] == kind


def test_each_answer_says_how_long_it_took(client: TestClient) -> None:
    assert client.get("/api/nowhere").headers["server-timing"].startswith("app;dur=")


def test_nothing_is_sent_anywhere_and_no_schema_is_open(settings: Settings) -> None:
    app = make_app(settings)
    assert (app.docs_url, app.redoc_url, app.openapi_url) == (None, None, None)
    assert not app._native_telemetry.enabled()
    assert app.version == VERSION


def test_the_day_is_the_one_handed_in(client: TestClient, day: date) -> None:
    assert client.app.state.today() == day  # type: ignore[attr-defined]


def test_no_address_takes_a_place_to_go_to(client: TestClient) -> None:
    answer = client.get("/?next=//evil.example/")
    assert "evil" not in json.dumps(dict(answer.headers))
    assert answer.status_code < 500
