"""Two processes on one PostgreSQL whose clocks differ: backups, restores, half-entered forms, files, figures of a day.

What lies beside the data is in one folder and one database for both. What is newest is what was made last.
"""

from __future__ import annotations

import threading
from datetime import timedelta
from typing import Any
from urllib.parse import urlencode

import pytest

from tests.faults.clock import DAY, JUMPS, OF_TWO, RIGHT, SOME, needs_clock
from tests.faults.program import SUPPLIERS, supplier
from tests.faults.test_clock_beside import heads
from tests.faults.test_imports import AT, BOUNDARY, begin_storing, followed, form_with, look, names
from tests.faults.two_clocks import Side, Two
from tests.on_postgres import connected
from tests.pages.filling import fields_in
from tests.tried import many, tell
from webapp.store.backup import read_facts
from webapp.store.backups import FOLDER
from webapp.store.drafts import MOST_DAYS

pytestmark = [pytest.mark.long, pytest.mark.postgres, needs_clock]
CREATED, OK, KEPT, NOT_FOUND = 201, 200, 204, 404
MATERIALS, ORDERS, BACKUPS = "/api/materials", "/api/orders", "/api/backups"


@pytest.fixture(scope="module")
def started(started: Two) -> Two:
    assert started.first.save("first") == CREATED
    return started


@pytest.fixture
def both(started: Two) -> Two:
    started.right()
    return started


def backups_of(side: Side) -> list[dict[str, Any]]:
    """All backups, what was made last first."""
    return list(side.ask("GET", BACKUPS).told["items"])


def back_up(side: Side) -> str:
    answer = side.ask("POST", BACKUPS, {})
    assert answer.status == CREATED, answer
    return str(answer.told["name"])


def test_backups_that_both_make_stand_in_the_order_of_their_making(both: Two) -> None:
    failures, tried, made = list[str](), 0, list[str]()
    for jump, ahead in OF_TWO.items():
        both.first.clock.jump(ahead)
        for side in both.sides:
            made.insert(0, back_up(side))
        for side in both.sides:
            tried += 1
            listed = [one["name"] for one in backups_of(side) if one["why"] == "asked"]
            if listed != made[: len(listed)] or len(listed) < min(len(made), 10):
                failures.append(f"{jump}: {side.pid} tells {listed} of {made}")
    both.right()
    for one in backups_of(both.other):
        tried += 1
        if not both.first.ask("GET", f"{BACKUPS}/{one['name']}").told["whole"]:
            failures.append(f"{one['name']} is not whole")
    tell("two clocks: backups made in turn", tried, failures, "told by both in the order of their making; all whole")


def test_backups_that_both_make_at_once_are_both_there(both: Two) -> None:
    """The other's clock is ahead, so that what the first is just making seems to be left over since long."""
    failures, each = list[str](), many(4, 40)
    asked = [Side(side.served, side.pid, side.clock) for side in both.sides]  # a line is one thread's
    both.other.clock.jump(3 * DAY)

    def make(side: Side) -> None:
        for number in range(each):
            if (answer := side.ask("POST", BACKUPS, {})).status != CREATED:
                failures.append(f"{number} of {side.pid}: {answer.status} {answer.text[:200]}")

    threads = [threading.Thread(target=make, args=(side,)) for side in asked]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for side in asked:
        side.hang_up()
    numbers = [read_facts(path)["number"] for path in (both.program.data / FOLDER).glob("*.db")]
    if len(numbers) != len({*numbers}):
        failures.append(f"numbered {sorted(numbers)}")
    tell("two clocks: backups made at once", 2 * each, failures, "by both, one of them three days ahead")


@pytest.mark.parametrize("jump", SOME)
def test_a_restore_by_one_is_that_of_the_other_and_stands_where_it_was_done(both: Two, jump: str) -> None:
    """Saved, backed up, saved; restored by one in a jump, taken back by the other; and saved by both."""
    failures, start = list[str](), both.first.changes()[0]["version"]
    wrong, right = both.sides
    assert right.save(f"before {jump}") == CREATED
    name = back_up(right)
    assert right.save(f"after {jump}") == CREATED
    wrong.clock.jump(JUMPS[jump])
    before = restored(wrong, name)
    if [side.changes()[0]["version"] for side in both.sides] != [start + 1] * 2:
        failures.append("not both have what was restored")
    restored(right, before)
    for number, side in enumerate(both.sides):
        if side.save(f"at last {jump} {number}") != CREATED:
            failures.append(f"not saved by {side.pid}")
    wanted = [f"/changes/{start + number}" for number in (4, 3)] + ["/data/backups"] * 2
    wanted += [f"/changes/{start + number}" for number in (2, 1)]
    for side in both.sides:
        if (found := heads(side.text("/changes"))[: len(wanted)]) != wanted:
            failures.append(f"{side.pid} shows {found}")
    tell("two clocks: a restore by one, taken back by the other", 5, failures, "where both stand, told by both")


