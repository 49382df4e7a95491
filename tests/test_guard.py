"""The front door: hosts, origins, bodies, ranges and headers."""

from __future__ import annotations

import json
import socket
import time
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from anyio import to_thread
from fastapi import APIRouter, FastAPI, Request
from hypothesis import given
from hypothesis import strategies as st
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient
from starlette.types import Receive, Scope, Send

from tests.conftest import serving
from webapp import resource_dir
from webapp.app import answer, make_app
from webapp.guard import BODY_LIMIT, FILE_LIMIT, HEADERS, Guard, is_own_origin, split_host
from webapp.settings import Settings

INPUTS = {
    one["id"]: one
    for one in json.loads((Path(__file__).parent / "published_inputs" / "http.json").read_text(encoding="utf-8"))[
        "inputs"
    ]
}
UNSAFE = ("POST", "PUT", "PATCH", "DELETE")
FORM = {"Content-Type": "application/x-www-form-urlencoded"}
JSON = {"Content-Type": "application/json"}


def probed(settings: Settings) -> FastAPI:
    """The whole program, and two addresses that say what reached them."""
    app = make_app(settings, today=lambda: date(2026, 11, 25))
    probe = APIRouter()

    async def size(request: Request) -> dict[str, int]:
        return {"size": len(await request.body())}

    for path in ("/probe", "/probe/{rest:path}", "/api/for/a/probe"):
        probe.add_api_route(path, size, methods=["GET", *UNSAFE])
    app.include_router(probe)
    return app


@pytest.fixture(scope="module")
def settings(tmp_path_factory: pytest.TempPathFactory) -> Settings:
    """One data folder for all of these: none of them stores anything."""
    return Settings(data=tmp_path_factory.mktemp("door"))


@pytest.fixture(scope="module")
def door(settings: Settings) -> Iterator[TestClient]:
    with TestClient(probed(settings), base_url="http://127.0.0.1:8000", follow_redirects=False) as client:
        yield client


@pytest.fixture(scope="module")
def wire(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, int]]:
    """Host and port of a real server that waits one second for a body."""
    settings = Settings(data=tmp_path_factory.mktemp("wire"), body_seconds=1)
    with serving(probed(settings)) as address:
        where = urlsplit(address)
        yield str(where.hostname), int(where.port or 0)


def exchange(wire: tuple[str, int], sent: bytes, seconds: int = 5) -> bytes:
    """Everything that comes back for some bytes, until the connection is closed."""
    with socket.create_connection(wire, timeout=seconds) as line:
        line.sendall(sent)
        got = b""
        while part := line.recv(65536):
            got += part
        return got


# --- host


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "LOCALHOST:8000", "[::1]", "[::1]:9", "127.0.0.1:1"])
def test_our_own_names_are_served(door: TestClient, host: str) -> None:
    assert door.get("/probe", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "localhost.evil.example:8000",
        "127.0.0.1.evil.example",
        "evil.example:127.0.0.1",
        "localhost@evil.example",
        "localhost:8000@evil.example",
        "localhost.",
        "localhost ",
        "127.0.0.1:80:80",
        "127.1",
        "2130706433",
        "0.0.0.0",  # noqa: S104 - refused, not bound
        "[::]",
        "[::1",
        "",
        "localhost,evil.example",
        "lo\u212aalhost".encode().decode("latin-1"),
    ],
)
def test_another_name_is_answered_by_fixed_words(door: TestClient, host: str) -> None:
    answer = door.get("/probe", headers=[(b"Host", host.encode("latin-1"))])
    assert answer.status_code == 421
    assert answer.text == "This address is not served here."
    assert answer.headers["content-type"].startswith("text/plain")
    assert "set-cookie" not in answer.headers


def test_a_name_that_was_set_is_served(tmp_path: Path) -> None:
    app = probed(Settings(data=tmp_path, allowed_hosts=("bench.workshop",)))
    with TestClient(app, base_url="http://127.0.0.1") as client:
        assert client.get("/probe", headers={"Host": "Bench.Workshop:8000"}).status_code == 200
        assert client.get("/probe", headers={"Host": "x.bench.workshop"}).status_code == 421


def test_the_host_is_looked_at_before_anything_else(door: TestClient) -> None:
    headers = {"Host": "evil.example", "Origin": "http://other.example", "Content-Type": "text/plain"}
    assert door.post("/api/for/a/probe", headers=headers, content=b"x").status_code == 421


