"""What is driven: a workshop of a size in a folder or a PostgreSQL of its own, served by the command."""

from __future__ import annotations

import glob
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from urllib.request import urlopen

from pydantic import SecretStr
from sqlalchemy import select

from tests.bench.filling import fill
from tests.sized_books import sized
from webapp.costing.book import Book
from webapp.settings import Settings
from webapp.store.engine import postgres_engine, sqlite_engine
from webapp.store.families import ChangeRow
from webapp.store.moving import move
from webapp.store.opening import FILE

ROOT = Path(__file__).resolve().parents[2]
ADDRESS = re.compile(r"http://127\.0\.0\.1:(\d+)/")
CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]


class Served:
    """A command that serves: its port, the seconds until its first page, and its processes."""

    def __init__(self, process: subprocess.Popen[str], port: int, started: float) -> None:
        self.process, self.port, self.started = process, port, started

    def memory(self) -> float:
        """The most that its serving processes had at once, in MB (the largest of each added up); 0 where none says."""
        pids = [self.process.pid, *children(self.process.pid)]
        return sum(_said(pid, "VmHWM") for pid in pids)

    def resident(self) -> float:
        """What its serving processes have just now, in MB; 0 where none says."""
        pids = [self.process.pid, *children(self.process.pid)]
        return sum(_said(pid, "VmRSS") for pid in pids)

    def processor(self) -> float:
        """Seconds of a core that its processes took so far; 0 where none says."""
        return sum(_processor(pid) for pid in [self.process.pid, *children(self.process.pid)])


def children(pid: int) -> list[int]:
    """The processes that one started."""
    try:
        text = Path(f"/proc/{pid}/task/{pid}/children").read_text(encoding="ascii")
    except OSError:
        return []
    return [int(one) for one in text.split()]


def _said(pid: int, what: str) -> float:
    """A size that the system says of a process, in MB."""
    try:
        status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    except OSError:
        return 0
    found = re.search(rf"{what}:\s+(\d+) kB", status)
    return int(found[1]) / 1024 if found else 0


def _processor(pid: int) -> float:
    try:
        ticks = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    except OSError:
        return 0
    return (int(ticks[11]) + int(ticks[12])) / os.sysconf("SC_CLK_TCK")


@contextmanager
def workshop(size: str, postgres: str) -> Iterator[tuple[Settings, Book]]:
    """A workshop of `size` in a folder of its own, or moved to the empty database at `postgres`; gone at the end."""
    book = sized(size)
    with tempfile.TemporaryDirectory(prefix="brimful-load-") as folder:
        settings = fill(Path(folder) / "data", book).model_copy(update={"database": None})
        if postgres:
            there = settings.model_copy(update={"database": SecretStr(postgres)})
            move(settings, there, date.today())  # noqa: DTZ011 - the maker's own day is meant
            settings = there
        yield settings, book


@contextmanager
def served(settings: Settings, workers: int) -> Iterator[Served]:
    """The command, serving; stopped at the end."""
    address = {"BRIMFUL_DATABASE": settings.database.get_secret_value()} if settings.database else {}
    command = ["-m", "webapp", "--port", "0", "--no-browser", "--data", str(settings.data), "--workers", str(workers)]
    began = time.perf_counter()
    with tempfile.TemporaryFile("w+") as said:
        process = subprocess.Popen(
            [sys.executable, *command],
            cwd=ROOT,
            env={**os.environ, **address},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=said,
            text=True,
        )
        try:
            assert process.stdout is not None
            said_first = iter(process.stdout.readline, "")
            found = next((one for line in said_first if (one := ADDRESS.search(line))), None)
            if found is None:
                said.seek(0)
                raise RuntimeError(f"It did not start: {said.read()}")
            with urlopen(found[0]) as answer:
                answer.read()
            yield Served(process, int(found[1]), time.perf_counter() - began)
        finally:
            process.terminate()
            process.communicate(timeout=60)


def tokens_in(settings: Settings) -> set[str]:
    """The tokens of all changes that are stored, read past the program."""
    address = settings.database
    engine = sqlite_engine(settings.data / FILE) if address is None else postgres_engine(address.get_secret_value())
    try:
        with engine.connect() as connection:
            return {one for (one,) in connection.execute(select(CHANGE.c.token)) if one}
    finally:
        engine.dispose()


@contextmanager
def a_postgres() -> Iterator[str]:
    """A PostgreSQL of its own with an empty database; RuntimeError where this machine has none."""
    tools = [Path(one).parent for one in sorted(glob.glob("/usr/lib/postgresql/*/bin/initdb"))]  # noqa: PTH207
    found = shutil.which("initdb")
    if not tools and not found:
        raise RuntimeError("no PostgreSQL is installed here; name an empty one with --postgres")
    bin_folder = tools[-1] if tools else Path(str(found)).parent
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    as_postgres = ["setpriv", "--reuid=postgres", "--regid=postgres", "--init-groups"] if root else []
    folder = tempfile.mkdtemp(prefix="brimful-load-pg-")
    if root:
        shutil.chown(folder, "postgres")

    def tell(*words: str) -> None:
        subprocess.run([*as_postgres, *words], cwd=folder, check=True, stdout=subprocess.DEVNULL)

    options = f"-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={folder}"
    try:
        tell(
            str(bin_folder / "initdb"),
            "-A",
            "trust",
            "-U",
            "postgres",
            "-E",
            "UTF8",
            "--locale=C.UTF-8",
            "-D",
            f"{folder}/data",
        )
        tell(str(bin_folder / "pg_ctl"), "-D", f"{folder}/data", "-w", "-l", f"{folder}/log", "-o", options, "start")
        try:
            yield f"postgresql+psycopg://postgres@127.0.0.1:{port}/postgres"
        finally:
            tell(str(bin_folder / "pg_ctl"), "-D", f"{folder}/data", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)