def restored(side: Side, name: str) -> str:
    """Restore a backup; the name of the one that was made before it."""
    tag = side.tag(f"{BACKUPS}/{name}/differences")
    answer = side.ask("POST", f"{BACKUPS}/{name}/restore", {}, **{"If-Match": tag})
    assert answer.status == OK, answer
    return str(answer.told["before"])


def test_half_entered_forms_of_one_are_in_the_form_of_the_other(both: Two) -> None:
    """But for those that seem older than is offered; by right clocks whatever was typed by one is there."""
    failures, tried, place = list[str](), 0, "/buy/materials/new"
    for jump, ahead in OF_TWO.items():
        for typist, looker in ((RIGHT, ahead), (ahead, RIGHT)):
            for one, other in (both.sides, both.sides[::-1]):
                one.clock.jump(typist)
                other.clock.jump(looker)
                name = f"Typed {jump} {typist} {one.pid}"
                half_enter(one, place, name)
                wanted = typist >= looker - timedelta(days=MOST_DAYS)
                seen, tried = (name in other.text(place)), tried + 2
                if seen != wanted:
                    failures.append(f"{name}: {'gone' if wanted else 'offered'}")
                both.right()
                if (name in other.text(place)) != (typist >= -timedelta(days=MOST_DAYS)):
                    failures.append(f"{name}: gone by a right clock")
    tell("two clocks: half-entered forms", tried, failures, "typed by one, asked of the other")


def half_enter(side: Side, place: str, name: str) -> None:
    """Type a name into a form, which is kept as it is typed."""
    fields = fields_in(side.text(place), place.removesuffix("/new"))
    assert side.ask("POST", "/drafts", urlencode({**fields, "name": name})).status == KEPT


def test_each_shows_its_own_day_and_of_a_named_day_both_show_the_same(both: Two) -> None:
    """A kilogram was bought at 10.00 by the right one, and a day later at 20.00 by the one that is a day ahead."""
    failures, tried, answers = list[str](), 0, dict[str, Any]()
    mill = both.first.ask("POST", SUPPLIERS, supplier("Of two days")).told["id"]
    for number, (wrong, right) in enumerate((both.sides, both.sides[::-1])):
        both.right()
        clay = right.ask("POST", MATERIALS, {"name": f"Clay {number}"}).told["id"]
        wrong.clock.jump(DAY)
        for side, price in ((right, "10.00"), (wrong, "20.00")):
            line = {"material": clay, "packs": "1", "size": "1", "unit": "kg", "price": price}
            day = f"{side.clock.now().date()}"
            answer = side.ask("POST", ORDERS, {"supplier": mill, "day": day, "currency": "EUR", "lines": [line]})
            assert answer.status == CREATED, answer
        for side, wanted in ((right, "10"), (wrong, "20")):
            for asked_of in (side, right, wrong):
                query = "" if asked_of is side else f"?on={side.clock.now().date()}"
                answers[query] = told = asked_of.ask("GET", f"{MATERIALS}/{clay}{query}").told
                tried += 1
                if cost_of(told) != wanted:
                    failures.append(f"{query or 'today'} of {side.pid}, asked of {asked_of.pid}: {cost_of(told)}")
    tell("two clocks: figures of a day", tried, failures, "today is each one's own; a day that is named is the same")


def cost_of(told: dict[str, Any]) -> str:
    """What a kilogram costs."""
    return str(told["figures"]["landed"])


@pytest.mark.parametrize("jump", SOME)
def test_a_file_that_one_looked_at_is_imported_by_the_other(both: Two, jump: str) -> None:
    """Another arrives while the other's clock is wrong, by which all seem old; by a right one the first is there."""
    failures, many_names = list[str](), 100 * (1 + SOME.index(jump))
    one, other = both.sides
    shown = look(one, many_names)
    other.clock.jump(JUMPS[jump])
    other.page(AT, form_with(3), f"multipart/form-data; boundary={BOUNDARY}")
    if (status := other.page(shown)[0]) != (OK if JUMPS[jump] < DAY else NOT_FOUND):
        failures.append(f"by a wrong clock it is answered with {status}")
    both.right()
    if "done=" not in (there := followed(other, begin_storing(other, shown))[0]):
        failures.append(f"it led to {there}")
    with connected(both.url) as database:
        there_are = {name for (name,) in database.execute("SELECT name FROM supplier WHERE ended_in IS NULL")}
    failures += [f"{name} is not there" for name in sorted(names(many_names) - there_are)]
    tell("two clocks: a file that waits", 2, failures, "looked at by one, imported by the other")


def test_nothing_of_it_was_lost(both: Two) -> None:
    with connected(both.url) as database:
        (numbers,) = database.execute("SELECT array_agg(id ORDER BY id) FROM change").fetchone()
    assert numbers == [*range(1, len(numbers) + 1)]
