"""Routes that are made ready when they are first asked, and a part of the program that is joined then.

The framework looks through the signature of a route and all that it depends on, and makes validators of what it
finds. That takes 2 to 4 ms a route, and there are some two hundred; a start needs one of them.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from typing import Any

from fastapi import APIRouter, FastAPI
from fastapi.routing import APIRoute
from starlette.concurrency import run_in_threadpool
from starlette.routing import compile_path
from starlette.types import ASGIApp, Receive, Scope, Send

# One for all of them: making one ready may make another, and applications in several threads share routes.
_MAKING = threading.RLock()


class LateRoute(APIRoute):
    """A route that knows its address and methods, and looks through its function when anything else is wanted."""

    def __init__(self, path: str, endpoint: Callable[..., Any], **options: Any) -> None:
        self._wanted: tuple[str, Callable[..., Any], dict[str, Any]] | None = (path, endpoint, options)
        self.path, self.endpoint = path, endpoint
        self.name = options.get("name") or endpoint.__name__
        self.methods = {method.upper() for method in options.get("methods") or ("GET",)}
        self.path_regex, self.path_format, self.param_convertors = compile_path(path)

    def __getattr__(self, name: str) -> Any:
        """Whatever is not known yet. A fault in the function's signature comes out here."""
        with _MAKING:
            self._make()
            if name in self.__dict__:
                return self.__dict__[name]
        raise AttributeError(name)

    def _make(self) -> None:
        wanted = self.__dict__.get("_wanted")
        if wanted is None:  # it is made, or just being made
            return
        self._wanted = None
        try:
            path, endpoint, options = wanted
            super().__init__(path, endpoint, **options)
        except BaseException:
            self._wanted = wanted  # whoever asks next is told the same
            raise


class Routes(APIRouter):
    """A router of late routes."""

    def __init__(self, **options: Any) -> None:
        super().__init__(route_class=LateRoute, **options)


class Later:
    """ASGI middleware: before the first request for a `wanted` path goes on, `join` adds what answers it.

    It joins in a thread, so that other answers need not wait. `join` may be called by several at once. What will be
    wanted soon is joined `unasked` once anything else was answered: whoever reads that does not wait for it.
    """

    def __init__(
        self, app: ASGIApp, *, wanted: Callable[[str], bool], join: Callable[[FastAPI], None], unasked: bool = False
    ) -> None:
        self.app = app
        self.wanted = wanted
        self.join = join
        self.unasked = unasked
        self.joined = False

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on."""
        if not self.joined and scope["type"] == "http" and self.wanted(scope["path"]):
            await run_in_threadpool(self.join, scope["app"])
            self.joined = True
        await self.app(scope, receive, send)
        if self.unasked and scope["type"] == "http":
            self.unasked = False
            # Not in this request's own task: a server that is stopped meanwhile would have to break it off.
            threading.Thread(target=self._join_ahead, args=(scope["app"],)).start()

    def _join_ahead(self, app: FastAPI) -> None:
        with suppress(Exception):  # whoever asks for it is told
            self.join(app)
