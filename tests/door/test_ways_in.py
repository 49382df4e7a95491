"""Coming in and going out: the passphrase, a link, and what a device meets then."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from urllib.parse import unquote

import pytest
from starlette.responses import PlainTextResponse
from starlette.testclient import TestClient

from tests.door.opened import HERE, MACHINE, STRANGER, TABLET, THERE, WORDS, Workshop, opened
from webapp.app import DOOR_RULES, answer, make_app
from webapp.door.asking import Doorkeeper
from webapp.door.guessing import FREE
from webapp.guard import HEADERS, Guard
from webapp.settings import Settings
from webapp.store.devices import LIFETIME

NEW = {"name": "Bench tablet"}


@pytest.fixture
def workshop(settings: Settings) -> Iterator[Workshop]:
    with opened(settings) as found:
        yield found


# --- who is who


def test_the_person_at_the_machine_needs_nothing_and_is_told_that_it_is_open(workshop: Workshop) -> None:
    shown = workshop.machine.get("/")
    assert shown.status_code == 200
    assert "Open to your network" in shown.text
    assert "can be listened to" in shown.text


def test_served_to_this_machine_alone_nothing_is_asked_and_nothing_said(settings: Settings) -> None:
    with TestClient(make_app(settings), base_url="http://127.0.0.1") as client:
        assert "network" not in client.get("/").text
        assert client.get("/devices").status_code == 200
        assert "Closed: only this computer is served" in client.get("/devices").text


@pytest.mark.parametrize(
    ("peer", "base"),
    [(STRANGER, THERE), (STRANGER, HERE), ("127.0.0.1", THERE), ("127.0.0.2", THERE), ("::1", THERE), ("", HERE)],
)
def test_whoever_is_not_in_sees_the_way_in_and_nothing_else(workshop: Workshop, peer: str, base: str) -> None:
    stranger = workshop.client(base, peer, Origin=base)
    shown = stranger.get("/price")
    assert (shown.status_code, shown.headers["location"], shown.text) == (303, "/sign-in", "")
    assert stranger.get("/api/orders").status_code == 401
    assert stranger.get("/api/orders").json()["error"]["code"] == "sign-in"
    assert stranger.get("/api/orders").headers["www-authenticate"].startswith("Cookie")
    assert stranger.post("/buy/orders").status_code == 401
    assert stranger.get("/nowhere").status_code == 303
    assert stranger.get("/sign-in").status_code == 200
    assert stranger.get("/static/css/page.css").status_code == 200


def test_a_part_of_a_page_says_it_in_place(workshop: Workshop) -> None:
    asked = {"HX-Request": "true", "HX-Request-Type": "partial"}
    shown = workshop.stranger().get("/price", headers=asked)
    assert shown.status_code == 401
    assert 'href="/sign-in"' in shown.text
    assert "<html" not in shown.text


def test_the_way_in_says_nothing_of_the_workshop(workshop: Workshop) -> None:
    assert workshop.machine.post("/api/example", json={}).is_success
    name = re.search(r"<small>([^<]+)</small>", workshop.machine.get("/").text)
    assert name is not None
    shown = workshop.stranger().get("/sign-in").text + workshop.stranger().get(workshop.link()).text
    assert name[1] not in shown


def test_forwarded_headers_make_nobody_the_machine(workshop: Workshop) -> None:
    forged = {"X-Forwarded-For": "127.0.0.1", "Forwarded": "for=127.0.0.1;host=localhost", "X-Real-IP": "127.0.0.1"}
    assert workshop.stranger().get("/price", headers=forged).status_code == 303


def test_a_crowd_of_the_network_does_not_keep_the_person_at_the_machine_out() -> None:
    served = PlainTextResponse("served")
    guard = Guard(served, answer=answer, at_once=0, allowed_hosts=(MACHINE,), keeper=Doorkeeper(DOOR_RULES))
    asked = {"base_url": THERE, "client": (STRANGER, 1)}
    assert TestClient(guard, base_url=HERE, client=("127.0.0.1", 1)).get("/").text == "served"
    assert TestClient(guard, **asked).get("/sign-in").status_code == 503  # type: ignore[arg-type]


# --- the passphrase


def test_the_passphrase_lets_a_device_in(workshop: Workshop) -> None:
    assert workshop.set_passphrase().status_code == 303
    tablet = workshop.stranger(TABLET)
    came = tablet.post("/sign-in", data={**NEW, "passphrase": WORDS, "role": "workshop"})
    assert (came.status_code, came.headers["location"]) == (303, "/")
    shown = tablet.get("/")
    assert shown.status_code == 200
    assert "This is Bench tablet" in shown.text
    assert "Bench tablet" in workshop.machine.get("/devices").text


@pytest.mark.parametrize("words", ["short", "", "x" * 129, "with a \x07 bell"])
def test_a_passphrase_that_is_none_is_said_at_its_field_and_not_kept(workshop: Workshop, words: str) -> None:
    shown = workshop.set_passphrase(words)
    assert shown.status_code == 422
    assert 'id="e-passphrase"' in shown.text
    assert workshop.devices.door() is None
    assert words not in shown.text or len(words) < 6


def test_a_second_that_differs_is_said_at_its_field(workshop: Workshop) -> None:
    shown = workshop.machine.post("/devices/passphrase", data={"passphrase": WORDS, "again": WORDS + "!"})
    assert shown.status_code == 422
    assert 'id="e-again"' in shown.text
    assert workshop.devices.door() is None


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"name": "", "passphrase": WORDS}, "name"),
        ({"name": "x" * 121, "passphrase": WORDS}, "name"),
        ({**NEW, "passphrase": ""}, "passphrase"),
        ({**NEW, "passphrase": WORDS.upper()}, "passphrase"),
    ],
    ids=("no name", "long name", "nothing typed", "wrong"),
)
def test_a_fault_at_the_way_in_stands_at_its_field(
    workshop: Workshop, typed: dict[str, str], field: str, caplog: pytest.LogCaptureFixture
) -> None:
    workshop.set_passphrase()
    stranger = workshop.stranger()
    shown = stranger.post("/sign-in", data=typed)
    assert shown.status_code == 422
    assert f'id="e-{field}"' in shown.text
    assert "set-cookie" not in shown.headers
    assert WORDS not in shown.text
    assert "The passphrase has to be typed again." in shown.text  # it is the one thing that is not given back
    assert (typed["name"] in shown.text) or len(typed["name"]) > 120
    assert workshop.devices.all(workshop.day) == ()
    assert (f"typed at {STRANGER}" in caplog.text) == (field == "passphrase")
    assert "four words" not in caplog.text.lower()


def test_without_a_passphrase_nobody_comes_in_by_one(workshop: Workshop) -> None:
    shown = workshop.stranger().post("/sign-in", data={**NEW, "passphrase": "none"})
    assert shown.status_code == 422
    assert "no passphrase yet" in shown.text


def test_wrong_tries_are_slowed_and_the_machine_is_not(workshop: Workshop) -> None:
    assert workshop.installation
    now = [100.0]
    workshop.app.state.slowing.clock = lambda: now[0]
    guesser, tablet = workshop.stranger(), workshop.stranger(TABLET)
    wrong = {**NEW, "passphrase": "a wrong guess"}
    assert [guesser.post("/sign-in", data=wrong).status_code for _ in range(FREE)] == [422] * FREE
    told = guesser.post("/sign-in", data=wrong)
    assert (told.status_code, told.headers["retry-after"]) == (429, "2")
    assert "Bench tablet" in told.text  # what was typed is still there
    assert tablet.post("/sign-in", data=wrong).status_code == 422
    assert workshop.machine.get("/devices").status_code == 200
    assert workshop.machine.post("/sign-in", data=wrong).headers["location"] == "/"
    now[0] += 2
    assert guesser.post("/sign-in", data=wrong).status_code == 422
    assert guesser.post("/sign-in", data=wrong).headers["retry-after"] == "4"


def test_guessed_links_are_slowed_and_a_true_one_never_is(workshop: Workshop) -> None:
    path, guesser = workshop.link(), workshop.stranger()
    codes = [guesser.post(f"/pair/{letter * 43}", data=NEW).status_code for letter in "abcdefg"]
    assert codes == [404] * FREE + [429] * 2
    assert guesser.post(path, data=NEW).status_code == 303


# --- links


def test_looking_at_a_link_does_not_use_it_up(workshop: Workshop) -> None:
    path = workshop.link()
    for _ in range(3):
        assert workshop.stranger().get(path).status_code == 200
        assert workshop.stranger().head(path).status_code in (200, 405)
    assert workshop.stranger().post(path, data=NEW).status_code == 303


def test_a_used_link_and_an_old_one_say_so(workshop: Workshop) -> None:
    path = workshop.link()
    assert workshop.stranger().post(path, data=NEW).status_code == 303
    again = workshop.stranger().post(path, data=NEW)
    assert again.status_code == 410
    assert "let a device in already" in again.text
    assert "set-cookie" not in again.headers
    waiting = workshop.link()
    workshop.machine.post("/devices/sign-out")
    for shown in (workshop.stranger().get(waiting), workshop.stranger().post(waiting, data=NEW)):
        assert shown.status_code == 410
        assert "too old" in shown.text


def test_a_link_that_let_this_device_in_leads_on(workshop: Workshop) -> None:
    """A browser opens its pages again, the link's too; and no page says to a device that is in that it is not."""
    path, tablet = workshop.link(), workshop.stranger(TABLET)
    tablet.post(path, data=NEW)
    again = tablet.get(path)
    assert (again.status_code, again.headers["location"]) == (303, "/")
    assert "This is Bench tablet, signed in" in tablet.get("/sign-in").text
    assert "This is Bench tablet, signed in" in tablet.get(workshop.link()).text
    assert "this device is not signed in" in workshop.stranger().get("/sign-in").text


