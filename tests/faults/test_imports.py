"""An import that was begun from the page, stopped or killed while it looks and while it stores: nothing or all of it.

Afterwards the page of the work, asked of a program that was started anew, says what happened.
"""

from __future__ import annotations

import json
import random
import re
import shutil
from collections.abc import Callable
from html import unescape
from pathlib import Path
from typing import Protocol
from urllib.parse import urlencode

import pytest

from tests.faults.disk import Traced, needs_tracer
from tests.faults.left import Torn, names_in
from tests.faults.program import Gone, Program
from tests.pages.filling import fields_in
from tests.tried import many, tell

pytestmark = pytest.mark.long
AT, BOUNDARY = "/data/import", "a-line-that-is-in-no-file"
#: by which files are written, put in their place and taken away
CALLS = ("write", "pwrite64", "fsync", "fdatasync", "ftruncate", "rename", "unlink")
BEFORE, FEW = {"first"}, 100
NOTHING, STORED, STOPPED = "nothing was changed", "all of it was stored", "It was stopped"
#: what stands where a look came to its end before the kill, which may meet any other write of the program
LOOKED = "nothing is saved yet"


def names(number: int) -> set[str]:
    return {f"mill {one}" for one in range(number)}


def form_with(number: int, others: int = 0) -> bytes:
    """The body by which a browser sends a file with so many suppliers, and so many materials and people."""
    rows = {"suppliers": [{"name": name, "currency": "EUR"} for name in sorted(names(number))]}
    if others:
        rows["materials"] = [{"name": f"oil {one}", "kind": "ingredient"} for one in range(others)]
        rows["people"] = [{"name": f"maker {one}"} for one in range(others)]
    book = json.dumps({"format": "brimful-book", "version": 1, "sheets": rows})
    head = f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="file"; filename="book.json"\r\n\r\n'
    return f"{head}{book}\r\n--{BOUNDARY}--\r\n".encode()


def words(text: str) -> str:
    return unescape(" ".join(re.sub(r"<[^>]*>", " ", text).split()))


class Pages(Protocol):
    """Whoever is asked for pages."""

    def page(self, path: str, body: bytes | None = None, kind: str = "") -> tuple[int, str, str]: ...


def followed(program: Pages, where: str) -> tuple[str, str]:
    """Where long work leads at its end, and the words there."""
    while True:
        _, text, leads = program.page(where)
        if not leads and "/data/work/" not in where:
            return where, words(text)
        if not leads and "<progress" not in text:
            return where, words(text)
        where = leads or where


def look(program: Pages, number: int) -> str:
    """Choose the file; the address where it is shown once it was looked at."""
    status, text, leads = program.page(AT, form_with(number), f"multipart/form-data; boundary={BOUNDARY}")
    assert status == 303, words(text)
    return followed(program, leads)[0]


def begin_storing(program: Pages, shown: str) -> str:
    """Press "Import it"; where that leads."""
    fields = fields_in(program.page(shown)[1], shown)
    status, text, leads = program.page(shown, urlencode(fields).encode())
    assert status == 303, words(text)
    return leads


def newest_work(data: Path) -> str:
    """The address of the work that was begun last, as the browser has it once it was sent there."""
    found = max((data / "working").glob("*.json"), key=lambda path: path.stat().st_mtime)
    return f"/data/work/{found.stem}"


def stop(program: Program, where: str) -> str:
    """Press "Stop it"; the words of its page at its end."""
    _, text, leads = program.page(where)
    if not leads and f"{where}/stop" in text:
        fields = fields_in(text, f"{where}/stop")
        program.page(f"{where}/stop", urlencode(fields).encode())
    return followed(program, where)[1]


def is_storing(program: Program, where: str) -> bool:
    """Whether it is at its storing, or past it."""
    _, text, leads = program.page(where)
    return bool(leads) or "being stored now" in text or "<progress" not in text


