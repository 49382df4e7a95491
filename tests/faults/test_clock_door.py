"""The clock jumps while the program is open to a network: nobody comes in by it, and nobody is shut out for long.

90 days without use and a year in all, ten minutes for a link, and a wait after wrong tries: none of them is longer
because a clock was wrong, and no device that was in is signed out for good by it.
"""

from __future__ import annotations

import http.client
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from urllib.parse import urlencode

import pytest

from tests.faults.clock import DAY, JUMPS, RIGHT, SOME, YEAR, Clock, needs_clock
from tests.faults.program import SECONDS, Program, run
from tests.tried import tell
from webapp.door.guessing import FREE
from webapp.door.guessing import LONGEST as LONGEST_WAIT

pytestmark = [pytest.mark.long, needs_clock]
NAME, WORDS, EVERY = "bench.workshop", "four words in a jar", "0.0.0.0"  # noqa: S104 - a port of its own for a moment
OK, CREATED, FOUND, GONE, SLOWED = 200, 201, 303, 410, 429
MINUTE = timedelta(minutes=1)


class Tablet:
    """A device: it asks by a name of the network, from an address of this machine, so that it is let in like any."""

    def __init__(self, program: Program) -> None:
        self.port, self.cookie, self.waits = program.port, "", 0

    def ask(self, path: str, fields: dict[str, str] | None = None) -> int:
        """The status of an answer; a cookie that comes along is kept."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=SECONDS)
        try:
            headers = {"Host": f"{NAME}:{self.port}", "Sec-Fetch-Site": "same-origin"}
            headers |= {"Cookie": self.cookie} if self.cookie else {}
            headers |= {"Content-Type": "application/x-www-form-urlencoded"} if fields is not None else {}
            line.request("GET" if fields is None else "POST", path, urlencode(fields or {}), headers)
            answer = line.getresponse()
            answer.read()
            if (given := answer.getheader("Set-Cookie")) is not None:
                self.cookie = given.partition(";")[0]
            self.waits = int(answer.getheader("Retry-After") or 0)
            return answer.status
        finally:
            line.close()

    def sign_in(self, passphrase: str = WORDS) -> int:
        return self.ask("/sign-in", {"name": "Bench tablet", "passphrase": passphrase, "role": "workshop"})

    @property
    def is_in(self) -> bool:
        return self.ask("/price") == OK


@contextmanager
def opened(folder: Path, clock: Clock) -> Iterator[Program]:
    """A program that is open to the network, with a passphrase."""
    data, environment = folder / "data", {**clock.environment, "BRIMFUL_ALLOWED_HOSTS": NAME}
    done = run("passphrase", "--data", str(data), typed=f"{WORDS}\n", **environment)
    assert done.returncode == 0, done.stderr
    with Program(data, more=("--host", EVERY), environment=environment) as program:
        yield program


def link(program: Program) -> str:
    """The address of a new link, without the machine's."""
    status, told = program.ask("POST", "/api/devices/link", {"role": "workshop"})
    assert status == CREATED, told
    return "/pair/" + str(told["addresses"][0]).rpartition("/pair/")[2]


def test_a_device_is_in_for_90_days_and_a_year_and_a_wrong_clock_changes_neither(tmp_path: Path) -> None:
    clock, failures, tried = Clock(tmp_path), list[str](), 0
    with opened(tmp_path, clock) as program:
        tablet = Tablet(program)
        assert tablet.sign_in() == FOUND

        def look(what: str, ahead: timedelta, *, wanted: bool) -> None:
            nonlocal tried
            tried += 1
            clock.jump(ahead)
            if tablet.is_in != wanted:
                failures.append(f"{what}: {'out' if wanted else 'in'}")

        look("at once", RIGHT, wanted=True)
        look("a year ahead", YEAR + DAY, wanted=False)
        look("ten years ahead", 10 * YEAR, wanted=False)
        look("right again after that", RIGHT, wanted=True)
        look("an hour back", -timedelta(hours=1), wanted=True)
        look("a day back", -DAY, wanted=True)
        look("right again after a day back", RIGHT, wanted=True)
        clock.jump(-200 * DAY)  # whether it is in by a clock that lies before it was let in is nothing that counts
        tablet.ask("/price")
        look("right again after 200 days back", RIGHT, wanted=True)
        look("89 days without use", 89 * DAY, wanted=True)
        look("90 more", 180 * DAY, wanted=False)
    tell("a device that is in, over jumps of the clock", tried, failures, "90 days without use, a year in all")


