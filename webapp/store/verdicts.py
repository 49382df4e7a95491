"""Verdicts that are kept: dated notes on a product or a formula, of what another size would come to, bounded in number.

They lie beside the book and its versions: nothing is reckoned from them, undo and history know nothing of them, and
they stay when what they are about is put away. What was asked is kept with them, so that it can be asked again. One
that was thrown away can be kept again as long as it is among the last few of its thing.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, func, select

from webapp.costing.everything import NoteKept
from webapp.errors import Fault, NotFound, TooLarge, Unprocessable
from webapp.store.families import ThingRow, VerdictRow

VERDICT = VerdictRow.__table__  # type: ignore[attr-defined]
THING = ThingRow.__table__  # type: ignore[attr-defined]
#: how many are kept of a product, and how many bytes one may have
MOST, MOST_BYTES = 50, 64 * 1024
#: how many that were thrown away can be kept again, of each thing: the last ones
MOST_THROWN = 10
#: what a note can be about
KINDS = ("product", "formula")
GONE = "This note isn't kept any more."
NO_THING = "There is no such product or formula that this could be kept with."


@dataclass(frozen=True, slots=True)
class KeptVerdict:
    """A verdict that is kept: the sentence as it was read, what was asked, and the figures as texts, by name.

    It is about the thing `thing` of its `kind`, one of KINDS.
    """

    ident: int
    kind: str
    thing: int
    day: date
    sentence: str
    question: Mapping[str, Any]
    figures: Mapping[str, Any]
    when: datetime


def kept_in(connection: Connection, thing: int) -> tuple[KeptVerdict, ...]:
    """Those of a thing, the newest first."""
    query = _notes().where(VERDICT.c.thing == thing, VERDICT.c.thrown.is_(None))
    return tuple(_kept(row) for row in connection.execute(query.order_by(VERDICT.c.day.desc(), VERDICT.c.id.desc())))


def notes_beside(connection: Connection) -> tuple[NoteKept, ...]:
    """Those of everything as they leave the program, in the order of their making."""
    query = _notes().where(VERDICT.c.thrown.is_(None)).order_by(VERDICT.c.id)
    found = map(_kept, connection.execute(query))
    return tuple(NoteKept(one.thing, one.day, one.sentence, one.question, one.figures, one.when) for one in found)


def one_in(connection: Connection, ident: int, *, thrown: bool = False) -> KeptVerdict:
    """One of them, or one that was thrown away and can be kept again. NotFound where it is none."""
    query = _notes().where(VERDICT.c.id == ident, VERDICT.c.thrown.is_not(None) == thrown)
    row = connection.execute(query).first()
    if row is None:
        raise NotFound(GONE)
    return _kept(row)


def _notes() -> Select[Any]:
    return select(VERDICT, THING.c.kind).where(THING.c.id == VERDICT.c.thing)


def _kept(row: Any) -> KeptVerdict:
    question, figures = json.loads(row.question), json.loads(row.figures)
    return KeptVerdict(row.id, row.kind, row.thing, row.day, row.sentence, question, figures, row.at)


def columns_of(
    thing: int, day: date, sentence: str, question: Mapping[str, Any], figures: Mapping[str, Any]
) -> dict[str, Any]:
    """A verdict as it lies in its table, but for its moment. TooLarge past MOST_BYTES."""
    asked, found = (json.dumps(dict(one), sort_keys=True) for one in (question, figures))
    if len((sentence + asked + found).encode()) > MOST_BYTES:
        raise TooLarge("That is too much to be kept as one note. Ask about less at once.")
    return {"thing": thing, "day": day, "sentence": sentence, "question": asked, "figures": found}


def kept_already(connection: Connection, values: Mapping[str, Any]) -> int | None:
    """The number of the same note of the same day: what is sent twice is kept once."""
    same = [VERDICT.c[name] == value for name, value in values.items()]
    found: int | None = connection.execute(select(VERDICT.c.id).where(*same, VERDICT.c.thrown.is_(None))).scalar()
    return found


def refuse(connection: Connection, thing: int) -> None:
    """NotFound where it is nothing of KINDS; Unprocessable where one more would be too many."""
    kind = connection.execute(select(THING.c.kind).where(THING.c.id == thing)).scalar()
    if kind not in KINDS:
        raise NotFound(NO_THING)
    count = select(func.count()).select_from(VERDICT).where(VERDICT.c.thing == thing, VERDICT.c.thrown.is_(None))
    if connection.execute(count).scalar_one() >= MOST:
        sentence = f"{MOST} notes of this {kind} are kept already. Throw one away first."
        raise Unprocessable([Fault("", "too-many", sentence)])


def refuse_other(connection: Connection, thing: int, ident: int, *, thrown: bool | None = None) -> bool:
    """Whether one of a thing was thrown away. NotFound where it is none of it, or is not as it should be."""
    query = select(VERDICT.c.id, VERDICT.c.thrown).where(VERDICT.c.thing == thing, VERDICT.c.id == ident)
    found = connection.execute(query).first()
    if found is None or thrown not in (None, found.thrown is not None):
        raise NotFound(GONE)
    return found.thrown is not None


def next_thrown(connection: Connection, thing: int, now: datetime) -> datetime:
    """The moment that one is thrown away at: behind all before it, also where a clock was ahead when they were."""
    last = connection.execute(select(func.max(VERDICT.c.thrown)).where(VERDICT.c.thing == thing)).scalar()
    return now if last is None else max(now, last + timedelta(seconds=1))


def beyond_the_last(thing: int) -> ColumnElement[bool]:
    """Those of a thing that were thrown away too long ago to be kept again."""
    mine = select(VERDICT.c.id).where(VERDICT.c.thing == thing, VERDICT.c.thrown.is_not(None))
    number: ColumnElement[int] = VERDICT.c.id
    return number.in_(mine.order_by(VERDICT.c.thrown.desc(), VERDICT.c.id.desc()).offset(MOST_THROWN))
