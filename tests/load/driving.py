"""People ask when it is their turn, whether the server keeps up or not; what came back is written down."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import count

from tests.load.asking import Line
from tests.load.mix import Asked, Mix

BUSY, CREATED, OK = 503, 201, 200


@dataclass(frozen=True, slots=True)
class Heard:
    """One question and its answer: seconds since it was due and since it was sent; `status` 0 where none came."""

    asked: Asked
    due: float
    waited: float
    took: float
    status: int
    retry: bool

    @property
    def well(self) -> bool:
        """Whether it was answered as it should."""
        return self.status == (CREATED if self.asked.writes else OK)

    @property
    def put_off(self) -> bool:
        """Whether it was told to come back."""
        return self.status == BUSY and self.retry


@dataclass
class Driven:
    """What was heard, and what went wrong, in words; `began` is the moment from which questions were due."""

    heard: list[Heard] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    began: float = 0

    @property
    def ended(self) -> float:
        """The moment, by the same clock as `began`, at which its last question was sent."""
        return self.began + max((one.due + one.waited - one.took for one in self.heard), default=0)


async def drive(mix: Mix, port: int, people: int, rates: tuple[float, float], seconds: float) -> Driven:
    """`people` ask for so long; `rates` are looks and writes a second, of all together. Nobody asks before all are in.

    A question is due at its own moment. Whoever has to wait for an answer asks the next one late.
    """
    driven, turns = Driven(), [asyncio.Queue[tuple[float, Asked] | None]() for _ in range(people)]
    driven.began = began = time.perf_counter() + 0.2
    told = [asyncio.create_task(_person(Line(port), turn, driven, began)) for turn in turns]
    whose = count()

    async def kind(rate: float, draw: Callable[[], Asked]) -> None:
        for number in range(int(rate * seconds)):
            due = (number + 0.5) / rate
            await asyncio.sleep(max(0.0, began + due - time.perf_counter()))
            turns[next(whose) % people].put_nowait((due, draw()))

    await asyncio.gather(kind(rates[0], mix.look), kind(rates[1], mix.write))
    for turn in turns:
        turn.put_nowait(None)
    await asyncio.gather(*told)
    return driven


async def _person(line: Line, turn: asyncio.Queue[tuple[float, Asked] | None], driven: Driven, began: float) -> None:
    while (item := await turn.get()) is not None:
        due, asked = item
        sent = time.perf_counter()
        status, retry = 0, False
        headers = {"Content-Type": "application/json", "Idempotency-Key": asked.token} if asked.writes else {}
        try:
            answer = await line.ask("POST" if asked.writes else "GET", asked.path, asked.body, headers)
            status, retry = answer.status, "retry-after" in answer.headers
            if status not in (OK, CREATED, BUSY):
                driven.faults.append(f"{status} {asked.path}: {answer.body[:160]!r}")
        except (OSError, EOFError, TimeoutError) as error:
            driven.faults.append(f"{type(error).__name__} {asked.path}")
        now = time.perf_counter()
        driven.heard.append(Heard(asked, due, now - began - due, now - sent, status, retry))
    line.close()
