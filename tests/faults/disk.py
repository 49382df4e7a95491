"""What a process asks of the disk, watched, failed or cut off at any one call, by the system's tracer (`strace`)."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Self

import pytest

from tests.faults.program import SECONDS, Program
from tests.tried import REQUIRED
from webapp.store.opening import FILE

#: the calls by which SQLite changes what is on the disk, or asks that it is there
CALLS = ("openat", "pwrite64", "fdatasync", "fsync", "ftruncate", "unlink")
_CALL = re.compile(r"^(?:\d+ +)?(\w+)\(")


def _can_attach() -> bool:
    """Whether a running process can be traced here: not every system has the tool, and some forbid it."""
    if sys.platform != "linux" or shutil.which("strace") is None:
        return False
    with subprocess.Popen(["cat"], stdin=subprocess.PIPE) as other:
        line = ["strace", "-o", os.devnull, "-p", str(other.pid)]
        with subprocess.Popen(line, stdin=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True) as tracer:
            assert tracer.stderr is not None
            said = tracer.stderr.readline()
            tracer.terminate()
        other.terminate()
    return "attached" in said


needs_tracer = pytest.mark.skipif(
    not REQUIRED and not _can_attach(), reason="NOT CHECKED: no process can be traced by strace here"
)


class Traced:
    """A tracer that is attached to a running program while this is open: to its calls for its data file and journal.

    `rule` is what it does to which call, in the tracer's own words; `whole` writes down every byte that was written;
    `calls` are traced whatever file they are for.
    """

    def __init__(
        self, program: Program, log: Path, *, rule: str = "", whole: bool = False, calls: tuple[str, ...] = ()
    ) -> None:
        self.log, self.kills, self.calls = log, "signal=KILL" in rule, calls or CALLS
        file = program.data / FILE
        asked = ["-e", f"trace={','.join(self.calls)}"]
        asked += [] if calls else ["-P", str(file), "-P", f"{file}-journal", "-P", str(file.parent)]
        asked += ["-e", f"inject={rule}"] if rule else []
        asked += ["-y", "-xx", "-s", "70000"] if whole else []
        self.tracer = subprocess.Popen(
            ["strace", "-f", "-o", str(log), *asked, "-p", str(program.process.pid)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
        )

    def __enter__(self) -> Self:
        assert self.tracer.stderr is not None
        line = self.tracer.stderr.readline()
        assert "attached" in line, line
        return self

    def __exit__(self, *_: object) -> None:
        if self.kills:  # asked to let go of what is dying, it waits for ever
            self.tracer.kill()
        else:
            self.tracer.terminate()
        self.tracer.communicate(timeout=SECONDS)

    def counted(self) -> Counter[str]:
        """How often each call was made, once this is closed."""
        lines = self.log.read_text(errors="replace").splitlines()
        return Counter(found[1] for line in lines if (found := _CALL.match(line)) and found[1] in self.calls)
