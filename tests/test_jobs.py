"""Long work: one at a time, how far it is, a stop before it stores, and each way to end."""

from __future__ import annotations

import shutil
import threading
from pathlib import Path

import pytest
from filelock import FileLock

from webapp.errors import Busy, NotFound, ReadOnly
from webapp.jobs import (
    AT_WORK,
    BROKEN_OFF,
    BROKEN_OFF_BEFORE,
    DONE,
    FAILED,
    KEPT,
    STOPPED,
    STOPPING,
    STORING,
    Job,
    Jobs,
)

WAIT = 20


class Held:
    """Work that goes on where the test lets it, and tells where it is."""

    def __init__(self, *, storing: bool = False) -> None:
        self.there, self.go = threading.Event(), threading.Event()
        self.storing = storing
        self.changed = False

    def __call__(self, job: Job) -> str:
        job.say("Reading the rows.", 3, 10)
        if self.storing:
            job.store()
        self.there.set()
        assert self.go.wait(WAIT)
        if not self.storing:
            job.say("Reading the rows.", 4, 10)
        self.changed = True
        return "/price"


def started(jobs: Jobs, held: Held) -> Job:
    job = jobs.start("Import of 10 rows", "/data/import", held)
    assert held.there.wait(WAIT)
    return job


def test_it_tells_how_far_it_is_and_where_it_goes_on() -> None:
    jobs, held = Jobs(), Held()
    job = started(jobs, held)
    seen = job.progress
    assert (seen.title, seen.step, seen.done, seen.of) == ("Import of 10 rows", "Reading the rows.", 3, 10)
    assert seen.can_be_stopped
    assert not seen.has_ended
    held.go.set()
    ended = job.wait(WAIT)
    assert (ended.state, ended.goes_to, ended.sentence) == (DONE, "/price", "")
    assert jobs.find(job.token) is job


def test_a_stop_is_taken_before_anything_is_changed() -> None:
    jobs, held = Jobs(), Held()
    job = started(jobs, held)
    job.stop()
    assert job.progress.state == STOPPING
    held.go.set()
    ended = job.wait(WAIT)
    assert (ended.state, ended.goes_to) == (STOPPED, "/data/import")
    assert "nothing was changed" in ended.sentence
    assert not held.changed


def test_a_stop_is_too_late_once_it_stores() -> None:
    jobs, held = Jobs(), Held(storing=True)
    job = started(jobs, held)
    assert job.progress.state == STORING
    job.stop()
    assert job.progress.state == STORING
    assert not job.progress.can_be_stopped
    held.go.set()
    assert job.wait(WAIT).state == DONE
    assert held.changed


def test_a_stop_that_comes_just_before_storing_is_taken() -> None:
    went_on = False

    def work(job: Job) -> str:
        nonlocal went_on
        job.stop()
        job.store()
        went_on = True
        return "/"

    assert Jobs().start("Import", "/data/import", work).wait(WAIT).state == STOPPED
    assert not went_on


def test_two_never_run_at_once_and_the_second_is_told_why() -> None:
    jobs, held = Jobs(), Held()
    job = started(jobs, held)
    with pytest.raises(Busy, match=r"Import of 10 rows is still running\."):
        jobs.start("Restore", "/data", lambda _job: "/")
    held.go.set()
    job.wait(WAIT)
    assert jobs.start("Restore", "/data", lambda _job: "/").wait(WAIT).state == DONE


def test_a_situation_is_told_in_its_own_sentence() -> None:
    def work(_job: Job) -> str:
        raise Busy("The data is busy.")

    ended = Jobs().start("Import", "/data/import", work).wait(WAIT)
    assert (ended.state, ended.sentence, ended.goes_to) == (FAILED, "The data is busy.", "/data/import")


def test_a_fault_of_the_program_says_nothing_of_itself_but_a_reference(caplog: pytest.LogCaptureFixture) -> None:
    def work(_job: Job) -> str:
        raise RuntimeError("secret")

    ended = Jobs().start("Import", "/data/import", work).wait(WAIT)
    assert ended.state == FAILED
    assert "secret" not in ended.sentence
    assert ended.sentence.rpartition(" ")[2] in caplog.text


def test_what_is_not_known_is_not_found_and_only_the_latest_are_remembered() -> None:
    jobs = Jobs()
    tokens = []
    for _ in range(KEPT + 1):
        job = jobs.start("Import", "/data/import", lambda _job: "/")
        job.wait(WAIT)
        tokens.append(job.token)
    with pytest.raises(NotFound):
        jobs.find(tokens[0])
    assert jobs.find(tokens[1]).token == tokens[1]


