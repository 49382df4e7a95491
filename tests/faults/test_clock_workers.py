"""Two processes on one PostgreSQL whose clocks differ, and jump: the order of everything is that of the numbers.

Processes of one machine have one clock, so that this is the worst of it: several machines, or a jump between two
answers. What each shows as of today is by its own clock, which is said where it lies before the newest entry.
"""

from __future__ import annotations

import threading
from datetime import datetime, timedelta

import pytest

from tests.faults.clock import DAY, OF_TWO, RIGHT, needs_clock
from tests.faults.program import SUPPLIERS, supplier
from tests.faults.two_clocks import Side, Two
from tests.on_postgres import connected
from tests.tried import many, tell

pytestmark = [pytest.mark.long, pytest.mark.postgres, needs_clock]
CREATED, OK, CONFLICT = 201, 200, 409
WORD = "the clock of this computer"


@pytest.fixture
def both(started: Two) -> Two:
    started.right()
    return started


def test_saves_in_turn_while_one_is_ahead_and_jumps_back(both: Two) -> None:
    """Each has the next number and the moment that its own process's clock said; both tell the same of all."""
    failures, saved = list[str](), 0
    first = both.first.changes()[0]["version"] if both.first.changes() else 0
    for jump, ahead in OF_TWO.items():
        for one, other in (both.sides, both.sides[::-1]):
            for part, there, who in (("within", ahead, one), ("beside", ahead, other), ("after", RIGHT, one)):
                one.clock.jump(there)
                name = f"{jump}, {part}, {'first' if one is both.first else 'other'}"
                if who.save(name) != CREATED:
                    failures.append(f"{name}: not saved")
                saved += 1
                newest, same = (side.changes()[0] for side in both.sides)
                if newest != same or newest["version"] != first + saved:
                    failures.append(f"{name}: number {newest['version']} and {same['version']} of {first + saved}")
                if abs(datetime.fromisoformat(newest["when"]) - who.clock.now()) > timedelta(minutes=2):
                    failures.append(f"{name}: told as of {newest['when']}")
    numbers = [[one["version"] for one in side.changes()[:saved]] for side in both.sides]
    if numbers != [[*range(first + saved, first, -1)]] * 2:
        failures.append(f"not in their order: {numbers}")
    tell("two clocks: saves in turn, one process ahead or back", saved, failures, f"{len(OF_TWO)} jumps of each")


def test_both_save_at_once_while_both_clocks_jump(both: Two) -> None:
    failures, each = list[str](), many(20, 150)
    jumps, before = [RIGHT, *OF_TWO.values()], both.first.changes()[0]["version"]
    asked = {side: Side(side.served, side.pid, side.clock) for side in both.sides}  # a line is one thread's

    def save(who: Side) -> None:
        for number in range(each):
            if (status := asked[who].save(f"at once {number} {who.pid}")) != CREATED:
                failures.append(f"{number} of {who.pid}: {status}")

    threads = [threading.Thread(target=save, args=(side,)) for side in both.sides]
    for thread in threads:
        thread.start()
    jumped = 0
    while any(thread.is_alive() for thread in threads):
        jumped += 1
        both.first.clock.jump(jumps[jumped % len(jumps)])
        both.other.clock.jump(jumps[(jumped * 2 + 1) % len(jumps)])
        threads[jumped % 2].join(0.005)
    both.right()
    for side in asked.values():
        side.hang_up()
    assert jumped > len(jumps), "the clocks hardly jumped"
    with connected(both.url) as database:
        names = {name for (name,) in database.execute("SELECT name FROM supplier WHERE ended_in IS NULL")}
    wanted = {f"at once {number} {side.pid}" for number in range(each) for side in both.sides}
    failures += [f"lost: {name}" for name in sorted(wanted - names)]
    if (now := both.other.changes()[0]["version"]) != before + 2 * each:
        failures.append(f"number {now}, and not {before + 2 * each}")
    tell("two clocks: saves at once", 2 * each, failures, "a jump of each every 5 ms or so")


def test_undo_and_history_go_by_the_order_of_saves(both: Two) -> None:
    """A record is changed by one, by the other in a jump, by the first; taken back from the last by either in turn."""
    failures, tried = list[str](), 0
    for jump, within in OF_TWO.items():
        for one, other in (both.sides, both.sides[::-1]):
            both.right()
            name = f"undo, {jump}, {one.pid}"
            at = f"{SUPPLIERS}/{one.ask('POST', SUPPLIERS, supplier(name)).told['id']}"
            other.clock.jump(within)
            for note, who in (("before", one), ("within", other), ("after", one)):
                answer = who.ask("PUT", at, {**supplier(name), "note": note}, **{"If-Match": who.tag(at)})
                assert answer.status == OK, answer
            third, second, first = (done["version"] for done in one.changes()[:3])
            told = [[done["version"] for done in side.ask("GET", f"{at}/history").told["items"]] for side in both.sides]
            if told != [[third, second, first, first - 1]] * 2:
                failures.append(f"{name}: its history is {told}")
            if other.ask("POST", f"/api/undo/{first}", None, **{"If-Match": other.tag(at)}).status != CONFLICT:
                failures.append(f"{name}: the first was taken back under the others")
            for number, left, who in ((third, "within", other), (second, "before", one), (first, "", other)):
                answer = who.ask("POST", f"/api/undo/{number}", None, **{"If-Match": who.tag(at)})
                notes = [side.ask("GET", at).told["note"] for side in both.sides]
                if answer.status != OK or notes != [left, left]:
                    failures.append(f"{name}, {number}: {answer.status} {notes}")
            tried += 5
    tell("two clocks: undo and history", tried, failures, "changed by both, taken back by either in turn")


def test_whoever_is_behind_the_newest_entry_says_so(both: Two) -> None:
    """And only the process whose clock it is: the other's is right for all it knows."""
    failures, tried = list[str](), 0
    for one, other in (both.sides, both.sides[::-1]):
        for ahead in (DAY, 3 * DAY):
            one.clock.jump(ahead)
            assert one.save(f"ahead {ahead} {one.pid}") == CREATED
            wanted = {one: False, other: True}
            for side, is_said in wanted.items():
                for page in ("/", "/price", "/changes"):
                    tried += 1
                    if (WORD in side.text(page)) != is_said:
                        failures.append(f"{page}, {ahead}: {'not said' if is_said else 'said'}")
            one.clock.jump(RIGHT)
    assert both.first.save("right again") == CREATED
    tell("two clocks: the process that is behind says so", tried, failures, "three pages of each")
