"""What a change asks of the tables: which rows end and which are inserted. Nothing is changed here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from webapp.costing.changes import Change, Put, Restore, Retire, Withdraw, affected
from webapp.store.aspects import Aspect, Identity, Kept, Stored
from webapp.store.assembling import newest, record_of
from webapp.store.reading import Live
from webapp.store.rows import STORED

#: databases bound how many values a statement may name
AT_ONCE = 500
Place = tuple[date | None, int | None]


@dataclass
class Plan:
    """By table: numbers of rows to end, and rows to insert (columns without the housekeeping)."""

    ended: dict[str, list[int]] = field(default_factory=dict)
    made: dict[str, list[dict[str, Any]]] = field(default_factory=dict)

    def endings(self) -> Iterator[tuple[str, list[int]]]:
        """Tables with numbers of rows to end, no more at once than a statement may name."""
        for name, numbers in self.ended.items():
            yield from ((name, numbers[first : first + AT_ONCE]) for first in range(0, len(numbers), AT_ONCE))

    def end(self, aspect: Aspect, rows: Iterable[Kept]) -> None:
        """Have these rows end."""
        numbers = [row.row for row in rows]
        if numbers:
            self.ended.setdefault(aspect.table.name, []).extend(numbers)

    def make(self, aspect: Aspect, identity: Identity, place: Place, value: Any) -> None:
        """Have a row inserted at a day and position."""
        about = identity if aspect.paired else (identity,)
        row = dict(zip(aspect.identity, about, strict=True))
        at = {name: one for name, one in zip(("from_day", "position"), place, strict=True) if name in aspect.key}
        self.made.setdefault(aspect.table.name, []).append({**row, **at, **aspect.encode(value)})


def plan_for(live: Live, change: Change, today: date) -> Plan:
    """The rows that `change` ends and makes beside what holds in `live`."""
    kind, identity = affected(change)
    work = _Work(live, STORED[kind], identity)
    if isinstance(change, Put):
        work.put(change.record, today)
    elif isinstance(change, Withdraw):
        work.withdraw(change.since)
    elif isinstance(change, Retire):
        work.put_away(change.day, away=True)
    else:
        work.put_away(today, away=False)
    return work.plan


def plan_together(live: Live, changes: Iterable[Change], today: date) -> Plan:
    """The rows that very many changes end and make at once; several of one thing are of different days, or its parts.

    What such changes say of a thing whatever the day is the same in each, so it is taken once.
    """
    whole, told = Plan(), set[tuple[str, Identity, date | None]]()
    for change in changes:
        kind, identity = affected(change)
        work = _Work(live, STORED[kind], identity, whole, told)
        if isinstance(change, Put):
            work.put(change.record, today)
        elif isinstance(change, Retire | Restore):
            work.put_away(change.day if isinstance(change, Retire) else today, away=isinstance(change, Retire))
    return whole


def completed(live: Live, change: Change, today: date) -> Change:
    """`change` with what a book of `today` cannot know: the fact that holds again once another is taken back."""
    if not isinstance(change, Withdraw) or change.since is None:
        return change
    stored = STORED[change.kind]
    if stored.content is None:
        return change
    left = [row for row in live.rows(stored.content, change.key) if row.day != change.since]
    tables = {**live.tables, stored.content.table.name: {change.key: left}}
    return replace(change, before=record_of(replace(live, tables=tables), stored, change.key, today))


@dataclass(frozen=True)
class _Work:
    """The rows of one thing or pair, and what is to become of them."""

    live: Live
    stored: Stored
    identity: Identity
    plan: Plan = field(default_factory=Plan)
    told: set[tuple[str, Identity, date | None]] = field(default_factory=set)
    """What was put already in the same go: a table, what it is about, and a day."""

    def put(self, record: Any, today: date) -> None:
        since: date | None = None
        if (head := self.stored.head) is not None:
            self.replace(head, {(None, None): head.value_of(record)}, None)
        if (content := self.stored.content) is not None:
            since = record.since
            self.replace(content, {(since, None): content.value_of(record)}, since)
        for name, aspect in self.stored.parts.items():
            self.put_part(aspect, getattr(record, name), today)
        for name, aspect in self.stored.lines.items():
            lines = enumerate(getattr(record, name))
            wanted: dict[Place, Any] = {(since, position): line for position, line in lines}
            self.replace(aspect, wanted, since)

    def replace(self, aspect: Aspect, wanted: Mapping[Place, Any], since: date | None) -> None:
        """End what holds of that day and differs, make what is wanted and not there."""
        which = (aspect.table.name, self.identity, since)
        if which in self.told:
            return
        self.told.add(which)
        held = {(row.day, row.position): row for row in self.live.rows(aspect, self.identity) if row.day == since}
        gone = (row for place, row in held.items() if place not in wanted or wanted[place] != row.value)
        self.plan.end(aspect, gone)
        for place, value in wanted.items():
            if place not in held or held[place].value != value:
                self.plan.make(aspect, self.identity, place, value)

    def put_part(self, aspect: Aspect, part: Any, today: date) -> None:
        if part is not None:
            self.replace(aspect, {(part.since, None): aspect.value_of(part)}, part.since)
            return
        rows = self.live.rows(aspect, self.identity)
        now = newest(rows, today)
        if now is None or _says_none(aspect, now):
            return
        self.plan.end(aspect, [now])
        earlier = newest([row for row in rows if row is not now], today)
        if earlier is not None and not _says_none(aspect, earlier):
            # Without a row that says "none from here on", the earlier one would hold again.
            self.plan.make(aspect, self.identity, (now.day, None), dict.fromkeys(aspect.columns))

    def withdraw(self, since: date | None) -> None:
        for aspect in self.stored.aspects:
            rows = self.live.rows(aspect, self.identity)
            self.plan.end(aspect, (row for row in rows if since is None or row.day in (None, since)))

    def put_away(self, day: date, *, away: bool) -> None:
        """Put away, or bring back, from `day` on: what was said of days before stays, of days after it goes."""
        if (aspect := self.stored.retired) is None:
            return
        rows = self.live.rows(aspect, self.identity)
        earlier = newest([row for row in rows if row.day < day], day)
        needed = away or (earlier is not None and earlier.value["away"])
        right = [row for row in rows if needed and row.day == day and row.value["away"] == away]
        self.plan.end(aspect, (row for row in rows if row.day >= day and row not in right))
        if needed and not right:
            self.plan.make(aspect, self.identity, (day, None), {"away": away})


def _says_none(aspect: Aspect, row: Kept) -> bool:
    return row.value[aspect.columns[0]] is None