def test_two_hosts_are_refused(door: TestClient, wire: tuple[str, int]) -> None:
    twice = [("Host", "127.0.0.1"), ("Host", "127.0.0.1")]
    assert door.get("/probe", headers=twice).status_code == 421
    assert exchange(wire, b"GET / HTTP/1.1\r\nHost: localhost\r\nHost: localhost\r\n\r\n").startswith(b"HTTP/1.1 421 ")


def test_no_host_is_refused_on_the_wire(wire: tuple[str, int]) -> None:
    assert exchange(wire, b"GET / HTTP/1.0\r\n\r\n").startswith(b"HTTP/1.1 421 ")
    assert exchange(wire, b"GET / HTTP/1.1\r\n\r\n").startswith(b"HTTP/1.1 421 ")


def test_what_is_not_http_is_answered_with_the_headers(wire: tuple[str, int]) -> None:
    got = exchange(wire, b"GET / HTTP/1.1\r\nHost: localhost\r\nContent-Length: x\r\n\r\n")
    assert got.startswith(b"HTTP/1.1 400 ")
    for name in HEADERS:
        assert name.lower().encode() in got.lower()


# --- origin

LET_IN = [
    {},
    {"Sec-Fetch-Site": "same-origin"},
    {"Sec-Fetch-Site": "none"},
    {"Origin": "http://127.0.0.1:8000"},
    {"Origin": "http://127.0.0.1:8000", "Cookie": "a=b"},
    {"Sec-Fetch-Site": "same-origin", "Cookie": "a=b"},
]
KEPT_OUT = [
    {"Origin": "http://evil.example"},
    {"Origin": "http://127.0.0.1:9999"},
    {"Origin": "https://127.0.0.1:8000"},
    {"Origin": "http://localhost:8000"},
    {"Origin": "http://127.0.0.1"},
    {"Origin": "null"},
    {"Origin": ""},
    {"Origin": "http://127.0.0.1:8000/path"},
    {"Origin": "http://a@127.0.0.1:8000"},
    {"Origin": "http://127.0.0.1:8000 http://evil.example"},
    {"Sec-Fetch-Site": "cross-site"},
    {"Sec-Fetch-Site": "same-site"},
    {"Sec-Fetch-Site": ""},
    {"Sec-Fetch-Site": "same-origin", "Origin": "http://evil.example"},
    {"Sec-Fetch-Site": "cross-site", "Origin": "http://127.0.0.1:8000"},
    {"Cookie": "a=b"},
]


@pytest.mark.parametrize("method", UNSAFE)
@pytest.mark.parametrize("path", ["/probe", "/api/for/a/probe"])
@pytest.mark.parametrize("headers", LET_IN, ids=str)
def test_our_own_page_may_change_things(door: TestClient, method: str, path: str, headers: dict[str, str]) -> None:
    assert door.request(method, path, headers=headers).status_code == 200


@pytest.mark.parametrize("method", [*UNSAFE, "TRACE", "BREW"])
@pytest.mark.parametrize("path", ["/probe", "/api/for/a/probe"])
@pytest.mark.parametrize("headers", KEPT_OUT, ids=str)
def test_no_other_page_may(door: TestClient, method: str, path: str, headers: dict[str, str]) -> None:
    answer = door.request(method, path, headers=headers)
    assert answer.status_code == 403
    if path.startswith("/api"):
        assert answer.json()["error"]["code"] == "cross-origin"


def test_two_origins_are_refused(door: TestClient) -> None:
    twice = [("Origin", "http://127.0.0.1:8000"), ("Origin", "http://127.0.0.1:8000")]
    assert door.post("/probe", headers=twice).status_code == 403
    sites = [("Sec-Fetch-Site", "same-origin"), ("Sec-Fetch-Site", "cross-site")]
    assert door.post("/probe", headers=sites).status_code == 403


def test_looking_is_free_from_anywhere(door: TestClient) -> None:
    assert door.get("/probe", headers={"Origin": "http://evil.example", "Cookie": "a=b"}).status_code == 200


def test_no_cors_is_offered(door: TestClient) -> None:
    asked = {"Origin": "http://evil.example", "Access-Control-Request-Method": "POST"}
    answer = door.options("/api/for/a/probe", headers=asked)
    assert not [name for name in answer.headers if name.startswith("access-control")]


