"""Where each restore stands among the changes that there are: by what it brought back, and not by what a clock said.

A restore is no change and has no number of its own. It is noted beside the backups with the number of the last change
that it brought back, so that it stands behind that one; and with the epochs of what it brought and of what came of it,
which tell whether what is there now came of it at all, or of a restore after it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, func, select

from webapp.store import backup_notes as notes
from webapp.store.families import ChangeRow

CHANGE = ChangeRow.__table__  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True)
class Stands:
    """A restore as it was noted, its moment, and the number of the change that it stands behind."""

    behind: int
    at: datetime
    told: Mapping[str, Any]


def noted_in(folder: Path, ask: Callable[..., tuple[Stands, ...]]) -> tuple[Stands, ...]:
    """The restores that are noted in the folder of the backups; the database is asked only where there are any."""
    noted = notes.read_notes(folder)
    return ask(restores_of, noted) if notes.restores_in(noted) else ()


def restores_of(connection: Connection, noted: notes.Notes) -> tuple[Stands, ...]:
    """The restores that are noted, the last first, each where it stands."""
    found = [(at, one) for one in notes.restores_in(noted) if (at := notes.moment(one.get("at")))]
    old = {at for at, one in found if _number(one) is None}
    return placed(found, _behind(connection, sorted(old)))


def placed(found: Sequence[tuple[datetime, Mapping[str, Any]]], behind: Mapping[datetime, int]) -> tuple[Stands, ...]:
    """The same of those that were `found`, the oldest first; `behind` says which change lies before a moment.

    One that was noted without a number stands by its moment, but never before one that was noted after it.
    """
    stand: list[Stands] = []
    came_of = ""  # what the changes below came of: an epoch, or whatever the last one made
    for at, told in reversed(found):
        number, above = _number(told), stand[-1].behind if stand else None
        if number is None:
            number = behind[at]
        elif came_of in ("", told.get("epoch")):
            came_of = str(told.get("of"))
        else:  # what it brought back was left for what was there before: that is older than it is, all of it
            number = above
        stand.append(Stands(min(one for one in (number, above) if one is not None), at, told))
    return tuple(stand)


def _number(told: Mapping[str, Any]) -> int | None:
    found = told.get("version")
    return found if isinstance(found, int) and not isinstance(found, bool) else None


def _behind(connection: Connection, moments: Sequence[datetime]) -> dict[datetime, int]:
    """The last change before each moment, in one statement. A change knows its second: of the same it is not before."""
    if not moments:
        return {}
    asked = (select(func.max(CHANGE.c.id)).where(CHANGE.c.at < at.astimezone(UTC)).scalar_subquery() for at in moments)
    return {at: found or 0 for at, found in zip(moments, connection.execute(select(*asked)).one(), strict=True)}