def test_closing_stops_what_can_be_stopped() -> None:
    jobs = Jobs()

    def work(job: Job) -> str:
        while True:
            job.say("Going round.")

    job = jobs.start("Import", "/data/import", work)
    jobs.close(WAIT)
    assert job.progress.state == STOPPED


# --- several processes, each with its own `Jobs` in one folder


def test_another_process_tells_how_far_it_is_and_how_it_ended(tmp_path: Path) -> None:
    here, there, held = Jobs(tmp_path / "working"), Jobs(tmp_path / "working"), Held()
    job = started(here, held)
    seen = there.find(job.token)
    assert (seen.progress, seen.progress.state) == (job.progress, AT_WORK)
    held.go.set()
    assert seen.wait(WAIT) == job.wait(WAIT)
    assert (seen.progress.state, seen.progress.goes_to) == (DONE, "/price")


def test_another_process_stops_it_and_begins_nothing_beside_it(tmp_path: Path) -> None:
    here, there, held = Jobs(tmp_path), Jobs(tmp_path), Held()
    job = started(here, held)
    with pytest.raises(Busy, match="still running"):
        there.start("Restore", "/data", lambda _job: "/")
    there.find(job.token).stop()
    assert there.find(job.token).progress.state == STOPPING
    held.go.set()
    assert job.wait(WAIT).state == there.find(job.token).progress.state == STOPPED
    assert not held.changed
    assert there.start("Restore", "/data", lambda _job: "/").wait(WAIT).state == DONE


def test_a_stop_that_comes_while_it_stores_is_too_late_elsewhere_too(tmp_path: Path) -> None:
    here, there, held = Jobs(tmp_path), Jobs(tmp_path), Held(storing=True)
    job = started(here, held)
    there.find(job.token).stop()
    held.go.set()
    assert job.wait(WAIT).state == DONE


@pytest.mark.parametrize(("storing", "sentence"), [(False, BROKEN_OFF_BEFORE), (True, BROKEN_OFF)])
def test_what_was_broken_off_with_its_process_is_told_so(tmp_path: Path, storing: bool, sentence: str) -> None:
    here, there, held = Jobs(tmp_path), Jobs(tmp_path), Held(storing=storing)
    job = started(here, held)
    assert here._notes is not None
    here._notes.end()  # as the system does where a process is killed
    ended = there.find(job.token).progress
    assert (ended.state, ended.sentence, ended.has_ended) == (FAILED, sentence, True)
    other = Held()
    begun = started(there, other)  # while other work holds the lock, also seen from a third
    for jobs in (there, Jobs(tmp_path)):
        assert jobs.find(job.token).progress == ended
        assert jobs.find(begun.token).progress.state == AT_WORK
    other.go.set()
    begun.wait(WAIT)
    held.go.set()
    job.wait(WAIT)


def test_what_cannot_be_noted_stores_nothing(tmp_path: Path) -> None:
    """Else the next start would say that nothing was changed, though it was broken off while it stored."""
    jobs, changed = Jobs(tmp_path / "working"), []

    def work(job: Job) -> str:
        shutil.rmtree(tmp_path / "working")
        job.say("Reading the rows.")  # goes on all the same
        job.store()
        changed.append(job)
        return "/"

    ended = jobs.start("Import", "/data/import", work).wait(WAIT)
    assert (ended.state, ended.sentence) == (FAILED, ReadOnly.default)
    assert not changed


def test_where_no_note_can_be_made_no_work_is_begun(tmp_path: Path) -> None:
    (tmp_path / "working").write_bytes(b"a file where the folder should be")
    with pytest.raises(ReadOnly):
        Jobs(tmp_path / "working").start("Import", "/data/import", lambda _job: "/")


@pytest.mark.parametrize("token", ["0" * 32, "../../etc/passwd", "", "A" * 32])
def test_nothing_else_is_read_from_the_folder(tmp_path: Path, token: str) -> None:
    with pytest.raises(NotFound):
        Jobs(tmp_path).find(token)


def test_only_the_latest_are_kept_in_the_folder(tmp_path: Path) -> None:
    jobs = Jobs(tmp_path)
    for _ in range(KEPT + 3):
        jobs.start("Import", "/data/import", lambda _job: "/").wait(WAIT)
    assert len(list(tmp_path.glob("*.json"))) == KEPT
    with FileLock(tmp_path / ".lock", timeout=0):
        pass
