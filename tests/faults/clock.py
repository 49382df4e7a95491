"""A clock that jumps under a program while it runs, by a library that is loaded before it (`libfaketime`).

Only what the time of day is jumps, as on a computer whose clock is set: what passed is still counted right, and what
the system wrote down beside a file before stays.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tests.faults.program import SECONDS
from tests.tried import REQUIRED, many

FOLDERS = ("/usr/lib", "/usr/local/lib", "/usr/lib64")
RIGHT = timedelta()
DAY, YEAR = timedelta(days=1), timedelta(days=365)
#: how far the clock jumps, by name; the last lies before anything that was entered, as where a battery is empty
JUMPS = {
    "a day ahead": DAY,
    "a year ahead": YEAR,
    "ten years ahead": 10 * YEAR,
    "a day back": -DAY,
    "a year back": -YEAR,
}
#: those that are tried where each costs a start of the program: the two that are farthest off, and one more in full
SOME = many(("ten years ahead", "a year back"), ("a day ahead", "ten years ahead", "a year back"))
#: those of two processes with a clock each: some, and all in full
OF_TWO = many({name: JUMPS[name] for name in SOME}, JUMPS)


def _library() -> Path | None:
    """The library in its variant for several threads; None where it is not here."""
    if sys.platform != "linux":
        return None
    found = [path for folder in FOLDERS for path in Path(folder).glob("**/faketime/libfaketimeMT.so.1")]
    return found[0] if found else None


LIBRARY = _library()
needs_clock = pytest.mark.skipif(
    LIBRARY is None and not REQUIRED, reason="NOT CHECKED: libfaketime is not here, so no clock can be set"
)


class Clock:
    """The clock of whatever is started with its `environment`. It is right at first."""

    def __init__(self, folder: Path) -> None:
        assert LIBRARY is not None, "libfaketime is not here, so no clock can be set"
        self.file, self.ahead = folder / "clock", RIGHT
        self.environment = {
            "LD_PRELOAD": str(LIBRARY),
            "FAKETIME_TIMESTAMP_FILE": str(self.file),
            "FAKETIME_NO_CACHE": "1",
            "FAKETIME_DONT_FAKE_MONOTONIC": "1",
            "FAKETIME_FORCE_MONOTONIC_FIX": "0",  # with it a thread that waits for its turn waits for seconds
            "NO_FAKE_STAT": "1",
            "TZ": "UTC",
        }
        self.jump(RIGHT)
        self._see_that_it_jumps()

    def jump(self, ahead: timedelta) -> None:
        """Have it be so far ahead of the right time from now on."""
        self.ahead, part = ahead, self.file.with_suffix(".part")
        part.write_text(f"{int(ahead.total_seconds()):+d}\n", encoding="ascii")
        part.replace(self.file)

    def jump_to(self, moment: datetime) -> None:
        """Set it to a moment (of UTC), and let it go on from there."""
        self.jump(moment - datetime.now(UTC))

    def now(self) -> datetime:
        """What it says."""
        return datetime.now(UTC) + self.ahead

    def written(self, path: Path) -> None:
        """Have a file that was written just now be of the moment that this clock says: what writes it down is right."""
        at = time.time() + self.ahead.total_seconds()
        os.utime(path, (at, at))

    def _see_that_it_jumps(self) -> None:
        """A library that is there and does nothing would let every test of a clock pass."""
        self.jump(YEAR)
        line = [sys.executable, "-c", "import time; print(time.time())"]
        environment = {**os.environ, **self.environment}
        said = subprocess.run(line, capture_output=True, text=True, timeout=SECONDS, check=True, env=environment)
        assert float(said.stdout) > time.time() + YEAR.total_seconds() / 2, said
        self.jump(RIGHT)
