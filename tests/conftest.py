"""What many tests stand on: several processes, a day, fresh data, a client, a live server, a watched browser page."""

from __future__ import annotations

import gc
import os
import re
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Generator, Iterator
from datetime import date
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from hypothesis import HealthCheck
from hypothesis import settings as hypothesis_settings
from playwright.sync_api import Browser, ConsoleMessage, Page, Playwright, Request, expect, sync_playwright
from playwright.sync_api import Error as PlaywrightError
from sqlalchemy import Dialect, Engine, create_engine, event
from starlette.testclient import TestClient

from tests import examples
from tests.asked import Client
from tests.made_once import MadeOnce
from tests.on_postgres import a_database_each, copied_postgres, empty_postgres, made_new
from webapp.app import make_app
from webapp.serving import address_of, configure, listen
from webapp.settings import Settings
from webapp.store import data_file
from webapp.store import engine as doors
from webapp.store.opening import open_store

# Nothing of the person who runs the tests is read or written: neither a data folder nor a database.
for name in [name for name in os.environ if name.startswith("BRIMFUL_") and name != "BRIMFUL_TEST_POSTGRES"]:
    del os.environ[name]
os.environ["BRIMFUL_DATA"] = str(Path(tempfile.gettempdir()) / "brimful-tests-nowhere")

# Python keeps what it compiles, in the ignored __pycache__, also where it is told not to: the program is started some
# hundred times and the tests are read by several processes, and half of that time would go into compiling the same.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

hypothesis_settings.register_profile(
    "brimful", deadline=None, max_examples=examples.of(100), suppress_health_check=[HealthCheck.too_slow]
)
hypothesis_settings.load_profile("brimful")
expect.set_options(timeout=20_000)  # a busy machine is slow, not wrong

