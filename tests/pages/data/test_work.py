"""The page of long work: how far it is, stopping it, how it ended, and on to what was made."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.pages.filling import fields_in
from webapp.jobs import Job, Jobs

WAIT = 20


@pytest.fixture
def held(client: TestClient) -> Iterator[tuple[Job, threading.Event]]:
    """Work that goes on where the test lets it."""
    there, go = threading.Event(), threading.Event()

    def work(job: Job) -> str:
        job.say("Reading the rows.", 3, 10)
        there.set()
        assert go.wait(WAIT)
        job.say("Reading the rows.", 4, 10)
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


def test_stopped_it_has_changed_nothing_and_leads_back(client: TestClient, held: tuple[Job, threading.Event]) -> None:
    job, go = held
    text = page_of(client, job).text
    go.set()  # it would go on, but is asked to stop before its next step or has ended
    job.wait(WAIT)
    answer = client.post(f"/data/work/{job.token}/stop", data=fields_in(text, f"/data/work/{job.token}/stop"))
    assert answer.status_code == 303
    assert page_of(client, job).headers["location"] == "/price"  # it was done: too late to stop


def test_asked_in_time_it_stops(client: TestClient, held: tuple[Job, threading.Event]) -> None:
    job, go = held
    threading.Timer(0, lambda: (job.stop(), go.set())).start()
    job.wait(WAIT)
    answer = page_of(client, job)
    assert answer.status_code == 200
    assert "It was stopped, and nothing was changed." in answer.text
    assert 'href="/settings">Go back' in answer.text


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


def test_work_that_is_not_known_is_no_page(client: TestClient) -> None:
    assert client.get("/data/work/0123").status_code == 404