@pytest.mark.parametrize(
    ("scheme", "host", "origin", "own"),
    [
        ("http", "localhost", "http://localhost:80", True),
        ("http", "localhost:80", "http://localhost", True),
        ("https", "localhost", "https://localhost:443", True),
        ("http", "[::1]:8000", "http://[::1]:8000", True),
        ("http", "LOCALHOST:8000", "http://localhost:8000", True),
        ("http", "localhost", "https://localhost", False),
        ("http", "localhost:8000", "http://localhost:8001", False),
        ("http", "localhost", "localhost", False),
    ],
)
def test_an_origin_is_scheme_host_and_port(scheme: str, host: str, origin: str, own: bool) -> None:
    assert is_own_origin(scheme, host, origin) is own


@given(st.text(max_size=80))
def test_any_host_text_is_read_without_a_fault(text: str) -> None:
    parts = split_host(text)
    assert parts is None or (text.lower() == parts[0] + (f":{parts[1]}" if parts[1] else ""))


# --- bodies


def test_a_body_at_the_limit_is_taken_and_one_past_it_is_not(door: TestClient) -> None:
    assert door.post("/probe", headers=FORM, content=b"x" * BODY_LIMIT).json() == {"size": BODY_LIMIT}
    assert door.post("/probe", headers=FORM, content=b"x" * (BODY_LIMIT + 1)).status_code == 413


def test_a_body_in_pieces_is_counted_too(door: TestClient) -> None:
    def pieces(count: int) -> Iterator[bytes]:
        for _ in range(count):
            yield b"x" * 1024

    assert door.post("/probe", headers=FORM, content=pieces(256)).json() == {"size": BODY_LIMIT}
    answer = door.post("/api/for/a/probe", headers=JSON, content=pieces(257))
    assert answer.status_code == 413
    assert answer.json()["error"]["code"] == "too-large"


def test_a_body_in_pieces_has_a_kind_too(door: TestClient) -> None:
    assert (
        door.post("/api/for/a/probe", content=iter([b"{}"]), headers={"Content-Type": "text/plain"}).status_code == 415
    )


@pytest.mark.parametrize("length", ["x", "-1", "1.0", "9" * 19, ""])
def test_a_length_that_is_none_is_no_fault_of_ours(door: TestClient, length: str) -> None:
    answer = door.post("/api/for/a/probe", content=b"{}", headers={**JSON, "Content-Length": length})
    assert answer.status_code == 400


def test_an_endless_body_is_cut_off_on_the_wire(wire: tuple[str, int]) -> None:
    head = b"POST /probe HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-www-form-urlencoded\r\n"
    chunk = b"10000\r\n" + b"x" * 0x10000 + b"\r\n"
    for _ in range(20):  # an answer that is lost to a reset is lost now and then
        assert exchange(wire, head + b"Transfer-Encoding: chunked\r\n\r\n" + chunk * 40 + b"0\r\n\r\n").startswith(
            b"HTTP/1.1 413 "
        )
    assert exchange(wire, head + b"Content-Length: 99999999999\r\n\r\n").startswith(b"HTTP/1.1 413 ")


def test_a_slow_body_is_not_waited_for(wire: tuple[str, int]) -> None:
    head = b"POST /probe HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-www-form-urlencoded\r\n"
    began = time.monotonic()
    got = exchange(wire, head + b"Content-Length: 100\r\n\r\nx")
    assert got.startswith(b"HTTP/1.1 408 ")
    assert b"connection: close" in got.lower()
    assert time.monotonic() - began < 4


def test_one_byte_after_another_does_not_make_it_wait_longer(wire: tuple[str, int]) -> None:
    head = b"POST /probe HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-www-form-urlencoded\r\n"
    with socket.create_connection(wire, timeout=0.2) as line:
        line.sendall(head + b"Content-Length: 100\r\n\r\n")
        got, until = b"", time.monotonic() + 4
        while not got and time.monotonic() < until:
            line.sendall(b"x")
            try:
                got = line.recv(65536)
            except TimeoutError:
                continue
    assert got.startswith(b"HTTP/1.1 408 ")


@pytest.mark.parametrize(
    "headers",
    [
        {"Content-Type": "text/plain"},
        {"Content-Type": "application/x-www-form-urlencoded"},
        {"Content-Type": "multipart/form-data; boundary=x"},
        {"Content-Type": "application/jsonp"},
        {"Content-Type": "text/json"},
        {"Content-Type": "application/json; charset=utf-16"},
        {"Content-Type": "application/json", "Content-Encoding": "gzip"},
        {"Content-Type": ""},
        {},
    ],
    ids=str,
)
def test_json_has_to_be_called_json(door: TestClient, headers: dict[str, str]) -> None:
    answer = door.post("/api/for/a/probe", headers=headers, content=b'{"a": "1"}')
    assert answer.status_code == 415
    assert answer.json()["error"]["code"] == "media-type"