def test_a_device_that_a_wrong_clock_let_in_is_in_no_longer_for_it(tmp_path: Path) -> None:
    """Let in while the clock was years ahead: by a right one it would else be in for eleven years."""
    clock, failures = Clock(tmp_path), list[str]()
    with opened(tmp_path, clock) as program:
        tablet = Tablet(program)
        clock.jump(10 * YEAR)
        assert tablet.sign_in() == FOUND
        assert tablet.is_in
        for years in (2, 5, 9):
            clock.jump(years * YEAR)
            if tablet.is_in:
                failures.append(f"after {years} years it is in")
        clock.jump(RIGHT)
        if tablet.sign_in() != FOUND or not tablet.is_in:
            failures.append("it can't be let in again")
    tell("a device that a wrong clock let in", 4, failures, "ten years ahead; by a right clock it signs in again")


def test_a_link_is_good_for_ten_minutes_of_whatever_clock(tmp_path: Path) -> None:
    clock, failures, tried = Clock(tmp_path), list[str](), 0
    moments = [(RIGHT, OK), (9 * MINUTE, OK), (11 * MINUTE, GONE), (DAY, GONE), (-DAY, GONE), (-YEAR, GONE)]
    moments += [(10 * YEAR, GONE), (RIGHT, OK)]
    with opened(tmp_path, clock) as program:
        made = link(program)
        for ahead, wanted in moments:
            tried += 1
            clock.jump(ahead)
            if (status := Tablet(program).ask(made)) != wanted:
                failures.append(f"looked at {ahead}: {status}")
        clock.jump(-DAY)
        if (status := Tablet(program).ask(made, {"name": "Too late"})) != GONE:
            failures.append(f"used a day back: {status}")
        clock.jump(RIGHT)
        if (status := Tablet(program).ask(made, {"name": "In time"})) != FOUND:
            failures.append(f"used in time: {status}")
    tell("a link over jumps of the clock", tried + 2, failures, "ten minutes, no day more where the clock is set back")


@pytest.mark.parametrize("jump", SOME)
def test_guessing_is_slowed_and_nobody_waits_for_years(tmp_path: Path, jump: str) -> None:
    """What passed is counted, not what a clock says: nobody begins anew in a jump, or waits longer for it."""
    clock, failures = Clock(tmp_path), list[str]()
    with opened(tmp_path, clock) as program:
        tablet, tried = Tablet(program), 1
        for part, ahead, free in (("before", RIGHT, True), ("within", JUMPS[jump], False), ("after", RIGHT, False)):
            clock.jump(ahead)
            answers = guessed(tablet)
            tried += len(answers)
            if answers[-1] != SLOWED or (len(answers) > FREE) != free:
                failures.append(f"{part}: {answers}")
        clock.jump(RIGHT)
        status = tablet.sign_in()
        if status not in (FOUND, SLOWED) or (status == SLOWED and not 0 < tablet.waits <= LONGEST_WAIT):
            failures.append(f"right again: {status}, waits {tablet.waits} s")
        if program.ask("GET", "/")[0] != OK:
            failures.append("the person at the machine was shut out")
    tell(
        "guessing over a jump of the clock",
        tried,
        failures,
        "five tries are free, and no more in it or after it",
    )


def guessed(tablet: Tablet) -> list[int]:
    """The answers to wrong tries until one is slowed. On a busy machine the first waits are over at the next try."""
    answers: list[int] = []
    while SLOWED not in answers and len(answers) < FREE + 6:
        answers.append(tablet.sign_in(f"guessed {len(answers)}"))
    return answers
