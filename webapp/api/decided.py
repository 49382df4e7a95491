"""Prices that are decided with a change: `prices` in the body of what is entered, changed or taken back.

They are stored with it in one change, or nothing is. Each keeps the floor and the suggestion as they are after it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from webapp.api.asking import Asked
from webapp.costing.amounts import JSON_NOTATION
from webapp.costing.book import Book
from webapp.costing.changes import Change, Put, apply_all
from webapp.costing.checks import Question as Asking
from webapp.costing.decisions import TAKE, Decision, decided, puts
from webapp.costing.reckoning import Reckoning
from webapp.errors import Fault, Question, Unprocessable

PRICES = "prices"
MOST = 200


def parted(data: Any) -> tuple[Any, list[Any]]:
    """A body without `prices`, and what stood there. Unprocessable where that is no list."""
    if not isinstance(data, dict) or PRICES not in data:
        return data, []
    rows = data[PRICES]
    if not isinstance(rows, list) or len(rows) > MOST or not all(isinstance(one, dict) for one in rows):
        raise Unprocessable([Fault(PRICES, "shape", f"Write this as a list of {MOST} decisions at most.")])
    return {name: one for name, one in data.items() if name != PRICES}, rows


def after(asked: Asked, changes: Sequence[Change]) -> Book:
    """The book as it would be. Unprocessable with every fault of the changes."""
    completed = [asked.store.completed(change, asked.today) for change in changes]
    found = apply_all(asked.book, completed)
    if not isinstance(found, Book):
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in found])
    return found


def decisions(asked: Asked, rows: Sequence[Any]) -> tuple[Decision, ...]:
    """What was decided; a row without an `answer` takes its amount. Unprocessable with every fault."""
    read = decided(asked.book, [{"answer": TAKE, **row} for row in rows], JSON_NOTATION, asked.today)
    if read.faults:
        raise Unprocessable([Fault(one.field, one.code, one.sentence) for one in read.faults])
    return tuple(read.by_pair.values())


def with_prices(asked: Asked, changes: Sequence[Change], rows: Sequence[Any], why: str) -> tuple[Change, ...]:
    """The changes and what keeps the prices decided with them."""
    if not rows:
        return tuple(changes)
    read = decisions(asked, rows)
    kept: tuple[Put, ...] = puts(Reckoning(after(asked, changes), asked.reckoning), read, asked.today, why)
    return (*changes, *kept)


def at_their_rows(questions: Iterable[Question], rows: Sequence[Any]) -> list[Asking]:
    """Questions, those about a price that is decided with the change at its row ("prices-3-amount")."""
    places = {(one.get("product"), one.get("channel")): place for place, one in enumerate(rows)}
    return [Asking(one.code, _field(one, places), one.sentence, one.answer, one.pair) for one in questions]


def _field(one: Question, places: Mapping[Any, int]) -> str:
    place = places.get(one.pair)
    return one.field if place is None else f"{PRICES}-{place}-amount"