@pytest.mark.parametrize("token", ["x", "x" * 43, "x" * 44, "..%2f..", "%00"])
def test_a_link_that_there_never_was_is_nothing(workshop: Workshop, token: str) -> None:
    assert workshop.stranger().get(f"/pair/{token}").status_code == 404
    assert workshop.stranger().post(f"/pair/{token}", data=NEW).status_code == 404


def test_a_link_without_a_name_for_the_device_waits(workshop: Workshop) -> None:
    path = workshop.link()
    shown = workshop.stranger().post(path, data={"name": "  "})
    assert shown.status_code == 422
    assert 'id="e-name"' in shown.text
    assert workshop.stranger().post(path, data=NEW).status_code == 303


def test_the_machine_itself_does_not_use_a_link_up(workshop: Workshop) -> None:
    path = workshop.link()
    assert "another device" in workshop.machine.get(path).text
    assert workshop.machine.post(path, data=NEW).headers["location"] == "/devices"
    assert workshop.stranger().post(path, data=NEW).status_code == 303


def test_a_link_gives_the_role_that_it_was_made_for(workshop: Workshop) -> None:
    tablet, office = workshop.stranger(TABLET), workshop.stranger()
    tablet.post(workshop.link("workshop"), data=NEW)
    office.post(workshop.link("full"), data={"name": "Office"})
    assert (tablet.get("/data").status_code, office.get("/data").status_code) == (403, 200)
    assert (tablet.get("/devices").status_code, office.get("/devices").status_code) == (403, 403)


