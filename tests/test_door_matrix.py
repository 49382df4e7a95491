"""Every address that changes something, asked from where it must not be: by host, by origin, by stranger, by role.

The addresses are read from the program, none is listed here. The whole program is asked below the wire, with the peer
and the headers as a server hands them over.
"""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from starlette.routing import Route
from starlette.testclient import TestClient

from tests.door.opened import MACHINE, STRANGER, TABLET, Workshop, opened
from tests.tried import tell
from webapp import api
from webapp.app import join_interface, join_pages
from webapp.door.who import FULL, WORKSHOP
from webapp.settings import Settings

pytestmark = pytest.mark.long

SAFE = {"GET", "HEAD", "OPTIONS"}
PORT, TYPES = 8000, {True: b"application/json", False: b"application/x-www-form-urlencoded"}
Pairs = list[tuple[str, str]]
#: method, path, headers, the peer, and the address of this machine that it came in by
Try = tuple[str, str, Pairs, str, str]


def forged(host: str) -> list[Pairs]:
    """Twelve ways in which a browser says that a request is not of our own page, or does not say that it is."""
    own, evil = f"http://{host}:{PORT}", "http://evil.example"
    return [
        [("Origin", evil)],
        [("Origin", f"http://{host}:{PORT + 1}")],
        [("Origin", f"https://{host}:{PORT}")],
        [("Origin", "null")],
        [("Sec-Fetch-Site", "cross-site")],
        [("Sec-Fetch-Site", "same-site")],
        [("Sec-Fetch-Site", "same-origin"), ("Origin", evil)],
        [("Sec-Fetch-Site", "none"), ("Origin", evil)],
        [],
        [("Origin", own), ("Origin", evil)],
        [("Origin", own), ("Sec-Fetch-Site", "cross-site")],
        [("Origin", own), ("Sec-Fetch-Site", "same-origin"), ("Sec-Fetch-Site", "cross-site")],
    ]


HOSTS = (
    "evil.example",
    f"{MACHINE}.evil.example",
    "localhost.evil.example",
    "127.0.0.1.evil.example:8000",
    "192.0.2.3",
    "198.51.100.1:8000",
    "0.0.0.0",  # noqa: S104 - refused, not bound
    "[::]:8000",
    "localhost.",
    "127.1",
    "3221225986",  # the machine's address as one number
    f"evil@{MACHINE}",
    f"{MACHINE},evil.example",
    "",
    "[::1",
)


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    with opened(Settings(data=tmp_path_factory.mktemp("matrix"), database=None)) as found:
        join_pages(found.app)
        join_interface(found.app)
        yield found


def unsafe(workshop: Workshop) -> list[tuple[str, str]]:
    """Every method and address of the program that may change something."""
    routes = [route for route in workshop.app.router.routes if isinstance(route, Route)]
    found = {(one, route.path) for route in routes for one in (route.methods or set()) - SAFE}
    stems = {True: tuple(api.STEMS), False: ("",)}
    return sorted(
        (method, re.sub(r"\{\w+\}", "1", path.replace("{stem}", stem)))
        for method, path in found
        for stem in stems["{stem}" in path]
    )


async def ask(app: Any, one: Try) -> tuple[int, str]:
    """The status and the code of one request, as a server hands it over."""
    method, path, pairs, peer, server = one
    told: list[Any] = []
    kind = ("Content-Type", TYPES[path.startswith("/api/")].decode())
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method, "scheme": "http",
        "path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "",
        "headers": [(name.lower().encode(), text.encode("latin-1")) for name, text in [*pairs, kind]],
        "client": (peer, 50_000), "server": (server, PORT),
    }  # fmt: skip

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Any) -> None:
        told.append(message)

    await app(scope, receive, send)
    body = b"".join(one.get("body", b"") for one in told)
    code = (
        json.loads(body)["error"]["code"]
        if path.startswith("/api/") and told[0]["status"] >= 400 and body[:1] == b"{"
        else ""
    )
    return told[0]["status"], code


def asked(workshop: Workshop, tries: list[Try]) -> list[tuple[int, str]]:
    async def all_of_them() -> list[tuple[int, str]]:
        return [await ask(workshop.app, one) for one in tries]

    return asyncio.run(all_of_them())


def cookie(client: TestClient) -> tuple[str, str]:
    ((name, token),) = client.cookies.items()
    return "Cookie", f"{name}={token}"


def refused_by(statuses: list[tuple[int, str]], tries: list[Any], wanted: int, code: str) -> list[str]:
    """What was not refused as it should be."""
    return [
        f"{one[0]} {one[1]} {one[2]} from {one[3]}: {status} {found}"
        for one, (status, found) in zip(tries, statuses, strict=True)
        if status != wanted or found not in ("", code)
    ]


