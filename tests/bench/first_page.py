"""Run in a process of its own: start on the data folder given, answer a page, and say how much memory that took."""

from __future__ import annotations

import sys
from contextlib import closing
from datetime import date
from pathlib import Path

from tests.bench.asking import ask
from webapp.app import make_app
from webapp.settings import Settings
from webapp.store.opening import open_store


def main(folder: str, day: str, path: str) -> None:
    """Print the most memory held, in kB, after the page was answered."""
    settings = Settings(data=Path(folder))
    with closing(open_store(settings)) as store:
        answer = ask(make_app(settings, store, lambda: date.fromisoformat(day)), path)
        assert answer.status == 200, answer.status
    status = Path("/proc/self/status")
    found = [line.split()[1] for line in status.read_text().splitlines() if line.startswith("VmHWM")]
    print(found[0])


if __name__ == "__main__":
    main(*sys.argv[1:])
