"""Several at once, or the same twice: two tabs, a double press, a stop while it saves, another program on the file."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from tests.faults.left import names_in
from tests.faults.program import SUPPLIERS, Gone, Program, supplier
from tests.tried import many, tell
from webapp.store.opening import FILE

pytestmark = pytest.mark.long
CREATED, BUSY = 201, 503


def test_raced_edits_of_one_record(tmp_path: Path) -> None:
    """Four people change the same record, each on what she read: every edit that is answered for is one version."""
    rounds, people, failures = many(25, 250), 4, list[str]()
    answered: list[int] = []
    with Program(tmp_path) as program:
        _, made = program.ask("POST", SUPPLIERS, supplier("shared"))
        at = f"{SUPPLIERS}/{made['id']}"

        def edit(who: int) -> None:
            for number in range(rounds):
                body = {**supplier("shared"), "note": f"{who} {number}"}
                status, told = program.ask("PUT", at, body, **{"If-Match": program.tag(at)})
                answered.append(status)
                if status not in (200, 409):
                    failures.append(f"{who} {number}: {status} {told}")

        threads = [threading.Thread(target=edit, args=(who,)) for who in range(people)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    with closing(sqlite3.connect(tmp_path / FILE)) as file:
        versions = file.execute("SELECT count(*) FROM supplier").fetchone()[0] - 1
        changes = file.execute("SELECT count(*) FROM change").fetchone()[0] - 1
    if not versions == changes == answered.count(200):
        failures.append(f"{answered.count(200)} answered for, {versions} versions, {changes} changes")
    how = f"{answered.count(200)} saved, {answered.count(409)} told that it moved on"
    tell("raced edits of one record", rounds * people, failures, how)


def test_the_same_sent_twice_at_once_is_stored_once(tmp_path: Path) -> None:
    tries, failures = many(10, 50), list[str]()
    with Program(tmp_path) as program:
        for number in range(tries):
            answers: list[int] = []

            def send(name: str, key: str, answers: list[int] = answers) -> None:
                answers.append(program.ask("POST", SUPPLIERS, supplier(name), **{"Idempotency-Key": key})[0])

            threads = [threading.Thread(target=send, args=(f"pressed {number}", f"key-{number:08d}")) for _ in range(3)]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            if sorted(answers) != [CREATED] * 3:
                failures.append(f"{number}: {answers}")
    if len(names_in(tmp_path)) != tries:
        failures.append(f"{len(names_in(tmp_path))} are there")
    tell("double submit", tries, failures, "three at once with one key")


def test_stopped_while_it_saves_what_was_answered_for_is_there(tmp_path: Path) -> None:
    tries, failures = many(2, 10), list[str]()
    answered: set[str] = set()
    for number in range(tries):
        with Program(tmp_path) as program:
            begun = threading.Event()

            def save(program: Program = program, number: int = number, begun: threading.Event = begun) -> None:
                for one in range(1000):
                    try:
                        if program.save(f"{number} {one}") == CREATED:
                            answered.add(f"{number} {one}")
                            begun.set()
                    except Gone:
                        return

            thread = threading.Thread(target=save)
            thread.start()
            assert begun.wait(30)
            if (code := program.stop()) not in (0, -15):
                failures.append(f"{number}: left with {code}")
            thread.join()
        if lost := answered - names_in(tmp_path):
            failures.append(f"{number}: lost {lost}")
    tell("stopped while it saves", tries, failures, f"{len(answered)} saves answered for")


def test_a_file_that_another_program_holds_is_busy_and_then_free(tmp_path: Path) -> None:
    failures = []
    with Program(tmp_path) as program:
        assert program.save("first") == CREATED
        with closing(sqlite3.connect(tmp_path / FILE, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            status, told = program.ask("POST", SUPPLIERS, supplier("second"))
            if status != BUSY or not told["error"]["sentence"]:
                failures.append(f"{status} {told}")
            if program.ask("GET", SUPPLIERS)[0] != 200:
                failures.append("reading did not go on")
            other.execute("ROLLBACK")
        if program.save("third") != CREATED:
            failures.append("it did not go on")
    if names_in(tmp_path) != {"first", "third"}:
        failures.append(f"{names_in(tmp_path)}")
    tell("locked by another program beyond 5 s", 1, failures)
