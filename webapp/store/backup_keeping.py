"""Which backups are kept: the last ones, and one of each of the last days, weeks and months that have any.

It goes by their order and not by how long ago they were: a clock that is wrong for a while, or a program that was not
used, lets nothing go that would have stayed else. The newest of a day, a week or a month stands for it, so that what is
let go now would be let go at any later time too. Where it is known what was made after what, that counts as the order,
and not what a clock said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime, timedelta

LAST, DAYS, WEEKS, MONTHS = 10, 14, 8, 24


def to_keep(
    moments: Iterable[datetime], now: datetime, numbers: Mapping[datetime, int] | None = None
) -> frozenset[datetime]:
    """Those of `moments` that are kept at `now` (all in one time zone, whose days and weeks are meant).

    The last 10; the newest of each of the last 14 days, 8 weeks (from Monday on) and 24 months that have one.
    A moment ahead of `now`, as after a clock that was wrong, is kept and takes nobody's place. `numbers` say in which
    order they were made; without one it is that of the moments.
    """
    moments, numbers = frozenset(moments), numbers or {}
    past = sorted((one for one in moments if one <= now), key=lambda one: (numbers.get(one, 0), one), reverse=True)
    kept = {one for one in moments if one > now} | set(past[:LAST])
    kept |= _newest_of_each(past, lambda one: one.date(), DAYS)
    kept |= _newest_of_each(past, _monday, WEEKS)
    kept |= _newest_of_each(past, lambda one: one.date().replace(day=1), MONTHS)
    return frozenset(kept)


def _monday(moment: datetime) -> date:
    day = moment.date()
    return day - timedelta(day.weekday())


def _newest_of_each(past: Iterable[datetime], span: Callable[[datetime], date], most: int) -> set[datetime]:
    """The newest of each of the last `most` spans, named by their first day. `past` is newest first."""
    found: dict[date, datetime] = {}
    for one in past:
        found.setdefault(span(one), one)
    return {found[day] for day in sorted(found, reverse=True)[:most]}
