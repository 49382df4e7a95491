"""A profile from start to verdict: the server is started, made ready, driven, stopped, and looked into."""

from __future__ import annotations

import asyncio
import os
import platform
import time
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tests.load.asking import Line
from tests.load.driving import CREATED, Driven, Heard, drive
from tests.load.mix import PAGES, Mix
from tests.load.profiles import Profile
from tests.load.program import Served, served, tokens_in, workshop
from webapp.settings import Settings

AFTER_SECONDS, AFTER_RATE = 15.0, 10.0
"""For how long, and how often a second, single looks are asked after an overload."""


@dataclass(frozen=True, slots=True)
class Run:
    """What a run came to."""

    profile: Profile
    seconds: float
    workers: int
    started: float
    memory: float
    processor: float
    load: tuple[float, float]
    driven: Driven
    after: Driven | None
    lost: tuple[str, ...]
    acknowledged: int
    resident: tuple[float, float] = (0, 0)
    """What its processes had when it was warm, and at the end, in MB."""

    @property
    def well(self) -> list[Heard]:
        """What was answered as it should."""
        return [one for one in self.driven.heard if one.well]

    @property
    def put_off(self) -> list[Heard]:
        """What was told to come back."""
        return [one for one in self.driven.heard if one.put_off]

    @property
    def errors(self) -> int:
        """All other answers, and those that never came."""
        return len(self.driven.heard) - len(self.well) - len(self.put_off)

    @property
    def processor_each(self) -> float:
        """Milliseconds of a core that a question took the server, written ones and those put off among them."""
        heard = len(self.driven.heard) + (len(self.after.heard) if self.after else 0)
        return self.processor * 1000 / max(heard, 1)

    @property
    def back_after(self) -> float | None:
        """Seconds from the last question of an overload until the p99 of single looks was within the limit again.

        None where it never was while looks were asked, or where there was no overload.
        """
        if self.after is None:
            return None
        settled = settled_at(self.after.heard, self.profile.look)
        return None if settled is None else self.after.began - self.driven.ended + settled

    @property
    def growth(self) -> float:
        """By how many MB its processes grew from when it was warm to the end."""
        return self.resident[1] - self.resident[0]


def run(profile: Profile, seconds: float, workers: int, postgres: str, seed: int = 1) -> Run:
    """Run a profile for so many seconds; `postgres` is the address of an empty database where it is for one."""
    before = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
    with workshop(profile.size, postgres if profile.postgres else "") as (settings, book):
        mix = Mix(book, seed)
        with served(settings, workers if profile.postgres else 1) as program:
            asyncio.run(_warm(mix, program, workers))
            spent, warm = program.processor(), program.resident()
            driven, after = asyncio.run(_driven(profile, mix, program, seconds))
            memory, spent, resident = program.memory(), program.processor() - spent, (warm, program.resident())
        lost, acknowledged = _lost([driven, *([after] if after else [])], settings)
    load = (before, os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0)
    used = workers if profile.postgres else 1
    done = Run(profile, seconds, used, program.started, memory, spent, load, driven, after, lost, acknowledged)
    return replace(done, resident=resident)


async def _warm(mix: Mix, program: Served, workers: int) -> None:
    """Each page once by each worker, more or less: what is made ready at the first question is no part of a run."""
    for _ in range(4 * workers):
        line = Line(program.port)
        for _ in range(len(PAGES)):
            await line.ask("GET", mix.look().path)
        line.close()


async def _driven(profile: Profile, mix: Mix, program: Served, seconds: float) -> tuple[Driven, Driven | None]:
    driven = await drive(mix, program.port, profile.people, (profile.reads, profile.writes), seconds)
    if not profile.overloaded:
        return driven, None
    return driven, await drive(mix, program.port, 10, (AFTER_RATE, 0), AFTER_SECONDS)


def settled_at(looks: Sequence[Heard], most: float, wanted: float = 1) -> float | None:
    """The second from which on every look was answered and the p99 of them all was within `most` milliseconds.

    At least `wanted` seconds of looks have to follow; None where it never came to that.
    """
    ordered = sorted(looks, key=lambda one: one.due)
    for at, first in enumerate(ordered):
        rest = ordered[at:]
        is_well = all(one.well for one in rest) and percentile([one.waited for one in rest], 0.99) * 1000 <= most
        if is_well and rest[-1].due - first.due >= wanted:
            return first.due
    return None


def _lost(driven: Sequence[Driven], settings: Settings) -> tuple[tuple[str, ...], int]:
    """What was acknowledged and is not there, and how much was acknowledged."""
    acknowledged = {one.asked.token for part in driven for one in part.heard if one.status == CREATED}
    return tuple(sorted(acknowledged - tokens_in(settings))), len(acknowledged)


def percentile(values: Sequence[float], share: float) -> float:
    """The value below which that share of them lies (the nearest rank)."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, max(0, -int(-len(ordered) * share // 1) - 1))] if ordered else 0.0


def machine() -> str:
    """The cores and the Python of this machine."""
    return f"{os.cpu_count()} cores, {platform.python_implementation()} {platform.python_version()}"


def slowest(run_: Run) -> list[tuple[str, int, float, float]]:
    """Each kind of question: how often, and its middle and slowest hundredth in milliseconds, the slowest first."""
    counts = Counter(one.asked.what for one in run_.well)
    found = []
    for what, times in counts.items():
        took = [one.took * 1000 for one in run_.well if one.asked.what == what]
        found.append((what, times, percentile(took, 0.5), percentile(took, 0.99)))
    return sorted(found, key=lambda one: -one[3])


def now() -> str:
    """The minute, so that two runs are told apart."""
    return time.strftime("%Y-%m-%d %H:%M")
