"""The program as one ASGI application: joins the door, the pages, the JSON interface and the store.

There is no application at import: `make_app` makes one, as often as a test wants it.
"""

from __future__ import annotations

import importlib
import json
import logging
import mimetypes
import secrets
import threading
import time
import traceback
from collections.abc import AsyncIterator, Callable, Iterable, Iterator
from contextlib import ExitStack, asynccontextmanager, contextmanager
from datetime import date
from html import escape

from anyio.to_thread import current_default_thread_limiter
from fastapi import APIRouter, FastAPI
from fastapi.exceptions import RequestValidationError
from fastapi.telemetry import TelemetryConfig
from starlette.datastructures import MutableHeaders
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from webapp import STATIC, VERSION, pages, resource_dir, roles
from webapp.door.asking import SAFE_METHODS, Doorkeeper, Rules
from webapp.door.hosts import allowed_hosts
from webapp.door.slowing import Slowing
from webapp.errors import (
    MethodNotAllowed,
    NotFound,
    Problem,
    SignInFirst,
    WrongHost,
)
from webapp.guard import Guard, is_json_path
from webapp.jobs import Jobs
from webapp.methods import Addresses, Methods, not_allowed
from webapp.pages import error_pages
from webapp.pages.addresses import HOME, PAIR_LINK, SIGN_IN, TAKE_FILES
from webapp.problems import Unforeseen, as_json, as_problem
from webapp.routes import Later
from webapp.settings import Settings
from webapp.store.opening import Store, open_store
from webapp.upkeep import Upkeep

log = logging.getLogger("brimful")

