"""The front door: which requests are let in, and which headers every answer carries.

Nothing here knows a page. What is refused is refused before any of it is read further, and a body is read
whole (it is small) before the rest of the program sees the request, so a slow or an endless one costs a
little memory and no thread. `X-Forwarded-*` is never looked at.
"""

from __future__ import annotations

import asyncio
import contextlib
import re
from collections.abc import Callable, Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from webapp import STATIC
from webapp.door.asking import SAFE_METHODS, Doorkeeper, at_machine, host_of
from webapp.door.who import address_in
from webapp.errors import (
    BadRange,
    BadRequest,
    Busy,
    CrossOrigin,
    MediaType,
    NotFound,
    Problem,
    SlowBody,
    TooLarge,
    WrongHost,
)

BODY_LIMIT = 256 * 1024
"""Bytes of a body that are taken at once."""

FILE_LIMIT = 8 * 1024 * 1024
"""The same where a file is sent."""

LEFT_BYTES, LEFT_SECONDS = 16 * 1024 * 1024, 1.0
"""What is still taken, and thrown away, of a body that was refused, and for how long."""

AT_ONCE = 200
"""Requests inside at the same time. More are told to come back, so that those inside are answered."""

AT_WORK = 64
"""Requests that may be answered or wait for it; more would wait longer than anybody does, so they are told at once."""

RANGE_LIMIT = 64
"""Characters of a Range header: enough for one range of any file, too few for a flood of them."""

LOCAL_NAMES = ("localhost", "127.0.0.1", "[::1]")
FORM_TYPES = frozenset({"application/x-www-form-urlencoded", "multipart/form-data"})
HOST = re.compile(r"(\[[0-9a-f:.]{2,45}\]|[a-z0-9](?:[a-z0-9.-]{0,252}))(?::([0-9]{1,5}))?")
YEAR = "public, max-age=31536000, immutable"

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "font-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": (
        "accelerometer=(), browsing-topics=(), camera=(), display-capture=(), fullscreen=(), "
        "geolocation=(), gyroscope=(), hid=(), magnetometer=(), microphone=(), midi=(), payment=(), "
        "publickey-credentials-get=(), screen-wake-lock=(), serial=(), usb=(), xr-spatial-tracking=()"
    ),
}
"""On every answer, errors and static files too."""

HSTS = "max-age=31536000"
"""Under TLS only: from then on a browser asks for this name by TLS. Never for "localhost", which others share."""

Answer = Callable[[Scope, Problem], ASGIApp]


def is_json_path(path: str) -> bool:
    """Whether answers at this path are JSON."""
    return path == "/api" or path.startswith("/api/")


def split_host(text: str) -> tuple[str, str] | None:
    """Name and port ("" where none) of a Host header, in small letters; None where it is not one."""
    found = HOST.fullmatch(text.lower())
    return (found[1], found[2] or "") if found else None


def check_host(headers: Headers, allowed: frozenset[str]) -> None:
    """Let in only what was meant for one of our names: others may point theirs at us."""
    values = headers.getlist("host")
    parts = split_host(values[0]) if len(values) == 1 else None
    if parts is None or parts[0] not in allowed:
        raise WrongHost


def check_path(scope: Scope) -> None:
    """Refuse control characters and bytes that are not UTF-8: no address of ours holds any."""
    path: str = scope["path"]
    if "\ufffd" in path or not path.isprintable():
        raise NotFound


def check_origin(scope: Scope, headers: Headers, *, of_network: bool = False) -> None:
    """Let a change come only from our own page, or from a program on this machine that holds no cookie of ours.

    A browser says in `Sec-Fetch-Site` where a request comes from. Where it does not (plain http on a local
    network), `Origin` has to be the scheme, host and port that was asked: cookies are shared between ports. What comes
    from the network (`of_network`) has to say one of both.
    """
    if scope["method"] in SAFE_METHODS:
        return
    sites, origins = headers.getlist("sec-fetch-site"), headers.getlist("origin")
    if sites and sites not in (["same-origin"], ["none"]):
        raise CrossOrigin
    if origins and (len(origins) > 1 or not is_own_origin(scope["scheme"], headers["host"], origins[0])):
        raise CrossOrigin
    if not sites and not origins and (of_network or "cookie" in headers):
        raise CrossOrigin


