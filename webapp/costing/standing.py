"""Where a material's cost stands in its own history: "highest in 14 months".

It is held against what was paid (landed, per gram or piece) in every price-setting purchase up to a day; quotes and
starting prices are not bought at, so they are no history.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from operator import ge, le
from typing import NamedTuple

from webapp.costing.amounts import snap
from webapp.costing.book import Book, Id
from webapp.costing.gaps import Gap
from webapp.costing.reckoning import Reckoning

#: less than this is no history worth a word
LEAST_MONTHS = 3

Paid = tuple[date, Decimal]


class Standing(NamedTuple):
    """The highest or lowest cost in so many whole months; `months` is None where nothing on record reaches it."""

    side: str  # highest | lowest
    months: int | None
    since: date
    """The last day on which as much (as little) was paid; where nothing reaches it, the first day on record."""


def paid(known: Reckoning, material: Id, day: date, after: Book | None = None) -> list[Paid]:
    """What each price-setting purchase up to a day cost, oldest first; one without a known cost is left out.

    With `after`, the book after a change, only the orders that stand in it as they are: what a corrected or withdrawn
    order says today was not paid.
    """
    found = []
    for order, index in known.purchases(material):
        if after is not None and after.orders.get(order) != known.book.orders[order]:
            continue
        cost = known.landed_line(order, index).unit_cost
        bought = known.book.orders[order].day
        if bought <= day and not isinstance(cost, Gap):
            found.append((bought, snap(cost)))
    return found


def standing(history: list[Paid], cost: Decimal, day: date) -> Standing | None:
    """Where `cost` stands on a day among what was paid, oldest first; None where it is nothing to speak of.

    One above what was paid last may be the highest for long, one below it the lowest.
    """
    now = snap(cost)
    if not history or now == history[-1][1]:
        return None
    return _on(history, now, day, "highest", ge) if now > history[-1][1] else _on(history, now, day, "lowest", le)


def _on(
    history: list[Paid],
    cost: Decimal,
    day: date,
    side: str,
    reaches: Callable[[Decimal, Decimal], bool],
) -> Standing | None:
    last = next((bought for bought, was in reversed(history) if reaches(was, cost)), None)
    since = history[0][0] if last is None else last
    months = whole_months(since, day)
    if months < LEAST_MONTHS:
        return None
    return Standing(side, None if last is None else months, since)


def whole_months(start: date, end: date) -> int:
    """How many whole calendar months lie between two days."""
    return (end.year - start.year) * 12 + end.month - start.month - (end.day < start.day)