def test_the_code_holds_the_link_at_an_address_of_the_network(workshop: Workshop) -> None:
    assert workshop.installation
    shown = workshop.machine.post("/devices/link", data={"role": "workshop"}).text
    assert "data:image/svg+xml" in shown
    assert "127.0.0.1:8000/pair" not in shown
    token = re.search(r"/pair/([\w-]{43})", shown)
    assert token is not None
    assert token[1] not in workshop.machine.get("/devices").text
    assert unquote(shown).count("<svg") >= 1


@pytest.mark.parametrize("role", ["", "owner", "full,workshop"])
def test_a_role_that_is_none_makes_no_link(workshop: Workshop, role: str) -> None:
    assert workshop.installation
    assert "/pair/" not in workshop.machine.post("/devices/link", data={"role": role}).text


# --- the cookie


@pytest.mark.parametrize("scheme", ["http", "https"])
def test_the_cookie_is_kept_from_scripts_and_other_sites(workshop: Workshop, scheme: str) -> None:
    came = workshop.stranger(TABLET, scheme).post(workshop.link(), data=NEW)
    name, _, rest = came.headers["set-cookie"].partition("=")
    token, *rules = rest.split("; ")
    assert name == ("__Host-" if scheme == "https" else "") + f"brimful-{workshop.installation}"
    wanted = ["Path=/", "Max-Age=7776000", "HttpOnly", "SameSite=Strict"]
    assert rules == wanted + (["Secure"] if scheme == "https" else [])
    assert len(token) == 43


def test_no_token_lies_in_the_data(workshop: Workshop) -> None:
    path = workshop.link()
    tablet = workshop.stranger(TABLET)
    tablet.post(path, data=NEW)
    file = workshop.settings.data / "brimful.db"
    if not file.exists():
        pytest.skip("the data is no file here")
    stored = file.read_bytes()
    assert path.rpartition("/")[2].encode() not in stored
    assert next(iter(tablet.cookies.values())).encode() not in stored
    assert b"Bench tablet" in stored


def test_a_cookie_goes_on_while_it_is_used_and_no_longer(workshop: Workshop) -> None:
    tablet = workshop.device()
    assert "set-cookie" not in tablet.get("/").headers
    workshop.day += timedelta(days=1)
    assert "Max-Age=7776000" in tablet.get("/").headers["set-cookie"]
    assert "set-cookie" not in tablet.get("/").headers
    workshop.day += LIFETIME
    assert tablet.get("/").status_code == 200
    workshop.day += LIFETIME + timedelta(days=1)
    assert tablet.get("/").status_code == 303


