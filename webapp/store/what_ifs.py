"""What-ifs that are kept: named lists of suppositions, beside the book and its versions, bounded in number and size.

They are no facts: nothing is reckoned from them until they are opened, and undo and history know nothing of them.
Unlike what is half entered they don't grow old.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, func, select

from webapp.costing.everything import WhatIfKept
from webapp.costing.limits import name_key
from webapp.errors import Fault, TooLarge, Unprocessable
from webapp.store.families import WhatIfRow

WHAT_IF = WhatIfRow.__table__  # type: ignore[attr-defined]
#: how many are kept, and how many bytes one may have
MOST, MOST_BYTES = 50, 64 * 1024
GONE = "This what-if isn't kept any more."


@dataclass(frozen=True, slots=True)
class KeptWhatIf:
    """A what-if that is kept: its suppositions as they were written, and when it was kept last (with time zone)."""

    ident: int
    name: str
    rows: tuple[Mapping[str, Any], ...]
    when: datetime


def kept_in(connection: Connection) -> tuple[KeptWhatIf, ...]:
    """All of them, by name."""
    query = select(WHAT_IF).order_by(WHAT_IF.c.name_key)
    return tuple(
        KeptWhatIf(row.id, row.name, tuple(json.loads(row.texts)), row.at) for row in connection.execute(query)
    )


def what_ifs_beside(connection: Connection) -> tuple[WhatIfKept, ...]:
    """All of them as they leave the program: by name, without their numbers."""
    return tuple(WhatIfKept(one.name, one.rows, one.when) for one in kept_in(connection))


def columns_of(name: str, rows: Sequence[Any] | None, when: datetime) -> dict[str, Any]:
    """A what-if as it lies in its table; `rows` None leaves its suppositions. TooLarge past MOST_BYTES."""
    values: dict[str, Any] = {"name": name, "name_key": name_key(name), "at": when}
    return values if rows is None else {**values, "texts": _texts(rows)}


def refuse(connection: Connection, name: str, ident: int | None) -> None:
    """Unprocessable at `name` where another has it, or one more would be too many."""
    key = name_key(name)
    found = connection.execute(select(WHAT_IF.c.id).where(WHAT_IF.c.name_key == key)).scalar_one_or_none()
    if found is not None and found != ident:
        raise Unprocessable([Fault("name", "duplicate", "A what-if of that name is kept already. Choose another.")])
    if ident is None and connection.execute(select(func.count()).select_from(WHAT_IF)).scalar_one() >= MOST:
        sentence = f"{MOST} what-ifs are kept already. Throw one away first."
        raise Unprocessable([Fault("name", "too-many", sentence)])


def _texts(rows: Sequence[Any]) -> str:
    texts = json.dumps(list(rows), ensure_ascii=False)
    if len(texts.encode()) > MOST_BYTES:
        raise TooLarge("That is too much to be kept as one what-if. Suppose less at once.")
    return texts
