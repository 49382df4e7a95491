"""A client that asks the program in one step: the library's own goes from thread to thread seven times a request."""

from __future__ import annotations

from typing import Any

import anyio
import httpx2
from starlette.testclient import TestClient
from starlette.types import Message


class Client(TestClient):
    """The library's client, but that an answer is there when all of it is, as no test wants half of one."""

    def __init__(self, app: Any, **options: Any) -> None:
        super().__init__(app, **options)
        self._transport = AtOnce(self._transport)


class AtOnce(httpx2.BaseTransport):
    """Asks an application as the transport does whose settings it takes."""

    def __init__(self, library: Any) -> None:
        self.library = library

    def handle_request(self, request: httpx2.Request) -> httpx2.Response:
        """The answer; what the application raises is raised here."""
        request.read()
        with self.library.portal_factory() as portal:
            answer: httpx2.Response = portal.call(self._answer, request)
            return answer

    async def _answer(self, request: httpx2.Request) -> httpx2.Response:
        sent: list[Message] = []
        asked, complete = False, anyio.Event()

        async def receive() -> Message:
            nonlocal asked
            if asked:
                await complete.wait()
                return {"type": "http.disconnect"}
            asked = True
            return {"type": "http.request", "body": request.content, "more_body": False}

        async def send(message: Message) -> None:
            sent.append(message)
            if message["type"] == "http.response.body" and not message.get("more_body", False):
                complete.set()

        try:
            await self.library.app(self._scope(request), receive, send)
        except Exception:
            if self.library.raise_server_exceptions:
                raise
            if not sent:
                return httpx2.Response(500)
        return httpx2.Response(sent[0]["status"], headers=sent[0]["headers"], stream=_body(request, sent[1:]))

    def _scope(self, request: httpx2.Request) -> dict[str, Any]:
        url = request.url
        return {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": request.method,
            "scheme": url.scheme,
            "path": url.path,
            "raw_path": url.raw_path.partition(b"?")[0],
            "root_path": self.library.root_path,
            "query_string": url.query,
            "headers": [(name.lower(), value) for name, value in request.headers.raw],
            "client": self.library.client,
            "server": [url.host, url.port or {"http": 80, "https": 443}[url.scheme]],
            "state": self.library.app_state.copy(),
        }


def _body(request: httpx2.Request, sent: list[Message]) -> httpx2.ByteStream:
    return httpx2.ByteStream(b"" if request.method == "HEAD" else b"".join(one.get("body", b"") for one in sent))
