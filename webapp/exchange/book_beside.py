"""What is kept beside the book (what-ifs, notes on sizes) as rows of texts. Nothing is reckoned from it.

Things are called by name here too. What could not be read when it was kept stays as it was typed, as JSON in a cell.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from webapp.costing import limits as lim
from webapp.costing.book import Id
from webapp.costing.describing import Rows, Shape
from webapp.costing.everything import Beside, Everything, NoteKept
from webapp.costing.size_shapes import SIZE_QUESTION
from webapp.costing.supposing import SUPPOSITION
from webapp.exchange.book_sheets import (
    AS_TYPED,
    CALLED,
    NO,
    OWNER,
    SIZE_NOTE,
    WHAT_IF,
    YES,
    BookSheet,
    inner_sheets,
    main_sheet,
)

TYPED = "typed"
ABOUT = (("about_product", "product"), ("about_formula", "formula"))


def rows_of(everything: Everything, names: Mapping[Id, str]) -> dict[str, list[dict[str, str]]]:
    """The rows of all sheets of what is kept. What is about a thing that was taken back stands nowhere, so not here."""
    kept = everything.beside
    (supposed,) = inner_sheets(WHAT_IF)
    found: dict[str, list[dict[str, str]]] = {
        main_sheet(WHAT_IF).key: [{"name": one.name, "kept": _moment(one.when)} for one in kept.what_ifs],
        supposed.key: [{OWNER: one.name, **_cells(supposed, row, names)} for one in kept.what_ifs for row in one.rows],
        **{one.key: [] for one in (main_sheet(SIZE_NOTE), *inner_sheets(SIZE_NOTE))},
    }
    for name, note in _called(kept.notes, names):
        found[main_sheet(SIZE_NOTE).key].append(_note_cells(name, note, everything, names))
        for inner in inner_sheets(SIZE_NOTE):
            lines = note.question.get(inner.inner, ())
            found[inner.key] += [{OWNER: name, **_cells(inner, line, names)} for line in lines]
    return found


def _called(notes: tuple[NoteKept, ...], names: Mapping[Id, str]) -> Iterator[tuple[str, NoteKept]]:
    taken: dict[str, int] = {}
    for note in notes:
        if note.thing in names:
            name = f"{note.day.isoformat()} {names[note.thing]}"
            again = taken[lim.name_key(name)] = taken.get(lim.name_key(name), 0) + 1
            yield (name if again == 1 else f"{name} ({again})"), note


def _note_cells(name: str, note: NoteKept, everything: Everything, names: Mapping[Id, str]) -> dict[str, str]:
    cells = {CALLED: name, **_cells(main_sheet(SIZE_NOTE), note.question, names)}
    for column, kind in ABOUT:
        cells[column] = names[note.thing] if note.thing in everything.of(kind) else ""
    figures = json.dumps(dict(note.figures), ensure_ascii=False, sort_keys=True)
    told = {"day": note.day.isoformat(), "sentence": note.sentence, "figures": figures, "kept": _moment(note.when)}
    return cells | told


def _cells(described: BookSheet, kept: Mapping[str, Any], names: Mapping[Id, str]) -> dict[str, str]:
    """The cells of what is kept by its fields; where it was kept as typed they are one text."""
    columns = {column.key: column for column in described.columns if column.field}
    cells = dict.fromkeys(columns, "")
    if TYPED in kept:
        shape = SUPPOSITION if described.kind == WHAT_IF else SIZE_QUESTION
        named = _with_ids(kept[TYPED], shape, lambda text: names.get(_number(text), ""))
        return {**cells, AS_TYPED: json.dumps(named, ensure_ascii=False, sort_keys=True)}
    for key, value in kept.items():
        if key in columns and not isinstance(value, list):
            cells[key] = names.get(value, "") if columns[key].refers else _text(value)
    return cells


def _text(value: Any) -> str:
    return (YES if value else NO) if isinstance(value, bool) else str(value)


def _moment(when: datetime | None) -> str:
    return when.isoformat() if when else ""


def _number(text: Any) -> int:
    """The identity that stands in what was typed; 0, which nothing has, where it is none."""
    return int(text) if isinstance(text, int) or (isinstance(text, str) and text.isdecimal()) else 0


def _with_ids(kept: Any, shape: Shape, turned: Callable[[Any], Any]) -> Any:
    """What is kept by the fields of a shape, with everything that names a thing `turned`."""
    found: dict[str, Any] = dict(kept)
    for one in shape.fields:
        value = found.get(one.name)
        if isinstance(one.kind, lim.Reference) and value not in (None, ""):
            found[one.name] = turned(value)
        elif isinstance(one.kind, Rows) and isinstance(value, list):
            found[one.name] = [_with_ids(row, one.kind.shape, turned) for row in value]
    return found


def renumbered(beside: Beside, ids: Mapping[int, int]) -> Beside:
    """The same, with the numbers that new things were given when they were stored."""
    return Beside(
        tuple(replace(one, rows=tuple(_real(row, SUPPOSITION, ids) for row in one.rows)) for one in beside.what_ifs),
        tuple(
            replace(one, thing=ids.get(one.thing, one.thing), question=_real(one.question, SIZE_QUESTION, ids))
            for one in beside.notes
        ),
    )


def _real(kept: Mapping[str, Any], shape: Shape, ids: Mapping[int, int]) -> dict[str, Any]:
    if TYPED in kept:
        return {TYPED: _with_ids(kept[TYPED], shape, lambda text: str(ids.get(int(text), int(text))))}
    found: dict[str, Any] = _with_ids(kept, shape, lambda one: ids.get(one, one))
    return found
