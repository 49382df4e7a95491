"""Which backups are kept: the last ones, one of each of the last days, weeks and months.

It knows moments only. The newest of a day, a week or a month stands for it, so that what is let go now would be let
go at any later time too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta

LAST, DAYS, WEEKS, MONTHS = 10, 14, 8, 24


def to_keep(moments: Iterable[datetime], now: datetime) -> frozenset[datetime]:
    """Those of `moments` that are kept at `now` (all in one time zone, whose days and weeks are meant).

    The last 10; the newest of each of 14 days, of 8 weeks from Monday on and of 24 months, the present ones counted.
    A moment ahead of `now`, as after a clock that was wrong, is kept.
    """
    moments = frozenset(moments)
    past = sorted((one for one in moments if one <= now), reverse=True)
    kept = {one for one in moments if one > now} | set(past[:LAST])
    today = now.date()
    monday = today - timedelta(today.weekday())
    kept |= _newest_of_each(past, lambda one: (today - one.date()).days, DAYS)
    kept |= _newest_of_each(past, lambda one: (monday - _monday(one)).days // 7, WEEKS)
    kept |= _newest_of_each(past, lambda one: _months(now) - _months(one), MONTHS)
    return frozenset(kept)


def _monday(moment: datetime) -> date:
    day = moment.date()
    return day - timedelta(day.weekday())


def _months(moment: datetime) -> int:
    return moment.year * 12 + moment.month


def _newest_of_each(past: Iterable[datetime], ago: Callable[[datetime], int], most: int) -> set[datetime]:
    """The newest of each span (`ago` says how many spans back), of the last `most` spans. `past` is newest first."""
    found: dict[int, datetime] = {}
    for one in past:
        back = ago(one)
        if back < most:
            found.setdefault(back, one)
    return set(found.values())