def is_own_origin(scheme: str, host: str, origin: str) -> bool:
    """Whether an Origin header names the scheme, host and port that the request was sent to."""
    usual = {"http": "80", "https": "443"}
    asked = split_host(host)
    from_scheme, _, rest = origin.partition("://")
    came = split_host(rest)
    if asked is None or came is None or from_scheme.lower() != scheme:
        return False
    port = usual.get(scheme, "")
    return (asked[0], asked[1] or port) == (came[0], came[1] or port)


def check_range(headers: Headers) -> None:
    """Answer one range at most: reading a thousand of them costs more than the file."""
    values = headers.getlist("range")
    if len(values) > 1 or any(len(value) > RANGE_LIMIT or "," in value for value in values):
        raise BadRange


def check_media_type(scope: Scope, headers: Headers) -> None:
    """Read JSON only where it is called JSON, forms only as forms, and nothing that is packed."""
    length = headers.get("content-length", "")
    if scope["method"] in SAFE_METHODS or ("transfer-encoding" not in headers and length in ("", "0")):
        return
    values = headers.getlist("content-type")
    kind, _, rest = values[0].partition(";") if len(values) == 1 else ("", "", "")
    wanted = {"application/json"} if is_json_path(scope["path"]) else FORM_TYPES
    if kind.strip().lower() not in wanted or headers.get("content-encoding", "identity").lower() != "identity":
        raise MediaType(media_sentence(scope["path"]))
    charset = re.search(r"charset\s*=\s*\"?([^\s;\"]+)", rest, re.IGNORECASE)
    if charset and charset[1].lower() not in ("utf-8", "utf8"):
        raise MediaType("Send it in UTF-8. Nothing was changed.")


def media_sentence(path: str) -> str:
    """What to send instead."""
    if is_json_path(path):
        return "Send JSON, with the header Content-Type: application/json. Nothing was changed."
    return "Send it as the page's own form does. Nothing was changed."


def check_length(headers: Headers, limit: int) -> None:
    """Refuse a body that says itself that it is too large, before any of it is read."""
    for length in headers.getlist("content-length"):
        if not re.fullmatch(r"[0-9]{1,18}", length):
            raise BadRequest
        if int(length) > limit:
            raise TooLarge


async def read_body(receive: Receive, limit: int) -> bytes | None:
    """The whole body, or None where the sender went away. Raises TooLarge past `limit` bytes."""
    body = bytearray()
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return None
        body += message.get("body", b"")
        if len(body) > limit:
            raise TooLarge
        if not message.get("more_body", False):
            return bytes(body)


def lingering(receive: Receive, send: Send) -> Send:
    """A send that takes some of what is still coming before it ends an answer.

    A connection that is closed with bytes unread is reset, and the other side may lose the answer to that:
    who sent too large a file would read "connection reset" in place of the sentence.
    """

    async def with_rest(message: Message) -> None:
        if message["type"] != "http.response.body" or message.get("more_body", False):
            await send(message)
            return
        await send({**message, "more_body": True})
        with contextlib.suppress(TimeoutError, TooLarge):
            await asyncio.wait_for(read_body(receive, LEFT_BYTES), LEFT_SECONDS)
        await send({"type": "http.response.body", "body": b"", "more_body": False})

    return with_rest


def replay(body: bytes, receive: Receive) -> Receive:
    """A receive that hands out the body once, and then whatever comes next."""
    waiting = [body]

    async def again() -> Message:
        if waiting:
            return {"type": "http.request", "body": waiting.pop(), "more_body": False}
        return await receive()

    return again


def cache_rule(scope: Scope, status: int) -> str:
    """How long an answer may be kept: files with a version in the address a year, pages with data never."""
    if not scope["path"].startswith(STATIC) or status not in (200, 206, 304):
        return "no-store"
    return YEAR if scope.get("query_string", b"").startswith(b"v=") else "no-cache"


