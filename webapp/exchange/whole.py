"""A whole book as one JSON document, and back to rows of texts.

{"format": "brimful-book", "version": 1, "made_on": "2026-03-31", "currency": "EUR", "sheets": {"materials": [{…}], …}}
Amounts are texts, flags true or false, things are called by their names, and nothing is null.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from typing import Any

from webapp.costing import limits as lim
from webapp.exchange.book_rows import FORMAT, VERSION, Document, Row
from webapp.exchange.book_sheets import NO, YES, BookSheet, sheet, sheets
from webapp.exchange.tables import MOST_ROWS, CannotRead

MEDIA = "application/json"


def written(document: Document) -> bytes:
    """The document as indented JSON in UTF-8, so that two exports can be compared line by line."""
    return (json.dumps(as_json(document), ensure_ascii=False, indent=1) + "\n").encode()


def as_json(document: Document) -> dict[str, Any]:
    """The document as JSON has it."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "made_on": document.made_on.isoformat() if document.made_on else None,
        "currency": document.currency,
        "sheets": {
            one.key: [_object(one, row.cells) for row in document.sheets[one.key]]
            for one in sheets()
            if one.key in document.sheets
        },
    }


def _object(described: BookSheet, cells: Mapping[str, str]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for column in described.columns:
        text = cells.get(column.key)
        is_flag = isinstance(column.kind, lim.Flag) and text in (YES, NO)
        found[column.key] = text == YES if is_flag else (text or None)
    return found


def read(data: bytes) -> Document:
    """The document that JSON bytes hold. CannotRead where they are none, or of a later version."""
    try:
        found = json.loads(data.decode("utf-8-sig"), parse_constant=_refuse)
    except (ValueError, RecursionError):
        raise CannotRead("This is no JSON document. Choose the file as it was exported.") from None
    return from_json(found)


def _refuse(text: str) -> Any:
    raise ValueError(text)


def from_json(found: Any) -> Document:
    """The document that a JSON value is. CannotRead where it is none, or of a later version."""
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        raise CannotRead(f'This is no whole book: it does not say "format": "{FORMAT}".')
    version = found.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise CannotRead("The version of the format is missing. Choose the file as it was exported.")
    if version > VERSION:
        raise CannotRead("This was made by a newer Brimful. Read it with that one.")
    held = found.get("sheets")
    if not isinstance(held, dict):
        raise CannotRead('There are no sheets in it: "sheets" must be an object of lists.')
    return Document(_day(found.get("made_on")), str(found.get("currency") or "")[:3], dict(map(_rows, held.items())))


def _day(text: Any) -> date | None:
    try:
        return date.fromisoformat(text)
    except (TypeError, ValueError):
        return None


def _rows(item: tuple[str, Any]) -> tuple[str, tuple[Row, ...]]:
    key, rows = item
    described = sheet(key)
    if described is None:
        raise CannotRead(f'There is no sheet called "{key[:60]}". The names of sheets stand in its documentation.')
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise CannotRead(f'"{key}" must be a list of objects.')
    if len(rows) > MOST_ROWS:
        raise CannotRead(f"{described.title} has more than {MOST_ROWS:,} rows. Import a part of it at a time.")
    return key, tuple(Row(number, _cells(described, number, row)) for number, row in enumerate(rows, start=1))


def _cells(described: BookSheet, number: int, row: dict[str, Any]) -> dict[str, str]:
    cells: dict[str, str] = {}
    for key, value in row.items():
        if described.column(key) is None:
            raise CannotRead(f'{described.title}, row {number}: there is no "{key[:60]}". Leave it out.')
        if isinstance(value, bool):
            cells[key] = YES if value else NO
        elif value is None or isinstance(value, str):
            cells[key] = value or ""
        else:
            raise CannotRead(f'{described.title}, row {number}, "{key}": write it as text in quotes, such as "12.50".')
    return cells
