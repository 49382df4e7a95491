"""Verdicts that are kept: dated notes on a product, of what another size would come to, bounded in number and size.

They lie beside the book and its versions: nothing is reckoned from them, undo and history know nothing of them, and
they stay when their product is put away. What was asked is kept with them, so that it can be asked again.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, func, select

from webapp.errors import Fault, NotFound, TooLarge, Unprocessable
from webapp.store.families import ThingRow, VerdictRow

VERDICT = VerdictRow.__table__  # type: ignore[attr-defined]
THING = ThingRow.__table__  # type: ignore[attr-defined]
#: how many are kept of a product, and how many bytes one may have
MOST, MOST_BYTES = 50, 64 * 1024
GONE = "This note isn't kept any more."
NO_PRODUCT = "There is no such product that this could be kept with."


@dataclass(frozen=True, slots=True)
class KeptVerdict:
    """A verdict that is kept: the sentence as it was read, what was asked, and the figures as texts, by name."""

    ident: int
    product: int
    day: date
    sentence: str
    question: Mapping[str, Any]
    figures: Mapping[str, Any]
    when: datetime


def kept_in(connection: Connection, product: int) -> tuple[KeptVerdict, ...]:
    """Those of a product, the newest first."""
    query = select(VERDICT).where(VERDICT.c.product == product).order_by(VERDICT.c.day.desc(), VERDICT.c.id.desc())
    return tuple(_kept(row) for row in connection.execute(query))


def one_in(connection: Connection, ident: int) -> KeptVerdict:
    """One of them. NotFound where it is none."""
    row = connection.execute(select(VERDICT).where(VERDICT.c.id == ident)).first()
    if row is None:
        raise NotFound(GONE)
    return _kept(row)


def _kept(row: Any) -> KeptVerdict:
    question, figures = json.loads(row.question), json.loads(row.figures)
    return KeptVerdict(row.id, row.product, row.day, row.sentence, question, figures, row.at)


def columns_of(
    product: int, day: date, sentence: str, question: Mapping[str, Any], figures: Mapping[str, Any]
) -> dict[str, Any]:
    """A verdict as it lies in its table, but for its moment. TooLarge past MOST_BYTES."""
    asked, found = (json.dumps(dict(one), sort_keys=True) for one in (question, figures))
    if len((sentence + asked + found).encode()) > MOST_BYTES:
        raise TooLarge("That is too much to be kept as one note. Ask about less at once.")
    return {"product": product, "day": day, "sentence": sentence, "question": asked, "figures": found}


def kept_already(connection: Connection, values: Mapping[str, Any]) -> int | None:
    """The number of the same note of the same day: what is sent twice is kept once."""
    same = (VERDICT.c[name] == value for name, value in values.items())
    found: int | None = connection.execute(select(VERDICT.c.id).where(*same)).scalar()
    return found


def refuse(connection: Connection, product: int) -> None:
    """NotFound where it is no product; Unprocessable where one more would be too many."""
    kind = connection.execute(select(THING.c.kind).where(THING.c.id == product)).scalar()
    if kind != "product":
        raise NotFound(NO_PRODUCT)
    count = select(func.count()).select_from(VERDICT).where(VERDICT.c.product == product)
    if connection.execute(count).scalar_one() >= MOST:
        sentence = f"{MOST} notes of this product are kept already. Throw one away first."
        raise Unprocessable([Fault("", "too-many", sentence)])