@pytest.mark.parametrize(
    "kind", ["application/json", "Application/JSON; charset=UTF-8", 'application/json;charset="utf-8"']
)
def test_json_is_taken(door: TestClient, kind: str) -> None:
    assert door.post("/api/for/a/probe", headers={"Content-Type": kind}, content=b"{}").json() == {"size": 2}


@pytest.mark.parametrize("kind", ["text/plain", "application/json", "application/octet-stream"])
def test_a_page_takes_forms_only(door: TestClient, kind: str) -> None:
    assert door.post("/probe", headers={"Content-Type": kind}, content=b"a=b").status_code == 415


def test_two_kinds_at_once_are_refused(door: TestClient) -> None:
    twice = [("Content-Type", "application/json"), ("Content-Type", "text/plain")]
    assert door.post("/api/for/a/probe", headers=twice, content=b"{}").status_code == 415


# --- too many at once


@pytest.mark.parametrize("limit", [{"at_once": 1}, {"at_work": 1}], ids=["inside", "at work"])
def test_more_than_it_can_serve_are_told_to_come_back_and_it_recovers(limit: dict[str, int]) -> None:
    async def nested(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["path"] == "/outer":
            second = TestClient(guard, base_url="http://127.0.0.1")
            inner.append(await to_thread.run_sync(second.get, "/api/inner"))
        await PlainTextResponse("served")(scope, receive, send)

    inner: list[Any] = []
    guard = Guard(nested, answer=answer, **limit)  # type: ignore[arg-type]
    client = TestClient(guard, base_url="http://127.0.0.1")
    assert client.get("/outer").text == "served"
    assert inner[0].status_code == 503
    assert inner[0].headers["retry-after"] == "5"
    assert "content-security-policy" in inner[0].headers
    assert client.get("/after").text == "served"


# --- paths and ranges


@pytest.mark.parametrize(
    "path",
    [
        "/probe/a%00b",
        "/probe/a%7fb",
        "/probe/%e2%80%ae",
        "/probe/%ff",
        "/static/%00",
        "/%0d%0aSet-Cookie:x=1",
        "/%ff",
        "/a%7fb",
        "/api/%00",
    ],
)
def test_an_address_with_control_characters_is_nowhere(door: TestClient, path: str) -> None:
    assert door.get(path).status_code == 404


@pytest.mark.parametrize(
    "path",
    [
        "/static/..%2f..%2fapp.db",
        "/static/%2e%2e/pyproject.toml",
        "/static/..%5c..%5cx",
        "/static//etc/passwd",
    ],
)
def test_nothing_outside_static_is_served(door: TestClient, path: str) -> None:
    assert door.get(path).status_code == 404


@pytest.mark.parametrize("value", ["bytes=" + ",".join(["0-"] * 1000), "bytes=0-0,1-1", "bytes=0-" + "9" * 80])
def test_more_than_one_range_is_refused(door: TestClient, value: str) -> None:
    assert door.get("/static/icon.svg", headers={"Range": value}).status_code == 416


def test_two_headers_of_ranges_are_refused(door: TestClient) -> None:
    twice = [("Range", "bytes=0-1"), ("Range", "bytes=2-3")]
    assert door.get("/static/icon.svg", headers=twice).status_code == 416


def test_one_range_is_answered(door: TestClient) -> None:
    answer = door.get("/static/icon.svg", headers={"Range": "bytes=0-3"})
    assert (answer.status_code, answer.content) == (
        206,
        (resource_dir("static") / "icon.svg").read_bytes()[:4],
    )


# --- headers


@pytest.mark.parametrize(
    "path", ["/", "/probe", "/api/for/a/probe", "/nowhere", "/api/nowhere", "/static/icon.svg", "/a%00"]
)
@pytest.mark.parametrize("host", ["127.0.0.1", "evil.example"])
def test_every_answer_carries_every_header(door: TestClient, path: str, host: str) -> None:
    answer = door.get(path, headers={"Host": host})
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS
    assert "server" not in answer.headers
    assert "cache-control" in answer.headers


def test_the_policy_allows_nothing_from_outside_and_nothing_inline() -> None:
    policy = HEADERS["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'")
    assert "frame-ancestors 'none'" in policy
    for never in ("unsafe", "http", "*", "blob:"):
        assert never not in policy


def test_files_with_a_version_are_kept_and_pages_are_not(door: TestClient) -> None:
    assert "max-age=31536000" in door.get("/static/icon.svg?v=1").headers["cache-control"]
    assert door.get("/static/icon.svg").headers["cache-control"] == "no-cache"
    assert door.get("/static/nowhere.svg?v=1").headers["cache-control"] == "no-store"
    assert door.get("/api/for/a/probe").headers["cache-control"] == "no-store"


def test_no_word_of_the_server_on_the_wire(wire: tuple[str, int]) -> None:
    got = exchange(wire, b"GET /probe HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
    assert got.startswith(b"HTTP/1.1 200 ")
    assert b"\r\nserver:" not in got.lower()
    assert b"uvicorn" not in got.lower()


def test_forwarded_headers_change_nothing(door: TestClient, wire: tuple[str, int]) -> None:
    forged = {"X-Forwarded-For": "1.2.3.4", "X-Forwarded-Host": "evil.example", "X-Forwarded-Proto": "https"}
    assert door.get("/probe", headers=forged).status_code == 200
    sent = b"GET /probe HTTP/1.1\r\nHost: localhost\r\nX-Forwarded-For: 1.2.3.4\r\nX-Forwarded-Proto: https\r\n"
    assert exchange(wire, sent + b"Connection: close\r\n\r\n").startswith(b"HTTP/1.1 200 ")
    posed = f"Host: localhost:{wire[1]}\r\nX-Forwarded-Proto: https\r\nOrigin: https://localhost:{wire[1]}\r\n"
    got = exchange(wire, b"POST /probe HTTP/1.1\r\n" + posed.encode() + b"Content-Length: 0\r\n\r\n")
    assert got.startswith(b"HTTP/1.1 403 ")


# --- the list of bad inputs

SENT: dict[str, tuple[str, str, list[tuple[str, str]], bytes]] = {
    "HTT-01": ("GET", "/probe", [("Host", "evil.example")], b""),
    "HTT-03": ("GET", "/probe", [("Host", "localhost.evil.example:8000")], b""),
    "HTT-05": ("GET", "/probe", [("Host", "localhost"), ("Host", "evil.example")], b""),
    "HTT-07": ("GET", "/probe", [("Host", "LOCALHOST:8000")], b""),
    "HTT-09": ("POST", "/probe", [("Origin", "http://evil.example")], b""),
    "HTT-11": ("POST", "/probe", [("Origin", "http://127.0.0.1:9999")], b""),
    "HTT-13": ("POST", "/probe", [("Sec-Fetch-Site", "cross-site")], b""),
    "HTT-15": ("POST", "/probe", [("Cookie", "session=abc")], b""),
    "HTT-17": ("POST", "/api/for/a/probe", [("Content-Type", "text/plain")], b'{"a": "1"}'),
    "HTT-19": ("GET", "/probe", [("X-Forwarded-For", "1.2.3.4")], b""),
    "HTT-25": ("GET", "/static/..%2f..%2fapp.db", [], b""),
    "HTT-27": ("GET", "/static/icon.svg", [("Range", "bytes=" + "0-,0-,0-," * 1000)], b""),
}
ELSEWHERE = {
    "HTT-21": "test_app.py: a changing route does not answer GET",
    "HTT-23": "no address here takes a `next`: test_app.py",
    "HTT-29": "test_a_slow_body_is_not_waited_for, on the wire",
}


def test_every_input_of_the_list_is_sent_or_named() -> None:
    assert set(INPUTS) == set(SENT) | set(ELSEWHERE)


@pytest.mark.parametrize("name", sorted(SENT))
def test_the_answer_is_the_one_wanted(door: TestClient, name: str) -> None:
    method, path, headers, body = SENT[name]
    assert door.request(method, path, headers=headers, content=body).status_code == INPUTS[name]["expect"]["status"]


def test_a_file_may_be_longer_than_a_form_where_files_are_sent(settings: Settings) -> None:
    app = make_app(settings)
    guard = Guard(app, answer=answer, takes_files=lambda path: path == "/files", body_limit=10)
    assert guard.limit_at("/files") == FILE_LIMIT
    assert guard.limit_at("/probe") == 10


@pytest.mark.parametrize(
    "path",
    ["/data/import", "/data/own", "/api/import", "/api/import/preview", "/api/own-sheet", "/api/own-sheet/reading"],
)
def test_files_are_taken_up_to_their_limit(door: TestClient, path: str) -> None:
    kind = JSON if path.startswith("/api/") else FORM
    assert door.post(path, content=b"x" * (BODY_LIMIT + 1), headers=kind).status_code != 413
    assert door.post(path, content=b"x", headers={**kind, "Content-Length": str(FILE_LIMIT + 1)}).status_code == 413