# Held while parts of the program are imported and joined, so that two threads never import them across each other.
_JOINING = threading.Lock()
# Where it stands how far long work is, for all processes of the program and for its next start, in the data folder.
WORKING = "working"
# Threads that answer, in one process, and in each of several. They share one core: to go to and fro between many takes
# much of it, and who comes in waits for all of them. One that waits for a disk or another's save leaves the others.
THREADS, THREADS_OF_SEVERAL = 4, 2
# Where a whole file is sent.
FILES_AT = TAKE_FILES | {
    *(f"/api/import{act}" for act in ("", "/begin", "/preview", "/preview/begin")),
    "/api/own-sheet",
    "/api/own-sheet/reading",
}
DOOR_RULES = Rules(roles.refusal, roles.undone_version, roles.is_way_in, PAIR_LINK)
NO_TELEMETRY: TelemetryConfig = {"tracing": False, "metrics": False, "logs": False, "auto_configure": False}
FALLBACK = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title></head>
<body><main><h1>{title}</h1><p>{sentence}</p><p>{more}</p>
<p><a href="/">First page</a></p></main></body></html>
"""


def make_app(
    settings: Settings | None = None,
    store: Store | None = None,
    today: Callable[[], date] = date.today,
    upkeep: Upkeep | None = None,
) -> FastAPI:
    """Make the application.

    `store` is an open store (closed by whoever opened it); none: the one of `settings` is opened at start-up
    and closed at the end. `today` says which day it is. `upkeep` is told of each day of use; without
    one nothing is done by itself.
    """
    settings, addresses = settings or Settings(), Addresses()
    app = FastAPI(
        title="Brimful",
        version=VERSION,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        telemetry=NO_TELEMETRY,
        lifespan=lifespan,
        middleware=[
            Middleware(
                Guard,
                answer=answer,
                allowed_hosts=allowed_hosts(settings),
                body_seconds=settings.body_seconds,
                takes_files=FILES_AT.__contains__,
                keeper=None if settings.is_loopback else Doorkeeper(DOOR_RULES),
            ),
            Middleware(Timing),
            Middleware(LastResort),
            Middleware(Later, wanted=is_json_path, join=join_interface),
            Middleware(Later, wanted=is_inner_page, join=join_pages, unasked=True),
            Middleware(Methods, addresses=addresses, answer=answer),
        ],
        exception_handlers={Problem: handle, HTTPException: handle, RequestValidationError: handle},
    )
    app.state.settings, app.state.store, app.state.today = settings, store, today
    app.state.addresses, app.state.joined = addresses, []
    app.state.jobs, app.state.upkeep = Jobs(settings.data / WORKING), upkeep
    app.state.slowing = Slowing()
    mount_static(app)
    join(app, pages.first)
    return app


def is_inner_page(path: str) -> bool:
    """Whether more than the first page and its files may be meant."""
    return path != HOME and not path.startswith(STATIC) and not is_json_path(path)


def join_pages(app: FastAPI) -> None:
    """Add all other pages: a fifth of a second that the first does not need."""
    with _JOINING:
        join(app, pages.routers)


def join_interface(app: FastAPI) -> None:
    """Add the JSON interface: half a second that a start and the pages do not need."""
    with _JOINING:
        api = importlib.import_module("webapp.api")
        join(app, [part.router for part in api.PARTS], api.STEMS)


def join(app: FastAPI, routers: Iterable[APIRouter], words: Iterable[str] = ()) -> None:
    """Add those `routers` that the application does not have yet."""
    for router in routers:
        if not any(router is one for one in app.state.joined):
            app.state.addresses.add(router.routes, words)
            app.router.routes.extend(router.routes)  # as they are: to include them would make each route once more
            app.state.joined.append(router)


@contextmanager
def opened_store(settings: Settings, *, anew: bool = False) -> Iterator[Store]:
    """Open the store of `settings`, and close it at the end. Raises CannotStart where that cannot be done.

    `anew`: make it also where only backups of it are there.
    """
    store = open_store(settings, alone=True, anew=anew)
    try:
        yield store
    finally:
        store.close()


@asynccontextmanager
async def lifespan(app: FastAPI) -> AsyncIterator[None]:
    """Open the store unless one was handed in, and close what was opened here."""
    threads = THREADS_OF_SEVERAL if app.state.settings.workers > 1 else THREADS
    current_default_thread_limiter().total_tokens = threads
    with ExitStack() as stack:
        if app.state.store is None:
            app.state.store = stack.enter_context(opened_store(app.state.settings))
            stack.callback(setattr, app.state, "store", None)
        stack.callback(app.state.jobs.close)  # before the store is closed under it
        if app.state.upkeep is not None:
            stack.callback(app.state.upkeep.wait)
        yield


def mount_static(app: FastAPI) -> None:
    """Serve the files of `static`.

    Some machines call a script plain text, and then the door's headers keep a browser from running it.
    """
    mimetypes.add_type("text/javascript", ".js")
    mimetypes.add_type("text/css", ".css")
    mimetypes.add_type("image/svg+xml", ".svg")
    mimetypes.add_type("font/woff2", ".woff2")
    app.mount(STATIC.rstrip("/"), StaticFiles(directory=resource_dir("static")), name="static")


# --- errors: one handler, two shapes


async def handle(request: Request, error: Exception) -> Response:
    """Answer any error that a route raised."""
    problem = as_problem(error)
    if isinstance(problem, MethodNotAllowed | NotFound):
        methods = request.app.state.addresses.allowed(request.url.path)
        if methods and request.method not in methods:
            problem = not_allowed(methods)
    return answer(request.scope, problem)


def answer(scope: Scope, problem: Problem, reference: str = "") -> Response:
    """A problem as plain text, JSON or a page, whichever belongs to the address that was asked."""
    if isinstance(problem, WrongHost):
        return PlainTextResponse(problem.sentence, problem.status, headers=problem.headers)
    if is_json_path(scope["path"]):
        text = json.dumps(as_json(problem, reference), ensure_ascii=False)
        return Response(text, problem.status, media_type="application/json", headers=problem.headers)
    if (
        isinstance(problem, SignInFirst)
        and scope["method"] in SAFE_METHODS
        and b"hx-request" not in dict(scope["headers"])
    ):
        return RedirectResponse(SIGN_IN, 303)
    return HTMLResponse(error_page(scope, problem, reference), problem.status, headers=problem.headers)


def error_page(scope: Scope, problem: Problem, reference: str) -> str:
    """The page of an error; a plain one where the drawn one cannot be made."""
    try:
        return error_pages.error_page(Request(scope), problem, reference)
    except Exception as error:  # noqa: BLE001 - whatever is wrong with a template, the person still gets an answer
        log_fault("error page", error, reference)
    more = f"Reference: {reference}" if reference else ""
    return FALLBACK.format(title="That did not work", sentence=escape(problem.sentence), more=escape(more))


def log_fault(where: str, error: BaseException, reference: str) -> None:
    """Write down where something went wrong, without its message: that may hold what a person typed."""
    lines = []
    told: BaseException | None = error
    while told is not None:
        lines += [f"{type(told).__name__}\n", *traceback.format_tb(told.__traceback__)]
        told = told.__cause__ or told.__context__
    log.error("%s [%s] %s", where, reference, "".join(lines))


# --- two thin layers inside the door


class LastResort:
    """Answers what no handler foresaw: a calm page, and a reference that is in the log."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on, and answer for it where it breaks."""
        started = False

        async def watching(message: Message) -> None:
            nonlocal started
            started = started or message["type"] == "http.response.start"
            await send(message)

        try:
            await self.app(scope, receive, watching)
        except Exception as error:
            reference = secrets.token_hex(4)
            log_fault(f"{scope.get('method', '')} {scope.get('path', '')}".strip(), error, reference)
            if started or scope["type"] != "http":
                raise
            await answer(scope, Unforeseen(), reference)(scope, receive, send)


class Timing:
    """Says in `Server-Timing` how long an answer took (milliseconds) and how many SQL statements it needed.

    A store that counts offers `start_counting() -> Callable[[], int]`: the number so far in this request.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass one request on and time it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        began = time.perf_counter_ns()
        start = getattr(scope["app"].state.store, "start_counting", None)
        count: Callable[[], int] | None = start() if start else None

        async def timed(message: Message) -> None:
            if message["type"] == "http.response.start":
                spent = (time.perf_counter_ns() - began) // 10_000
                statements = f', sql;desc="{count()}"' if count else ""
                MutableHeaders(scope=message)["Server-Timing"] = f"app;dur={spent // 100}.{spent % 100:02}{statements}"
            await send(message)

        await self.app(scope, receive, timed)
