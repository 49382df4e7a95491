"""What is kept beside the book (what-ifs, notes on sizes) from rows of texts. Nothing that a file leaves out goes."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, datetime
from typing import Any

from webapp.costing import entry, size_asking, supposing
from webapp.costing import limits as lim
from webapp.costing.amounts import Unreadable
from webapp.costing.book import Book
from webapp.costing.describing import Shape
from webapp.costing.everything import Beside, Everything, NoteKept, WhatIfKept
from webapp.costing.size_figures import KEPT
from webapp.costing.size_shapes import SIZE_QUESTION
from webapp.costing.supposing import MOST, SUPPOSITION
from webapp.exchange.book_beside import ABOUT, TYPED
from webapp.exchange.book_cells import Reading
from webapp.exchange.book_rows import Document, Row
from webapp.exchange.book_sheets import (
    AS_TYPED,
    CALLED,
    NO,
    OWNER,
    SIZE_NOTE,
    WHAT_IF,
    BookSheet,
    inner_sheets,
    main_sheet,
)

_LONGEST = 60


def brought(document: Document, held: Everything, reading: Reading, today: date) -> tuple[Beside, int]:
    """What a file has that is not kept as it is, and how much is. Nothing that a file leaves out goes."""
    what_ifs = {lim.name_key(one.name): one for one in held.beside.what_ifs}
    found = [*_what_ifs(document, reading, what_ifs, Book(today))]
    new = [one for one in found if not _same(one, what_ifs.get(lim.name_key(one.name)))]
    notes = [*_notes(document, reading, Book(today))]
    known = [replace(one, when=None) for one in held.beside.notes]
    others = [one for one in notes if replace(one, when=None) not in known]
    return Beside(tuple(new), tuple(others)), len(found) + len(notes) - len(new) - len(others)


def _same(one: WhatIfKept, before: WhatIfKept | None) -> bool:
    return before is not None and (one.name, [*map(dict, one.rows)]) == (before.name, [*map(dict, before.rows)])


def _what_ifs(document: Document, reading: Reading, held: Mapping[str, WhatIfKept], book: Book) -> Iterator[WhatIfKept]:
    described, (lines,) = main_sheet(WHAT_IF), inner_sheets(WHAT_IF)
    told: dict[str, WhatIfKept] = {}
    for row in document.sheets.get(described.key, ()):
        name = _read(reading, described, row, "name", lim.NAME)
        if name and lim.name_key(name) in told:
            reading.fault(described, row, "name", "There are two what-ifs of that name. Leave one of them out.")
        elif name:
            before = held.get(lim.name_key(name))
            told[lim.name_key(name)] = WhatIfKept(name, before.rows if before else (), _when(reading, described, row))
    supposed: dict[str, list[dict[str, Any]]] = {}
    for row in document.sheets.get(lines.key, ()):
        key = lim.name_key(row.cells.get(OWNER, ""))
        if key not in told and key in held:
            told[key] = held[key]
        if key not in told:
            reading.fault(lines, row, OWNER, "There is no what-if of that name, in this file or in the book.")
        elif len(supposed.setdefault(key, [])) >= MOST:
            reading.fault(lines, row, OWNER, f"At most {MOST} things can be supposed at once.")
        else:
            supposed[key].append(_supposition(reading, lines, row, book))
    for key, one in told.items():
        yield replace(one, rows=tuple(supposed[key])) if key in supposed else one


def _supposition(reading: Reading, described: BookSheet, row: Row, book: Book) -> dict[str, Any]:
    if row.cells.get(AS_TYPED, "").strip():
        return {TYPED: _typed(reading, described, row, SUPPOSITION)}
    typed = {name: one for name, one in reading.typed(described, row, {}).items() if one != ""}
    typed["counts"] = typed.get("counts") != NO
    read = supposing.suppositions(book, [{**typed, "counts": True}])
    for fault in read.faults:
        key = fault.field.rpartition("-")[2] if fault.field.count("-") > 1 else "kind"
        reading.fault(described, row, key, fault.sentence)
    return supposing.kept(book, [typed])[0]


def _typed(reading: Reading, described: BookSheet, row: Row, shape: Shape) -> dict[str, Any]:
    """What was kept as it was typed: texts by name."""
    try:
        found = json.loads(row.cells[AS_TYPED])
        if not isinstance(found, dict):
            raise TypeError
        kinds = {one.name: one.kind.kind for one in shape.fields if isinstance(one.kind, lim.Reference)}
        texts = {str(name): one for name, one in found.items() if isinstance(one, str | int | bool)}
        return {
            name: str(reading.naming.find(kinds[name], str(one))) if name in kinds and one else one
            for name, one in texts.items()
        }
    except Unreadable as unreadable:
        reading.fault(described, row, AS_TYPED, unreadable.sentence)
    except (ValueError, TypeError, RecursionError):
        reading.fault(described, row, AS_TYPED, "This is no JSON object. Leave the cell as it was exported.")
    return {}


def _notes(document: Document, reading: Reading, book: Book) -> Iterator[NoteKept]:
    described = main_sheet(SIZE_NOTE)
    called: set[str] = set()
    lines: dict[tuple[str, str], list[Row]] = {}
    for inner in inner_sheets(SIZE_NOTE):
        for row in document.sheets.get(inner.key, ()):
            lines.setdefault((inner.inner, lim.name_key(row.cells.get(OWNER, ""))), []).append(row)
    for row in document.sheets.get(described.key, ()):
        key = lim.name_key(row.cells.get(CALLED, ""))
        if key in called:
            reading.fault(described, row, CALLED, "There are two notes of that name. Give one of them another.")
        called.add(key)
        mine = {inner.inner: lines.pop((inner.inner, key), []) for inner in inner_sheets(SIZE_NOTE)}
        note = _note(reading, described, row, mine, book)
        if note is not None:
            yield note
    for inner in inner_sheets(SIZE_NOTE):
        for (name, _), rows in lines.items():
            if name == inner.inner:
                reading.fault(inner, rows[0], OWNER, "There is no note of that name in this file.")


def _note(
    reading: Reading, described: BookSheet, row: Row, lines: Mapping[str, list[Row]], book: Book
) -> NoteKept | None:
    faults = len(reading.faults)
    typed = {name: one for name, one in reading.typed(described, row, {}).items() if one != ""}
    things = [typed.pop(column) for column, _ in ABOUT if column in typed]
    if len(things) != 1 and len(reading.faults) == faults:
        reading.fault(described, row, ABOUT[0][0], "Say which product or which formula it is about, and only one.")
    day = reading.day(described, row, "day")
    if day is None and len(reading.faults) == faults:
        reading.fault(described, row, "day", "Say of which day it is.")
    sentence = _read(reading, described, row, "sentence", lim.NOTE)
    figures, when = _figures(reading, described, row), _when(reading, described, row)
    question = _question(reading, described, row, {**typed, **_inner(reading, lines)}, book)
    if len(reading.faults) > faults or day is None:
        return None
    return NoteKept(things[0], day, sentence, question, figures, when)


def _inner(reading: Reading, lines: Mapping[str, list[Row]]) -> dict[str, Any]:
    """The sizes and the members of a note's question."""
    sheets = {one.inner: one for one in inner_sheets(SIZE_NOTE)}
    return {name: [reading.typed(sheets[name], row, {}) for row in rows] for name, rows in lines.items() if rows}


