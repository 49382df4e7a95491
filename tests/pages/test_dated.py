"""What is saved as it stands makes no other fact from today on, of whatever kind it is."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fill
from tests.pages.workshop import example
from webapp.pages import addresses
from webapp.pages.dated import DATED
from webapp.store.writing import UNCHANGED

STEMS = {
    "person": "people",
    "bill": "bills",
    "channel": "channels",
    "formula": "formulas",
    "product": "products",
    "group": "groups",
}


def test_every_kind_that_begins_with_today_is_tried() -> None:
    assert set(STEMS) == DATED


@pytest.mark.parametrize("kind", sorted(STEMS))
def test_saved_as_it_stands_nothing_is_changed(client: TestClient, kind: str) -> None:
    example(client)
    things = client.get(f"/api/{STEMS[kind]}").json()["items"]
    assert things
    for one in things:
        there = addresses.thing(kind, one["id"])
        saved = fill(client, addresses.EDIT[kind].format(ident=one["id"]), there)
        assert saved.headers["location"].endswith(f"done={UNCHANGED}"), (one["name"], saved.headers["location"])
