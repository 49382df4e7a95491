"""What is forked is the program as when it is started from nothing: says the same, ends the same, can be killed."""

from __future__ import annotations

import os
import signal
import subprocess
from pathlib import Path

import pytest

from tests.faults.program import ROOT, SECONDS, Program, command, run

pytestmark = [pytest.mark.long, pytest.mark.skipif(not hasattr(os, "fork"), reason="no process forks here")]


def from_nothing(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command(*arguments), cwd=ROOT, capture_output=True, text=True, timeout=SECONDS, check=False)


@pytest.mark.parametrize(
    ("arguments", "code"),
    [(("check",), 0), (("restore", "none", "--yes"), 3)],
    ids=["check", "restore"],
)
def test_it_says_and_answers_what_it_does_when_started_from_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], code: int
) -> None:
    monkeypatch.setenv("BRIMFUL_DATA", str(tmp_path))  # each has the environment of the moment
    forked, other = run(*arguments), from_nothing(*arguments)
    assert forked.returncode == code
    assert (forked.stdout, forked.stderr) == (other.stdout, other.stderr)
    assert forked.stdout + forked.stderr
    assert (str(tmp_path) in forked.stdout) == (arguments[0] == "check")


def test_each_is_a_process_of_its_own_that_ends_as_it_was_ended(tmp_path: Path) -> None:
    with Program(tmp_path / "one") as one, Program(tmp_path / "two") as other:
        assert len({one.process.pid, other.process.pid, os.getpid()}) == 3
        assert one.port != other.port
        one.process.send_signal(signal.SIGKILL)
        assert one.process.wait(SECONDS) == -signal.SIGKILL
        assert other.process.poll() is None
        assert other.save("goes on") == 201
        with pytest.raises(subprocess.TimeoutExpired):
            other.process.wait(0.01)
        assert other.stop() == 0
        with pytest.raises(ProcessLookupError):
            os.kill(one.process.pid, 0)


def test_nothing_of_the_starter_or_of_another_is_open_in_it(tmp_path: Path) -> None:
    """Else what one holds, its end of a line say, would be held by others too, and none would be seen to end."""
    with Program(tmp_path / "one") as one, Program(tmp_path / "two") as other:
        held = [set[str](), set[str]()]
        for program, lines in zip((one, other), held, strict=True):
            if not (there := Path(f"/proc/{program.process.pid}/fd")).is_dir():
                pytest.skip("what a process has open is read from /proc")
            lines |= {str(line.readlink()) for line in there.iterdir()}
        lines = {line for line in held[0] | held[1] if line.startswith(("pipe:", "socket:"))}
        assert len(lines) > 4
        assert [line for line in lines if line in held[0] & held[1]] == []


def test_interrupted_as_by_a_person_it_stops_in_order(tmp_path: Path) -> None:
    with Program(tmp_path) as program:
        program.process.send_signal(signal.SIGINT)
        assert program.process.wait(SECONDS) == 0
