"""A few seconds of each profile: everything is answered, nothing is lost. How quick it is, is not asked here."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.load import telling
from tests.load.driving import Driven, Heard
from tests.load.mix import PAGES, WRITES, Asked
from tests.load.profiles import PROFILES
from tests.load.running import AFTER_RATE, AFTER_SECONDS, Run, percentile, run, settled_at

SECONDS, SOAKED = 4, 300


def smoke(done: Run, *, questions: int) -> None:
    assert done.driven.faults == []
    assert (done.errors, done.lost) == (0, ())
    assert len(done.driven.heard) == questions
    assert done.acknowledged == sum(one.status == 201 for one in done.driven.heard) + (
        sum(one.status == 201 for one in done.after.heard) if done.after else 0
    )


@pytest.mark.long
def test_one_person() -> None:
    smoke(run(replace(PROFILES["person"], writes=1), SECONDS, 1, ""), questions=3 * SECONDS)


@pytest.mark.long
def test_a_workshop_s_network() -> None:
    done = run(PROFILES["network"], SECONDS, 1, "")
    smoke(done, questions=12 * SECONDS)
    assert done.acknowledged == 2 * SECONDS
    assert done.resident[0] > 0 or not Path("/proc/self/status").exists()
    assert done.growth < done.resident[0]
    assert f"{done.growth:+.1f} MB in 4 s, 48 questions" in "\n".join(telling.told(done))


@pytest.mark.postgres
def test_a_studio(postgres_url: str) -> None:
    smoke(run(replace(PROFILES["studio"], reads=20, writes=4), SECONDS, 2, postgres_url), questions=24 * SECONDS)


@pytest.mark.deep
@pytest.mark.postgres
def test_more_than_it_can_bear(postgres_url: str) -> None:
    profile = replace(PROFILES["overload"], people=600, reads=400, writes=80)
    done = run(profile, 2, 2, postgres_url)
    smoke(done, questions=960)
    assert done.after is not None
    assert done.after.faults == []
    assert done.after.began > done.driven.ended > done.driven.began
    assert len(done.after.heard) == AFTER_RATE * AFTER_SECONDS


@pytest.mark.deep
@pytest.mark.postgres
def test_a_soak_of_a_studio(postgres_url: str) -> None:
    done = run(replace(PROFILES["studio"], reads=20, writes=4), SOAKED, 2, postgres_url)
    smoke(done, questions=24 * SOAKED)


# --- the measure itself


def test_the_mix_is_of_a_hundred() -> None:
    assert sum(PAGES.values()) == sum(WRITES.values()) == 100


def test_a_percentile_is_the_nearest_rank() -> None:
    hundred = [float(one) for one in range(1, 101)]
    assert [percentile(hundred, share) for share in (0.5, 0.99, 1)] == [50, 99, 100]
    assert percentile([], 0.5) == 0


def heard(status: int, waited: float, *, retry: bool = False) -> Heard:
    return Heard(Asked("/", "/"), 0, waited, waited, status, retry)


@pytest.mark.parametrize(
    ("answers", "over"),
    [
        ([heard(200, 0.01)] * 100, []),
        ([heard(200, 0.01)] * 97 + [heard(200, 0.4)] * 3, ["p99 300 ms"]),
        ([heard(200, 0.01), heard(500, 0.01)], ["no errors"]),
        ([heard(200, 0.01), heard(0, 0.01)], ["no errors"]),
        ([heard(200, 0.01), heard(503, 0.01)], ["no errors"]),
        ([heard(200, 0.01), heard(503, 0.01, retry=True)], ["nobody put off"]),
    ],
)
def test_a_verdict_can_be_over(answers: list[Heard], over: list[str]) -> None:
    done = Run(PROFILES["network"], 1, 1, 1, 100, 1, (0, 0), Driven(answers), None, (), 0)
    assert [words for words, ok in telling.verdicts(done) if not ok] == over


def test_what_is_lost_is_told() -> None:
    done = Run(PROFILES["network"], 1, 1, 1, 100, 1, (0, 0), Driven([heard(200, 0.01)]), None, ("a",), 1)
    assert ("nothing lost", False) in telling.verdicts(done)


def look(due: float, waited: float, status: int = 200) -> Heard:
    return Heard(Asked("/", "/"), due, waited, waited, status, retry=False)


def looks(*waited: float) -> list[Heard]:
    """Ten a second, each waiting so long."""
    return [look(number / 10, one) for number, one in enumerate(waited)]


def test_it_is_back_from_the_look_after_which_all_are_quick() -> None:
    assert settled_at(looks(*[0.1] * 30), 300) == 0
    assert settled_at(looks(*[2.0] * 7, *[0.1] * 20), 300) == 0.7
    assert settled_at(looks(*[0.1] * 5, 0.4, *[0.1] * 20), 300) == 0.6
    assert settled_at(looks(*[0.3] * 20), 300) == 0


def test_one_slow_look_in_more_than_a_hundred_is_within_the_p99() -> None:
    """Nearest rank: of 150 the 149th, of 99 the last."""
    assert settled_at(looks(*[0.1] * 100, 0.4, *[0.1] * 49), 300) == 0
    assert settled_at(looks(*[0.1] * 50, 0.4, *[0.1] * 48), 300) == 5.1


def test_it_is_not_back_where_too_little_was_looked_at_afterwards() -> None:
    assert settled_at(looks(*[2.0] * 20), 300) is None
    assert settled_at(looks(*[2.0] * 20, *[0.1] * 5), 300) is None
    assert settled_at([], 300) is None
    assert settled_at([*looks(*[0.1] * 20), look(2, 0.1, 503)], 300) is None


def test_it_is_timed_from_the_last_question_of_the_overload() -> None:
    """Asked at 10 + 3 s and answered 2 s later; looks begin at 16 s, and are quick from the sixth on: 3 + 0.5 s."""
    crowd = Driven([heard(200, 0.5), Heard(Asked("/", "/"), 1, 4, 2, 200, retry=False)], began=10)
    after = Driven(looks(*[2.0] * 5, *[0.1] * 20), began=16)
    done = Run(PROFILES["overload"], 1, 2, 1, 100, 1, (0, 0), crowd, after, (), 0)
    assert done.back_after == 3.5
    assert ("back within 10 s", True) in telling.verdicts(done)
    assert "| 3.5 |" in telling.row(done)
    late = replace(done, after=replace(after, began=23))
    assert ("back within 10 s", False) in telling.verdicts(late)
    never = replace(done, after=Driven(looks(2.0, 2.0), began=16))
    assert ("back within 10 s", False) in telling.verdicts(never)
    assert "| never |" in telling.row(never)


def test_what_it_grew_by_is_told() -> None:
    done = Run(PROFILES["network"], 60, 1, 1, 100, 1, (0, 0), Driven([heard(200, 0.01)]), None, (), 0, (120.4, 131.0))
    assert "memory 120 MB when it was warm, 131 MB at the end: +10.6 MB in 60 s, 1 questions" in "\n".join(
        telling.told(done)
    )
    assert "| 120, 131 |" in telling.row(done)
