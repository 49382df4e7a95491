"""What readers see: one book per day and version, kept until the ledger moves."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any, TypeVar

from sqlalchemy import Connection, Engine, select

from webapp.costing.book import Book
from webapp.errors import Busy, NotFound
from webapp.store import engine as doors
from webapp.store.assembling import book_after, book_of
from webapp.store.families import LedgerRow
from webapp.store.memory import without_collecting
from webapp.store.reading import Key, Live, read_all, refresh
from webapp.store.written import WrittenOf

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

LEDGER = LedgerRow.__table__  # type: ignore[attr-defined]
DAYS_KEPT = 3
ANSWERS_KEPT = 500
HISTORIES_KEPT = 60
Answer = TypeVar("Answer")


class Snapshot:
    """A book with the ledger's version that it was read at, and what is reckoned from it.

    `moved` says at which version each thing, or pair of product and channel, last changed. `written` and `looked_up`
    (histories of prices) go on to the next book of this day.
    """

    def __init__(self, book: Book, live: Live, before: Reckoning | None = None) -> None:
        self.book = book
        self.epoch, self.version = live.epoch, live.version
        self.moved: Mapping[Key, int] = live.moved
        self._before, self._reckoning = before, None
        self.written, self.looked_up = WrittenOf(), WrittenOf(HISTORIES_KEPT)
        self._lock = threading.Lock()
        self._answers: dict[Hashable, Any] = {}

    _reckoning: Reckoning | None

    @property
    def reckoning(self) -> Reckoning:
        """What is reckoned from the book; what did not change is taken over from the book before."""
        with self._lock:
            if self._reckoning is None:
                from webapp.costing.reckoning import Reckoning  # noqa: PLC0415 - only where figures are wanted

                self._reckoning, self._before = Reckoning(self.book, self._before), None
            return self._reckoning

    def followed_by(self, book: Book, live: Live) -> Snapshot:
        """The snapshot of the next book of its day, which goes on with what is worked out of this one."""
        made = Snapshot(book, live, self.reckoned)
        made.written, made.looked_up = self.written, self.looked_up
        return made

    @property
    def reckoned(self) -> Reckoning | None:
        """The newest results that there are, of this book or of one before it."""
        with self._lock:
            return self._reckoning or self._before

    def once(self, question: Hashable, answer: Callable[[], Answer]) -> Answer:
        """What is worked out from this book and its past the first time and kept for the next, the last so many."""
        found: Answer | None = self._answers.get(question)
        if found is None:
            found = answer()
            with self._lock:
                self._answers[question] = found
                while len(self._answers) > ANSWERS_KEPT:
                    del self._answers[next(iter(self._answers))]
        return found


@dataclass(frozen=True)
class Shown:
    """What is published: all rows at one version, and the snapshots made of them by day."""

    live: Live
    days: OrderedDict[date, Snapshot] = field(default_factory=OrderedDict)


class Reader:
    """Reads and keeps. One refreshes at a time; whoever only looks needs no lock."""

    def __init__(self, engine: Engine) -> None:
        self._engine = doors.reading(engine)
        self._shown: Shown | None = None
        self._lock = threading.Lock()
        self._past: OrderedDict[tuple[date, str, int], Snapshot] = OrderedDict()

    def current(self) -> Live | None:
        """The rows that readers see at present; None before the first read."""
        shown = self._shown
        return None if shown is None else shown.live

    def live(self) -> Live:
        """All rows that hold now."""
        return self._up_to_date().live

    def snapshot(self, day: date, version: int | None = None) -> Snapshot:
        """The book of `day`, as it is known now or was known at `version`. NotFound for a version to come."""
        if version is not None:
            return self._as_known_at(day, version)
        shown = self._up_to_date()
        kept = shown.days.get(day)
        if kept is None:
            with self._lock:
                kept = shown.days.get(day) or self._add(shown, day)
        return kept

    def _add(self, shown: Shown, day: date) -> Snapshot:
        with without_collecting():
            made = Snapshot(book_of(shown.live, day), shown.live)
        shown.days[day] = made
        while len(shown.days) > DAYS_KEPT:
            shown.days.popitem(last=False)
        return made

    def _up_to_date(self) -> Shown:
        shown = self._shown
        with doors.reading_situations(), self._engine.connect() as connection, connection.begin():
            epoch, version = _ledger(connection)
            if shown is not None and (shown.live.epoch, shown.live.version) == (epoch, version):
                return shown
            with self._lock, without_collecting():
                live = self._read(connection, epoch, version)
        with self._lock:
            return self._publish(live)

    def _read(self, connection: Connection, epoch: str, version: int) -> Live:
        shown = self._shown
        if shown is None or shown.live.epoch != epoch or shown.live.version > version:
            return read_all(connection, epoch, version)
        if shown.live.version == version:
            return shown.live
        return refresh(connection, shown.live, version)

    def _publish(self, live: Live) -> Shown:
        """Make `live` what readers see, unless another has published as much meanwhile."""
        shown = self._shown
        if shown is not None and shown.live.epoch == live.epoch and shown.live.version >= live.version:
            return shown
        days: OrderedDict[date, Snapshot] = OrderedDict()
        if shown is not None and live.follows == (shown.live.epoch, shown.live.version):
            for day, kept in tuple(shown.days.items()):
                days[day] = kept.followed_by(book_after(live, kept.book), live)
        self._shown = made = Shown(live, days)
        return made

    def book(self, live: Live, day: date) -> Book:
        """The book of `day` for rows that a writer has before it, from what is kept where that helps."""
        shown = self._shown
        kept = None if shown is None else shown.days.get(day)
        if shown is None or kept is None:
            return book_of(live, day)
        if shown.live is live:
            return kept.book
        if live.follows == (shown.live.epoch, shown.live.version):
            return book_after(live, kept.book)
        return book_of(live, day)

    def _as_known_at(self, day: date, version: int) -> Snapshot:
        with doors.reading_situations(), self._engine.connect() as connection, connection.begin():
            epoch, newest = _ledger(connection)
            if not 0 <= version <= newest:
                raise NotFound("Nothing is known of that version; the history shows which there are.")
            key = (day, epoch, version)
            kept = self._past.get(key)
            if kept is not None:
                return kept
            live = read_all(connection, epoch, version, past=True)
        made = Snapshot(book_of(live, day), live)
        with self._lock:
            self._past[key] = made
            while len(self._past) > DAYS_KEPT:
                self._past.popitem(last=False)
        return made


def _ledger(connection: Connection) -> tuple[str, int]:
    """Busy where whoever waited for a restore of a PostgreSQL to end sees emptied tables: it began before that."""
    row: Any = connection.execute(select(LEDGER.c.epoch, LEDGER.c.version)).first()
    if row is None:
        raise Busy
    return row.epoch, row.version
