"""Half-entered forms: texts as they were typed, beside the book and its versions, bounded in number and size.

Old ones are not offered any more; what goes for good goes by number, so that a clock that is wrong for a while takes
nothing away. They are no facts: no change makes them, nothing is reckoned from them, and undo and history know nothing
of them.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import ColumnElement, Connection, select

from webapp.errors import TooLarge
from webapp.store.families import DraftRow, HeardRow

DRAFT = DraftRow.__table__  # type: ignore[attr-defined]
HEARD = HeardRow.__table__  # type: ignore[attr-defined]
#: how many are kept (the oldest go first), how many bytes one may have, and for how many days it is offered
MOST, MOST_BYTES, MOST_DAYS = 50, 256 * 1024, 30
#: of how many opened pages it is known what was heard last
MOST_HEARD = 200


@dataclass(frozen=True, slots=True)
class Draft:
    """What stands in a form that was not saved.

    `form` is the form's own mark, `kind` what it is about, `page` where it is typed, `when` (with its time zone) when
    it was typed last; `epoch` and `version` are those of the data that it was made from.
    """

    form: str
    kind: str
    page: str
    texts: Mapping[str, str]
    when: datetime
    epoch: str
    version: int


@dataclass(frozen=True, slots=True)
class Turn:
    """Which word this is of an opened page, counted there: what it says while it is left arrives in any order."""

    sender: str
    number: int


def row_of(draft: Draft) -> dict[str, Any]:
    """A draft as it lies in its table. TooLarge past MOST_BYTES."""
    texts = json.dumps(dict(draft.texts), ensure_ascii=False)
    if len(texts.encode()) > MOST_BYTES:
        raise TooLarge("That is too much to be kept half-entered. Save it, or type less.")
    return {
        "form": draft.form,
        "kind": draft.kind,
        "page": draft.page,
        "texts": texts,
        "at": draft.when,
        "epoch": draft.epoch,
        "version": draft.version,
    }


def gives_way_to(draft: Draft) -> ColumnElement[bool]:
    """What goes when a draft is kept: the same form as it was before."""
    same: ColumnElement[bool] = DRAFT.c.form == draft.form
    return same


def too_many() -> ColumnElement[bool]:
    """The drafts beyond the newest MOST."""
    newest_first = select(DRAFT.c.id).order_by(DRAFT.c.id.desc())
    number: ColumnElement[int] = DRAFT.c.id
    return number.in_(newest_first.offset(MOST))


def too_many_heard() -> ColumnElement[bool]:
    """The pages beyond the newest MOST_HEARD."""
    number: ColumnElement[int] = HEARD.c.id
    return number.in_(select(HEARD.c.id).order_by(HEARD.c.id.desc()).offset(MOST_HEARD))


def oldest(now: datetime) -> datetime:
    """From when on a draft is still offered."""
    return now - timedelta(days=MOST_DAYS)


def drafts_in(connection: Connection, now: datetime, page: str, kinds: Sequence[str]) -> tuple[Draft, ...]:
    """The drafts of a page, or those of some kinds; the one that was typed last first."""
    wanted = DRAFT.c.page == page if page else DRAFT.c.kind.in_(kinds)
    query = select(DRAFT).where(wanted, DRAFT.c.at >= oldest(now)).order_by(DRAFT.c.id.desc())
    return tuple(
        Draft(row.form, row.kind, row.page, json.loads(row.texts), row.at, row.epoch, row.version)
        for row in connection.execute(query)
    )
