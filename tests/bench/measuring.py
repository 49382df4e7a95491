"""Timing a step beside its reference in turns, and saying ok, over or noisy.

Absolute times wander on a shared machine; the ratio of two things timed one after the other holds.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import pairwise
from math import log
from statistics import median, quantiles
from time import perf_counter
from typing import Any

#: quartiles of the ratio further apart than this share of its median are not judged
MOST_SPREAD = 0.25
MILLI = 1_000.0


@dataclass(frozen=True)
class Verdict:
    """One line of the table; `said` is ok, over, noisy, or what it is told for."""

    words: str
    said: str
    #: what was timed and its milliseconds, where its growth from size to size says something
    name: str = ""
    milliseconds: float = 0

    def __str__(self) -> str:
        return f"{self.words}  {self.said}"


@dataclass
class Reference:
    """What a step is measured against: milliseconds by round."""

    name: str
    what: str
    run: Callable[[], Any]
    times: list[float] = field(default_factory=list)

    def __str__(self) -> str:
        return f"reference {self.name:<3} {median(self.times):10.3f} ms  {self.what}"


def spent(run: Callable[[], Any]) -> float:
    """Milliseconds that one call takes, without a collector's pause that another call has earned."""
    with _without_collecting():
        start = perf_counter()
        kept = run()
        took = perf_counter() - start
    del kept
    return took * MILLI


@contextmanager
def _without_collecting() -> Iterator[None]:
    gc.collect()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def against(  # noqa: PLR0917 - a step of the table reads in the order of its columns
    name: str,
    reference: Reference,
    run: Callable[[Any], Any],
    rounds: int,
    limit: float | None,
    prepare: Callable[[], Any] = lambda: None,
) -> Verdict:
    """Time `run` of what `prepare` gives, in turns with the reference."""
    ratios, times = [], []
    for _ in range(rounds):
        beside = spent(reference.run)
        prepared = prepare()
        took = spent(lambda given=prepared: run(given))  # type: ignore[misc]
        reference.times.append(beside)
        times.append(took)
        ratios.append(took / beside)
    low, middle, high = _quartiles(ratios)
    aim = "" if limit is None else f" (at most {limit:g})"
    words = f"{name:<52} {median(times):10.3f} ms  {middle:8.2f} x {reference.name} [{low:.2f}–{high:.2f}]{aim}"
    return Verdict(words, _said(low, middle, high, limit), name, median(times))


def alone(name: str, values: list[float], unit: str, limit: float) -> Verdict:
    """A figure that has a limit of its own and no reference."""
    low, middle, high = _quartiles(values)
    words = f"{name:<52} {middle:10.2f} {unit:<3} [{low:.2f}–{high:.2f}] (at most {limit:g})"
    return Verdict(words, _said(low, middle, high, limit))


def told(name: str, text: str) -> Verdict:
    """A figure without a limit."""
    return Verdict(f"{name:<52} {text}", "(no limit)")


def equal(name: str, one: int, other: int) -> Verdict:
    """Two counts that must be the same."""
    return Verdict(f"{name:<52} {one} and {other} (the same)", "ok" if one == other else "over")


def growth(runs: list[tuple[int, list[Verdict]]]) -> list[str]:
    """A line a step: the exponent of its time from each size to the next (1: as the products).

    `runs` has of each size how many products it holds and what was found, smallest first.
    """
    found: list[str] = []
    timed = [[(of, one.name, one.milliseconds) for one in verdicts if one.milliseconds] for of, verdicts in runs]
    for step in zip(*timed, strict=False):
        between = [f"{log(late / soon) / log(many / few):6.2f}" for (few, _, soon), (many, _, late) in pairwise(step)]
        times = " ".join(f"{took:10.3f} ms" for _, _, took in step)
        found.append(f"{step[0][1]:<52} {times}   exponents {' '.join(between)}")
    return found


def summary(verdicts: list[Verdict]) -> str:
    """The last line: how many of each; what has no limit is not counted."""
    said = [verdict.said for verdict in verdicts]
    return f"{said.count('ok')} ok, {said.count('over')} over, {said.count('noisy')} not judged"


def _quartiles(values: list[float]) -> tuple[float, float, float]:
    if len(values) == 1:
        return values[0], values[0], values[0]
    low, middle, high = quantiles(values, n=4, method="inclusive")
    return low, middle, high


def _said(low: float, middle: float, high: float, limit: float | None) -> str:
    if limit is None:
        return "(no limit)"
    if high - low > MOST_SPREAD * middle:
        return "noisy"
    return "ok" if middle <= limit else "over"
