"""A power cut at any moment of a save: what was acknowledged is there, all else wholly or not at all."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from tests.examples import IN_FULL
from tests.faults.calls import attached, needs_strace
from tests.faults.power import RECORDING, State, laid_out, states, steps_in
from tests.faults.server import Server, torn_in
from tests.recorded import record
from webapp.store.opening import FILE

JOURNAL = f"{FILE}-journal"
#: the same program, not waiting for the disk
NOT_WAITING = (
    "-c",
    (
        "import webapp.store.engine as e\n"
        "e._PRAGMAS = tuple(one.replace('= FULL', '= OFF') for one in e._PRAGMAS)\n"
        "from webapp.cli import main; raise SystemExit(main())"
    ),
)


def now(folder: Path) -> State:
    journal = folder / JOURNAL
    return {FILE: (folder / FILE).read_bytes(), JOURNAL: journal.read_bytes() if journal.exists() else b""}


def content_of(path: Path) -> tuple[str, ...]:
    """Every row of every table, in words."""
    with closing(sqlite3.connect(path)) as connection:
        return tuple(connection.iterdump())


def cut(data: Path, folder: Path, program: tuple[str, ...] = ("-m", "webapp"), every: int = 1) -> tuple[int, list[str]]:
    """Record one save and look at every state: how many there were, and what was wrong."""
    log = data.parent / "log"
    with Server(data, program=program) as server:
        assert server.order("first").status == 201
        before = now(data)
        with attached(server.process.pid, data, *RECORDING, log=log):
            assert server.order("second").status == 201
        after = now(data)
    folder.mkdir(exist_ok=True)
    old, new = (content_of(laid_out(state, folder)) for state in (before, after))
    assert old != new
    steps, tried, wrong = steps_in(log), 0, list[str]()
    thinned = 1 if os.environ.get(IN_FULL) else 5
    for at, state in states(before, steps, every):
        tried += 1
        acknowledged = at == len(steps)
        if tried % thinned and not acknowledged:
            continue
        path = laid_out(state, folder)
        try:
            told = torn_in(path)
            held = content_of(path)
        except sqlite3.DatabaseError as failure:
            wrong.append(f"after {at}: {failure}")
            continue
        if told or held not in (old, new):
            wrong.append(f"after {at} of {len(steps)}: {told or 'half'}")
        elif acknowledged and held != new:
            wrong.append(f"after {at}: acknowledged and lost")
    return tried // thinned, wrong


@needs_strace
def test_a_power_cut_at_any_moment_of_a_save(data: Path, tmp_path: Path) -> None:
    tried, wrong = cut(data, tmp_path / "cut")
    record("power cuts in a save, simulated", tried, len(wrong))
    assert tried > 50
    assert wrong == []


@needs_strace
def test_the_harness_notices_a_program_that_does_not_wait_for_the_disk(data: Path, tmp_path: Path) -> None:
    """Known bad: synchronous=OFF must lose what was acknowledged, and tear."""
    _, wrong = cut(data, tmp_path / "cut", NOT_WAITING, every=25)
    record("a harness on a known-bad setting (synchronous=OFF): must fail", 1, int(bool(wrong)))
    assert any("acknowledged and lost" in one for one in wrong)
    assert any("acknowledged" not in one for one in wrong)
