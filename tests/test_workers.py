"""Several processes at one socket and one PostgreSQL: none serves an old book, a dead one comes back, all stop."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from pydantic import SecretStr
from starlette.responses import PlainTextResponse

from tests.on_postgres import empty_postgres
from tests.tried import many
from webapp.cli import CANNOT_START
from webapp.errors import CannotStart
from webapp.serving import configure
from webapp.settings import Settings
from webapp.store.engine import postgres_engine
from webapp.workers import STOP_SECONDS, refuse

ROOT = Path(__file__).resolve().parent.parent
ADDRESS = re.compile(r"http://127\.0\.0\.1:(\d+)/")
ROUNDS = many(20, 250)
"""Each writes once through one worker and reads through the other, and back: 40 reads, 500 in `.ci/run deep`."""

on_postgres = [
    pytest.mark.postgres,
    pytest.mark.skipif(not Path("/proc/self/net").is_dir(), reason="which process answers is read from /proc"),
]


def test_one_file_is_served_by_one_process(tmp_path: Path) -> None:
    with pytest.raises(CannotStart, match="needs a PostgreSQL"):
        refuse(Settings(data=tmp_path, database=None, workers=2))
    refuse(Settings(data=tmp_path, database=None, workers=1))
    refuse(Settings(data=tmp_path, database=SecretStr("postgresql://x/y"), workers=2))


@pytest.mark.long
def test_the_command_says_so_and_makes_nothing(tmp_path: Path) -> None:
    told = subprocess.run(
        [sys.executable, "-m", "webapp", "--workers", "2", "--data", str(tmp_path / "new")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (told.returncode, told.stdout) == (CANNOT_START, "")
    assert "--workers needs a PostgreSQL" in told.stderr
    assert not (tmp_path / "new").exists()


def test_a_stop_gives_up_waiting_before_5_seconds() -> None:
    assert (configure(PlainTextResponse("")).timeout_graceful_shutdown or 0) < STOP_SECONDS < 5


@pytest.mark.postgres
def test_a_statement_is_stopped_and_a_dead_connection_is_noticed(postgres_url: str) -> None:
    engine, another = postgres_engine(postgres_url), postgres_engine(postgres_url)
    try:
        with engine.connect() as connection:
            assert connection.exec_driver_sql("SHOW statement_timeout").scalar() == "20s"
            assert connection.exec_driver_sql("SHOW lock_timeout").scalar() == "5s"
            pid = connection.exec_driver_sql("SELECT pg_backend_pid()").scalar()
        with another.connect() as other:
            other.exec_driver_sql(f"SELECT pg_terminate_backend({pid}, 5000)")
        with engine.connect() as connection:
            assert connection.exec_driver_sql("SELECT 1").scalar() == 1
    finally:
        engine.dispose()
        another.dispose()


class Served:
    """A command that serves with two workers; which of them a connection is with is read from their descriptors."""

    def __init__(self, process: subprocess.Popen[str], port: int) -> None:
        self.process, self.port = process, port

    def workers(self) -> list[int]:
        """The processes that were started by the command and serve."""
        listed = subprocess.run(
            ["ps", "-ww", "-o", "pid=,args=", "--ppid", str(self.process.pid)],
            capture_output=True,
            text=True,
            check=True,
        )
        lines = [line.split(None, 1) for line in listed.stdout.splitlines()]
        return [int(pid) for pid, words in lines if "spawn_main" in words]

    def line(self) -> http.client.HTTPConnection:
        return http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)

    def a_line_each(self) -> dict[int, http.client.HTTPConnection]:
        """A connection to each; the first round has each make itself ready, while an idle one would be closed."""
        for line in self._a_line_each().values():
            line.close()
        return self._a_line_each()

    def _a_line_each(self) -> dict[int, http.client.HTTPConnection]:
        found: dict[int, http.client.HTTPConnection] = {}
        pids = self.workers()
        spare = []
        for _ in range(400):
            line = self.line()
            ask(line, "GET", "/api/suppliers")
            spare.append(line)
            found.setdefault(holder(line, pids), line)
            if len(found) == len(pids):
                break
        assert len(found) == len(pids) == 2, "the workers share the socket"
        for line in spare:
            if line not in found.values():
                line.close()
        return found


def holder(line: http.client.HTTPConnection, pids: list[int]) -> int:
    """The process at the other end of a connection."""
    port = line.sock.getsockname()[1]
    table = Path("/proc/net/tcp").read_text(encoding="ascii").splitlines()[1:]
    inode = next(row.split()[9] for row in table if row.split()[2].endswith(f":{port:04X}"))
    for pid in pids:
        for descriptor in Path(f"/proc/{pid}/fd").iterdir():
            try:
                if str(descriptor.readlink()) == f"socket:[{inode}]":
                    return pid
            except OSError:
                continue
    raise AssertionError("nobody holds it")


def ask(line: http.client.HTTPConnection, method: str, path: str, body: Any = None, **headers: str) -> Any:
    """The JSON of an answer, or its text."""
    kind = {} if body is None else {"Content-Type": "application/json"}
    line.request(method, path, None if body is None else json.dumps(body), {**kind, **headers})
    answer = line.getresponse()
    text = answer.read()
    assert answer.status < 400 or answer.status == 404, (answer.status, text[:300])
    return json.loads(text)


def hang_up(lines: Iterable[http.client.HTTPConnection]) -> None:
    for line in lines:
        line.close()


@contextmanager
def served(url: str, folder: Path, *more: str) -> Iterator[Served]:
    process = subprocess.Popen(
        [sys.executable, "-m", "webapp", "--workers", "2", "--port", "0", "--no-browser", "--data", str(folder), *more],
        cwd=ROOT,
        env={**os.environ, "BRIMFUL_DATABASE": url},
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout is not None
        line = process.stdout.readline()
        found = ADDRESS.search(line)
        assert found, (line, process.stderr and process.stderr.read())
        yield Served(process, int(found[1]))
    finally:
        process.terminate()
        process.communicate(timeout=30)


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One command for several tests: a start of three processes takes seconds."""
    url = os.environ.get("BRIMFUL_TEST_POSTGRES", "")
    if not url:
        pytest.skip("BRIMFUL_TEST_POSTGRES names no PostgreSQL")
    empty_postgres(url)
    with served(url, tmp_path_factory.mktemp("workers")) as program:
        yield program


