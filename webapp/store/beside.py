"""What is kept beside the book: drafts, kept what-ifs, verdicts. The writer's turns, and no change of the book."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from webapp import errors
from webapp.costing.everything import Beside as Kept
from webapp.costing.limits import name_key
from webapp.store import verdicts
from webapp.store.drafts import DRAFT, HEARD, Draft, Turn, gives_way_to, row_of, too_many, too_many_heard
from webapp.store.families import ChangeRow
from webapp.store.what_ifs import GONE, WHAT_IF, columns_of, refuse, what_ifs_beside

CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]


def kept_beside(connection: Connection) -> Kept:
    """All that is kept, but for drafts: what-ifs and notes."""
    return Kept(what_ifs_beside(connection), verdicts.notes_beside(connection))


def take_in(connection: Connection, kept: Kept) -> None:
    """Keep what a file brought: what-ifs by their names, notes that are not kept yet. Unprocessable past the limits."""
    now = datetime.now(UTC)
    for one in kept.what_ifs:
        query = select(WHAT_IF.c.id).where(WHAT_IF.c.name_key == name_key(one.name))
        ident = connection.execute(query).scalar_one_or_none()
        refuse(connection, one.name, ident)
        values = columns_of(one.name, one.rows, one.when or now)
        if ident is None:
            connection.execute(insert(WHAT_IF).values(values))
        else:
            connection.execute(update(WHAT_IF).where(WHAT_IF.c.id == ident).values(values))
    for note in kept.notes:
        values = verdicts.columns_of(note.thing, note.day, note.sentence, note.question, note.figures)
        if verdicts.kept_already(connection, values) is None:
            verdicts.refuse(connection, note.thing)
            connection.execute(insert(verdicts.VERDICT).values(**values, at=note.when or now))


def _is_late(connection: Connection, turn: Turn) -> bool:
    """Whether something later was heard from this page already; otherwise this is what was heard last."""
    known = HEARD.c.sender == turn.sender
    last = connection.execute(select(HEARD.c.number).where(known)).scalar_one_or_none()
    if last is not None and last >= turn.number:
        return True
    connection.execute(delete(HEARD).where(known))
    connection.execute(insert(HEARD).values(sender=turn.sender, number=turn.number))
    connection.execute(delete(HEARD).where(too_many_heard()))
    return False


class Beside(ABC):
    """The part of a writer that keeps what is no change."""

    @abstractmethod
    def beside(self) -> AbstractContextManager[Connection]:
        """A turn at writing in which the book stays as it is."""

    def keep_draft(self, draft: Draft, token: str, turn: Turn | None = None) -> bool:
        """Keep a half-entered form in place of what was kept of it.

        False where it was saved (by `token`) already, or where its page said something later (by `turn`) meanwhile.
        """
        row = row_of(draft)
        with self.beside() as connection:
            if connection.execute(select(CHANGE.c.id).where(CHANGE.c.token == token)).first() is not None:
                return False
            if turn is not None and _is_late(connection, turn):
                return False
            connection.execute(delete(DRAFT).where(gives_way_to(draft)))
            connection.execute(insert(DRAFT).values(row))
            connection.execute(delete(DRAFT).where(too_many()))
        return True

    def drop_draft(self, form: str, turn: Turn | None = None) -> None:
        """Forget what was half entered in a form, unless its page said something later (by `turn`) meanwhile."""
        with self.beside() as connection:
            if turn is not None and _is_late(connection, turn):
                return
            connection.execute(delete(DRAFT).where(DRAFT.c.form == form))

    def keep_what_if(self, name: str, rows: Sequence[Any] | None, ident: int | None) -> int:
        """Keep a what-if under a name; its number. It is no change. NotFound where `ident` is none."""
        with self.beside() as connection:
            refuse(connection, name, ident)
            values = columns_of(name, rows, datetime.now(UTC))
            if ident is None:
                return int(connection.execute(insert(WHAT_IF).values(values).returning(WHAT_IF.c.id)).scalar_one())
            if not connection.execute(update(WHAT_IF).where(WHAT_IF.c.id == ident).values(values)).rowcount:
                raise errors.NotFound(GONE)
            return ident

    def drop_what_if(self, ident: int) -> None:
        """Throw a kept what-if away. NotFound where it is none."""
        with self.beside() as connection:
            if not connection.execute(delete(WHAT_IF).where(WHAT_IF.c.id == ident)).rowcount:
                raise errors.NotFound(GONE)

    def keep_verdict(self, values: Mapping[str, Any]) -> int:
        """Keep a verdict (`verdicts.columns_of`); its number. It is no change. NotFound where it is of nothing."""
        with self.beside() as connection:
            if (found := verdicts.kept_already(connection, values)) is not None:
                return found
            verdicts.refuse(connection, values["thing"])
            made = insert(verdicts.VERDICT).values(**values, at=datetime.now(UTC))
            return int(connection.execute(made.returning(verdicts.VERDICT.c.id)).scalar_one())

    def drop_verdict(self, thing: int, ident: int) -> None:
        """Throw a verdict of a thing away; the last few can be kept again. NotFound where it is none."""
        with self.beside() as connection:
            verdicts.refuse_other(connection, thing, ident, thrown=False)
            self._throw(connection, ident, verdicts.next_thrown(connection, thing, datetime.now(UTC)))
            connection.execute(delete(verdicts.VERDICT).where(verdicts.beyond_the_last(thing)))

    def keep_verdict_again(self, thing: int, ident: int) -> None:
        """Keep a verdict again that was thrown away. NotFound where it is none."""
        with self.beside() as connection:
            if verdicts.refuse_other(connection, thing, ident):
                verdicts.refuse(connection, thing)
                self._throw(connection, ident, None)

    def _throw(self, connection: Connection, ident: int, when: datetime | None) -> None:
        table = verdicts.VERDICT
        connection.execute(update(table).where(table.c.id == ident).values(thrown=when))