@pytest.mark.parametrize("moment", ["in the look", "in the storing"])
def test_stopped_from_the_page(tmp_path: Path, moment: str) -> None:
    number, failures, stopped = 18_000 if moment == "in the look" else 2_000, list[str](), 0
    tries = many(1 if moment == "in the look" else 2, 10)
    for one in range(tries):
        data = tmp_path / str(one)
        with Program(data) as program:
            program.save("first")
            if moment == "in the look":
                kind = f"multipart/form-data; boundary={BOUNDARY}"
                where = program.page(AT, form_with(number, number), kind)[2]
            else:
                where = begin_storing(program, look(program, number))
                while one % 2 and not is_storing(program, where):
                    pass
            said = stop(program, where)
            program.stop()
        there = names_in(data)
        stopped += STOPPED in said
        if there != (BEFORE if STOPPED in said or moment == "in the look" else BEFORE | names(number)):
            failures.append(f"{one}: {len(there)} are there, and it said {said[:200]}")
    assert stopped or moment != "in the look", "it was never stopped: it is over too soon"
    tell(f"an import stopped from the page, {moment}", tries, failures, f"{stopped} were stopped, the others stored")


def killed(tmp_path: Path, what: str, act: Callable[[Program, str], object], prepared: Path, shown: str) -> None:
    """Kill the server at some calls of `act`, start it anew, and ask the page of the work what happened."""
    number, failures, log, ended = FEW, list[str](), tmp_path / "log", 0
    data = tmp_path / "data"
    shutil.copytree(prepared, data)
    with Program(data) as program, Traced(program, log, calls=CALLS) as traced:
        act(program, shown)
    counts = traced.counted()
    moments = [(call, at) for call in CALLS for at in range(1, counts[call] + 1)]
    moments = random.Random(20261128).sample(moments, min(many(2, 50), len(moments)))
    for call, at in moments:
        shutil.rmtree(data)
        shutil.copytree(prepared, data)
        with Program(data) as program, Traced(program, log, rule=f"{call}:signal=KILL:when={at}", calls=CALLS):
            try:
                act(program, shown)
            except Gone:
                ended += 1
            program.kill()
        failures += [f"{call} {at}: {one}" for one in what_is_wrong(data, number)]
    assert ended, "nothing was cut off"
    tell(f"kill -9 in {what}", len(moments), failures, f"{ended} were cut off")


def what_is_wrong(data: Path, number: int) -> list[str]:
    """What is torn, or is not as the page of the work says it, or can't be done once more."""
    whole = BEFORE | names(number)
    try:
        there = names_in(data)
    except Torn as torn:
        return [f"torn: {torn}"]
    found = [] if there in (BEFORE, whole) else [f"holds {len(there)}"]
    with Program(data) as program:
        if [*(data / "working").glob("*.json")]:
            where, said = followed(program, newest_work(data))
            stored = STORED in said or "done=" in where
            if stored != (there == whole) or (NOTHING in said or LOOKED in said) == stored:
                found.append(f"{len(there)} are there, and it said {said[:200]}")
        again = look(program, number)
        if there != whole:
            followed(program, begin_storing(program, again))
        elif "all of it is here already" not in words(program.page(again)[1]):
            found.append("it would import once more what is there")
    if names_in(data) != whole:
        found.append(f"once more it holds {len(names_in(data))}")
    return found


def prepared(tmp_path: Path) -> tuple[Path, str]:
    """Data with one supplier and a file that was looked at; where it is shown."""
    made = tmp_path / "made"
    with Program(made) as program:
        program.save("first")
        shown = look(program, FEW)
        program.stop()
    shutil.rmtree(made / "working")
    return made, shown


@needs_tracer
def test_killed_while_it_is_looked_at(tmp_path: Path) -> None:
    made, shown = prepared(tmp_path)
    killed(tmp_path, "the look at an import, from the page", lambda program, _: look(program, FEW), made, shown)


@needs_tracer
def test_killed_while_it_stores(tmp_path: Path) -> None:
    made, shown = prepared(tmp_path)
    what = "an import begun from the page"
    killed(tmp_path, what, lambda program, at: followed(program, begin_storing(program, at)), made, shown)
