"""A program of two processes on one PostgreSQL, each with a clock of its own that jumps; either can be asked."""

from __future__ import annotations

import http.client
import json
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import urlencode

from tests.faults.clock import RIGHT, Clock
from tests.faults.clocked_workers import CLOCKS, SET_BY
from tests.faults.program import SUPPLIERS, Program, run, supplier
from tests.on_postgres import empty_postgres
from tests.test_workers import Served, holder

NAME, WORDS, EVERY = "bench.workshop", "four words in a jar", "0.0.0.0"  # noqa: S104 - a port of its own for a moment
_CLOSED = (http.client.RemoteDisconnected, http.client.CannotSendRequest, ConnectionError)


class Answer(NamedTuple):
    """Status and text of an answer, its JSON where it is some, and its headers."""

    status: int
    text: str
    told: Any
    headers: http.client.HTTPMessage


class Side:
    """One of the two processes, and its clock. What is asked here is asked of this one and not of the other."""

    def __init__(self, served: Served, pid: int, clock: Clock) -> None:
        self.served, self.pid, self.clock = served, pid, clock
        self._line: http.client.HTTPConnection | None = None

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> Answer:
        """Ask as a program on this machine does; a body is sent as JSON, a text as a form, bytes as they are."""
        kind = "application/x-www-form-urlencoded" if isinstance(body, str | bytes) else "application/json"
        sent = body if body is None or isinstance(body, str | bytes) else json.dumps(body)
        headers = headers if body is None else {"Content-Type": kind, **headers}
        for line in self._lines():
            try:
                line.request(method, path, sent, headers)
                got = line.getresponse()
                text = got.read().decode(errors="replace")
            except _CLOSED:  # it was idle for too long: nobody has looked at what was sent
                self.hang_up()
                continue
            told = json.loads(text) if text.startswith(("{", "[")) else None
            return Answer(got.status, text, told, got.headers)
        raise AssertionError("it hangs up")

    def _lines(self) -> Iterator[http.client.HTTPConnection]:
        """A line to this process, and another where that was closed meanwhile."""
        for _ in range(3):
            self._line = self._line or self._found()
            yield self._line

    def _found(self) -> http.client.HTTPConnection:
        """Whoever of them is quicker takes a line, so that some are tried until this one has one."""
        spare = []
        try:
            for _ in range(400):
                line = self.served.line()
                line.request("GET", "/api")
                line.getresponse().read()
                if holder(line, self.served.workers()) == self.pid:
                    return line
                spare.append(line)
        finally:
            for one in spare:
                one.close()
        raise AssertionError("this process takes no line")

    def hang_up(self) -> None:
        if self._line is not None:
            self._line.close()
            self._line = None

    def page(self, path: str, body: bytes | None = None, kind: str = "") -> tuple[int, str, str]:
        """Status, text and where it leads of a page, or of the answer to a form."""
        method, headers = ("GET", {}) if body is None else ("POST", {"Content-Type": kind} if kind else {})
        answer = self.ask(method, path, body, **headers)
        return answer.status, answer.text, answer.headers.get("Location") or ""

    def text(self, path: str) -> str:
        """The text of a page."""
        status, text, _ = self.page(path)
        assert status == 200, (path, status)
        return text

    def save(self, name: str) -> int:
        """Save a supplier; the status."""
        return self.ask("POST", SUPPLIERS, supplier(name)).status

    def tag(self, path: str) -> str:
        return str(self.ask("GET", path).headers["ETag"])

    def changes(self) -> list[dict[str, Any]]:
        """All changes, the newest first."""
        return list(self.ask("GET", "/api/changes").told["items"])


class Two:
    """Both processes, the first and the other."""

    def __init__(self, program: Program, first: Side, other: Side, url: str) -> None:
        self.program, self.first, self.other, self.url = program, first, other, url

    @property
    def sides(self) -> tuple[Side, Side]:
        return self.first, self.other

    def right(self) -> None:
        """Set both clocks right."""
        for side in self.sides:
            side.clock.jump(RIGHT)


class Tablet:
    """A device: it asks by a name of the network, so that it is let in like any; by either process."""

    def __init__(self) -> None:
        self.cookie, self.waits = "", 0

    def ask(self, side: Side, path: str, fields: dict[str, str] | None = None) -> int:
        """The status of an answer; a cookie that comes along is kept."""
        headers = {"Host": f"{NAME}:{side.served.port}", "Sec-Fetch-Site": "same-origin"}
        headers |= {"Cookie": self.cookie} if self.cookie else {}
        method, body = ("GET", None) if fields is None else ("POST", urlencode(fields))
        answer = side.ask(method, path, body, **headers)
        if (given := answer.headers.get("Set-Cookie")) is not None:
            self.cookie = given.partition(";")[0]
        self.waits = int(answer.headers.get("Retry-After") or 0)
        return answer.status

    def sign_in(self, side: Side, passphrase: str = WORDS) -> int:
        return self.ask(side, "/sign-in", {"name": "Bench tablet", "passphrase": passphrase, "role": "workshop"})

    def is_in(self, side: Side) -> bool:
        return self.ask(side, "/price") == 200


@contextmanager
def two(folder: Path, url: str) -> Iterator[Two]:
    """The program on an emptied PostgreSQL, open to the network, with a passphrase; both clocks are right."""
    empty_postgres(url)
    clocks = []
    for name in ("first", "other"):
        (folder / name).mkdir(parents=True)
        clocks.append(Clock(folder / name))
    files = {name: str(clock.file) for name, clock in zip(CLOCKS, clocks, strict=True)}
    environment = {**clocks[0].environment, **files, "BRIMFUL_DATABASE": url, "BRIMFUL_ALLOWED_HOSTS": NAME}
    data = folder / "data"
    done = run("passphrase", "--data", str(data), typed=f"{WORDS}\n", **environment)
    assert done.returncode == 0, done.stderr
    with Program(
        data,
        program=("-m", "tests.faults.clocked_workers"),
        more=("--workers", "2", "--host", EVERY),
        environment=environment,
    ) as program:
        served = Served(program.process, program.port)  # type: ignore[arg-type]
        pids = {_clock_of(pid): pid for pid in served.workers()}
        first, other = (Side(served, pids[str(clock.file)], clock) for clock in clocks)
        try:
            yield Two(program, first, other, url)
        finally:
            for side in (first, other):
                side.hang_up()
            program.stop()


def _clock_of(pid: int) -> str:
    """Which file a process has its clock from, as it was started."""
    found = Path(f"/proc/{pid}/environ").read_bytes().split(b"\0")
    with suppress(StopIteration):
        return next(one.partition(b"=")[2].decode() for one in found if one.startswith(SET_BY.encode()))
    raise AssertionError("a process without a clock of its own")
