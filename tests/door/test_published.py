"""The published bad inputs of signing in: a guessed and a used link, a frequent passphrase, another site's form."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator

import pytest

from tests.bad_inputs import FOLDER
from tests.door.opened import TABLET, WORDS, Workshop, opened
from tests.stored import content_hash
from webapp.door.guessing import FREE
from webapp.settings import Settings

INPUTS = {one["id"]: one for one in json.loads((FOLDER / "auth.json").read_text(encoding="utf-8"))["inputs"]}
NEW = {"name": "Bench tablet"}
ELSEWHERE = {"Origin": "https://evil.example", "Sec-Fetch-Site": "cross-site"}


@pytest.fixture
def workshop(settings: Settings) -> Iterator[Workshop]:
    with opened(settings) as found:
        yield found


def test_the_sixth_wrong_link_has_to_wait(workshop: Workshop) -> None:
    """AUT-01. Nothing is burnt: a link is 256 random bits, and a guesser must not use up another's."""
    path, guesser = workshop.link(), workshop.stranger()
    workshop.app.state.slowing.clock = lambda: 100.0  # a busy machine may take longer than the wait
    for letter in "abcdefg"[:FREE]:
        assert guesser.post(f"/pair/{letter * 43}", data=NEW).status_code == 404
    before = content_hash(workshop.settings)
    told = guesser.post(f"/pair/{'y' * 43}", data=NEW)
    assert (told.status_code, told.headers["retry-after"]) == (INPUTS["AUT-01"]["expect"]["status"], "2")
    assert content_hash(workshop.settings) == before
    assert workshop.stranger(TABLET).post(path, data=NEW).status_code == 303


def test_a_link_lets_nobody_in_a_second_time(workshop: Workshop) -> None:
    """AUT-03."""
    path = workshop.link()
    assert workshop.stranger(TABLET).post(path, data=NEW).status_code == 303
    before, stranger = content_hash(workshop.settings), workshop.stranger()
    again = stranger.post(path, data=NEW)
    assert (again.status_code, "set-cookie" in again.headers) == (410, False)
    assert content_hash(workshop.settings) == before
    assert stranger.get("/price").status_code == 303


def test_a_frequent_passphrase_is_refused_at_its_field(workshop: Workshop) -> None:
    """AUT-05."""
    frequent = INPUTS["AUT-05"]["value"]
    before = content_hash(workshop.settings)
    shown = workshop.set_passphrase(frequent)
    assert shown.status_code == INPUTS["AUT-05"]["expect"]["status"]
    assert 'id="e-passphrase"' in shown.text
    assert "which is tried first" in shown.text
    assert content_hash(workshop.settings) == before


def test_the_same_words_with_their_accents_typed_apart_let_in(workshop: Workshop) -> None:
    """AUT-07."""
    words = unicodedata.normalize("NFC", "a caf\u00e9 in a jar")
    apart = unicodedata.normalize("NFD", words)
    assert apart != words
    assert workshop.set_passphrase(words).status_code == 303
    tablet = workshop.stranger(TABLET)
    came = tablet.post("/sign-in", data={**NEW, "passphrase": apart, "role": "workshop"})
    assert came.status_code == INPUTS["AUT-07"]["expect"]["status"]
    assert tablet.get("/price").status_code == 200


def test_a_cookie_of_a_device_that_was_signed_out_is_none(workshop: Workshop) -> None:
    """AUT-09. A page leads to where one signs in; what would change something, and JSON, get the status alone."""
    tablet = workshop.device()
    assert tablet.get("/price").status_code == 200
    workshop.machine.post("/devices/sign-out")
    before, wanted = content_hash(workshop.settings), INPUTS["AUT-09"]["expect"]["status"]
    assert tablet.get("/price").headers["location"] == "/sign-in"
    assert tablet.post("/api/suppliers", json={"name": "The mill", "currency": "EUR"}).status_code == wanted
    assert tablet.get("/api/suppliers").status_code == wanted
    assert tablet.post("/buy/suppliers", data={"name": "The mill"}).status_code == wanted
    assert content_hash(workshop.settings) == before


@pytest.mark.parametrize("headers", [ELSEWHERE, {"Origin": ELSEWHERE["Origin"]}, {"Sec-Fetch-Site": "same-site"}])
def test_no_other_site_signs_anybody_in(workshop: Workshop, headers: dict[str, str]) -> None:
    """AUT-11: nobody is put into a session that was chosen for her."""
    assert workshop.set_passphrase().status_code == 303
    before, stranger = content_hash(workshop.settings), workshop.stranger()
    sent = {**NEW, "passphrase": WORDS, "role": "workshop"}
    told = stranger.post("/sign-in", data=sent, headers=headers)
    assert (told.status_code, "set-cookie" in told.headers) == (INPUTS["AUT-11"]["expect"]["status"], False)
    assert content_hash(workshop.settings) == before
    assert stranger.post("/sign-in", data=sent).status_code == 303
