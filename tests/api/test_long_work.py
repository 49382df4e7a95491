"""A whole book as long work by JSON: begun, asked how far it is, stopped, and what it made read where it says."""

from __future__ import annotations

import copy
import threading
from typing import Any

import pytest
from starlette.testclient import TestClient

from tests.api.test_answers import checked
from tests.api.test_documented import SHOWN
from tests.api.test_whole_book import sent, two
from webapp.app import WORKING
from webapp.jobs import AT_WORK, BROKEN_OFF_BEFORE, STORED_ALL_THE_SAME, STORING, Job, Jobs, Notes, Progress

__all__ = ["two"]
Two = tuple[TestClient, TestClient]
LOOK, BRING, WAIT = "/api/import/preview/begin", "/api/import/begin", 30


def jobs_of(client: TestClient) -> Jobs:
    found: Jobs = client.app.state.jobs  # type: ignore[attr-defined]
    return found


def ended(client: TestClient, begun: Any) -> Any:
    """How long work ended that was just begun."""
    assert begun.status_code == 202, begun.text
    at = begun.json()["work"]
    assert begun.headers["Location"] == at
    assert begun.json()["stop"] == f"{at}/stop"
    jobs_of(client).find(at.rpartition("/")[2]).wait(WAIT)
    told = checked(client, "GET /api/work/{token}", at).json()
    assert told["has_ended"]
    return told


def test_a_look_that_is_begun_sees_what_a_look_at_once_sees(two: Two) -> None:
    full, new = two
    document = full.get("/api/export").json()
    told = ended(new, sent(new, LOOK, document))
    assert (told["state"], told["sentence"]) == ("done", "")
    assert told["title"].startswith("Look at a document of ")
    seen = checked(new, "GET /api/import/preview/{token}", told["result"])
    assert seen.json() == sent(new, "/api/import/preview", document).json()
    assert seen.headers["ETag"] == new.get("/api/export").headers["ETag"]
    assert new.get("/api/export").json()["sheets"]["orders"] == []


def test_what_was_seen_is_not_told_of_another_book(two: Two) -> None:
    full, new = two
    document = full.get("/api/export").json()
    told = ended(new, sent(new, LOOK, document))
    assert sent(new, "/api/import", document).status_code == 200
    late = new.get(told["result"])
    assert late.status_code == 409
    assert "looked at once more" in late.json()["error"]["sentence"]


def test_a_book_is_taken_over_by_what_was_begun(two: Two) -> None:
    full, new = two
    document = full.get("/api/export").json()
    told = ended(new, sent(new, BRING, document))
    assert told["title"].startswith("Import of ")
    assert checked(new, "GET /api/import/{token}", told["result"]).json() == {"version": 1, "change": 1}
    assert new.get("/api/export").json() == document


def test_what_is_wrong_is_said_and_nothing_is_stored(two: Two) -> None:
    full, new = two
    wrong = copy.deepcopy(full.get("/api/export").json())
    wrong["sheets"]["order_lines"][0]["packs"] = "many"
    told = ended(new, sent(new, BRING, wrong))
    assert (told["state"], told["result"]) == ("failed", None)
    assert told["sentence"] == "One row is wrong or doubtful, and nothing was changed. Have it looked at to see which."
    assert new.get("/api/export").json()["sheets"]["orders"] == []
    (fault,) = new.get(ended(new, sent(new, LOOK, wrong))["result"]).json()["faults"]
    assert fault["column"] == "Packs"


@pytest.mark.parametrize("address", [LOOK, BRING])
def test_a_body_that_is_none_is_refused_at_once(two: Two, address: str) -> None:
    _, new = two
    assert sent(new, address, {"format": "x"}).status_code == 422
    unmatched = new.post(address, json=SHOWN["post", address], headers={"Sec-Fetch-Site": "same-origin"})
    assert unmatched.status_code == (428 if address == BRING else 202)
    if address == LOOK:
        ended(new, unmatched)


def test_it_is_stopped_between_two_steps_and_one_is_done_at_a_time(two: Two) -> None:
    full, new = two
    there, go = threading.Event(), threading.Event()

    def work(job: Job) -> str:
        there.set()
        while not go.wait(0.01):
            job.say("Reading the rows.", 3, 10)
        return "/api/line"

    job = jobs_of(new).start("Import of 10 rows", "", work)
    assert there.wait(WAIT)
    try:
        told = checked(new, "GET /api/work/{token}", f"/api/work/{job.token}").json()
        assert (told["state"], told["has_ended"], told["result"]) == (AT_WORK, False, None)
        busy = sent(new, LOOK, full.get("/api/export").json())
        assert busy.status_code == 409
        assert "Import of 10 rows is still running" in busy.json()["error"]["sentence"]
        checked(new, "POST /api/work/{token}/stop", f"/api/work/{job.token}/stop")
        job.wait(WAIT)
    finally:
        go.set()
        job.wait(WAIT)
    told = new.get(f"/api/work/{job.token}").json()
    assert (told["state"], told["sentence"]) == ("stopped", "It was stopped, and nothing was changed.")


@pytest.mark.parametrize("token", ["0" * 32, "nothing"])
def test_there_is_nothing_at_another_token(two: Two, token: str) -> None:
    _, new = two
    for address in (f"/api/work/{token}", f"/api/import/preview/{token}", f"/api/import/{token}"):
        assert new.get(address).status_code == 404
    assert new.post(f"/api/work/{token}/stop", headers={"Sec-Fetch-Site": "same-origin"}).status_code == 404


def test_what_was_broken_off_while_it_stored_is_told_as_it_is_known(two: Two) -> None:
    """As another process noted it, and was ended then: its change is there by its token, or it is not."""
    full, new = two
    document, head = full.get("/api/export").json(), {"Sec-Fetch-Site": "same-origin"}
    head |= {"If-Match": new.get("/api/export").headers["etag"], "Idempotency-Key": "brought-in-1"}
    assert new.post("/api/import", json={"document": document}, headers=head).status_code == 200
    notes = Notes(new.app.state.settings.data / WORKING)  # type: ignore[attr-defined]
    notes.folder.mkdir(parents=True, exist_ok=True)
    for token, stores, said in (
        ("1" * 32, "brought-in-1", STORED_ALL_THE_SAME),
        ("2" * 32, "never-stored", BROKEN_OFF_BEFORE),
    ):
        notes.write(token, Progress("Import", STORING, "", 0, 0, "", "", stores))
        told = new.get(f"/api/work/{token}").json()
        assert (told["state"], told["sentence"], told["result"]) == ("failed", said, None)