class TestTwoWorkers:
    """In the order in which they stand: the last ones end processes."""

    pytestmark = on_postgres

    def test_what_is_written_through_one_is_read_through_the_other(self, program: Served) -> None:
        each = program.a_line_each()
        lines, old = list(each.values()), []
        for number in range(ROUNDS):
            for writer, reader in (lines, reversed(lines)):
                name = f"Supplier {number} {lines.index(writer)}"
                made = ask(writer, "POST", "/api/suppliers", {"name": name, "currency": "EUR"})
                if name not in json.dumps(ask(reader, "GET", f"/api/suppliers/{made['id']}")):
                    old.append(name)
        assert old == []
        hang_up(lines)

    def test_the_same_form_sent_through_both_is_stored_once(self, program: Served) -> None:
        one, other = program.a_line_each().values()
        body, key = {"name": "Twice", "currency": "EUR"}, {"Idempotency-Key": "the-same-key"}
        assert ask(one, "POST", "/api/suppliers", body, **key) == ask(other, "POST", "/api/suppliers", body, **key)
        hang_up([one, other])

    def test_a_worker_that_dies_is_started_again(self, program: Served) -> None:
        before = program.workers()
        os.kill(before[0], signal.SIGKILL)
        until = time.monotonic() + 60
        while len(now := [pid for pid in program.workers() if pid != before[0]]) < 2:
            assert time.monotonic() < until, "no other was started"
            line = program.line()
            assert ask(line, "GET", "/api/suppliers")
            hang_up([line])
        assert before[1] in now
        hang_up(program.a_line_each().values())

    def test_a_stop_ends_all(self, program: Served) -> None:
        pids, began = program.workers(), time.monotonic()
        busy = program.line()
        busy.connect()
        busy.sock.sendall(b"POST /api/suppliers HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 99\r\n\r\n{")
        program.process.terminate()
        program.process.wait(30)
        assert time.monotonic() - began < 15  # 5 where nothing else runs
        busy.close()
        assert [pid for pid in pids if Path(f"/proc/{pid}").exists()] == []


@pytest.mark.postgres
@pytest.mark.skipif(sys.platform == "win32", reason="nobody is killed so there")
def test_where_the_command_is_killed_its_workers_end(postgres_url: str, tmp_path: Path) -> None:
    with served(postgres_url, tmp_path) as program:
        pids = program.workers()
        assert len(pids) == 2
        program.process.kill()
        until = time.monotonic() + 30
        while any(Path(f"/proc/{pid}").exists() for pid in pids):
            assert time.monotonic() < until, "they serve on"
            time.sleep(0.05)
