"""Long work beside the requests: one at a time, how far it is, how it is stopped and how it ended.

An import or a restore may take longer than anybody waits for a page. It runs in a thread; its page says how far it
is. A stop is taken between two steps until the work says that it is storing: what is asked for after that is too late,
and what is stopped before has changed nothing.
"""

from __future__ import annotations

import logging
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass, field

from webapp.errors import Busy, NotFound, Problem

log = logging.getLogger("brimful")

KEPT = 20
"""Ended work that is remembered, so that its page still tells how it ended."""

AT_WORK, STOPPING, STORING, DONE, STOPPED, FAILED = "at work", "stopping", "storing", "done", "stopped", "failed"
ENDED = frozenset({DONE, STOPPED, FAILED})


class Stopped(Exception):
    """The person asked to stop; raised inside the work, between two of its steps."""


@dataclass(frozen=True, slots=True)
class Progress:
    """How far some work is: its state, what it does now, `done` of `of` (0: not known), and how it ended.

    `goes_to` is the address where it goes on: of what was made, once it is done; else where it was asked for.
    """

    title: str
    state: str
    step: str
    done: int
    of: int
    sentence: str
    goes_to: str

    @property
    def has_ended(self) -> bool:
        """Whether nothing more will happen."""
        return self.state in ENDED

    @property
    def can_be_stopped(self) -> bool:
        """Whether a stop would still be taken."""
        return self.state == AT_WORK


@dataclass(slots=True)
class Job:
    """One piece of long work, as it sees itself. Any thread may ask it how far it is."""

    token: str
    title: str
    back: str
    _seen: Progress
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _end: threading.Event = field(default_factory=threading.Event)

    @property
    def progress(self) -> Progress:
        """How far it is just now."""
        with self._lock:
            return self._seen

    def say(self, step: str, done: int = 0, of: int = 0) -> None:
        """What is done now, in words for people. Raises Stopped where the person asked for it."""
        with self._lock:
            if self._seen.state == STOPPING:
                raise Stopped
            self._seen = Progress(self.title, AT_WORK, step, done, of, "", self.back)

    def store(self, step: str = "Storing it.") -> None:
        """From here on it is not stopped any more. Raises Stopped where the person asked for it before."""
        self.say(step)
        with self._lock:
            if self._seen.state == STOPPING:
                raise Stopped
            self._seen = Progress(self.title, STORING, step, 0, 0, "", self.back)

    def stop(self) -> None:
        """Ask it to stop before anything is stored; too late once it stores."""
        with self._lock:
            seen = self._seen
            if seen.state == AT_WORK:
                self._seen = Progress(self.title, STOPPING, "Stopping.", seen.done, seen.of, "", self.back)

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
        with self._lock:
            self._seen = Progress(self.title, state, "", 0, 0, sentence, goes_to)
        self._end.set()


class Jobs:
    """The long work of one program: one at a time, since it is for one book."""

    def __init__(self) -> None:
        self._jobs: dict[str, Job] = {}
        self._lock = threading.Lock()

    def start(self, title: str, back: str, work: Callable[[Job], str]) -> Job:
        """Start some work. Raises Busy while other work runs.

        `title` says what it is ("Import of 300 rows"), `back` is the address that it was asked for at. The work
        calls `say` between its steps and `store` before it changes anything; a Problem that it raises is told.
        """
        with self._lock:
            for other in self._jobs.values():
                if not other.progress.has_ended:
                    raise Busy(f"{other.title} is still running. Wait for its end, or stop it, and try again.")
            while len(self._jobs) >= KEPT:
                self._jobs.pop(next(iter(self._jobs)))
            token = secrets.token_hex(16)
            job = Job(token, title, back, Progress(title, AT_WORK, "It begins.", 0, 0, "", back))
            self._jobs[token] = job
        threading.Thread(target=job.run, args=(work,), name=f"long work {token[:8]}").start()
        return job

    def find(self, token: str) -> Job:
        """The work of that token. Raises NotFound where there is none, as after the program was started anew."""
        with self._lock:
            job = self._jobs.get(token)
        if job is None:
            raise NotFound
        return job

    def close(self, seconds: float = 10) -> None:
        """Ask all work to stop and wait for it: what stores already is let finish."""
        with self._lock:
            jobs = list(self._jobs.values())
        for job in jobs:
            job.stop()
        for job in jobs:
            job.wait(seconds)
