"""Long work beside the requests: one at a time, how far it is, how it is stopped and how it ended.

An import or a restore may take longer than anybody waits for a page. It runs in a thread; its page says how far it
is. A stop is taken between two steps until the work says that it is storing: what is asked for after that is too late,
and what is stopped before has changed nothing. How far it is stands in a folder too: where several processes serve, any
of them can tell and stop it, and where the program was ended in the middle of it, the next start still says so.
"""

from __future__ import annotations

import json
import logging
import re
import secrets
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from filelock import FileLock, Timeout

from webapp.errors import Busy, NotFound, Problem, unwritten

log = logging.getLogger("brimful")

KEPT = 20
"""Ended work that is remembered, so that its page still tells how it ended."""

AT_WORK, STOPPING, STORING, DONE, STOPPED, FAILED = "at work", "stopping", "storing", "done", "stopped", "failed"
ENDED = frozenset({DONE, STOPPED, FAILED})
BROKEN_OFF = (
    "The program was ended in the middle of it. It is stored whole or not at all: look at what was saved lately, and "
    "do it once more if it is not there."
)
BROKEN_OFF_BEFORE = "The program was ended in the middle of it, and nothing was changed. Do it once more."
STORED_ALL_THE_SAME = "The program was ended in the middle of it, but all of it was stored before."
_AT_WORK_NOW = ".at-work"
_TOKEN = re.compile(r"[0-9a-f]{32}", re.ASCII)
_LOOK_SECONDS = 0.05
_NOTE_SECONDS = 0.2


class Stopped(Exception):
    """The person asked to stop; raised inside the work, between two of its steps."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far some work is: its state, what it does now, `done` of `of` (0: not known), and how it ended.

    `goes_to` is the address where it goes on: of what was made, once it is done; else where it was asked for.
    `stores` is the token of the change that it makes, by which it is known afterwards whether it was stored.
    """

    title: str
    state: str
    step: str
    done: int
    of: int
    sentence: str
    goes_to: str
    stores: str = ""

    @property
    def has_ended(self) -> bool:
        """Whether nothing more will happen."""
        return self.state in ENDED

    @property
    def can_be_stopped(self) -> bool:
        """Whether a stop would still be taken."""
        return self.state == AT_WORK


def known_afterwards(progress: Progress, change_of: Callable[[str], int | None]) -> tuple[Progress, int | None]:
    """What was broken off while it stored, and the number of its change where that is there; all else as it is.

    `change_of` looks a change up by its token.
    """
    if progress.sentence != BROKEN_OFF or not progress.stores:
        return progress, None
    change = change_of(progress.stores)
    return replace(progress, sentence=BROKEN_OFF_BEFORE if change is None else STORED_ALL_THE_SAME), change


