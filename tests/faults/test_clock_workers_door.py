"""Two processes on one PostgreSQL whose clocks differ: at the door one clock counts for both, that of the database.

A link is good for ten minutes, a device is in for 90 days without use, and whoever guesses is slowed, whichever of them
is asked: else who asks both in turn would be let in here and shut out there, and a guesser would begin anew at each.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest

from tests.faults.clock import DAY, OF_TWO, RIGHT, needs_clock
from tests.faults.two_clocks import Side, Tablet, Two
from tests.on_postgres import connected, tell_postgres
from tests.tried import many, tell
from webapp.door.guessing import FREE
from webapp.door.guessing import LONGEST as LONGEST_WAIT

pytestmark = [pytest.mark.long, pytest.mark.postgres, needs_clock]
OK, CREATED, FOUND, GONE, SLOWED = 200, 201, 303, 410, 429
#: how far the clock of one of them is from the right time; the other's is right
APART = {"ten minutes ahead": timedelta(minutes=11), "an hour back": -timedelta(minutes=61), **OF_TWO}
MOMENT = "%Y-%m-%dT%H:%M:%SZ"


@pytest.fixture
def both(started: Two) -> Two:
    started.right()
    nobody(started)
    return started


def nobody(both: Two) -> None:
    """Nobody is in, and nobody has tried."""
    tell_postgres(both.url, "DELETE FROM device", "DELETE FROM tries")


def each_apart(both: Two, ways: int = 2) -> Iterator[tuple[str, Side, Side]]:
    """Each way in which the clock of either (or only of the first) is apart from the other's, and the right time."""
    for apart, ahead in APART.items():
        for wrong, right in (both.sides, both.sides[::-1])[:ways]:
            wrong.clock.jump(ahead)
            right.clock.jump(RIGHT)
            yield apart, wrong, right


def link(side: Side) -> str:
    """The address of a new link, without the machine's."""
    answer = side.ask("POST", "/api/devices/link", {"role": "workshop"})
    assert answer.status == CREATED, answer
    return "/pair/" + str(answer.told["addresses"][0]).rpartition("/pair/")[2]


def aged(both: Two, by: timedelta) -> None:
    """Have all links and devices be so much older, by the right time."""
    now = datetime.now(UTC) - by
    until, seen = (now + timedelta(minutes=10)).strftime(MOMENT), f"{now.date()}"
    with connected(both.url) as database:
        database.execute("UPDATE device SET at = %s", [now.strftime(MOMENT)])
        database.execute("UPDATE device SET until = %s WHERE token IS NULL", [until])
        database.execute("UPDATE device SET seen = %s WHERE token IS NOT NULL", [seen])


def counted(both: Two, wrong: int) -> None:
    """Have there been so many wrong tries, by everybody."""
    with connected(both.url) as database:
        database.execute("UPDATE tries SET wrong = %s", [wrong])


def test_a_link_made_by_one_is_good_at_the_other_for_ten_minutes(both: Two) -> None:
    failures, tried = list[str](), 0
    for apart, wrong, right in each_apart(both):
        for maker, user in ((wrong, right), (right, wrong)):
            nobody(both)
            made, name = link(maker), f"{apart}, made by {'the wrong' if maker is wrong else 'the right'} one"
            for side in both.sides:
                if (status := Tablet().ask(side, made)) != OK:
                    failures.append(f"{name}: looked at by {side.pid}, {status}")
            if (status := Tablet().ask(user, made, {"name": "In time"})) != FOUND:
                failures.append(f"{name}: used by the other, {status}")
            if (status := Tablet().ask(maker, made, {"name": "Once more"})) != GONE:
                failures.append(f"{name}: used once more, {status}")
            old = link(maker)
            aged(both, timedelta(minutes=11))
            for side in both.sides:
                if (status := Tablet().ask(side, old, {"name": "Too late"})) != GONE:
                    failures.append(f"{name}: used too late by {side.pid}, {status}")
            tried += 6
    tell("two clocks: a link made by one process, used by the other", tried, failures, "once and within ten minutes")


def test_a_device_that_one_let_in_is_in_at_the_other_for_90_days(both: Two) -> None:
    failures, tried = list[str](), 0
    for apart, wrong, right in each_apart(both):
        nobody(both)
        tablet = Tablet()
        assert tablet.ask(wrong, link(right), {"name": "Bench tablet"}) == FOUND
        for age, wanted in ((timedelta(), True), (89 * DAY, True), (91 * DAY, False)):
            aged(both, age)
            for side in (wrong, right, wrong):
                tried += 1
                if tablet.is_in(side) != wanted:
                    failures.append(f"{apart}, {age}, asked of {side.pid}: {'out' if wanted else 'in'}")
                if wanted:
                    aged(both, age)  # it was seen just now
    tell("two clocks: a device that one process let in, asked of both", tried, failures, "90 days without use")


def test_seen_by_a_process_that_is_ahead_it_is_in_no_longer_for_it(both: Two) -> None:
    failures, tried = list[str](), 0
    for apart, wrong, right in each_apart(both):
        nobody(both)
        tablet = Tablet()
        assert tablet.ask(right, link(right), {"name": "Bench tablet"}) == FOUND
        aged(both, DAY)
        assert tablet.is_in(wrong)
        for side in both.sides:
            tried += 1
            (told,) = side.ask("GET", "/api/devices").told["items"] or [{"seen": "nowhere"}]
            if told["seen"] != f"{datetime.now(UTC).date()}":
                failures.append(f"{apart}: seen {told['seen']}")
    tell("two clocks: the day a device was seen", tried, failures, "asked of the wrong one, told by both")


def test_guessing_is_slowed_by_both_together(both: Two) -> None:
    """Whoever asks both in turn has no more free tries than at one; whoever may come in does not wait for long."""
    failures, tried = list[str](), 0
    for apart, wrong, right in each_apart(both, many(1, 2)):
        nobody(both)
        tablet, answers = Tablet(), list[int]()
        while SLOWED not in answers and len(answers) < FREE + 6:
            answers.append(tablet.sign_in((wrong, right)[len(answers) % 2], f"guessed {len(answers)}"))
        if answers[-1] != SLOWED or len(answers) <= FREE:
            failures.append(f"{apart}: {answers}")
        counted(both, FREE + 7)  # 256 seconds, so that none is over meanwhile
        for side in (wrong, right):
            if tablet.sign_in(side) != SLOWED or not 0 < tablet.waits <= LONGEST_WAIT:
                failures.append(f"{apart}, asked of {side.pid}: not slowed, or for {tablet.waits} s")
            if side.ask("GET", "/").status != OK:
                failures.append(f"{apart}: the person at the machine was shut out of {side.pid}")
        counted(both, 1)
        if tablet.sign_in(wrong) != FOUND or not (tablet.is_in(wrong) and tablet.is_in(right)):
            failures.append(f"{apart}: by the passphrase it is not in at both")
        tried += len(answers) + 3
    tell("two clocks: guessing at both in turn", tried, failures, "five tries are free at both together")
