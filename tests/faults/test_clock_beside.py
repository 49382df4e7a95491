"""The clock jumps while the program runs, and what lies beside the data stays: backups, half-entered forms, files.

A wrong clock may let nothing go that was made lately. What is newest is what was made last, whatever its name says.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

from tests.faults.clock import DAY, JUMPS, RIGHT, SOME, YEAR, Clock, needs_clock
from tests.faults.left import names_in
from tests.faults.program import Program
from tests.faults.test_imports import AT, BOUNDARY, FEW, begin_storing, followed, form_with, look, names, words
from tests.pages.filling import fields_in
from tests.tried import many, tell
from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.pages import addresses
from webapp.settings import Settings
from webapp.store.backups import ASKED, DAILY, FOLDER
from webapp.store.opening import open_store
from webapp.store.writing import Intent

pytestmark = [pytest.mark.long, needs_clock]
CREATED, OK = 201, 200
#: a backup was made on each of so many days
DAYS = 40


@pytest.fixture(scope="module")
def used(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Data with a backup of each of the last 40 days, as they are made by themselves."""
    folder = tmp_path_factory.mktemp("used") / "data"
    store = open_store(Settings(data=folder, database=None))
    store.save([Put(b.Supplier(-1, "first"))], Intent("entered"), date(2026, 1, 1))
    now = datetime.now(UTC)
    for number in range(DAYS, 0, -1):
        store.shelf.clock = lambda number=number: now - timedelta(days=number)  # type: ignore[misc]
        store.shelf.make(DAILY, date(2026, 1, 1))
    store.close()
    yield folder
    shutil.rmtree(folder)


@pytest.fixture
def data(used: Path, tmp_path: Path) -> Path:
    return shutil.copytree(used, tmp_path / "data")


def backups_of(program: Program) -> list[dict[str, Any]]:
    """All backups as they are listed: the newest first."""
    status, told = program.ask("GET", "/api/backups")
    assert status == OK, told
    return list(told["items"])


def asked_for(program: Program) -> list[str]:
    """The names of those that were asked for: others are made by themselves meanwhile."""
    return [one["name"] for one in backups_of(program) if one["why"] == ASKED]


def day_of(name: str) -> str:
    """The day in a backup's name."""
    return name.split("-")[1][:8]


def made_by(program: Program) -> str:
    """A backup that is asked for; its name."""
    status, told = program.ask("POST", "/api/backups", {})
    assert status == CREATED, told
    return str(told["name"])


@pytest.mark.parametrize("jump", many(SOME, tuple(JUMPS)))
def test_backups_made_around_a_jump_are_all_there_and_in_their_order(data: Path, tmp_path: Path, jump: str) -> None:
    """Two are made before, two within and two after a jump: the last made is the newest, also when it is read again by
    a right clock; none of them goes, and each of the days before keeps one but for what is oldest of its kind."""
    clock, failures, made = Clock(tmp_path), list[str](), list[str]()
    with Program(data, environment=clock.environment) as program:
        before = [day_of(one["name"]) for one in backups_of(program)]
        for ahead in (RIGHT, JUMPS[jump], RIGHT):
            clock.jump(ahead)
            for _ in range(2):
                made.append(made_by(program))
                if (newest := asked_for(program)[0]) != made[-1]:
                    failures.append(f"{ahead}: {newest} is the newest, and {made[-1]} was made")
            clock.jump(RIGHT)
            if (newest := asked_for(program)[0]) != made[-1]:
                failures.append(f"after {ahead}, right again: {newest} is the newest, and {made[-1]} was made")
        listed, days = asked_for(program), {day_of(one["name"]) for one in backups_of(program)}
        tried = program.ask("POST", "/api/backups/drill", {})[1]
        program.stop()
    if missing := [name for name in made if name not in listed]:
        failures.append(f"went: {missing}")
    if listed != made[::-1]:
        failures.append(f"not in the order in which they were made: {listed}")
    # Of the days before, 13 stay beside the one of today, and the wrong day may take the place of one more.
    if missing := [day for day in before[:12] if day not in days]:
        failures.append(f"days lately have none any more: {missing}")
    if tried["fault"]:
        failures.append(f"the newest was tried: {tried['fault']}")
    tell("backups around a jump of the clock", len(made), failures, f"{DAYS} days with a backup before")


