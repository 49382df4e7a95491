"""Killed at any moment nothing is torn, and nothing that was answered for is lost."""

from __future__ import annotations

import random
import threading
from pathlib import Path

import pytest

from tests.faults.disk import CALLS, Traced, needs_tracer
from tests.faults.left import Torn, names_in
from tests.faults.program import Gone, Program
from tests.tried import many, tell

pytestmark = pytest.mark.long
CREATED = 201


def what_is_wrong(folder: Path, answered: set[str], asked: set[str]) -> str:
    """What is torn or lost; "" where nothing is. What was asked for and not answered may be there or not."""
    try:
        there = names_in(folder)
    except Torn as torn:
        return f"torn: {torn}"
    if lost := answered - there:
        return f"lost: {sorted(lost)}"
    return f"never asked for: {sorted(there - asked)}" if there - asked else ""


def save_until_gone(program: Program, prefix: str, answered: set[str], asked: set[str]) -> None:
    """Save one after another, noting what was asked for and what was answered for."""
    for number in range(10_000):
        name = f"{prefix} {number}"
        asked.add(name)
        try:
            assert program.save(name) == CREATED
            answered.add(name)
        except Gone:
            return


def test_killed_while_two_people_save(tmp_path: Path) -> None:
    chance, failures, saved = random.Random(20261128), [], 0
    answered: set[str] = set()
    asked: set[str] = set()
    tries = many(5, 25)
    for number in range(tries):
        with Program(tmp_path) as program:
            before = len(answered)
            threads = [
                threading.Thread(target=save_until_gone, args=(program, f"{number} {who}", answered, asked))
                for who in "ab"
            ]
            for thread in threads:
                thread.start()
            wanted = before + chance.randint(1, 12)
            while len(answered) < wanted and any(thread.is_alive() for thread in threads):
                threads[0].join(chance.random() / 200)  # some moment of a save
            program.kill()
            for thread in threads:
                thread.join()
        saved = len(answered)
        if wrong := what_is_wrong(tmp_path, answered, asked):
            failures.append(wrong)
    tell("kill -9 while two people save", tries, failures, f"{saved} saves answered for")


@needs_tracer
def test_killed_at_each_call_of_a_save(tmp_path: Path) -> None:
    answered: set[str] = set()
    asked: set[str] = set()
    with Program(tmp_path / "data") as program:
        assert program.save("first") == CREATED
        answered.add("first")
        with Traced(program, tmp_path / "log") as traced:
            assert program.save("second") == CREATED
            answered.add("second")
    counts = traced.counted()
    assert counts["pwrite64"] > 2
    assert counts["fdatasync"] + counts["fsync"] >= 2
    moments = [(call, number) for call in CALLS for number in range(1, counts[call] + 1)]
    if len(moments) > (most := many(8, 60)):
        moments = random.Random(20261128).sample(moments, most)
    failures, ended = [], 0
    asked |= answered
    for call, number in moments:
        with Program(tmp_path / "data") as program:
            assert program.save(f"ready {call} {number}") == CREATED
            answered.add(f"ready {call} {number}")
            asked.add(f"ready {call} {number}")
            asked.add(f"killed {call} {number}")
            with Traced(program, tmp_path / "log", rule=f"{call}:signal=KILL:when={number}"):
                try:
                    if program.save(f"killed {call} {number}") == CREATED:
                        answered.add(f"killed {call} {number}")
                except Gone:
                    ended += 1
        if wrong := what_is_wrong(tmp_path / "data", answered, asked):
            failures.append(f"{call} {number}: {wrong}")
    assert ended > len(moments) // 2, "hardly any save was cut off"
    tell("kill -9 at a disk call of a save", len(moments), failures, f"{ended} saves were cut off")
