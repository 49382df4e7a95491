"""The program as a process of its own, without importing all of it anew each time.

`begin` asks a process that has imported the program, and done nothing with it, to fork. What comes of it has its own
arguments, environment, files and exit code, and ends, is killed or is traced as any other. It is not for `--workers`:
those processes are started by the name of the main module. Where a system can't fork, each is started from nothing.
"""

from __future__ import annotations

import atexit
import contextlib
import gc
import importlib
import io
import json
import os
import select
import signal
import socket
import struct
import subprocess
import sys
import threading
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = ("-m", "webapp")
#: what a program that serves comes to sooner or later
IMPORTED = ("webapp.__main__", "webapp.cli", "webapp.pages", "webapp.api", "webapp.book_commands", "alembic.command")
MOST = 1 << 20
#: what is told of a process: its number when it began, its exit code when it ended
TOLD = struct.Struct("!i")

_ASKING = threading.Lock()
_STARTER: list[socket.socket] = []


class Forked:
    """A process that was forked; what is asked of it is what is asked of a `Popen`."""

    returncode: int | None

    def __init__(self, arguments: tuple[str, ...], environment: Mapping[str, str]) -> None:
        typed_there, typed = os.pipe()
        out, out_there = os.pipe()
        err, err_there = os.pipe()
        self._told, told_there = socket.socketpair()
        asked = json.dumps([arguments, dict(environment)]).encode()
        with _ASKING:
            socket.send_fds(_starter(), [asked], [typed_there, out_there, err_there, told_there.fileno()])
            self.pid = self._next_told()
        for one in (typed_there, out_there, err_there):
            os.close(one)
        told_there.close()
        self.args, self.returncode = arguments, None
        self.stdin = os.fdopen(typed, "w", encoding="utf-8")
        self.stdout, self.stderr = os.fdopen(out, encoding="utf-8"), os.fdopen(err, encoding="utf-8")

    def _next_told(self) -> int:
        told = self._told.recv(TOLD.size, socket.MSG_WAITALL)
        assert told, "what forks has ended"
        return int(TOLD.unpack(told)[0])

    def poll(self) -> int | None:
        """The exit code, or None while it runs."""
        with contextlib.suppress(subprocess.TimeoutExpired):
            return self.wait(0)
        return None

    def wait(self, timeout: float | None = None) -> int:
        """The exit code, once it ended: below zero the signal that ended it."""
        if self.returncode is None:
            self._told.settimeout(timeout)
            try:
                self.returncode = self._next_told()
            except (TimeoutError, BlockingIOError):
                raise subprocess.TimeoutExpired(self.args, timeout or 0) from None
            self._told.close()
        return self.returncode

    def send_signal(self, number: int) -> None:
        """Send it a signal, where it still runs."""
        if self.poll() is None:
            with contextlib.suppress(ProcessLookupError):  # it ended, and that is being told
                os.kill(self.pid, number)

    def kill(self) -> None:
        """End it at once."""
        self.send_signal(signal.SIGKILL)

    def terminate(self) -> None:
        """Ask it to end."""
        self.send_signal(signal.SIGTERM)

    def communicate(self, typed: str = "", timeout: float | None = None) -> tuple[str, str]:
        """What it still says until it ends, once so much was typed and nothing more will be."""
        with contextlib.suppress(BrokenPipeError), self.stdin:
            self.stdin.write(typed)
        with ThreadPoolExecutor(1) as beside, self.stdout, self.stderr:
            err = beside.submit(self.stderr.read)
            said = self.stdout.read(), err.result()
        self.wait(timeout)
        return said


Process = subprocess.Popen[str] | Forked


def begin(*arguments: str, program: tuple[str, ...] = PROGRAM, environment: Mapping[str, str] | None = None) -> Process:
    """The program with these arguments, its output to be read, in the folder of the sources; or another program."""
    whole = os.environ | dict(environment or {})
    preloads = "LD_PRELOAD" in whole  # which is looked at only where a program is started from nothing
    if program == PROGRAM and not preloads and hasattr(os, "fork"):
        return Forked(arguments, whole)
    return subprocess.Popen(
        [sys.executable, *program, *arguments],
        cwd=ROOT,
        env=whole,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def _starter() -> socket.socket:
    """The line to the process that forks, which is started when it is first asked, and ends with this one."""
    if not _STARTER:
        here, there = socket.socketpair()
        process = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.starter", str(there.fileno())], cwd=ROOT, pass_fds=[there.fileno()]
        )
        there.close()
        _STARTER.append(here)
        atexit.register(_stop, here, process)
    return _STARTER[0]


def _stop(line: socket.socket, process: subprocess.Popen[bytes]) -> None:
    line.close()
    process.wait(60)


# --- in the process that forks


class Starter:
    """Forks whenever it is asked, and tells who asked when what came of it has ended."""

    def __init__(self, line: socket.socket) -> None:
        self.line = line
        self.woken, self.waking = socket.socketpair()
        self.waking.setblocking(False)
        self.running: dict[int, socket.socket] = {}

    def serve(self) -> list[str] | None:
        """The arguments, in each process that comes of it; None in this one, once nobody can ask any more."""
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # of the terminal: who asks stops what was begun
        signal.signal(signal.SIGCHLD, lambda *_: None)
        signal.set_wakeup_fd(self.waking.fileno())
        while True:
            ready = select.select([self.line, self.woken], [], [])[0]
            if self.woken in ready:
                self.woken.recv(MOST)
                self._tell_of_the_ended()
            if self.line in ready:
                asked, given, _, _ = socket.recv_fds(self.line, MOST, 4)
                if not asked:
                    return None
                if (arguments := self._fork(asked, given)) is not None:
                    return arguments

    def _tell_of_the_ended(self) -> None:
        for pid in [*self.running]:
            ended, status = os.waitpid(pid, os.WNOHANG)
            if ended:
                with self.running.pop(pid) as who, contextlib.suppress(OSError):
                    who.send(TOLD.pack(os.waitstatus_to_exitcode(status)))

    def _fork(self, asked: bytes, given: list[int]) -> list[str] | None:
        arguments, environment = json.loads(asked)
        *lines, told = given
        pid = os.fork()
        if not pid:
            os.close(told)
            self._become(environment, lines)
            return [str(one) for one in arguments]
        for one in lines:
            os.close(one)
        self.running[pid] = socket.socket(fileno=told)
        self.running[pid].send(TOLD.pack(pid))
        return None

    def _become(self, environment: dict[str, str], lines: list[int]) -> None:
        """Let nothing of the starter be left, and take the place that a process has that was started from nothing."""
        signal.set_wakeup_fd(-1)
        signal.signal(signal.SIGCHLD, signal.SIG_DFL)
        signal.signal(signal.SIGINT, signal.default_int_handler)
        for one in (self.line, self.woken, self.waking, *self.running.values()):
            one.close()
        for at, line in enumerate(lines):
            os.dup2(line, at)
            os.close(line)
        os.environ.clear()
        os.environ.update(environment)


def main() -> int:
    """Import the program, then fork; what comes of it is the program."""
    for name in IMPORTED:
        importlib.import_module(name)
    gc.freeze()  # so that no process that comes of it looks through what is shared
    arguments = Starter(socket.socket(fileno=int(sys.argv[1]))).serve()
    if arguments is None:
        return 0
    sys.argv[1:] = arguments
    assert isinstance(sys.stdout, io.TextIOWrapper)
    return int(importlib.import_module("webapp.__main__").main())


if __name__ == "__main__":
    sys.exit(main())
