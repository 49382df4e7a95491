"""No page is overlooked: every route that answers GET with a page is on the one list that browsers look at."""

from __future__ import annotations

import re
from typing import Any

import pytest
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from tests.every_page import NO_PAGES, PAGES, VARIANTS, Ask, filled
from tests.pages.workshop import example
from webapp import pages

pytestmark = pytest.mark.long

ROUTES = [
    route
    for router in pages.routers
    for route in router.routes
    if isinstance(route, APIRoute) and "GET" in (route.methods or ())
]
DOCS = "/api/docs"


def route_of(listed: str, routes: list[APIRoute]) -> str:
    """The route that answers a listed address: of those that could, the one with the fewest variables."""
    path = re.sub(r"\{\w+\}", "1", listed.partition("?")[0])
    serving = [route for route in routes if route.path_regex.match(path)]
    return min(serving, key=lambda route: len(route.param_convertors)).path if serving else ""


def overlooked(listed: tuple[str, ...], routes: list[APIRoute]) -> set[str]:
    return {route.path for route in routes} - {route_of(one, routes) for one in listed} - set(NO_PAGES)


def by_client(client: TestClient) -> Ask:
    def ask(address: str, body: Any) -> str:
        answer = client.get(address) if body is None else client.post(address, json=body)
        assert answer.is_success, address
        return answer.text

    return ask


def test_every_route_that_answers_with_a_page_is_listed() -> None:
    assert overlooked(PAGES + VARIANTS, ROUTES) == set()


@pytest.mark.parametrize("left_out", ["/changes/{change}", "/buy/materials/new", "/price/dearer/{dearer}/{with}/{on}"])
def test_a_page_that_is_left_out_is_named(left_out: str) -> None:
    listed = tuple(one for one in PAGES + VARIANTS if one != left_out)
    assert overlooked(listed, ROUTES) == {route_of(left_out, ROUTES)} != {""}


def test_what_a_variant_varies_is_looked_at_with_every_change() -> None:
    looked_at = {_function(one) for one in PAGES}
    assert [one for one in VARIANTS if one != DOCS and _function(one) not in looked_at] == []


def _function(listed: str) -> Any:
    path = route_of(listed, ROUTES)
    return next(route.endpoint for route in ROUTES if route.path == path)


def test_nothing_is_listed_twice_or_excused_for_nothing() -> None:
    assert len({*PAGES, *VARIANTS}) == len(PAGES + VARIANTS)
    assert set(NO_PAGES) <= {route.path for route in ROUTES}
    assert not {route_of(one, ROUTES) for one in PAGES + VARIANTS} & set(NO_PAGES)


def test_every_listed_page_is_a_page_of_the_example(client: TestClient) -> None:
    example(client)
    answers = {path: client.get(path) for path in filled(PAGES + VARIANTS, by_client(client))}
    assert {path: one.status_code for path, one in answers.items() if one.status_code != 200} == {}
    assert {path for path, one in answers.items() if one.text.count("<h1") != 1} == set()


def test_what_is_excused_is_no_page(client: TestClient) -> None:
    for path in NO_PAGES:
        if "{" in path:  # there is none of them now
            assert client.get(path).status_code == 404
            continue
        answer = client.get(path)
        assert (answer.status_code, answer.text) == (303, ""), path
