"""A question about another size as it is typed: read, what is wrong with it, kept, and typed again.

Faults stand at the fields of the question by the rows as they were typed ("candidates-1-price"), with a sentence each.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any, NamedTuple

from webapp.costing import entry
from webapp.costing.amounts import JSON_NOTATION, Notation
from webapp.costing.book import Book, Id
from webapp.costing.describing import Rows
from webapp.costing.limits import Fault
from webapp.costing.size_facts import Candidate, SizeQuestion
from webapp.costing.size_faults import faults_of
from webapp.costing.size_shapes import SIZE_QUESTION

CANDIDATES, MEMBERS = "candidates", "members"


class Read(NamedTuple):
    """The question, or None and what is wrong with what was typed."""

    question: SizeQuestion | None
    faults: tuple[Fault, ...] = ()


def read(book: Book, typed: Mapping[str, Any], notation: Notation = JSON_NOTATION) -> Read:
    """What was typed, as a question that can be answered from the book as it stands."""
    found = entry.read(SIZE_QUESTION, typed, notation, today=book.day)
    if found.record is None:
        return Read(None, found.faults)
    question = _with_a_box(found.record)
    faults = tuple(_at_row(one, typed, notation) for one in faults_of(book, question))
    return Read(None, faults) if faults else Read(question)


def _with_a_box(question: SizeQuestion) -> SizeQuestion:
    """A set is a candidate also where nothing is said of it but what is in it."""
    return (
        replace(question, candidates=(Candidate(),)) if question.ask == "set" and not question.candidates else question
    )


def _at_row(fault: Fault, typed: Mapping[str, Any], notation: Notation) -> Fault:
    """A fault of the third candidate at the row where that was typed: spare rows before it are not counted."""
    name, place, field = (*fault.field.split("-", 2), "", "")[:3]
    if name not in (CANDIDATES, MEMBERS) or not place.isdecimal():
        return fault
    rows = _rows_typed(name, typed, notation)
    row = rows[int(place)] if int(place) < len(rows) else int(place)
    return Fault(f"{name}-{row}" + (f"-{field}" if field else ""), fault.code, fault.sentence)


def _rows_typed(name: str, typed: Mapping[str, Any], notation: Notation) -> list[int]:
    """Which rows were read, by their place among those that were typed."""
    kind, rows = SIZE_QUESTION.field(name).kind, typed.get(name)
    if not isinstance(kind, Rows) or not isinstance(rows, list):
        return []
    return [
        place
        for place, row in enumerate(rows)
        if row is not None and (notation.strict or not entry.is_spare(row, kind))
    ]  # fmt: skip


# --- kept


def about(question: SizeQuestion) -> tuple[tuple[str, Id], ...]:
    """What a note about it can be kept on, as kind and number: the product, any jar of a set, or the formula.

    Of several the first is where it belongs.
    """
    if question.ask == "set":
        return tuple(("product", one.product) for one in question.members)
    if question.product is not None:
        return (("product", question.product),)
    return () if question.formula is None else (("formula", question.formula),)


def kept(book: Book, typed: Mapping[str, Any], notation: Notation = JSON_NOTATION) -> dict[str, Any]:
    """A question as it is kept: by its amounts where it can be read, in whatever notation; else as it was typed."""
    found = entry.read(SIZE_QUESTION, typed, notation, today=book.day)
    if found.record is None:
        return {"typed": _texts(typed)}
    return _without_empty(entry.show(SIZE_QUESTION, found.record))


def _without_empty(told: Mapping[str, Any]) -> dict[str, Any]:
    return {
        name: [_without_empty(row) for row in one] if isinstance(one, list) else one
        for name, one in told.items()
        if one not in (None, "", [])
    }


def _texts(typed: Mapping[str, Any]) -> dict[str, Any]:
    """What can be kept as text of what was typed, rows too."""
    found: dict[str, Any] = {name: one for name, one in typed.items() if isinstance(one, str | int)}
    for name, rows in typed.items():
        if isinstance(rows, list):
            found[name] = [_texts(row) for row in rows if isinstance(row, Mapping)]
    return found


def again(told: Mapping[str, Any], notation: Notation) -> dict[str, Any]:
    """A kept question as it is typed in a form, by its notation."""
    if isinstance(typed := told.get("typed"), Mapping):
        return dict(typed)
    found = entry.read(SIZE_QUESTION, told, JSON_NOTATION, today=date.min)
    return dict(told) if found.record is None else entry.show(SIZE_QUESTION, found.record, notation)
