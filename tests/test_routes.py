"""A start makes ready what it needs and nothing else; what comes later comes once, whole, to all who wait for it."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from fastapi import APIRouter
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from webapp import api, pages
from webapp.app import join_interface, join_pages, make_app
from webapp.routes import LateRoute, Routes
from webapp.settings import Settings

pytestmark = pytest.mark.long

ROOT = Path(__file__).resolve().parent.parent
ROUTERS = [*pages.routers, *(part.router for part in api.PARTS)]
EARLY = ("path", "endpoint", "name", "methods", "path_regex", "path_format")
AT_ONCE = 8

STARTED = """
import sys
import threading
from pathlib import Path
from tests.bench.asking import ask
from webapp import app as program
from webapp import pages
from webapp.settings import Settings
from webapp.store.opening import open_store

LATE = ("alembic", "httpx", "sqlalchemy.dialects.postgresql", "webapp.api", "webapp.pages.buy", "webapp.pages.price")
loaded, joined = [], threading.Event()
join_pages = program.join_pages

def join_after_the_answer(app):
    loaded.extend(name for name in LATE if name in sys.modules)
    join_pages(app)
    joined.set()

program.join_pages = join_after_the_answer
settings = Settings(data=Path(sys.argv[1]), database=None)
app = program.make_app(settings, open_store(settings))
before = len(app.routes)
assert ask(app, "/").status == 200
assert joined.wait(60)
print(*loaded)
print(*(one.name for router in pages.routers for one in router.routes if "dependant" in vars(one)))
print(len(app.routes) - before)
"""


def late(path: str = "/a/{ident}", **options: Any) -> LateRoute:
    """A route of its own."""

    def shown(ident: int) -> int:
        return ident

    return LateRoute(path, shown, **options)


def test_a_start_makes_ready_the_first_page_and_no_more(settings: Settings) -> None:
    done = subprocess.run(
        [sys.executable, "-c", STARTED, str(settings.data)], cwd=ROOT, capture_output=True, text=True, check=True
    )
    loaded, ready, joined = done.stdout.splitlines()
    assert loaded == ""
    assert ready == "home"
    assert int(joined) == sum(len(router.routes) for router in pages.routers if router not in pages.first)


def test_every_router_is_one_of_late_routes() -> None:
    assert all(isinstance(router, Routes) for router in ROUTERS)


def test_every_route_can_be_made_ready_and_keeps_its_address() -> None:
    for route in (route for router in ROUTERS for route in router.routes):
        assert isinstance(route, LateRoute)
        early = {name: vars(route)[name] for name in EARLY}
        assert route.dependant.call is route.endpoint, route.path
        assert {name: vars(route)[name] for name in EARLY} == early


def test_a_late_route_is_the_route_that_the_framework_would_have_made() -> None:
    options: dict[str, Any] = {"methods": ["post"], "status_code": 201, "name": "named"}
    one = late(**options)
    other = APIRoute("/a/{ident}", one.endpoint, **options)
    assert {name: vars(one)[name] for name in EARLY} == {name: vars(other)[name] for name in EARLY}
    assert one.dependant.call is one.endpoint  # it is ready now
    assert set(vars(other)) <= set(vars(one))
    assert (one.status_code, one.unique_id, one.description) == (201, other.unique_id, other.description)


def test_what_a_route_does_not_have_it_does_not_have() -> None:
    one = late()
    assert not hasattr(one, "nothing_of_the_kind")
    assert not hasattr(one, "nothing_of_the_kind")


def test_a_fault_in_a_route_is_told_to_everybody_who_asks() -> None:
    def wrong(thing: threading.Thread) -> None:
        del thing

    one = LateRoute("/a", wrong)
    for _ in range(2):
        with pytest.raises(Exception, match="Thread"):
            _ = one.dependant


def test_several_at_once_make_a_route_once(monkeypatch: pytest.MonkeyPatch) -> None:
    made, ready = [], APIRoute.__init__

    def slowly(self: APIRoute, *given: Any, **options: Any) -> None:
        made.append(self)
        time.sleep(0.02)  # the others have come by then
        ready(self, *given, **options)

    monkeypatch.setattr(APIRoute, "__init__", slowly)
    one, together = late(), threading.Barrier(AT_ONCE)

    def asked(_: int) -> Any:
        together.wait(5)
        return one.app

    with ThreadPoolExecutor(AT_ONCE) as threads:
        found = list(threads.map(asked, range(AT_ONCE)))
    assert len(made) == 1
    assert len({id(app) for app in found}) == 1


def test_the_interface_is_joined_once_however_many_ask_first(settings: Settings) -> None:
    app = make_app(settings)
    join_pages(app)
    before, together = len(app.routes), threading.Barrier(AT_ONCE)

    def asked(_: int) -> int:
        together.wait(5)
        return client.get("/api/line").status_code

    with TestClient(app, base_url="http://127.0.0.1") as client, ThreadPoolExecutor(AT_ONCE) as threads:
        assert list(threads.map(asked, range(AT_ONCE))) == [200] * AT_ONCE
    join_interface(app)
    assert len(app.routes) - before == sum(len(part.router.routes) for part in api.PARTS)


def test_all_other_pages_are_joined_once_however_many_ask_first(settings: Settings) -> None:
    app = make_app(settings)
    before, together = len(app.routes), threading.Barrier(AT_ONCE)

    def asked(number: int) -> int:
        together.wait(5)
        return client.get("/" if number % 2 else "/price").status_code

    with TestClient(app, base_url="http://127.0.0.1") as client, ThreadPoolExecutor(AT_ONCE) as threads:
        assert list(threads.map(asked, range(AT_ONCE))) == [200] * AT_ONCE
    joined = sum(len(router.routes) for router in pages.routers if router not in pages.first)
    assert len(app.routes) - before == joined > 100


def test_pages_that_cannot_be_joined_are_a_calm_500_and_the_first_page_is_shown(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pages, "routers", (None,), raising=False)
    app = make_app(settings)
    with TestClient(app, base_url="http://127.0.0.1", raise_server_exceptions=False) as client:
        assert client.get("/").status_code == 200
        assert client.get("/price").status_code == 500
        monkeypatch.undo()
        assert client.get("/price").status_code == 200


@pytest.mark.parametrize("method", ["POST", "DELETE"])
def test_the_first_request_for_json_is_answered_like_any_later_one(client: TestClient, method: str) -> None:
    answers = [client.request(method, "/api/line", headers={"Content-Type": "application/json"}) for _ in range(2)]
    assert [one.status_code for one in answers] == [405, 405]
    assert [one.headers["Allow"] for one in answers] == ["GET", "GET"]
    assert answers[0].content == answers[1].content


def test_an_interface_that_cannot_be_joined_is_a_calm_500_and_the_pages_go_on(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(api, "PARTS", (None,))
    app = make_app(settings)
    with TestClient(app, base_url="http://127.0.0.1", raise_server_exceptions=False) as client:
        assert client.get("/api/line").status_code == 500
        assert client.get("/").status_code == 200
        monkeypatch.undo()
        assert client.get("/api/line").status_code == 200


def test_a_router_of_late_routes_takes_what_the_frameworks_does() -> None:
    router: APIRouter = Routes(prefix="/under", tags=["told"])
    router.add_api_route("/a", lambda: None, name="a")
    (route,) = router.routes
    assert isinstance(route, LateRoute)
    assert (route.path, route.tags) == ("/under/a", ["told"])
