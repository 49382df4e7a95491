"""Every call to the disk that a save makes fails once: it is said calmly, nothing is half stored, the next works."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import urlencode

import pytest

from tests.faults.disk import CALLS, Traced, needs_tracer
from tests.faults.left import Torn, names_in
from tests.faults.program import Gone, Program, supplier
from tests.tried import many, tell

pytestmark = [pytest.mark.long, needs_tracer]
CREATED, BUSY, FULL = 201, 503, 507


def test_each_call_of_a_save_fails(tmp_path: Path) -> None:
    data, failures = tmp_path / "data", []
    with Program(data) as program:
        assert program.save("first") == CREATED
        with Traced(program, tmp_path / "log") as traced:
            assert program.save("second") == CREATED
        counts = traced.counted()
        moments = [
            (call, number, error)
            for call in CALLS
            for number in range(1, counts[call] + 1)
            for error in ("EIO", "ENOSPC")
        ]
        step = many(3, 1)
        moments = moments[::step]
        there = {"first", "second"}
        for call, number, error in moments:
            name = f"{call} {number} {error}"
            with Traced(program, tmp_path / "log", rule=f"{call}:error={error}:when={number}"):
                status, told = program.ask("POST", "/api/suppliers", supplier(name))
            if status == CREATED:
                there.add(name)
            elif status not in (BUSY, FULL) or not told["error"]["sentence"]:
                failures.append(f"{name}: answered {status}")
            if program.save(f"after {name}") != CREATED:
                failures.append(f"{name}: the next save did not work")
            there.add(f"after {name}")
            listed = {one["name"] for one in listed_by(program)}
            if listed != there:
                failures.append(f"{name}: shown {sorted(listed ^ there)}")
    try:
        if (left := names_in(data)) != there:
            failures.append(f"stored otherwise: {sorted(left ^ there)}")
    except Torn as torn:
        failures.append(f"torn: {torn}")
    tell("failing disk calls through one save", len(moments), failures, f"{dict(counts)} calls in a save")


def listed_by(program: Program) -> list[dict[str, str]]:
    """All suppliers that the program shows."""
    found, page = [], 1
    while True:
        status, told = program.ask("GET", f"/api/suppliers?page_size=200&page={page}")
        assert status == 200
        found += told["items"]
        if len(told["items"]) < 200:
            return found
        page += 1


@pytest.mark.parametrize(("error", "status", "words"), [("ENOSPC", FULL, "disk is full"), ("EROFS", BUSY, "written")])
def test_a_disk_that_takes_nothing_more(tmp_path: Path, error: str, status: int, words: str) -> None:
    """Nothing is stored, what was typed stays in the form, reading goes on, and once there is room it is stored."""
    data, failures = tmp_path / "data", []
    with Program(data) as program:
        assert program.save("first") == CREATED
        form = program.ask("GET", "/buy/suppliers/new")[1]
        fields = {name: value_of(form, name) for name in ("token", "epoch", "version")}
        with Traced(program, tmp_path / "log", rule=f"pwrite64:error={error}:when=1+"):
            answered, told = program.ask("POST", "/api/suppliers", supplier("second"))
            if answered != status or words not in told["error"]["sentence"]:
                failures.append(f"by JSON: {answered} {told}")
        with Traced(program, tmp_path / "log", rule=f"pwrite64:error={error}:when=1+"):
            answered, page = program.post_form(
                "/buy/suppliers", urlencode({**fields, "name": "Typed & kept", "currency": "EUR"})
            )
            if answered != status or "Typed &amp; kept" not in page:
                failures.append(f"by the page: {answered}")
            if program.ask("GET", "/buy/suppliers")[0] != 200:
                failures.append("reading did not go on")
        if program.save("third") != CREATED:
            failures.append("it did not go on")
    if (left := names_in(data)) != {"first", "third"}:
        failures.append(f"left: {left}")
    tell(f"a disk that answers {error}", 3, failures, "by JSON, by a form, and once it takes something again")


def value_of(page: str, name: str) -> str:
    """The value of a hidden field."""
    before, _, after = page.partition(f'name="{name}" value="')
    assert after, (name, before[:200])
    return after.partition('"')[0]


def test_a_process_that_is_stopped_answers_nothing(tmp_path: Path) -> None:
    """What these tests take for "no answer" is one."""
    with Program(tmp_path) as program:
        program.kill()
        with pytest.raises(Gone):
            program.save("nobody")
