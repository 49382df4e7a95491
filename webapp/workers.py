"""Several processes that serve one PostgreSQL at one socket: started, started again where one dies, stopped together.

Each has the whole program and its own copy of the book, and asks the ledger's version before it answers, so none serves
an old one. What a process alone would remember (long work) lies in the data folder instead.
"""

from __future__ import annotations

import gc
import logging
import multiprocessing
import os
import signal
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from types import FrameType

from webapp.app import make_app, opened_store
from webapp.errors import CannotStart
from webapp.serving import run
from webapp.settings import Settings
from webapp.store.opening import Store
from webapp.upkeep import Upkeep

log = logging.getLogger("brimful")

STOP_SECONDS = 3.0
"""How long a stop waits for what is being answered; what is left then is ended."""

AGAIN_SECONDS = 1.0
"""How long to wait before one that died is started again, so that a fault does not eat the machine."""

_NOT_STARTED = "The workers could not be started. What went wrong stands above."
_spawn = multiprocessing.get_context("spawn")
multiprocessing.allow_connection_pickling()


def refuse(settings: Settings) -> None:
    """CannotStart where several processes would have to share one file."""
    if settings.workers > 1 and settings.database is None:
        raise CannotStart(
            "--workers needs a PostgreSQL, since one file is written to by one process. Leave it out, or see "
            "brimful move-to, which takes your data there."
        )


def serve(
    settings: Settings, servers: list[socket.socket], ready: Callable[[], None], look: Callable[[Store], None]
) -> None:
    """Migrate, `look` at the data, then serve at listening sockets by `settings.workers` processes until stopped.

    `ready` is called when all of them answer.

    CannotStart where one ends before it answers at the beginning; KeyboardInterrupt after Ctrl-C.
    """
    with opened_store(settings) as store:  # brought up to date before any of them starts
        look(store)
    with _asked_to_stop() as asked:
        workers = [Worker(settings, servers, first=number == 0) for number in range(settings.workers)]
        try:
            _until_all_answer(workers, asked)
            if not asked:
                ready()
            while not asked:
                wait([one.process.sentinel for one in workers], timeout=0.2)
                workers = [_living(one, asked) for one in workers]
        finally:
            _stop(workers)
    if signal.SIGINT in asked:
        raise KeyboardInterrupt


class Worker:
    """One process; `answers` turns true once it serves. The `first` sees to what is done once a day by itself."""

    def __init__(self, settings: Settings, servers: list[socket.socket], *, first: bool) -> None:
        self.settings, self.servers, self.first = settings, servers, first
        self.heard, say = _spawn.Pipe(duplex=False)
        self.process: SpawnProcess = _spawn.Process(target=_work, args=(settings, servers, say, first), name="worker")
        with _interrupts_ignored():  # what ignores them when it begins does so until it serves: it is told by us
            self.process.start()
        say.close()
        self.began = time.monotonic()
        self.answers = False

    def hear(self) -> bool:
        """Whether it answers by now."""
        with suppress(EOFError, OSError):
            self.answers = self.answers or (self.heard.poll() and bool(self.heard.recv()))
        return self.answers

    def again(self) -> Worker:
        """Another in its place."""
        self.heard.close()
        self.process.close()
        return Worker(self.settings, self.servers, first=self.first)


def _until_all_answer(workers: list[Worker], asked: list[int]) -> None:
    while not asked and sum(one.hear() for one in workers) < len(workers):
        wait([*(one.process.sentinel for one in workers), *(one.heard for one in workers if not one.answers)], 0.2)
        if any(one.process.exitcode is not None for one in workers):
            raise CannotStart(_NOT_STARTED)


def _living(worker: Worker, asked: list[int]) -> Worker:
    """The worker, or another where it died."""
    if worker.process.exitcode is None or asked:
        return worker
    log.error("a worker ended (%s) and is started again", worker.process.exitcode)
    time.sleep(max(0.0, AGAIN_SECONDS - (time.monotonic() - worker.began)))
    return worker.again()


def _stop(workers: list[Worker]) -> None:
    """Ask all to stop at once; end what did not within STOP_SECONDS."""
    until = time.monotonic() + STOP_SECONDS
    for one in workers:
        one.process.terminate()
    for one in workers:
        one.process.join(max(0.0, until - time.monotonic()))
    for one in workers:
        if one.process.exitcode is None:
            one.process.kill()
            one.process.join()
        one.heard.close()
        one.process.close()


@contextmanager
def _asked_to_stop() -> Iterator[list[int]]:
    """The signals that asked for a stop, as they come."""
    asked: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        del frame
        asked.append(number)

    before = {number: signal.signal(number, note) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield asked
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextmanager
def _interrupts_ignored() -> Iterator[None]:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


# --- in a process of its own


def _work(settings: Settings, servers: list[socket.socket], say: Connection, first: bool) -> None:
    """Serve until told to stop. What is migrated was so before."""
    logging.basicConfig(level=logging.WARNING, format="%(asctime)s %(levelname)s %(message)s")
    threading.Thread(target=_end_with_parent, daemon=True, name="parent").start()
    with suppress(KeyboardInterrupt), opened_store(settings) as store:
        app = make_app(settings, store, upkeep=Upkeep(store) if first else None)
        gc.freeze()
        run(app, servers, lambda: say.send(True), settings)


def _end_with_parent() -> None:
    """Where whoever started us is killed, nobody would stop us."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os.kill(os.getpid(), signal.SIGTERM)
