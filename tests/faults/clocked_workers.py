"""The program with a clock each for its processes: `python -m tests.faults.clocked_workers serve --workers 2 …`.

Which file the library of the clock reads is written in the environment that a process is started with. Whoever sleeps
here waits for nothing to be read: the library mistakes the end of a sleep, which Python names by what passed since the
machine began, for one by the clock, and refuses it.
"""

from __future__ import annotations

import os
import select
import socket
import sys
import time
from typing import SupportsIndex

from webapp import workers
from webapp.__main__ import main
from webapp.settings import Settings

SET_BY = "FAKETIME_TIMESTAMP_FILE"
#: which file each reads; that of the command itself is the first one's
CLOCKS = ("CLOCK_OF_THE_FIRST", "CLOCK_OF_THE_OTHER")


def _sleep(seconds: float | SupportsIndex, /) -> None:
    select.select([], [], [], float(seconds))


class Clocked(workers.Worker):
    """A process that is started with its own clock."""

    def __init__(self, settings: Settings, servers: list[socket.socket], *, first: bool) -> None:
        os.environ[SET_BY] = os.environ[CLOCKS[not first]]
        super().__init__(settings, servers, first=first)


if __name__ in ("__main__", "__mp_main__"):  # each of the processes begins with this module
    time.sleep = _sleep

if __name__ == "__main__":
    workers.Worker = Clocked  # type: ignore[misc]
    sys.exit(main())
