"""A power cut at any moment of a save: what was acknowledged is there, all else wholly or not at all."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.faults.disk import Traced, needs_tracer
from tests.faults.left import Torn, names_of
from tests.faults.power import State, laid_out, states, steps_in
from tests.faults.program import PROGRAM, Program
from tests.tried import many, tell
from webapp.store.opening import FILE

pytestmark = [pytest.mark.long, needs_tracer]
CREATED = 201
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


def cut(data: Path, folder: Path, program: tuple[str, ...] = PROGRAM, every: int = 1) -> tuple[int, list[str]]:
    """Record one save and look at every state: how many there were, and what was wrong."""
    log = data.parent / "log"
    with Program(data, program=program) as server:
        assert server.save("first") == CREATED
        before = now(data)
        with Traced(server, log, whole=True):
            assert server.save("second") == CREATED
        after = now(data)
    folder.mkdir(exist_ok=True)
    old, new = (content_of(laid_out(state, folder)) for state in (before, after))
    assert old != new
    steps, number, tried, wrong = steps_in(log), 0, 0, list[str]()
    for at, state in states(before, steps, every):
        number += 1
        acknowledged = at == len(steps)
        if number % many(5, 1) and not acknowledged:
            continue
        tried += 1
        wrong += [
            f"after {at} of {len(steps)}: {one}"
            for one in faults(laid_out(state, folder), old, new, acknowledged=acknowledged)
        ]
    return tried, wrong


def faults(path: Path, old: tuple[str, ...], new: tuple[str, ...], *, acknowledged: bool) -> list[str]:
    """What is wrong with a state."""
    try:
        names_of(path)
        held = content_of(path)
    except (Torn, sqlite3.DatabaseError) as failure:
        return [f"torn: {failure}"]
    if held not in (old, new):
        return ["half"]
    return ["acknowledged and lost"] if acknowledged and held != new else []


def test_a_power_cut_at_any_moment_of_a_save(tmp_path: Path) -> None:
    tried, wrong = cut(tmp_path / "data", tmp_path / "cut")
    assert tried > 50
    tell("power cut at any moment of a save", tried, wrong, "states rebuilt from what was written and waited for")


def test_a_program_that_does_not_wait_for_the_disk_is_noticed(tmp_path: Path) -> None:
    """Known bad: synchronous=OFF must lose what was acknowledged, and tear."""
    _, wrong = cut(tmp_path / "data", tmp_path / "cut", NOT_WAITING, every=25)
    assert any("acknowledged and lost" in one for one in wrong)
    assert any("acknowledged" not in one for one in wrong)
    tell("the same with synchronous=OFF is noticed", 1, [], f"{len(wrong)} states torn or lost")
