"""The clock jumps while the program runs: nothing is lost, saves keep their order, undo is right, and it is said.

What is right here: a save, its number and its undo hang on no clock; what is shown is what the clock said; where the
clock lies before the newest entry every page says so. `test_clock_beside.py` has what lies beside the data.
"""

from __future__ import annotations

import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.every_page import EMPTY
from tests.faults.clock import DAY, JUMPS, RIGHT, YEAR, Clock, needs_clock
from tests.faults.left import Torn, names_in
from tests.faults.program import SUPPLIERS, Program, supplier
from tests.tried import many, tell

pytestmark = [pytest.mark.long, needs_clock]
CREATED, OK, CONFLICT = 201, 200, 409
#: what every page says where the clock lies before the newest entry
WORD = "the clock of this computer"
#: clocks as they are without a battery, or set by hand to what no calendar of a workshop has
FAR_OFF = {
    "1970": datetime(1970, 1, 2, 8, tzinfo=UTC),
    "1979": datetime(1979, 12, 31, 23, 59, tzinfo=UTC),
    "2000": datetime(2000, 1, 1, tzinfo=UTC),
    "2038": datetime(2038, 1, 19, 3, 15, tzinfo=UTC),
    "2099": datetime(2099, 12, 31, 23, 59, tzinfo=UTC),
}
#: pages that an empty workshop has not, and what a whole book leaves as
MORE = ("/changes", "/data/backups", "/price/channels", "/buy/materials/new", "/make/formulas/new", "/buy/orders/new")
FILES = ("/api/export", *(f"/data/export?as={kind}" for kind in ("json", "xlsx", "csv")))


def changes_of(program: Program) -> list[dict[str, Any]]:
    """All changes, the newest first."""
    status, told = program.ask("GET", "/api/changes")
    assert status == OK, told
    return list(told["items"])


def test_saves_before_within_and_after_each_jump(tmp_path: Path) -> None:
    """Each has the next number, whatever the clock says, and is told with the moment that it said."""
    clock, failures, saved = Clock(tmp_path), list[str](), list[str]()
    with Program(tmp_path / "data", environment=clock.environment) as program:
        for jump, ahead in JUMPS.items():
            for part, there in (("before", RIGHT), ("within", ahead), ("after", RIGHT)):
                clock.jump(there)
                if program.save(f"{part} {jump}") != CREATED:
                    failures.append(f"{part} {jump}: not saved")
                saved.append(f"{part} {jump}")
                (newest, *_), now = changes_of(program), clock.now()
                if newest["version"] != len(saved):
                    failures.append(f"{part} {jump}: number {newest['version']} of {len(saved)}")
                if abs(datetime.fromisoformat(newest["when"]) - now) > timedelta(minutes=2):
                    failures.append(f"{part} {jump}: told as of {newest['when']}")
                if f"{now.year}" not in program.page("/changes")[1].partition("<main")[2][:4000]:
                    failures.append(f"{part} {jump}: the page does not say {now.year}")
        order = [one["version"] for one in changes_of(program)]
        if order != sorted(order, reverse=True):
            failures.append(f"not in their order: {order}")
        program.stop()
    failures += lost_of(tmp_path / "data", set(saved))
    tell("saves while the clock jumps", len(saved), failures, f"{len(JUMPS)} jumps, before, within and after each")


def lost_of(data: Path, answered: set[str]) -> list[str]:
    try:
        there = names_in(data)
    except Torn as torn:
        return [f"torn: {torn}"]
    return [f"lost: {sorted(answered - there)}"] if answered - there else []


def test_two_people_save_while_the_clock_jumps_to_and_fro(tmp_path: Path) -> None:
    clock, failures, answered = Clock(tmp_path), list[str](), list[str]()
    jumps, each = [RIGHT, *JUMPS.values()], many(15, 150)
    with Program(tmp_path / "data", environment=clock.environment) as program:

        def save(who: str) -> None:
            for number in range(each):
                if (status := program.save(f"{who} {number}")) != CREATED:
                    failures.append(f"{who} {number}: {status}")
                answered.append(f"{who} {number}")

        threads = [threading.Thread(target=save, args=(who,)) for who in "ab"]
        for thread in threads:
            thread.start()
        jumped = 0
        while any(thread.is_alive() for thread in threads):
            clock.jump(jumps[jumped % len(jumps)])
            jumped += 1
            threads[0].join(0.005)
        versions = [one["version"] for one in changes_of(program)]
        program.stop()
    assert jumped > len(jumps), "the clock hardly jumped"
    if versions[0] != 2 * each:
        failures.append(f"the newest has number {versions[0]}")
    failures += lost_of(tmp_path / "data", set(answered))
    tell("two people save while the clock jumps to and fro", len(answered), failures, "a jump each 5 ms or so")