@pytest.mark.parametrize("back", ["a year back", "a day back"])
def test_what_was_made_by_a_clock_that_was_behind_is_not_the_first_to_go(data: Path, tmp_path: Path, back: str) -> None:
    """Some are made while the clock is behind (a week's work, with a battery that is empty), one once it is right."""
    clock, failures = Clock(tmp_path), list[str]()
    with Program(data, environment=clock.environment) as program:
        clock.jump(JUMPS[back])
        assert program.save("of a clock that was behind") == CREATED
        made = [made_by(program) for _ in range(6)]
        clock.jump(RIGHT)
        made.append(made_by(program))
        listed = [one["name"] for one in backups_of(program)]
        program.stop()
    if missing := [name for name in made if name not in listed]:
        failures.append(f"went: {missing}")
    tell("backups of a clock that was behind", len(made), failures, "and then one by a right clock")


def days_with_one(data: Path) -> list[str]:
    """The days (as in their names) of the backups that were made by themselves, of one day several."""
    return sorted(day_of(path.stem) for path in (data / FOLDER).glob(f"*-{DAILY}.db"))


@pytest.mark.parametrize("jump", many(("a year ahead", "a day back"), ("a day ahead", "a year ahead", "a day back")))
def test_each_day_has_its_backup_though_the_clock_was_wrong(data: Path, tmp_path: Path, jump: str) -> None:
    """Used today, by a wrong clock, by a right one again, and on the day that the wrong clock said: each time there is
    a backup of what was saved until then."""
    clock, failures, used = Clock(tmp_path), list[str](), 0
    ahead = JUMPS[jump]
    for moment in (RIGHT, ahead, RIGHT, max(ahead, DAY)):
        clock.jump(moment)
        before = days_with_one(data)
        with Program(data, environment=clock.environment) as program:
            assert program.save(f"saved {used}") == CREATED
            used += 1
            assert program.page("/")[0] == OK
            assert program.stop() == 0  # it waits for what it began
        day = clock.now().strftime("%Y%m%d")
        if day not in days_with_one(data):
            failures.append(f"{moment}: no backup of {day}")
        if moment == max(ahead, DAY) and days_with_one(data) == before:
            failures.append(f"{moment}: what was saved meanwhile has no backup, {before[-3:]}")
    tell("each day's backup though the clock was wrong", used, failures, "a start on each")


@pytest.mark.parametrize("jump", SOME)
def test_a_restore_within_a_jump_and_back(data: Path, tmp_path: Path, jump: str) -> None:
    clock, failures = Clock(tmp_path), list[str]()
    with Program(data, environment=clock.environment) as program:
        assert program.save("before") == CREATED
        wanted = made_by(program)
        assert program.save("after") == CREATED
        clock.jump(JUMPS[jump])
        before = restored(program, wanted, failures)
        if names_in(data) != {"first", "before"}:
            failures.append(f"restored to {names_in(data)}")
        if backups_of(program)[0]["name"] != before:
            failures.append("the newest backup is not what was there before")
        clock.jump(RIGHT)
        restored(program, before, failures)
        if names_in(data) != {"first", "before", "after"}:
            failures.append(f"put back to {names_in(data)}")
        assert program.save("at last") == CREATED
        changes = [f"/changes/{number}" for number in (4, 3, 2, 1)]
        if (rows := heads(program.page("/changes")[1])) != [changes[0], *["/data/backups"] * 2, *changes[1:]]:
            failures.append(f"they stand as {rows}")
        program.stop()
    tell("a restore within a jump of the clock", 3, failures, "and what was there before put back by a right clock")


def heads(page: str) -> list[str]:
    """Where each row of the page of what was saved leads, the newest first."""
    return re.findall(r'<th scope="row"><a href="([^"]+)"', page)


def restored(program: Program, name: str, failures: list[str]) -> str:
    """Restore a backup; the name of the one that was made before it."""
    tag = program.tag(f"/api/backups/{name}/differences")
    status, told = program.ask("POST", f"/api/backups/{name}/restore", {}, **{"If-Match": tag})
    if status != OK:
        failures.append(f"{name}: {status} {told}")
        return name
    return str(told["before"])


