"""Asking the program for a page in process: no socket, no client library."""

from __future__ import annotations

import asyncio
import re
from typing import Any, NamedTuple

from starlette.types import ASGIApp


class Answer(NamedTuple):
    """Status, body, and how many SQL statements it took."""

    status: int
    body: bytes
    statements: int


def ask(app: ASGIApp, path: str, sends: bytes = b"") -> Answer:
    """The answer to a GET from this machine, or to a POST of what it `sends` as JSON."""
    sent: list[Any] = []
    # The coroutine gives nothing back: when it ends, asyncio.run writes out its result twice, the whole page.
    asyncio.run(_ask(app, path, sends, sent))
    head = dict(sent[0]["headers"])
    counted = re.search(rb'sql;desc="(\d+)"', head.get(b"server-timing", b""))
    body = b"".join(message.get("body", b"") for message in sent[1:])
    return Answer(sent[0]["status"], body, int(counted[1]) if counted else 0)


async def _ask(app: ASGIApp, path: str, sends: bytes, sent: list[Any]) -> None:

    async def receive() -> dict[str, Any]:
        return {"type": "http.request", "body": sends, "more_body": False}

    async def send(message: Any) -> None:
        sent.append(message)

    path, _, query = path.partition("?")
    headers = [(b"host", b"127.0.0.1:8000"), (b"accept", b"text/html"), (b"accept-language", b"en-GB")]
    if sends:
        headers += [(b"content-type", b"application/json"), (b"content-length", str(len(sends)).encode())]
    scope = {
        "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "scheme": "http",
        "method": "POST" if sends else "GET",
        "path": path, "raw_path": path.encode(), "query_string": query.encode(), "root_path": "", "headers": headers,
        "client": ("127.0.0.1", 50_000), "server": ("127.0.0.1", 8000),
    }  # fmt: skip
    await app(scope, receive, send)
