"""The page of long work: how far it is, stopping it, how it ended, and on to what was made."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fields_in
from webapp.jobs import (
    AT_WORK,
    BROKEN_OFF,
    BROKEN_OFF_BEFORE,
    STORED_ALL_THE_SAME,
    STORING,
    Job,
    Jobs,
    Notes,
    Progress,
)
from webapp.settings import Settings

WAIT = 20


@pytest.fixture
def held(client: TestClient) -> Iterator[tuple[Job, threading.Event]]:
    """Work that goes on where the test lets it."""
    there, go = threading.Event(), threading.Event()

    def work(job: Job) -> str:
        job.say("Reading the rows.", 3, 10)
        there.set()
        while not go.wait(0.01):
            job.say("Reading the rows.", 3, 10)
        return "/price"

    jobs: Jobs = client.app.state.jobs  # type: ignore[attr-defined]
    job = jobs.start("Import of 10 rows", "/settings", work)
    assert there.wait(WAIT)
    yield job, go
    go.set()
    job.wait(WAIT)


def page_of(client: TestClient, job: Job, **headers: str) -> Any:
    return client.get(f"/data/work/{job.token}", headers=headers)


def test_it_says_how_far_it_is_and_asks_again(client: TestClient, held: tuple[Job, threading.Event]) -> None:
    text = page_of(client, held[0]).text
    assert "<h1>Import of 10 rows</h1>" in text
    assert "Reading the rows. 3 of 10." in text
    assert '<progress value="3" max="10"' in text
    assert "How far is it now?" in text  # the way without JavaScript


def test_a_stop_that_is_asked_for_in_time_is_taken(client: TestClient, held: tuple[Job, threading.Event]) -> None:
    job, _ = held
    stop = f"/data/work/{job.token}/stop"
    answer = client.post(stop, data=fields_in(page_of(client, job).text, stop))
    assert (answer.status_code, answer.headers["location"]) == (303, f"/data/work/{job.token}")
    job.wait(WAIT)
    text = page_of(client, job).text
    assert "It was stopped, and nothing was changed." in text
    assert 'href="/settings">Go back' in text


def test_a_stop_that_comes_too_late_changes_nothing(client: TestClient, held: tuple[Job, threading.Event]) -> None:
    job, go = held
    stop = f"/data/work/{job.token}/stop"
    fields = fields_in(page_of(client, job).text, stop)
    go.set()
    job.wait(WAIT)
    assert client.post(stop, data=fields).status_code == 303
    assert page_of(client, job).headers["location"] == "/price"


def test_done_it_goes_on_for_the_browser_and_for_htmx(client: TestClient, held: tuple[Job, threading.Event]) -> None:
    job, go = held
    go.set()
    job.wait(WAIT)
    assert page_of(client, job).headers["location"] == "/price"
    part = page_of(client, job, **{"HX-Request": "true", "HX-Request-Type": "partial"})
    assert (part.status_code, part.headers["hx-redirect"]) == (200, "/price")


def test_htmx_is_given_the_part_that_moves(client: TestClient, held: tuple[Job, threading.Event]) -> None:
    text = page_of(client, held[0], **{"HX-Request": "true", "HX-Request-Type": "partial"}).text
    assert text.lstrip().startswith('<div id="work"')
    assert "<h1" not in text


BROKEN = [(STORING, True, STORED_ALL_THE_SAME), (STORING, False, BROKEN_OFF_BEFORE), (AT_WORK, True, BROKEN_OFF_BEFORE)]


@pytest.mark.parametrize(("state", "is_there", "sentence"), BROKEN)
def test_what_was_broken_off_says_whether_it_was_stored(
    client: TestClient, settings: Settings, state: str, is_there: bool, sentence: str
) -> None:
    """As the next start finds it: the note of work that nobody does any more, and its change stored or not."""
    form = fields_in(client.get("/buy/suppliers/new").text, "/buy/suppliers")
    assert client.post("/buy/suppliers", data={**form, "name": "The mill", "currency": "EUR"}).status_code == 303
    stored = form["token"] if is_there and state == STORING else "another"
    notes = Notes(settings.data / "working")
    notes.begin("a" * 32)
    notes.write("a" * 32, Progress("Import of 10 rows", state, "", 0, 0, "", "/data/import", stored))
    notes.end()
    text = client.get(f"/data/work/{'a' * 32}").text
    assert sentence in text
    assert ('href="/price?done=1"' in text) == (sentence == STORED_ALL_THE_SAME)


def test_of_other_work_it_says_where_to_look(client: TestClient, settings: Settings) -> None:
    """A restore makes no change, so that nothing is known but that it is whole."""
    notes = Notes(settings.data / "working")
    notes.begin("b" * 32)
    notes.write("b" * 32, Progress("Restore", STORING, "", 0, 0, "", "/data/backups"))
    notes.end()
    assert BROKEN_OFF in client.get(f"/data/work/{'b' * 32}").text


def test_work_that_is_not_known_is_no_page(client: TestClient) -> None:
    assert client.get("/data/work/0123").status_code == 404