def test_a_reminder_comes_though_it_was_answered_by_a_wrong_clock(data: Path, tmp_path: Path) -> None:
    """A copy elsewhere that was made, or put off, by a clock years ahead would else keep it quiet for years."""
    clock, failures, reminder = Clock(tmp_path), list[str](), "Make one, or be reminded later"
    elsewhere = tmp_path / "stick"
    elsewhere.mkdir()
    with Program(data, environment=clock.environment) as program:
        clock.jump(10 * YEAR)
        page = program.page("/data/backups")[1]
        fields = fields_in(page, addresses.BACKUP_LATER)
        assert program.page(addresses.BACKUP_LATER, urlencode(fields).encode())[0] == 303
        clock.jump(2 * YEAR)
        if reminder not in said(program):
            failures.append("put off by a wrong clock, it is quiet two years later")
        clock.jump(10 * YEAR)
        status, told = program.ask("POST", "/api/backups/copy", {"folder": str(elsewhere)})
        assert status == CREATED, told
        clock.jump(RIGHT)
        if reminder not in said(program):
            failures.append("copied by a clock years ahead, it is quiet by a right one")
        status, told = program.ask("POST", "/api/backups/copy", {"folder": str(elsewhere)})
        assert status == CREATED, told
        if reminder in said(program):
            failures.append("copied just now, it is told")
    tell("a reminder of a copy elsewhere", 3, failures, "put off and answered by a clock ten years ahead")


def said(program: Program) -> str:
    """The words of the first page."""
    return words(program.page("/")[1])


def test_half_entered_forms_outlast_a_wrong_clock(tmp_path: Path) -> None:
    """Two are typed; in a jump another is; by a right clock each is in its form again."""
    clock, failures, tried = Clock(tmp_path), list[str](), 0
    places, place_within = ("/buy/materials/new", "/make/formulas/new"), "/price/products/new"
    with Program(tmp_path / "data", environment=clock.environment) as program:
        assert program.save("first") == CREATED
        for jump, ahead in JUMPS.items():
            for place in places:
                half_enter(program, place, f"Typed before {jump}")
            clock.jump(ahead)
            half_enter(program, place_within, f"Typed within {jump}")
            wanted = [(ahead, place_within, "within")]
            # One that a clock a year behind dated is as old as it says, and waits for a clock that is behind again.
            wanted += [(RIGHT, place_within, "within")] if ahead > -30 * DAY else []
            wanted += [(RIGHT, place, "before") for place in places]
            for moment, place, part in wanted:
                tried += 1
                clock.jump(moment)
                if f"Typed {part} {jump}" not in program.page(place)[1]:
                    failures.append(f"{jump}, {place}, seen {moment}: what was typed {part} is gone")
            clock.jump(RIGHT)
    tell("half-entered forms over a jump of the clock", tried, failures, "two before each jump, one within it")


def half_enter(program: Program, place: str, name: str) -> None:
    """Type a name into a form, which is kept as it is typed."""
    fields = fields_in(program.page(place)[1], place.removesuffix("/new"))
    status, text, _ = program.page("/drafts", urlencode({**fields, "name": name}).encode())
    assert status == 204, text


@pytest.mark.parametrize("jump", SOME)
def test_a_file_that_waits_to_be_imported_outlasts_a_wrong_clock(tmp_path: Path, jump: str) -> None:
    """A file is looked at; in a jump another arrives; by a right clock the first is imported."""
    clock, failures, data = Clock(tmp_path), list[str](), tmp_path / "data"
    with Program(data, environment=clock.environment) as program:
        assert program.save("first") == CREATED
        shown = look(program, FEW)
        clock.jump(JUMPS[jump])
        program.page(AT, form_with(3), f"multipart/form-data; boundary={BOUNDARY}")
        clock.jump(RIGHT)
        if program.page(shown)[0] != OK:
            failures.append(f"it is gone: {words(program.page(shown)[1])[:200]}")
        else:
            followed(program, begin_storing(program, shown))
        program.stop()
    if not failures and names_in(data) != {"first"} | names(FEW):
        failures.append(f"{len(names_in(data))} are there")
    tell("a file that waits, over a jump of the clock", 1, failures, "another arrives in the jump")


def test_long_work_ends_though_the_clock_jumps_under_it(tmp_path: Path) -> None:
    clock, failures, data = Clock(tmp_path), list[str](), tmp_path / "data"
    jumps, rounds, number = list(JUMPS.values()), many(1, 5), 0
    with Program(data, environment=clock.environment) as program:
        assert program.save("first") == CREATED
        for one in range(rounds):
            number += 400
            shown = look(program, number)
            where = begin_storing(program, shown)
            for ahead in jumps[one:] + jumps[:one]:
                clock.jump(ahead)
                program.page(where)
            clock.jump(RIGHT)
            if "done=" not in (there := followed(program, where)[0]):
                failures.append(f"{one}: it led to {there}")
        program.stop()
    if names_in(data) != {"first"} | names(number):
        failures.append(f"{len(names_in(data))} are there")
    tell("long work over jumps of the clock", rounds, failures, "an import, with five jumps in it")
