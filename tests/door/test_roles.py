"""What a device may do, held against every address of the program."""

from __future__ import annotations

import re
from functools import cache

import pytest
from fastapi.routing import APIRoute

from webapp import api, pages, roles
from webapp.door.who import AT_MACHINE, FULL, WORKSHOP, Visitor

TABLET, OFFICE = Visitor(device=1, name="Tablet", role=WORKSHOP), Visitor(device=2, name="Office", role=FULL)
SAFE = {"GET", "HEAD", "OPTIONS"}


@cache
def asked() -> tuple[tuple[str, bool], ...]:
    """Every address of the program, as it is declared, and whether asking it changes something."""
    routers = [*pages.routers, *(part.router for part in api.PARTS)]
    routes = [route for router in routers for route in router.routes if isinstance(route, APIRoute)]
    found = {(path, bool((route.methods or set()) - SAFE)) for route in routes for path in paths(route.path)}
    return tuple(sorted(found))


def paths(path: str) -> list[str]:
    stems = api.STEMS if "{stem}" in path else ("",)
    return [re.sub(r"\{\w+\}", "1", path.replace("{stem}", stem)) for stem in stems]


def test_the_person_at_the_machine_may_do_everything() -> None:
    assert {path for path, changes in asked() if roles.refusal(AT_MACHINE, path, changes=changes)} == set()


def test_a_device_that_may_do_everything_may_do_all_but_let_devices_in() -> None:
    refused = {path for path, changes in asked() if roles.refusal(OFFICE, path, changes=changes)}
    assert refused == {path for path, _ in asked() if path.startswith(("/devices", "/api/devices"))}
    assert len(refused) == 7 + 6


def test_every_address_that_changes_something_is_in_the_list() -> None:
    """A new one is closed until somebody says which it is."""
    listed = (*roles.CLOSED, *roles.SETTLED, *roles.RECORDS)
    ways_in = {path for path, _ in asked() if roles.is_way_in(path)}
    missing = {path for path, changes in asked() if changes and not roles._under(path, listed)} - ways_in
    assert missing == set()


def test_nothing_in_the_list_is_without_an_address() -> None:
    for place in (*roles.CLOSED, *roles.SETTLED, *roles.RECORDS, *roles.UNDOING):
        assert any(roles._under(path, (place,)) for path, _ in asked()), place


@pytest.mark.parametrize(
    "path",
    [
        "/data",
        "/data/export",
        "/data/backups/x/restore",
        "/data/import",
        "/data/own",
        "/data/work/x/stop",
        "/devices",
        "/devices/passphrase",
        "/devices/close",
        "/api/devices",
        "/api/devices/link",
        "/api/backups",
        "/api/backups/x/restore",
        "/api/export",
        "/api/import",
        "/api/own-sheet",
    ],
)
def test_a_workshop_device_does_not_even_look_at_everything_at_once(path: str) -> None:
    assert roles.refusal(TABLET, path, changes=False)
    assert roles.refusal(TABLET, path, changes=True)


@pytest.mark.parametrize(
    "path",
    ["/settings/workshop", "/settings/people", "/price/channels", "/start", "/example", "/api/settings/terms",
     "/api/people", "/api/channels/1", "/api/example", "/somewhere/new"],
)  # fmt: skip
def test_it_looks_at_how_the_workshop_reckons_and_changes_nothing_there(path: str) -> None:
    assert not roles.refusal(TABLET, path, changes=False)
    assert roles.refusal(TABLET, path, changes=True)


@pytest.mark.parametrize(
    "path",
    ["/buy/orders", "/make/formulas", "/price/products/1/2/price", "/decide/sales", "/drafts", "/undo/7", "/sign-out",
     "/api/orders", "/api/products/1/channels/2/price", "/api/sales", "/api/undo/7"],
)  # fmt: skip
def test_it_records(path: str) -> None:
    assert not roles.refusal(TABLET, path, changes=True)


def test_a_word_that_only_begins_the_same_is_another_place() -> None:
    assert not roles.refusal(TABLET, "/database", changes=False)
    assert roles.refusal(TABLET, "/buying", changes=True)


def test_a_role_that_is_none_may_do_nothing() -> None:
    assert roles.refusal(Visitor(device=3, name="x", role="owner"), "/", changes=False)


@pytest.mark.parametrize(
    ("path", "version"),
    [("/undo/7", 7), ("/api/undo/12", 12), ("/changes/3/prices", 3), ("/changes", None), ("/undo/x", None),
     ("/undo/", None), ("/undo/²", None), ("/undo/" + "9" * 19, None), ("/buy/orders/7", None)],
)  # fmt: skip
def test_which_change_an_address_takes_back(path: str, version: int | None) -> None:
    assert roles.undone_version(path) == version