def test_no_change_comes_from_a_page_that_is_not_ours(workshop: Workshop) -> None:
    device = cookie(workshop.device(FULL))
    tries = [
        (method, path, [("Host", f"{host}:{PORT}"), more, *pairs], peer, host)
        for method, path in unsafe(workshop)
        for peer, host, more in ((TABLET, MACHINE, device), ("127.0.0.1", "127.0.0.1", ("Cookie", "a=b")))
        for pairs in forged(host)
    ]
    failed = refused_by(asked(workshop, tries), tries, 403, "cross-origin")
    ways = f"{len(unsafe(workshop))} addresses, 12 ways to say another page, a device that is in and the machine itself"
    tell("host and origin matrix: another page", len(tries), failed, ways)


def test_no_change_is_let_in_under_another_name(workshop: Workshop) -> None:
    device = cookie(workshop.device(FULL))
    tries = []
    for method, path in unsafe(workshop):
        for host in HOSTS:
            for peer, server in ((TABLET, MACHINE), ("127.0.0.1", "127.0.0.1")):
                pairs = [("Host", host), device, ("Origin", f"http://{host}")]
                tries.append((method, path, pairs, peer, server))
    failed = refused_by(asked(workshop, tries), tries, 421, "host")
    tell(
        "host and origin matrix: another name", len(tries), failed, f"{len(HOSTS)} hosts, from a device and the machine"
    )


def test_two_names_at_once_are_none(workshop: Workshop) -> None:
    tries = [
        (method, path, [("Host", MACHINE), ("Host", MACHINE)], TABLET, MACHINE) for method, path in unsafe(workshop)
    ]
    assert refused_by(asked(workshop, tries), tries, 421, "host") == []


def test_a_stranger_changes_nothing(workshop: Workshop) -> None:
    """With everything right but a device's cookie: none, another's, and one that was signed out."""
    gone = cookie(workshop.device())
    workshop.devices.sign_all_out(workshop.devices.door().at)
    own = [("Host", f"{MACHINE}:{PORT}"), ("Origin", f"http://{MACHINE}:{PORT}"), ("Sec-Fetch-Site", "same-origin")]
    made_up = ("Cookie", f"brimful-{workshop.installation}={'x' * 43}")
    ways_in = {path for _, path in unsafe(workshop) if path.startswith(("/pair/", "/sign-in"))}
    assert len(ways_in) == 2
    tries = [
        (method, path, [*own, *more], peer, MACHINE)
        for method, path in unsafe(workshop)
        if path not in ways_in
        for peer in (STRANGER, "127.0.0.1", "127.0.0.2")
        for more in ([], [made_up], [gone])
    ]
    failed = refused_by(asked(workshop, tries), tries, 401, "sign-in")
    tell("a stranger in the network", len(tries), failed, "no cookie, one made up, one signed out; three peers")


def test_a_workshop_device_is_refused_where_it_does_not_record(workshop: Workshop) -> None:
    own = f"{MACHINE}:{PORT}"
    tablet = [("Host", own), ("Origin", f"http://{own}"), cookie(workshop.device(WORKSHOP))]
    places = (
        *("/data", "/devices", "/settings", "/example", "/start", "/price/channels"),
        *(
            f"/api/{name}"
            for name in ("backups", "devices", "import", "own-sheet", "settings", "people", "bills", "channels")
        ),
        "/api/example",
    )
    tries = [(method, path, tablet, TABLET, MACHINE) for method, path in unsafe(workshop) if path.startswith(places)]
    assert len(tries) > 40
    failed = refused_by(asked(workshop, tries), tries, 403, "refused")
    tell("a workshop device where it does not record", len(tries), failed, "by address, pages and JSON")


def test_what_is_right_is_let_in(workshop: Workshop) -> None:
    """The same requests with nothing wrong in them pass the door: else all of the above would say nothing."""
    device = cookie(workshop.device(FULL))
    harmless = [one for one in unsafe(workshop) if one[1].startswith(("/buy", "/make", "/price", "/api/orders"))]
    tries: list[Any] = []
    for method, path in harmless:
        for peer, host, more in ((TABLET, MACHINE, device), ("127.0.0.1", "127.0.0.1", ("Cookie", "a=b"))):
            named = ("Host", f"{host}:{PORT}")
            tries += [
                (method, path, [named, more, ("Origin", f"http://{host}:{PORT}")], peer, host),
                (method, path, [named, more, ("Sec-Fetch-Site", "same-origin")], peer, host),
            ]
    assert len(tries) > 100
    assert [one for one in asked(workshop, tries) if one[0] in (401, 403, 421)] == []