def test_the_cookie_of_one_scheme_is_none_of_the_other(workshop: Workshop) -> None:
    tablet = workshop.device()
    token = next(iter(tablet.cookies.values()))
    name = f"brimful-{workshop.installation}"
    stranger = workshop.stranger(TABLET, "https")
    assert stranger.get("/", headers={"Cookie": f"{name}={token}"}).status_code == 303
    assert stranger.get("/", headers={"Cookie": f"__Host-{name}={token}"}).status_code == 200


def test_signing_in_anew_ends_what_this_browser_was_before(workshop: Workshop) -> None:
    tablet = workshop.device(name="Before")
    tablet.post(workshop.link(), data={"name": "After"})
    assert [one.name for one in workshop.devices.all(workshop.day)] == ["After"]


# --- out


def test_a_device_that_is_signed_out_is_out_with_its_next_request(workshop: Workshop) -> None:
    tablet, other = workshop.device(), workshop.device(name="Other")
    ident = next(one.ident for one in workshop.devices.all(workshop.day) if one.name == "Bench tablet")
    assert tablet.get("/price").status_code == 200
    assert workshop.machine.post(f"/devices/{ident}/sign-out").status_code == 303
    assert tablet.get("/price").status_code == 303
    assert tablet.get("/api/orders").status_code == 401
    assert other.get("/price").status_code == 200
    assert workshop.machine.post(f"/devices/{ident}/sign-out").status_code == 404
    workshop.machine.post("/devices/sign-out")
    assert other.get("/price").status_code == 303


def test_a_device_signs_itself_out(workshop: Workshop) -> None:
    tablet = workshop.device()
    out = tablet.post("/sign-out")
    assert (out.status_code, out.headers["location"]) == (303, "/sign-in")
    assert "Max-Age=0" in out.headers["set-cookie"]
    assert workshop.devices.all(workshop.day) == ()
    assert tablet.get("/").status_code == 303


def test_a_changed_passphrase_signs_out_where_it_is_ticked(workshop: Workshop) -> None:
    tablet = workshop.device()
    assert 'name="all_out" value="yes" checked' in workshop.machine.get("/devices").text
    workshop.set_passphrase()
    assert tablet.get("/").status_code == 200
    workshop.set_passphrase(all_out="yes")
    assert tablet.get("/").status_code == 303


# --- what a device may do


def test_what_a_device_saves_says_so_and_it_takes_back_only_its_own(workshop: Workshop) -> None:
    tablet, other, office = workshop.device(), workshop.device(name="Other"), workshop.full
    made = workshop.machine.post("/api/suppliers", json={"name": "The mill", "currency": "EUR"})
    assert made.status_code == 201, made.text
    for client, name in ((tablet, "Bees"), (tablet, "Jars")):
        assert client.post("/api/suppliers", json={"name": name, "currency": "EUR"}).status_code == 201
    assert "by a program on Bench tablet" in workshop.machine.get("/changes").text
    machines, bees, jars = (
        item["version"] for item in reversed(workshop.machine.get("/api/changes").json()["items"][:3])
    )
    for client, version, status in (
        (tablet, machines, 403),
        (other, bees, 403),
        (tablet, bees, 200),
        (office, jars, 200),
    ):
        assert client.post(f"/api/undo/{version}", headers={"If-Match": "x"}).status_code == status
    refused = tablet.post(f"/undo/{machines}", data={"token": "x" * 12})
    assert refused.status_code == 403
    assert "made elsewhere" in refused.text


def test_a_refusal_is_a_sentence_and_changes_nothing(workshop: Workshop) -> None:
    tablet = workshop.device()
    page, json = tablet.get("/data"), tablet.get("/api/export")
    assert (page.status_code, json.status_code) == (403, 403)
    assert "This device reads and records." in page.text
    assert "This device reads and records." in json.json()["error"]["sentence"]
    before = workshop.machine.get("/api/settings/terms").json()
    assert tablet.put("/api/settings/terms", json={}, headers={"If-Match": '"x.1"'}).status_code == 403
    assert workshop.machine.get("/api/settings/terms").json() == before


# --- headers


