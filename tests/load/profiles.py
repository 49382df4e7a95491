"""Who uses it at once, and what is to be reached then."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Profile:
    """People, each with a connection of their own, and how often all of them together ask and write.

    Limits are milliseconds, from when a question was due until its whole answer is there: who waits for an answer to
    an earlier one waits all the same. `overloaded` may be told 503 at once; after it the p99 of single looks has to be
    within `look` again in `back` seconds.
    """

    name: str
    people: int
    reads: float
    writes: float
    p50: float = 0
    p99: float = 0
    postgres: bool = False
    size: str = "S"
    start: float = 0
    memory: float = 0
    overloaded: bool = False
    back: float = 10
    look: float = 300


PROFILES = {
    one.name: one
    for one in (
        Profile("person", people=1, reads=2, writes=0.1, p50=50, p99=200, start=3, memory=150),
        Profile("network", people=5, reads=10, writes=2, p99=300),
        Profile("studio", people=50, reads=100, writes=20, p99=500, postgres=True),
        Profile("overload", people=500, reads=1_000, writes=200, p99=500, postgres=True, overloaded=True),
    )
}