BROWSERS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "microsoft-edge",
    "msedge",
)
QUIET = [
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
# Chromium itself writes this for every fetch that was answered so; these answers are part of how forms work.
WANTED_ANSWERS = re.compile(r"Failed to load resource: the server responded with a status of (409|422|428)\b")
NO_BROWSER = "no browser was found on PATH, in $TEST_BROWSER, or as installed Chrome or Edge"
NOT_IN_A_PLAIN_RUN = "not deep and not long and not browser"
NO_POSTGRES = "BRIMFUL_TEST_POSTGRES names no PostgreSQL"


# --- several processes


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int:
    """A process a core, at most 4; a single file, or what is looked into by hand, runs in this one."""
    of_one_file = len(config.args) == 1 and ".py" in config.args[0]
    return 0 if of_one_file or config.getoption("usepdb") else min(cores(), 4)


def cores() -> int:
    """How many this process may use; not every system says which."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def pytest_configure(config: pytest.Config) -> None:
    """Run all of a file that is named, and give each process a database of its own."""
    options = config.option
    if options.markexpr == NOT_IN_A_PLAIN_RUN and any(".py" in one for one in config.args):
        options.markexpr = "not deep"
    a_database_each(config)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what asks whichever database there is; on a PostgreSQL all else would only be the same once more."""
    for item in items:
        if "settings" in getattr(item, "fixturenames", ()):
            item.add_marker("either")


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """All that is imported and collected stays: looking through it meanwhile takes a third of the collecting."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()


def pytest_collection_finish() -> None:
    """What is there by now stays: looking through it for what could be thrown away took a sixth of all time."""
    gc.collect()
    gc.freeze()


# --- one wording of every SQL statement for all stores of a run

_DIALECTS: dict[str, Dialect] = {}
_WORDED: dict[Any, Any] = {}


def engine_with_worded_statements(*asked: Any, **options: Any) -> Engine:
    """An engine that need not put the program's statements into SQL anew: that takes longer than most tests.

    The library keeps what it has worded by the object that knows the database's SQL, so that is shared, once it has
    learnt what this database can do. What is sent to the database is the same; connections, pools and transactions are
    each engine's own.
    """
    engine = create_engine(*asked, **options, execution_options={"compiled_cache": _WORDED})
    name = engine.dialect.name
    if name == "sqlite" and name not in _DIALECTS:
        first = create_engine("sqlite://")
        first.connect().close()
        _DIALECTS[name] = first.dialect
    if name in _DIALECTS:
        engine.dialect = _DIALECTS[name]
    else:
        event.listen(engine, "engine_connect", lambda one: _DIALECTS.setdefault(name, one.dialect), once=True)
    return engine


doors.create_engine = engine_with_worded_statements  # type: ignore[attr-defined]
data_file.migrations = MadeOnce()  # type: ignore[assignment, attr-defined]


@pytest.fixture
def day() -> date:
    """The day that tests take for today."""
    return date(2026, 11, 25)


@pytest.fixture
def postgres_url() -> str:
    """An emptied PostgreSQL; the test is not checked where there is none."""
    url = os.environ.get("BRIMFUL_TEST_POSTGRES", "")
    if not url:
        pytest.skip(NO_POSTGRES)
    empty_postgres(url)
    return url


@pytest.fixture(scope="session")
def new_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data file as it is when new, made once: making one takes longer than most tests that start from it."""
    folder = tmp_path_factory.mktemp("new")
    open_store(Settings(data=folder, database=None)).close()
    return folder / "brimful.db"


@pytest.fixture(scope="session")
def new_postgres() -> str:
    """A PostgreSQL database as it is when new, beside the one that was named; made once, as the file is."""
    if not os.environ.get("BRIMFUL_TEST_POSTGRES"):
        pytest.skip(NO_POSTGRES)
    return made_new()


@pytest.fixture
def settings(tmp_path: Path, new_file: Path, request: pytest.FixtureRequest) -> Settings:
    """Fresh data in a folder of its own; with BRIMFUL_TEST_POSTGRES set, in a database of its own there."""
    if request.node.get_closest_marker("postgres"):
        return Settings(data=tmp_path / "data", database=request.getfixturevalue("postgres_url"))
    if "BRIMFUL_TEST_POSTGRES" in os.environ:
        return Settings(data=tmp_path / "data", database=copied_postgres(request.getfixturevalue("new_postgres")))
    (tmp_path / "data").mkdir()
    shutil.copy(new_file, tmp_path / "data" / "brimful.db")
    return Settings(data=tmp_path / "data", database=None)


@pytest.fixture
def client(settings: Settings, day: date) -> Iterator[TestClient]:
    """The whole program on fresh data, asked without a network. Redirects are shown, not followed."""
    app = make_app(settings, today=lambda: day)
    with Client(app, base_url="http://127.0.0.1", follow_redirects=False) as client:
        yield client


@pytest.fixture
def live_server(settings: Settings, day: date) -> Iterator[str]:
    """The address, without a slash at its end, of the whole program on fresh data, on a real port."""
    with serving(make_app(settings, today=lambda: day)) as address:
        yield address


class serving:  # noqa: N801 - reads as `with serving(app)`
    """Serve an app on a free port for a while, in a thread."""

    def __init__(self, app: Any) -> None:
        import uvicorn

        self.socket = listen("127.0.0.1", 0)
        self.server = uvicorn.Server(configure(app))
        self.thread = threading.Thread(target=self.server.run, kwargs={"sockets": [self.socket]}, daemon=True)

    def __enter__(self) -> str:
        """Start, and give the address once it answers."""
        self.thread.start()
        until = time.monotonic() + 20
        while not self.server.started:
            if not self.thread.is_alive() or time.monotonic() > until:
                raise RuntimeError("The server under test did not start.")
            time.sleep(0.005)
        return address_of(self.socket).rstrip("/")

    def __exit__(self, *_: object) -> None:
        """Stop, and wait for it."""
        self.server.should_exit = True
        self.thread.join(10)
        self.socket.close()


# --- the browser


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """Started once a run: a second one in the same process finds its event loop taken."""
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """Whatever browser this machine has. With none the test is not checked, or fails with REQUIRE_BROWSER=1."""
    found = launch(playwright)
    if found is None and os.environ.get("REQUIRE_BROWSER") == "1":
        pytest.fail(f"REQUIRE_BROWSER=1, but {NO_BROWSER}")
    if found is None:
        pytest.skip(NO_BROWSER)
    yield found
    found.close()


def launch(playwright: Playwright) -> Browser | None:
    """A browser from $TEST_BROWSER, PATH, an installed Chrome or Edge, or the one Playwright fetched."""
    as_root = hasattr(os, "geteuid") and os.geteuid() == 0
    flags = [*QUIET, "--no-sandbox"] if as_root else QUIET
    wanted = [os.environ.get("TEST_BROWSER", ""), *BROWSERS]
    ways: list[dict[str, Any]] = [{"executable_path": path} for one in wanted if one and (path := shutil.which(one))]
    for way in [*ways, {"channel": "chrome"}, {"channel": "msedge"}, {}]:
        try:
            return playwright.chromium.launch(args=flags, **way)
        except PlaywrightError:
            continue
    return None


@pytest.fixture
def open_page(browser: Browser, live_server: str) -> Iterator[Callable[..., Page]]:
    """Open a page in its own context, with Playwright's options: `open_page(java_script_enabled=False)`.

    At the end the test fails on any console error, script error, or request that leaves this machine.
    """
    complaints: list[str] = []
    contexts = []

    def opened(**options: Any) -> Page:
        context = browser.new_context(base_url=live_server, **options)
        contexts.append(context)
        page = context.new_page()
        watch(page, complaints)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert complaints == []


def watch(page: Page, complaints: list[str]) -> None:
    """Write down what a page complains of, and every address outside that it asks for."""

    def said(message: ConsoleMessage) -> None:
        if message.type == "error" and not WANTED_ANSWERS.match(message.text):
            complaints.append(f"console: {message.text} ({message.location.get('url', '')})")

    def asked(request: Request) -> None:
        where = urlsplit(request.url)
        if where.scheme not in ("data", "blob", "about") and where.hostname != "127.0.0.1":
            complaints.append(f"left the machine: {request.url}")

    page.on("console", said)
    page.on("pageerror", lambda error: complaints.append(f"script: {error}"))
    page.on("request", asked)


@pytest.fixture
def page(open_page: Callable[..., Page]) -> Page:
    """One watched page at the live server: `page.goto("/")`."""
    return open_page()


# --- what could not be checked


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say at the end what was not checked and why, so that a skip never reads as a pass."""
    reasons: dict[str, int] = {}
    for report in terminalreporter.stats.get("skipped", []):
        reason = str(report.longrepr[2] if isinstance(report.longrepr, tuple | list) else report.longrepr)
        reason = reason.removeprefix("Skipped: ")
        reasons[reason] = reasons.get(reason, 0) + 1
    for reason, count in sorted(reasons.items()):
        terminalreporter.write_line(f"NOT CHECKED: {count} tests. {reason}", yellow=True, bold=True)
    if not terminalreporter.config.invocation_params.args:
        terminalreporter.write_line("Not in this run: browsers, walks over everything, long draws. `.ci/run` has them.")
