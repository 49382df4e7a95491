"""Which methods an address takes.

An address without a variable is looked up before anything else: to the router "/buy/materials/new" would also be a
material called "new", and a post to it would be answered as one that is not there.
"""

from __future__ import annotations

from collections.abc import Iterable

from fastapi.routing import APIRoute
from starlette.routing import BaseRoute
from starlette.types import ASGIApp, Receive, Scope, Send

from webapp.errors import MethodNotAllowed
from webapp.guard import Answer

HEADER = "Allow"
STEM = "{stem}"


class Addresses:
    """All addresses of the program, with the methods that each takes."""

    def __init__(self) -> None:
        self.fixed: dict[str, frozenset[str]] = {}
        self._open: list[APIRoute] = []

    def add(self, routes: Iterable[BaseRoute], words: Iterable[str] = ()) -> None:
        """Take in routes. `words` are all that can stand for {stem}."""
        for route in routes:
            if not isinstance(route, APIRoute):
                continue
            paths = [route.path.replace(STEM, word) for word in words] if STEM in route.path else [route.path]
            if "{" in paths[0]:
                self._open.append(route)
                continue
            for path in paths:
                self.fixed[path] = self.fixed.get(path, frozenset()) | (route.methods or set())

    def allowed(self, path: str) -> frozenset[str]:
        """The methods of an address, of all routes that are made for it; none where there is no such address.

        A route with fewer variables is meant rather than one that would take its words for variables.
        """
        if path in self.fixed:
            return self.fixed[path]
        serving = [route for route in self._open if route.path_regex.match(path)]
        least = min((len(route.param_convertors) for route in serving), default=0)
        meant = [route.methods or set() for route in serving if len(route.param_convertors) == least]
        return frozenset().union(*meant)


def not_allowed(methods: Iterable[str]) -> MethodNotAllowed:
    """The answer that names what is allowed, whichever route of the address was met first."""
    return MethodNotAllowed(headers={HEADER: ", ".join(sorted(methods))})


class Methods:
    """ASGI middleware: an address without a variable takes its own methods and no others."""

    def __init__(self, app: ASGIApp, *, addresses: Addresses, answer: Answer) -> None:
        self.app = app
        self.addresses = addresses
        self.answer = answer

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, or say what is allowed."""
        methods = self.addresses.fixed.get(scope["path"]) if scope["type"] == "http" else None
        if methods and scope["method"] not in methods:
            await self.answer(scope, not_allowed(methods))(scope, receive, send)
        else:
            await self.app(scope, receive, send)
