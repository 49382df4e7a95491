"""The program as a person runs it: a process of its own, with its own data, asked over HTTP."""

from __future__ import annotations

import http.client
import json
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Self

from tests.faults import starter

ROOT, PROGRAM = starter.ROOT, starter.PROGRAM
ADDRESS = re.compile(r"http://127\.0\.0\.1:(\d+)/")
SECONDS = 120
SUPPLIERS = "/api/suppliers"


def supplier(name: str) -> dict[str, str]:
    """The body that enters a supplier."""
    return {"name": name, "currency": "EUR"}


class Gone(Exception):
    """No answer came: the process ended meanwhile."""


def command(*arguments: str) -> list[str]:
    """The command line of the program."""
    return [sys.executable, *PROGRAM, *arguments]


def run(*arguments: str, typed: str = "", **environment: str) -> subprocess.CompletedProcess[str]:
    """The program run to its end, with what is typed into it."""
    process = starter.begin(*arguments, environment=environment)
    watch = threading.Timer(SECONDS, process.kill)
    watch.start()
    try:
        said, told = process.communicate(typed)
    finally:
        watch.cancel()
    assert process.returncode is not None
    return subprocess.CompletedProcess(command(*arguments), process.returncode, said, told)


class Program:
    """A server. Killed at the end where it still runs."""

    def __init__(
        self,
        data: Path,
        *,
        program: tuple[str, ...] = PROGRAM,
        more: tuple[str, ...] = (),
        environment: Mapping[str, str] | None = None,
    ) -> None:
        self.data = data
        self.process = starter.begin(
            "serve", "--port", "0", "--no-browser", "--data", str(data), *more, program=program, environment=environment
        )
        self.port = 0
        self._said: list[str] = []

    def __enter__(self) -> Self:
        """Wait until it says where it is."""
        watch = threading.Timer(SECONDS, self.process.kill)
        watch.start()
        try:
            assert self.process.stdout is not None
            for line in self.process.stdout:
                self._said.append(line)
                if found := ADDRESS.search(line):
                    self.port = int(found[1])
                    return self
        finally:
            watch.cancel()
        assert self.process.stderr is not None
        raise AssertionError(f"It did not start: {''.join(self._said)}{self.process.stderr.read()}")

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.communicate()

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> tuple[int, Any]:
        """Status and JSON of an answer. Gone where there is none."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=SECONDS)
        try:
            sent = None if body is None else json.dumps(body)
            kind = {} if body is None else {"Content-Type": "application/json"}
            line.request(method, path, sent, {**kind, **headers})
            answer = line.getresponse()
            text = answer.read()
            return answer.status, json.loads(text) if text.startswith((b"{", b"[")) else text.decode()
        except (OSError, http.client.HTTPException, ValueError) as error:
            raise Gone from error
        finally:
            line.close()

    def said(self, words: str) -> bool:
        """Whether it said that before it said where it is."""
        return any(words in line for line in self._said)

    def tag(self, path: str) -> str:
        """The ETag of an answer."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=SECONDS)
        try:
            line.request("GET", path)
            answer = line.getresponse()
            answer.read()
            return str(answer.getheader("ETag"))
        finally:
            line.close()

    def post_form(self, path: str, fields: str) -> tuple[int, str]:
        """Status and text of the answer to a form."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=SECONDS)
        try:
            line.request("POST", path, fields, {"Content-Type": "application/x-www-form-urlencoded"})
            answer = line.getresponse()
            return answer.status, answer.read().decode()
        finally:
            line.close()

    def page(self, path: str, body: bytes | None = None, kind: str = "") -> tuple[int, str, str]:
        """Status, text and where it leads of a page, or of the answer to a form. Gone where there is none."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=SECONDS)
        try:
            headers = {"Content-Type": kind or "application/x-www-form-urlencoded"} if body is not None else {}
            line.request("GET" if body is None else "POST", path, body, headers)
            answer = line.getresponse()
            return answer.status, answer.read().decode(), answer.getheader("Location") or ""
        except (OSError, http.client.HTTPException) as error:
            raise Gone from error
        finally:
            line.close()

    def save(self, name: str) -> int:
        """Save a supplier; the status. Gone where no answer came."""
        return self.ask("POST", SUPPLIERS, supplier(name))[0]

    def kill(self) -> None:
        """End it as a power cut ends a process: at once."""
        self.process.kill()
        self.process.wait(SECONDS)

    def stop(self) -> int:
        """Ask it to stop; its exit code."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(SECONDS)
