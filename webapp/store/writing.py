"""The only module that changes anything: lock, raise the ledger, read again, apply again, store, commit.

One writer, and it knows no table: it takes the rows that a record wants (aspects), ends those that hold and differ,
and inserts what is new. Undo is one more change made in the same way (`undoing`). Drafts, kept what-ifs and kept
verdicts are stored here too, in the same turns, but as no change.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import Connection, Engine, delete, insert, select, update
from sqlalchemy.exc import IntegrityError

from webapp import errors
from webapp.costing import changes as core
from webapp.costing.book import Book
from webapp.costing.changes import Change, Put
from webapp.costing.everything import Beside as Kept
from webapp.store import engine as doors
from webapp.store.assembling import book_after, record_of
from webapp.store.beside import Beside, take_in
from webapp.store.difference import Plan, completed, plan_for, plan_together
from webapp.store.drafts import DRAFT
from webapp.store.families import ChangeRow, LedgerRow, ThingRow
from webapp.store.moved import Moved
from webapp.store.reading import Key, Live, read_all, refresh
from webapp.store.rows import ASPECTS, STORED
from webapp.store.snapshots import Reader
from webapp.store.undoing import plan_to_undo, refuse_unsound

LEDGER = LedgerRow.__table__  # type: ignore[attr-defined]
CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]
THING = ThingRow.__table__  # type: ignore[attr-defined]


#: what is done before changes are stored on a day
Before = Callable[[Sequence[Change], date], object]
_SINGLE = ("workshop", "terms")
#: the number of a change that changed nothing; changes are counted from 1
UNCHANGED = 0


def _is_new(identity: Any) -> bool:
    return identity < 0 if isinstance(identity, int) else min(identity) < 0


@dataclass(frozen=True, slots=True)
class Intent:
    """Why a change is made and what its maker had before her.

    `kind` is a word or two for the history; `token` and `input_hash` make a second sending of the same harmless;
    `epoch` and `version` are those of the page that was read; `sure` the answers to questions (`Question.answer`);
    `draft` is the mark of the form, whose half-entered texts go when it is stored.
    """

    kind: str
    why: str = ""
    device: str = ""
    token: str = ""
    input_hash: str = ""
    epoch: str | None = None
    version: int | None = None
    sure: frozenset[str] = frozenset()
    draft: str = ""


@dataclass(frozen=True, slots=True)
class Saved:
    """What was stored: the ledger's version, the change's identity (the same number), new identities by temporary.

    Where everything was as it should be already nothing was stored: `change` is UNCHANGED, `version` the present one.
    """

    version: int
    change: int
    ids: Mapping[int, int] = field(default_factory=dict)

    def real(self, number: int) -> int:
        """The identity that a temporary one was given; any other as it is."""
        return self.ids.get(number, number)


class Writer(Beside):
    """The one writer of a store. What its `reader` has need not be read again; what `before` raises is not stored.

    `touch` is called before anything is written.
    """

    def __init__(
        self, engine: Engine, reader: Reader, before: Before | None = None, touch: Callable[[], None] | None = None
    ) -> None:
        self._engine = doors.writing(engine)
        self._reader, self._before, self._touch = reader, before, touch or (lambda: None)
        self._lock = threading.Lock()

    def save(self, changes: Sequence[Change], intent: Intent, today: date) -> Saved:
        """Store `changes` as one; all of them or none."""
        with self._turn(intent) as turn:
            if turn.before is not None:
                return turn.before
            return self._save(turn, changes, today)

    def undo(self, number: int, intent: Intent, today: date) -> Saved:
        """Store the opposite of change `number`. Conflict, naming the later change, where its rows moved on."""
        with self._turn(intent) as turn:
            if turn.before is not None:
                return turn.before
            plan = plan_to_undo(turn.connection, number)
            turn.enter(undoes=number)
            turn.carry_out(plan)
            live = refresh(turn.connection, turn.live, turn.version)
            book = book_after(live, self._reader.book(turn.live, today))
            refuse_unsound(turn.connection, live, book, plan)
            return Saved(turn.version, turn.version)

    def _save(self, turn: Turn, changes: Sequence[Change], today: date) -> Saved:
        book = self._reader.book(turn.live, today)
        for change in changes:
            turn.refuse_stale(core.affected(change), today)
        changes = [completed(turn.live, change, today) for change in changes]
        after = core.apply_all(book, changes)
        if not isinstance(after, Book):
            raise errors.Unprocessable([errors.Fault(one.field, one.code, one.sentence) for one in after])
        open_questions = [one for one in core.questions(book, changes) if one.answer not in turn.intent.sure]
        if open_questions:
            raise errors.Questions(open_questions)
        if self._before and turn.version > 1:
            self._before(changes, today)
        ids = turn.identities(changes)
        turn.enter(ids=ids)
        if not turn.store([core.renumber(change, ids) for change in changes], today):
            turn.before = Saved(turn.version - 1, UNCHANGED)
            return turn.before
        return Saved(turn.version, turn.version, ids)

    def take_over(
        self,
        changes: Sequence[Change],
        intent: Intent,
        today: date,
        check: Callable[[Book], None],
        beside: Callable[[Mapping[int, int]], Kept] = lambda _: Kept(),
    ) -> Saved:
        """Store very many `changes` as one, in any order; `check` is given the book and may refuse them.

        What `beside` gives is stored with them. Alone it is no change.
        """
        with self._turn(intent) as turn:
            if turn.before is not None:
                return turn.before
            for key in dict.fromkeys(map(core.affected, changes)):
                turn.refuse_stale(key, today)
            check(self._reader.book(turn.live, today))
            ids = turn.identities(changes)
            plan = plan_together(turn.live, [core.renumber(change, ids) for change in changes], today)
            if plan.ended or plan.made:
                turn.enter(ids=ids)
                turn.carry_out(plan)
                take_in(turn.connection, beside(ids))
                return Saved(turn.version, turn.version, ids)
            unchanged = turn.before = Saved(turn.version - 1, UNCHANGED)
        if (kept := beside({})) != Kept():
            with self.beside() as connection:
                take_in(connection, kept)
        return unchanged

    @contextmanager
    def _turn(self, intent: Intent) -> Iterator[Turn]:
        """A turn at writing: everything in it is stored together when it ends, or nothing of it."""
        turn = None
        try:
            with self._alone() as connection, connection.begin() as transaction:
                turn = Turn.take(connection, intent, self._reader.current())
                yield turn
                if turn.before is not None:
                    transaction.rollback()
        except IntegrityError as clash:
            raise errors.Conflict from clash
        except (errors.Busy, errors.ReadOnly, errors.DiskFull):
            if turn is None or not self._is_stored(turn):
                raise
            doors.make_lasting(self._engine)

    def _is_stored(self, turn: Turn) -> bool:
        """Whether a change is there although its storing failed: the disk may fail after the last thing that counts.

        Then "nothing was changed" would be untrue, and what was kept from it would be entered twice.
        """
        if not turn.entered:
            return False
        query = select(CHANGE.c.at, CHANGE.c.input_hash).where(CHANGE.c.id == turn.version)
        with doors.situations(), self._engine.connect() as connection, connection.begin():
            found = connection.execute(query).one_or_none()
        return found is not None and tuple(found) == turn.entered

    @contextmanager
    def beside(self) -> Iterator[Connection]:
        """A write that is no change: the ledger is held, as by any writer, and stays as it is."""
        with self._alone() as connection, connection.begin():
            connection.execute(select(LEDGER.c.version).with_for_update())
            yield connection

    @contextmanager
    def _alone(self) -> Iterator[Connection]:
        """A connection while no other thread of ours writes."""
        with self.held(), doors.situations(), self._engine.connect() as connection:
            self._touch()
            yield connection

    @contextmanager
    def held(self) -> Iterator[None]:
        """No thread of ours writes meanwhile."""
        if not self._lock.acquire(timeout=doors.BUSY_SECONDS):
            raise errors.Busy
        try:
            yield
        finally:
            self._lock.release()


@dataclass
class Turn:
    """One write while it is going on.

    With `before` nothing of it is stored: it is what the same sending gave the first time, or that nothing changed.
    """

    connection: Connection
    intent: Intent
    version: int
    live: Live
    before: Saved | None = None
    entered: tuple[datetime, str] | None = None

    @classmethod
    def take(cls, connection: Connection, intent: Intent, current: Live | None) -> Turn:
        """Raise the ledger, which holds off every other writer, and read what holds."""
        raised = update(LEDGER).values(version=LEDGER.c.version + 1).returning(LEDGER.c.epoch, LEDGER.c.version)
        epoch, version = connection.execute(raised).one()
        if current is None or current.epoch != epoch:
            live = read_all(connection, epoch, version - 1)
        elif current.version == version - 1:
            live = current
        else:
            live = refresh(connection, current, version - 1)
        turn = cls(connection, intent, version, live)
        turn.before = turn.sent_before()
        if turn.before is None and intent.epoch not in (None, epoch):
            raise errors.Stale(read_at=intent.version, now=version - 1)
        return turn

    def sent_before(self) -> Saved | None:
        """What the same sending gave. Conflict where its token came with other content."""
        if not self.intent.token:
            return None
        query = select(CHANGE.c.id, CHANGE.c.input_hash, CHANGE.c.ids).where(CHANGE.c.token == self.intent.token)
        found = self.connection.execute(query).one_or_none()
        if found is None:
            return None
        if found.input_hash != self.intent.input_hash:
            raise errors.Conflict(
                "This form was sent before with other content, and that was stored. Load the page and look at it."
            )
        return Saved(found.id, found.id, {int(temporary): real for temporary, real in json.loads(found.ids).items()})

    def refuse_stale(self, key: Key, today: date) -> None:
        """MissingPrecondition or Moved where the thing was changed after it was read."""
        kind, identity = key
        if _is_new(identity):
            return
        of_thing = isinstance(identity, int) and kind not in _SINGLE
        if of_thing and self.live.kinds.get(identity) != (STORED[kind].about or kind):
            raise errors.NotFound
        if key not in self.live.moved:
            return
        if self.intent.version is None:
            raise errors.MissingPrecondition
        if self.live.moved.get(key, 0) > self.intent.version:
            raise self._moved(kind, identity, self.intent.version, today)

    def _moved(self, kind: str, identity: Any, read_at: int, today: date) -> Moved:
        past = read_all(self.connection, self.live.epoch, read_at, past=True)
        before, after = (record_of(live, STORED[kind], identity, today) for live in (past, self.live))
        return Moved((kind, identity), read_at, self.live.version, before, after)

    def enter(self, *, ids: Mapping[int, int] | None = None, undoes: int | None = None) -> None:
        """Write the row of this change; what was half entered in its form goes."""
        intent = self.intent
        values: dict[str, Any] = {
            "id": self.version,
            "at": datetime.now(UTC),
            "kind": intent.kind,
            "why": intent.why,
            "device": intent.device,
            "token": intent.token or None,
            "input_hash": intent.input_hash,
            "undoes": undoes,
            "ids": json.dumps(ids or {}),
        }
        self.connection.execute(insert(CHANGE).values(values))
        self.entered = (values["at"].replace(microsecond=0), intent.input_hash)
        if intent.draft:
            self.connection.execute(delete(DRAFT).where(DRAFT.c.form == intent.draft))

    def identities(self, changes: Iterable[Change]) -> dict[int, int]:
        """An identity for every new thing."""
        ids: dict[int, int] = {}
        for change in changes:
            kind, identity = core.affected(change)
            if isinstance(change, Put) and isinstance(identity, int) and identity < 0 and identity not in ids:
                made = self.connection.execute(insert(THING).values(kind=kind).returning(THING.c.id))
                ids[identity] = made.scalar_one()
        return ids

    def store(self, changes: Iterable[Change], today: date) -> bool:
        """End and insert what the changes ask for, one after another. False where that was nothing at all."""
        done, anything = set[Key](), False
        for change in changes:
            key = core.affected(change)
            if key in done:
                # Seen as it was left by this same turn, whose version nothing else has.
                self.live = replace(refresh(self.connection, self.live, self.version), version=self.live.version)
            done.add(key)
            plan = plan_for(self.live, change, today)
            anything = anything or bool(plan.ended or plan.made)
            self.carry_out(plan)
        return anything

    def carry_out(self, plan: Plan) -> None:
        """The one place where rows of records are ended and inserted."""
        for name, numbers in plan.endings():
            table = ASPECTS[name].table
            query = update(table).where(table.c.id.in_(numbers), table.c.ended_in.is_(None))
            if self.connection.execute(query.values(ended_in=self.version)).rowcount != len(numbers):
                raise errors.Stale(read_at=self.intent.version, now=self.version - 1)
        for name, rows in plan.made.items():
            made = [{**row, "made_in": self.version} for row in rows]
            self.connection.execute(insert(ASPECTS[name].table), made)