@dataclass(slots=True)
class Job:
    """One piece of long work, as it sees itself. Any thread may ask it how far it is."""

    token: str
    back: str
    _seen: Progress
    _notes: Notes | None = None
    _noted: float = 0.0
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _end: threading.Event = field(default_factory=threading.Event)

    @property
    def progress(self) -> Progress:
        """How far it is just now."""
        with self._lock:
            return self._seen

    def say(self, step: str, done: int = 0, of: int = 0) -> None:
        """What is done now, in words for people. Raises Stopped where the person asked for it."""
        self._see(AT_WORK, step, done, of)

    def store(self, step: str = "Storing it.") -> None:
        """From here on it is not stopped any more. Raises Stopped where the person asked for it before."""
        self._see(STORING, step, 0, 0)

    def _see(self, state: str, step: str, done: int, of: int) -> None:
        with self._lock:
            if self._seen.state == STOPPING or (self._notes is not None and self._notes.is_asked_to_stop(self.token)):
                raise Stopped
            soon = step == self._seen.step and time.monotonic() - self._noted < _NOTE_SECONDS
            self._seen = replace(self._seen, state=state, step=step, done=done, of=of)
        if state == STORING or not soon:
            self._note(self._seen)

    def _note(self, progress: Progress) -> None:
        self._noted = time.monotonic()
        if self._notes is not None:
            self._notes.write(self.token, progress)

    def stop(self) -> None:
        """Ask it to stop before anything is stored; too late once it stores."""
        with self._lock:
            if self._seen.state == AT_WORK:
                self._seen = replace(self._seen, state=STOPPING, step="Stopping.")

    def wait(self, seconds: float) -> Progress:
        """Wait for its end, but not longer than that; how far it is then."""
        self._end.wait(seconds)
        return self.progress

    def run(self, work: Callable[[Job], str]) -> None:
        """Do it. `work` returns the address where what it made is seen."""
        try:
            state, sentence, goes_to = DONE, "", work(self)
        except Stopped:
            state, sentence, goes_to = STOPPED, "It was stopped, and nothing was changed.", self.back
        except Problem as problem:
            state, sentence, goes_to = FAILED, problem.sentence, self.back
        except Exception:
            reference = secrets.token_hex(4)
            log.exception("long work failed, reference %s", reference)
            state, goes_to = FAILED, self.back
            sentence = f"Something went wrong inside the program, and nothing was changed. Reference: {reference}"
        ended = replace(self._seen, state=state, step="", done=0, of=0, sentence=sentence, goes_to=goes_to)
        self._note(ended)
        if self._notes is not None:
            self._notes.end()
        with self._lock:
            self._seen = ended
        self._end.set()


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Long work of another process, as it is noted."""

    token: str
    notes: Notes

    @property
    def progress(self) -> Progress:
        """How far it is just now."""
        return self.notes.read(self.token)

    def stop(self) -> None:
        """Ask it to stop before anything is stored."""
        self.notes.ask_to_stop(self.token)

    def wait(self, seconds: float) -> Progress:
        """Wait for its end, but not longer than that; how far it is then."""
        until = time.monotonic() + seconds
        while not (seen := self.progress).has_ended and time.monotonic() < until:
            time.sleep(_LOOK_SECONDS)
        return seen


class Notes:
    """How far long work is, in a folder that several processes share: a file each, and a lock while there is any.

    The lock is the system's, so it is free once its process ended, however that ended; beside it stands which work it
    is held for.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._lock = FileLock(folder / ".lock", timeout=0, thread_local=False)

    def begin(self, token: str) -> None:
        """Take the lock. Raises Busy where another process works, DiskFull or ReadOnly where nothing can be noted."""
        try:
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._lock.acquire()
            (self.folder / _AT_WORK_NOW).write_text(token, encoding="ascii")
        except Timeout:
            raise Busy("Other long work is still running. Wait for its end, or stop it, and try again.") from None
        except (OSError, NotImplementedError) as failure:  # the latter is what a lock says of a disk without locks
            self._lock.release()
            raise unwritten(failure) from failure
        oldest_first = sorted(self.folder.glob("*.json"), key=lambda path: path.stat().st_mtime)
        for path in oldest_first[: -KEPT + 1]:
            path.unlink(missing_ok=True)
            path.with_suffix(".stop").unlink(missing_ok=True)

    def end(self) -> None:
        """Let go of the lock."""
        self._lock.release()

    def write(self, token: str, progress: Progress) -> None:
        """Note how far it is. Work goes on where that can't be noted, but stores nothing then: DiskFull or ReadOnly."""
        part = self.folder / f"{token}.part"
        try:
            part.write_text(json.dumps(asdict(progress)), encoding="utf-8")
            part.replace(part.with_suffix(".json"))
        except OSError as failure:
            if progress.state == STORING:
                raise unwritten(failure) from failure

    def read(self, token: str) -> Progress:
        """How far it is. Raises NotFound where nothing of it is known."""
        seen = self._noted(token)
        if not seen.has_ended and not self._is_at_work(token):
            seen = self._noted(token)  # it may have ended just then
            if not seen.has_ended:
                sentence = BROKEN_OFF if seen.state == STORING else BROKEN_OFF_BEFORE
                return replace(seen, state=FAILED, step="", sentence=sentence)
        return replace(seen, state=STOPPING) if seen.can_be_stopped and self.is_asked_to_stop(token) else seen

    def _noted(self, token: str) -> Progress:
        if not _TOKEN.fullmatch(token):
            raise NotFound
        try:
            return Progress(**json.loads((self.folder / f"{token}.json").read_text(encoding="utf-8")))
        except (OSError, ValueError, TypeError):
            raise NotFound from None

    def _is_at_work(self, token: str) -> bool:
        with suppress(OSError):
            if (self.folder / _AT_WORK_NOW).read_text(encoding="ascii") == token:
                return not self._is_free()
        return False

    def _is_free(self) -> bool:
        if self._lock.is_locked:
            return False
        try:
            with FileLock(self.folder / ".lock", timeout=0, thread_local=False):
                return True
        except Timeout:
            return False

    def ask_to_stop(self, token: str) -> None:
        """Have its process stop it between two steps."""
        if self.read(token).can_be_stopped:
            (self.folder / f"{token}.stop").touch()

    def is_asked_to_stop(self, token: str) -> bool:
        """Whether any process asked for that."""
        return (self.folder / f"{token}.stop").exists()


class Jobs:
    """The long work of one program: one at a time, since it is for one book.

    `folder` is where it is noted, for other processes of the program and for its next start.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._jobs: dict[str, Job] = {}
        self._notes = None if folder is None else Notes(folder)
        self._lock = threading.Lock()

    def start(self, title: str, back: str, work: Callable[[Job], str], stores: str = "") -> Job:
        """Start some work. Raises Busy while other work runs.

        `title` says what it is ("Import of 300 rows"), `back` is the address that it was asked for at, `stores` the
        token of the change that it makes. The work calls `say` between its steps and `store` before it changes
        anything; a Problem that it raises is told.
        """
        with self._lock:
            for other in self._jobs.values():
                if not other.progress.has_ended:
                    raise Busy(f"{other.progress.title} is still running. Wait for its end, or stop it, and try again.")
            token = secrets.token_hex(16)
            if self._notes is not None:
                self._notes.begin(token)
            while len(self._jobs) >= KEPT:
                self._jobs.pop(next(iter(self._jobs)))
            job = Job(token, back, Progress(title, AT_WORK, "It begins.", 0, 0, "", back, stores), self._notes)
            self._jobs[token] = job
            if self._notes is not None:
                self._notes.write(token, job.progress)
        threading.Thread(target=job.run, args=(work,), name=f"long work {token[:8]}").start()
        return job

    def find(self, token: str) -> Job | Elsewhere:
        """The work of that token. Raises NotFound where there is none, or where it was too long ago."""
        with self._lock:
            job = self._jobs.get(token)
        if job is not None:
            return job
        if self._notes is None:
            raise NotFound
        self._notes.read(token)
        return Elsewhere(token, self._notes)

    def close(self, seconds: float = 10) -> None:
        """Ask all work to stop and wait for it: what stores already is let finish."""
        with self._lock:
            jobs = list(self._jobs.values())
        for job in jobs:
            job.stop()
        for job in jobs:
            job.wait(seconds)
