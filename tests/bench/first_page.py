"""The command started as a person starts it: how long until the first page is there, and how much memory that took."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter
from urllib.parse import urljoin
from urllib.request import urlopen

ADDRESS = re.compile(r"http://\S+")
#: seconds; the biggest workshop on a busy machine takes more than one minute
WAIT = 600
#: the packages alone, with one table and one page
BARE = ("tests.bench.bare_app",)


def program(folder: Path) -> tuple[str, ...]:
    """The program on the data in `folder`, at a free port."""
    return ("webapp", "--data", str(folder), "--no-browser", "--port", "0")


def first_page(what: tuple[str, ...], folder: Path, path: str) -> tuple[float, float]:
    """Seconds from the command to the whole page at `path`, and the most memory held, in MB."""
    begun = perf_counter()
    with served(what, folder) as (address, process):
        with urlopen(urljoin(address, path), timeout=WAIT) as answer:
            assert answer.status == 200, answer.status
            answer.read()
        return perf_counter() - begun, memory_of(process)


@contextmanager
def served(what: tuple[str, ...], folder: Path) -> Iterator[tuple[str, int]]:
    """The address and the process of `what`, a module with its arguments that prints its address (`program`, `BARE`).

    The day is the one on which it is measured: the command knows no other. Compiled modules and templates are kept
    beside the folder, whatever this machine says of that: whoever installs the program keeps them.
    """
    places = {**os.environ, "PYTHONPYCACHEPREFIX": str(folder.with_name("compiled")), "PYTHONDONTWRITEBYTECODE": ""}
    with subprocess.Popen([sys.executable, "-m", *what], stdout=subprocess.PIPE, text=True, env=places) as server:
        try:
            assert server.stdout is not None
            found = ADDRESS.search(server.stdout.readline())
            assert found is not None
            yield found[0], server.pid
        finally:
            server.terminate()


def memory_of(process: int) -> float:
    """The most memory that a process has held, in MB."""
    status = Path(f"/proc/{process}/status").read_text()
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM"))) / 1000