def dressed(scope: Scope, send: Send) -> Send:
    """A send that puts the door's headers on the answer."""

    async def with_headers(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers[name] = value
            if scope["scheme"] == "https" and host_of(Headers(scope=scope)).lower() != "localhost":
                headers["Strict-Transport-Security"] = HSTS
            headers.setdefault("Cache-Control", cache_rule(scope, message["status"]))
        await send(message)

    return with_headers


def with_cookie(send: Send, cookie: str) -> Send:
    """A send that gives the device its cookie once more, so that a browser keeps it as long as we do."""

    async def giving(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            if "set-cookie" not in headers:  # signing out takes it away
                headers.append("Set-Cookie", cookie)
        await send(message)

    return giving if cookie else send


class Guard:
    """ASGI middleware: refuses what may not come in, and puts the headers on all that goes out.

    `answer` makes a response of a Problem, the same way as anywhere else in the program; `takes_files` tells at which
    paths a body may be as long as a file. `keeper` is asked who it is, where others than this machine are served.
    """

    def __init__(
        self,
        app: ASGIApp,
        *,
        answer: Answer,
        allowed_hosts: Iterable[str] = (),
        body_limit: int = BODY_LIMIT,
        takes_files: Callable[[str], bool] = lambda _path: False,
        body_seconds: int = 20,
        at_once: int = AT_ONCE,
        at_work: int = AT_WORK,
        keeper: Doorkeeper | None = None,
    ) -> None:
        self.app = app
        self.answer = answer
        self.allowed = frozenset(LOCAL_NAMES) | {bracketed(name.lower()) for name in allowed_hosts}
        self.body_limit = body_limit
        self.takes_files = takes_files
        self.body_seconds = body_seconds
        self.at_once, self.at_work = at_once, at_work
        self.inside = self.working = 0
        self.keeper = keeper

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let one request in, or answer it here."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
        elif scope["type"] == "http":
            self.inside += 1
            try:
                await self.one_request(scope, receive, dressed(scope, send))
            finally:
                self.inside -= 1

    async def one_request(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Check the head, then read the body, then hand both on."""
        try:
            self.check_head(scope, Headers(scope=scope))
            if self.keeper is not None:
                send = with_cookie(send, await self.keeper.let_in(scope))
            body = await asyncio.wait_for(read_body(receive, self.limit_at(scope["path"])), self.body_seconds)
        except TimeoutError:
            await self.refuse(SlowBody(), scope, receive, send)
        except Problem as problem:
            await self.refuse(problem, scope, receive, send)
        else:
            if body is not None:
                self.working += 1
                try:
                    await self.app(scope, replay(body, receive), send)
                finally:
                    self.working -= 1

    def check_head(self, scope: Scope, headers: Headers) -> None:
        """Every check that needs no body. The host comes first: another name learns nothing."""
        check_host(headers, self.allowed_at(scope))
        of_network = self.keeper is not None and not at_machine(scope)
        full = self.inside > self.at_once or self.working >= self.at_work
        if full and (of_network or self.keeper is None):
            raise Busy  # a crowd in the network does not keep the person at the machine out
        check_path(scope)
        check_origin(scope, headers, of_network=of_network)
        check_range(headers)
        check_media_type(scope, headers)
        check_length(headers, self.limit_at(scope["path"]))

    def allowed_at(self, scope: Scope) -> frozenset[str]:
        """The names that are served on a connection: opened to the network, the address too that it came in by.

        That one is this machine's own, whichever it has just now, and an address can't be made to mean another.
        """
        server = scope.get("server")
        own = address_in(server[0]) if self.keeper is not None and server else None
        return self.allowed | {bracketed(str(own))} if own is not None else self.allowed

    def limit_at(self, path: str) -> int:
        """Bytes of a body that are taken at a path."""
        return FILE_LIMIT if self.takes_files(path) else self.body_limit

    async def refuse(self, problem: Problem, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer here, and close the connection: what is left of the body is waited for only a little."""
        problem.headers["Connection"] = "close"
        await self.answer(scope, problem)(scope, receive, lingering(receive, send))


def bracketed(name: str) -> str:
    """An IPv6 address as it stands in a Host header."""
    return f"[{name}]" if ":" in name and not name.startswith("[") else name