def test_undo_goes_by_the_order_of_saves(tmp_path: Path) -> None:
    """A record is changed before, within and after a jump, and these are taken back from the last to the first."""
    clock, failures = Clock(tmp_path), list[str]()
    with Program(tmp_path / "data", environment=clock.environment) as program:
        for jump, within in JUMPS.items():
            _, made = program.ask("POST", SUPPLIERS, supplier(jump))
            at = f"{SUPPLIERS}/{made['id']}"
            for note, ahead in (("before", RIGHT), ("within", within), ("after", RIGHT)):
                clock.jump(ahead)
                body = {**supplier(jump), "note": note}
                status, told = program.ask("PUT", at, body, **{"If-Match": program.tag(at)})
                assert status == OK, told
            third, second, first = (one["version"] for one in changes_of(program)[:3])
            if program.ask("POST", f"/api/undo/{first}", **{"If-Match": program.tag(at)})[0] != CONFLICT:
                failures.append(f"{jump}: the first was taken back under the others")
            for number, left, ahead in ((third, "within", within), (second, "before", RIGHT), (first, "", -DAY)):
                clock.jump(ahead)
                status, told = program.ask("POST", f"/api/undo/{number}", **{"If-Match": program.tag(at)})
                clock.jump(RIGHT)
                if status != OK or program.ask("GET", at)[1]["note"] != left:
                    failures.append(f"{jump}, {number}: {status} {told}")
    tell(
        "undo over a jump of the clock",
        4 * len(JUMPS),
        failures,
        "the first under the others, then from the last to the first",
    )


def test_a_clock_before_the_newest_entry_is_said_on_every_page_until_it_is_right(tmp_path: Path) -> None:
    clock, failures, tried = Clock(tmp_path), list[str](), 0
    pages = ("/", "/price", "/buy/orders/new", "/changes")
    # where the clock stands, and whether that is before the newest entry, which is of a right clock
    moments = [(RIGHT, False), (-timedelta(minutes=2), False), (YEAR, False)]
    moments += [(back, True) for back in (-timedelta(hours=1), -DAY, -YEAR, -10 * YEAR)] + [(RIGHT, False)]
    with Program(tmp_path / "data", environment=clock.environment) as program:

        def look(ahead: timedelta, *, wanted: bool) -> None:
            clock.jump(ahead)
            for page in pages:
                if (WORD in program.page(page)[1]) != wanted:
                    failures.append(f"{page}, {ahead}: {'not said' if wanted else 'said'}")

        assert program.save("of a right clock") == CREATED
        for ahead, wanted in moments:
            look(ahead, wanted=wanted)
            tried += len(pages)
        clock.jump(10 * YEAR)
        assert program.save("of a time to come") == CREATED
        look(RIGHT, wanted=True)
        tried += len(pages)
    tell("a clock before the newest entry is said", tried, failures, "and only then; four pages each")


def test_a_clock_that_is_far_off_breaks_no_page_and_no_file(tmp_path: Path) -> None:
    """As where a battery is empty: all can be looked at, saved, carried off, and is there when the clock is right."""
    clock, failures, tried = Clock(tmp_path), list[str](), 0
    with Program(tmp_path / "data", environment=clock.environment) as program:
        assert program.ask("POST", "/api/example", {})[0] in (OK, CREATED)
        for name, moment in FAR_OFF.items():
            clock.jump_to(moment)
            for path in (*EMPTY, *MORE, *FILES):
                status, text, leads = asked(program, path)
                tried += 1
                if status != OK:
                    failures.append(f"{name}, {path}: {status} {leads} {text[:80]}")
            if (status := program.save(f"of {name}")) != CREATED:
                failures.append(f"{name}: a save was answered {status}")
            if (told := program.ask("POST", "/api/backups", {}))[0] != CREATED:
                failures.append(f"{name}: no backup, {told}")
            tried += 2
        clock.jump(RIGHT)
        failures += [f"{path}, right again" for path in EMPTY if program.page(path)[0] != OK]
        program.stop()
    failures += lost_of(tmp_path / "data", {f"of {name}" for name in FAR_OFF})
    tell("a clock that is far off", tried, failures, f"pages, files, a save and a backup in {', '.join(FAR_OFF)}")


def asked(program: Program, path: str) -> tuple[int, str, str]:
    """Status, text (nothing of a file that is none) and where it leads; a redirect is gone after."""
    try:
        status, text, leads = program.page(path)
    except UnicodeDecodeError:
        return OK, "", ""
    return asked(program, leads) if status == 303 else (status, text, leads)