@pytest.mark.parametrize(
    "path",
    ["/", "/price", "/sign-in", "/nowhere", "/api/orders", "/static/icon.svg", "/static/none", "/pair/x", "/a%00"],
)
@pytest.mark.parametrize("who", ["machine", "device", "stranger"])
@pytest.mark.parametrize("scheme", ["http", "https"])
def test_every_answer_carries_every_header(workshop: Workshop, path: str, who: str, scheme: str) -> None:
    base = f"{scheme}://{'127.0.0.1' if who == 'machine' else MACHINE}:8000"
    client = workshop.client(base, "127.0.0.1" if who == "machine" else TABLET)
    if who == "device":
        client.cookies = workshop.device().cookies
    for host in (None, "evil.example"):
        answer = client.get(path, headers={"Host": host} if host else None)
        assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS
        assert ("strict-transport-security" in answer.headers) == (scheme == "https")
        assert "cache-control" in answer.headers


def test_a_name_that_other_programs_share_is_not_bound_to_tls(workshop: Workshop) -> None:
    answer = workshop.client("https://localhost:8000", "127.0.0.1").get("/")
    assert answer.status_code == 200
    assert "strict-transport-security" not in answer.headers


def test_no_export_holds_a_device_or_the_passphrase(workshop: Workshop) -> None:
    workshop.device(name="Bench tablet of nobody")
    whole = workshop.machine.get("/api/export")
    assert whole.status_code == 200
    assert "Bench tablet of nobody" not in whole.text
    assert workshop.installation not in whole.text


# --- what is written of it


def told(caplog: pytest.LogCaptureFixture) -> list[str]:
    """What was written since it was asked last."""
    lines = [f"{one.levelname} {one.getMessage()}" for one in caplog.records if one.name == "brimful.door"]
    caplog.clear()
    return lines


def test_who_came_in_and_who_did_not_is_written_without_a_secret(
    workshop: Workshop, caplog: pytest.LogCaptureFixture
) -> None:
    """ASVS 5.0, 16.3.1: every way in, taken or refused, and by what; 16.2.5: no secret among it."""
    workshop.set_passphrase()
    assert told(caplog) == ["INFO The passphrase was set."]
    tablet, typed = workshop.stranger(TABLET), {**NEW, "role": "workshop"}
    tablet.post("/sign-in", data={**typed, "passphrase": "a wrong guess"})
    tablet.post("/sign-in", data={**typed, "passphrase": WORDS})
    assert told(caplog) == [
        f"WARNING A wrong passphrase was typed at {TABLET}.",
        f"INFO Device 1, Bench tablet, came in by the passphrase from {TABLET} (workshop).",
    ]
    path = workshop.link("full")
    assert told(caplog)[0].startswith("INFO A link for one device was made (full), good until ")
    office = workshop.stranger()
    office.post(path, data={"name": "Office"})
    office.post(path, data={"name": "Office"})
    office.post(f"/pair/{'x' * 43}", data={"name": "Office"})
    lines = told(caplog)
    assert lines == [
        f"INFO Device 2, Office, came in by a link from {STRANGER} (full).",
        f"WARNING A link that lets nobody in (used) was tried at {STRANGER}.",
        f"WARNING A link that lets nobody in (unknown) was tried at {STRANGER}.",
    ]
    tablet.post("/sign-out")
    workshop.machine.post("/devices/2/sign-out")
    workshop.machine.post("/api/devices/sign-out", json={})
    workshop.machine.post("/devices/close")
    lines += told(caplog)
    assert lines[3:] == [
        "INFO Device 1 is signed out.",
        "INFO Device 2 is signed out.",
        "INFO Every device is signed out, and no link that waits can be used.",
        "INFO The network is kept out.",
    ]
    secrets = [WORDS, "a wrong guess", path.rpartition("/")[2], *tablet.cookies.values(), *office.cookies.values()]
    assert [one for one in secrets if one in " ".join(lines)] == []


def test_whoever_has_to_wait_is_written_down_once(workshop: Workshop, caplog: pytest.LogCaptureFixture) -> None:
    """However often it tries meanwhile: a log that anybody fills is of no use, and fills a disk."""
    assert workshop.installation
    told(caplog)
    now = [100.0]
    workshop.app.state.slowing.clock = lambda: now[0]
    guesser, wrong = workshop.stranger(), {**NEW, "passphrase": "a wrong guess"}
    for _ in range(FREE + 4):
        guesser.post("/sign-in", data=wrong)
    waits = f"WARNING Tries at {STRANGER} are not looked at: Too many wrong tries. Wait 2 seconds, then try again."
    assert told(caplog) == [f"WARNING A wrong passphrase was typed at {STRANGER}."] * FREE + [waits]
    now[0] += 2
    for _ in range(3):
        guesser.post("/sign-in", data=wrong)
    assert told(caplog) == [f"WARNING A wrong passphrase was typed at {STRANGER}.", waits.replace("Wait 2", "Wait 4")]
