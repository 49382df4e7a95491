"""The door by JSON: looked at, a link made, devices signed out, the network kept out; at the machine only."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.api.test_documented import OF_DEVICES, SHOWN
from tests.door.opened import MACHINE, TABLET, THERE, Workshop, opened
from webapp.settings import Settings
from webapp.store.devices import LIFETIME, LONGEST

AT = "/api/devices"
NEW = {"name": "Bench tablet"}


@pytest.fixture
def workshop(settings: Settings) -> Iterator[Workshop]:
    with opened(settings) as found:
        yield found


def looked(workshop: Workshop) -> Any:
    return checked(workshop.machine, f"GET {AT}", AT).json()


def test_before_there_is_a_passphrase_nobody_can_be_let_in(workshop: Workshop) -> None:
    state = looked(workshop)
    assert (state["served"], state["open"], state["passphrase_set"], state["items"]) == (True, True, None, [])
    for address, body in ((f"{AT}/link", {"role": "workshop"}), (f"{AT}/close", {})):
        answer = workshop.machine.post(address, json=body)
        assert answer.status_code == 409
        assert "passphrase" in answer.json()["error"]["sentence"]


def test_served_to_this_machine_alone_it_says_so_and_makes_no_link(client: TestClient) -> None:
    client.app.state.store.devices.set_passphrase("none", client.app.state.store.shelf.clock(), all_out=False)  # type: ignore[attr-defined]
    state = client.get(AT).json()
    assert (state["served"], state["open"], state["addresses"]) == (False, False, [])
    assert client.post(f"{AT}/link", json={"role": "full"}).status_code == 409
    assert client.post(f"{AT}/open", json={}).json()["open"] is False


def test_a_link_lets_one_device_in_and_is_told_only_now(workshop: Workshop) -> None:
    assert workshop.installation
    made = checked(workshop.machine, f"POST {AT}/link", f"{AT}/link", json={"role": "full"}).json()
    assert made["role"] == "full"
    (path,) = {re.sub(r"^https?://[^/]+", "", one) for one in made["addresses"]}
    assert path not in workshop.machine.get(AT).text
    tablet = workshop.stranger(TABLET)
    assert tablet.post(path, data=NEW).status_code == 303
    assert tablet.get("/data").status_code == 200
    (one,) = looked(workshop)["items"]
    assert (one["name"], one["role"], one["seen"]) == ("Bench tablet", "full", workshop.day.isoformat())
    assert one["until"] == (workshop.day + LIFETIME).isoformat()


@pytest.mark.parametrize(
    ("body", "field"), [({}, "role"), ({"role": "owner"}, "role"), ({"role": 1}, "role"), ([], "role"),
                        ({"role": "full", "name": "x"}, "name")],
)  # fmt: skip
def test_what_is_wrong_with_a_link_is_said_at_its_field(workshop: Workshop, body: Any, field: str) -> None:
    assert workshop.installation
    answer = workshop.machine.post(f"{AT}/link", json=body)
    assert answer.status_code == 422
    assert [one["field"] for one in answer.json()["error"]["faults"]] == [field]


def test_one_is_signed_out_and_then_all(workshop: Workshop) -> None:
    tablet, till, office = workshop.device(), workshop.device(name="Till"), workshop.full
    ident = next(one["id"] for one in looked(workshop)["items"] if one["name"] == "Till")
    at = f"{AT}/{{ident}}/sign-out"
    left = checked(workshop.machine, f"POST {at}", at.format(ident=ident), json={}).json()["items"]
    assert [one["name"] for one in left] == ["Office", "Bench tablet"]
    assert till.get("/price").status_code == 303
    assert tablet.get("/price").status_code == 200
    assert workshop.machine.post(at.format(ident=ident), json={}).status_code == 404
    assert checked(workshop.machine, f"POST {AT}/sign-out", f"{AT}/sign-out", json={}).json()["items"] == []
    assert (tablet.get("/price").status_code, office.get("/price").status_code) == (303, 303)


def test_closed_nobody_of_the_network_is_answered_until_it_is_opened_again(workshop: Workshop) -> None:
    tablet, office, stranger, path = workshop.device(), workshop.full, workshop.stranger(), workshop.link()
    assert checked(workshop.machine, f"POST {AT}/close", f"{AT}/close", json={}).json()["open"] is False
    for client in (tablet, office, stranger, workshop.client(THERE, "127.0.0.1", Origin=THERE)):
        for address in ("/", "/price", "/sign-in", path, "/api/orders", "/nowhere"):
            shown = client.get(address)
            assert shown.status_code == 403, address
            assert "closed to the network just now" in shown.text
            assert "not signed in" not in shown.text
        assert client.post(path, data=NEW).status_code == 403
    assert stranger.get("/static/css/page.css").status_code == 200
    assert workshop.machine.get("/price").status_code == 200
    assert "Closed to your network" in workshop.machine.get("/price").text
    assert workshop.machine.post(f"{AT}/link", json={"role": "workshop"}).status_code == 409
    assert checked(workshop.machine, f"POST {AT}/open", f"{AT}/open", json={}).json()["open"] is True
    assert tablet.get("/price").status_code == 200
    assert stranger.post(path, data=NEW).status_code == 303


def test_the_page_closes_and_opens_too(workshop: Workshop) -> None:
    assert workshop.installation
    assert workshop.machine.post("/devices/close").headers["location"] == "/devices?did=closed"
    assert "Open it again" in workshop.machine.get("/devices").text
    assert looked(workshop)["open"] is False
    assert workshop.machine.post("/devices/open").headers["location"] == "/devices?did=opened"
    assert "Close it for now" in workshop.machine.get("/devices").text


def test_a_device_asks_none_of_it_whatever_it_may(workshop: Workshop) -> None:
    for client in (workshop.device(), workshop.full):
        assert client.get(AT).status_code == 403
        for method, path in OF_DEVICES:
            answer = client.request(method, path.replace("{ident}", "1"), json=SHOWN[method, path])
            assert answer.status_code == 403
            assert "on the computer that Brimful runs on" in answer.json()["error"]["sentence"]
    assert len(looked(workshop)["items"]) == 2


def test_a_year_after_it_was_let_in_a_device_has_to_be_let_in_again(workshop: Workshop) -> None:
    """However often it asks (an end to each session: ASVS 5.0, 7.3.2)."""
    tablet = workshop.device()
    let_in = workshop.devices.all(workshop.day)[0].at.date()
    workshop.day = let_in
    while workshop.day < let_in + LONGEST:
        assert tablet.get("/").status_code == 200
        workshop.day = min(workshop.day + LIFETIME, let_in + LONGEST)
    assert tablet.get("/").status_code == 200
    assert looked(workshop)["items"][0]["until"] == workshop.day.isoformat()
    workshop.day += timedelta(days=1)
    assert tablet.get("/").status_code == 303
    assert looked(workshop)["items"] == []


def test_every_body_is_taken_as_it_is_shown(workshop: Workshop) -> None:
    assert MACHINE
    workshop.device()
    ident = looked(workshop)["items"][0]["id"]
    last = sorted(OF_DEVICES, key=lambda one: (one[1].endswith("/sign-out"), one[1]))
    for method, path in [*last[:-2], (last[-1]), last[-2]]:
        if path == f"{AT}/link":
            workshop.machine.post(f"{AT}/open", json={})
        answer = workshop.machine.request(method, path.replace("{ident}", str(ident)), json=SHOWN[method, path])
        assert answer.status_code in (200, 201), (path, answer.text)
