"""Wrong tries as they are counted in the store: by all processes together, also after a new start."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, select

from webapp.door import slowing as slowing_module
from webapp.door.guessing import FORGOTTEN, FREE, MOST_PEERS
from webapp.door.slowing import Slowing
from webapp.errors import TooMany
from webapp.store.devices import TRIES
from webapp.store.opening import Store

PEER, OTHER = "192.0.2.66", "192.0.2.9"
ROOT = Path(__file__).resolve().parents[2]
#: what a process of its own does: try so often at one second, and say how often it was let try
GUESSING = """
import sys
from pathlib import Path
from webapp.door.slowing import Slowing
from webapp.errors import TooMany
from webapp.settings import Settings
from webapp.store.opening import open_store

store, let = open_store(Settings(data=Path(sys.argv[1]))), 0
print("ready", flush=True)
sys.stdin.readline()
for _ in range(int(sys.argv[3])):
    try:
        Slowing(lambda: 1000).begin(store.devices, sys.argv[2])
        let += 1
    except TooMany:
        pass
store.close()
print(let)
"""


class Clock:
    """A clock that a test sets."""

    def __init__(self, now: float = 1000) -> None:
        self.now = now

    def __call__(self) -> float:
        return self.now


def guess(slowing: Slowing, store: Store, times: int, peer: str = PEER) -> int:
    """How many of so many tries are looked at."""
    let = 0
    for _ in range(times):
        try:
            slowing.begin(store.devices, peer)
        except TooMany:
            continue
        let += 1
    return let


def rows(store: Store) -> int:
    with store._engine.connect() as connection:
        return int(connection.execute(select(func.count()).select_from(TRIES)).scalar_one())


def test_a_try_that_has_to_wait_is_not_counted_and_says_how_long(store: Store) -> None:
    clock = Clock()
    slowing = Slowing(clock)
    assert guess(slowing, store, FREE) == FREE
    for _ in range(3):
        with pytest.raises(TooMany) as waiting:
            slowing.begin(store.devices, PEER)
        assert waiting.value.headers == {"Retry-After": "2"}
    clock.now += 2
    assert guess(slowing, store, 2) == 1
    assert guess(slowing, store, 1, OTHER) == 1


def test_who_was_right_begins_anew(store: Store) -> None:
    slowing = Slowing(Clock())
    for _ in range(40):
        slowing.begin(store.devices, PEER)
        slowing.right(store.devices, PEER)
    assert guess(slowing, store, FREE + 1) == FREE


def test_a_new_start_forgets_nothing_and_a_quiet_hour_all(store: Store) -> None:
    clock = Clock()
    guess(Slowing(clock), store, FREE)
    assert guess(Slowing(clock), store, 1) == 0
    clock.now += FORGOTTEN - 1
    assert guess(Slowing(clock), store, 1) == 1  # it may try again long since, and is not forgotten
    assert guess(Slowing(clock), store, 1) == 0
    clock.now += FORGOTTEN
    assert guess(Slowing(clock), store, FREE + 1) == FREE
    assert rows(store) == 2


def test_two_stores_of_one_data_count_together(store: Store) -> None:
    """As two processes have them: each has its own connections and its own lock."""
    other, clock = Store(store._engine, store._shelf), Clock()
    let = [guess(Slowing(clock), one, 1) for one in (store, other) * FREE]
    assert sum(let) == FREE


def test_many_at_once_are_no_more_than_many_after_one_another(store: Store) -> None:
    gate, let = threading.Barrier(8), list[int]()

    def tried() -> None:
        gate.wait(20)
        let.append(guess(Slowing(Clock()), store, 3))

    threads = [threading.Thread(target=tried) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert sum(let) == FREE


def test_peers_without_end_take_no_room_without_end(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    assert MOST_PEERS == 1000
    monkeypatch.setattr("webapp.door.slowing.MOST_PEERS", 3)
    clock = Clock()
    for number in range(8):
        guess(Slowing(clock), store, 1, f"192.0.2.{number}")
    assert rows(store) == 3 + 1


def test_who_has_to_wait_takes_no_turn_at_writing(store: Store) -> None:
    """So a guesser who is slowed holds up nobody who saves: while the writer's turn is taken he is told at once."""
    slowing = Slowing(Clock())
    guess(slowing, store, FREE)
    with store._writer.held():
        began = time.monotonic()
        assert guess(slowing, store, 20) == 0
        assert time.monotonic() - began < 4  # a turn is waited for 5 s


def test_the_book_does_not_move(store: Store, day: Any) -> None:
    before = store.snapshot(day)
    guess(Slowing(Clock()), store, FREE)
    after = store.snapshot(day)
    assert (before.epoch, before.version) == (after.epoch, after.version)


@pytest.mark.long
def test_two_processes_count_together(store: Store) -> None:
    database = {} if store.is_file else {"BRIMFUL_DATABASE": store._engine.url.render_as_string(hide_password=False)}
    begun = [
        subprocess.Popen(
            [sys.executable, "-c", GUESSING, str(store.shelf.file.parent), PEER, "10"],
            cwd=ROOT,
            env={**os.environ, **database},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]
    for one in begun:
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
    let = [int(one.communicate("go\n", timeout=60)[0]) for one in begun]
    assert sum(let) == FREE
    assert guess(Slowing(Clock()), store, 1) == 0


class Times:
    """What a process reads of the time: the clock of its computer, and what passed."""

    def __init__(self) -> None:
        self.clock, self.passed = 1_000_000.0, 50.0

    def time(self) -> float:
        return self.clock

    def monotonic(self) -> float:
        return self.passed


def test_of_one_process_what_passed_counts_and_no_clock_that_is_set(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    times = Times()
    monkeypatch.setattr(slowing_module, "time", times)
    monkeypatch.setattr(store.devices, "is_shared", False)
    slowing = Slowing()
    assert guess(slowing, store, FREE + 1) == FREE
    for clock in (9_000_000.0, 10.0):
        times.clock = clock
        assert guess(slowing, store, 1) == 0
    times.passed += FORGOTTEN
    assert guess(slowing, store, FREE + 1) == FREE
    times.passed += 900
    times.clock = 1_000_000.0 + FORGOTTEN + 900  # what it says where nobody set it
    assert guess(Slowing(), store, 2) == 1  # a new start goes on from there


def test_of_several_processes_the_clock_of_the_database_counts(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    times, database = Times(), datetime(2026, 11, 25, 12, tzinfo=UTC)
    monkeypatch.setattr(slowing_module, "time", times)
    monkeypatch.setattr(store.devices, "is_shared", True)
    monkeypatch.setattr(store.devices, "now", lambda: database)
    assert [guess(Slowing(), store, 1) for _ in range(FREE + 1)] == [1] * FREE + [0]
    times.clock, times.passed = 9_000_000.0, 9_000_000.0
    assert guess(Slowing(), store, 1) == 0
    database += timedelta(seconds=2)
    assert guess(Slowing(), store, 2) == 1
