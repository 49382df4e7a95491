"""A few seconds of each profile: everything is answered, nothing is lost. How quick it is, is not asked here."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.load import telling
from tests.load.driving import Driven, Heard
from tests.load.mix import PAGES, WRITES, Asked
from tests.load.profiles import PROFILES
from tests.load.running import Run, percentile, run

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


@pytest.mark.deep
def test_a_soak_of_a_workshop_s_network() -> None:
    done = run(PROFILES["network"], SOAKED, 1, "")
    smoke(done, questions=12 * SOAKED)
    assert done.acknowledged == 2 * SOAKED


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