def _question(reading: Reading, described: BookSheet, row: Row, typed: Mapping[str, Any], book: Book) -> dict[str, Any]:
    if row.cells.get(AS_TYPED, "").strip():
        return {TYPED: _typed(reading, described, row, SIZE_QUESTION)}
    names = {one.name for one in SIZE_QUESTION.fields}
    asked = {name: one for name, one in typed.items() if name in names}
    for fault in entry.read(SIZE_QUESTION, asked, today=book.day).faults:
        reading.fault(described, row, fault.field.partition("-")[0], fault.sentence)
    return size_asking.kept(book, asked)


def _figures(reading: Reading, described: BookSheet, row: Row) -> dict[str, Any]:
    """The figures as they were noted: texts, or gaps with their reasons."""
    try:
        found = json.loads(row.cells.get("figures", "") or "{}")
        if isinstance(found, dict) and all(name in KEPT and _is_figure(one) for name, one in found.items()):
            return found
    except (ValueError, RecursionError):
        pass
    reading.fault(described, row, "figures", "These are no figures of a note. Leave the cell as it was exported.")
    return {}


def _is_figure(found: Any) -> bool:
    if isinstance(found, dict):
        gap = found.get("gap")
        return found.keys() == {"gap"} and isinstance(gap, dict) and isinstance(gap.get("reason"), str)
    return isinstance(found, str) and len(found) <= _LONGEST


def _when(reading: Reading, described: BookSheet, row: Row) -> datetime | None:
    text = row.cells.get("kept", "").strip()
    try:
        when = datetime.fromisoformat(text) if text else None
        if when is None or when.tzinfo is not None:
            return when
    except ValueError:
        pass
    reading.fault(described, row, "kept", "This is no moment with its time zone. Leave the cell empty.")
    return None


def _read(reading: Reading, described: BookSheet, row: Row, key: str, kind: lim.Text) -> str:
    """A text that is needed."""
    try:
        text = kind.read(row.cells.get(key, ""), reading.notation)
        if text:
            return text
        reading.fault(described, row, key, "Fill this in.")
    except Unreadable as unreadable:
        reading.fault(described, row, key, unreadable.sentence)
    return ""
