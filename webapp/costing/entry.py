"""From what was typed to a record, and back: one description of every record for forms, JSON and sheets.

Typed data is nested: a text per field, a dict per part, a list per group of lines. JSON may use true/false for
flags and whole numbers for references; amounts are always texts. A fault names its field as forms do:
"lines-3-amount".
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import MISSING, dataclass, fields
from datetime import date
from typing import Any

from webapp.costing import limits as lim
from webapp.costing.amounts import JSON_NOTATION, Notation, Unreadable
from webapp.costing.describing import Field, Many, Part, Rows, Shape
from webapp.costing.limits import Fault


@dataclass(frozen=True, slots=True)
class Entry:
    """What reading gave: the record, or the faults. `record` is None when there is a fault."""

    record: Any
    faults: tuple[Fault, ...] = ()


def read(
    shape: Shape,
    data: Mapping[str, Any],
    notation: Notation = JSON_NOTATION,
    *,
    today: date,
    given: Mapping[str, Any] | None = None,
) -> Entry:
    """`data` as a record of `shape`. An empty `since` is `today`. Every fault is reported, not only the first."""
    faults: list[Fault] = []
    record = _record(_Reading(notation, today, faults), shape, data, "", given or {})
    return Entry(None if faults else record, tuple(faults))


@dataclass(frozen=True, slots=True)
class _Reading:
    notation: Notation
    today: date
    faults: list[Fault]

    def fault(self, path: str, code: str, sentence: str) -> None:
        self.faults.append(Fault(path, code, sentence))


def _record(reading: _Reading, shape: Shape, data: Any, path: str, given: Mapping[str, Any]) -> Any:
    if not isinstance(data, Mapping):
        reading.fault(path.rstrip("-"), "shape", "This must be an object with named fields.")
        return None
    known = {field.name for field in shape.fields}
    for name in data:
        if name not in known:
            reading.fault(f"{path}{name}", "unknown-field", "There is no such field here. Leave it out.")
    before = len(reading.faults)
    values = {field.name: _field(reading, shape, field, data.get(field.name), path) for field in shape.fields}
    if len(reading.faults) > before:
        return None
    return shape.record(**{**values, **given})


def _field(  # noqa: PLR0911 - one way out per kind of field
    reading: _Reading, shape: Shape, field: Field, typed: Any, path: str
) -> Any:
    at = f"{path}{field.name}"
    kind = field.kind
    if isinstance(kind, Rows):
        return _rows(reading, field, kind, typed, at)
    if isinstance(kind, Many):
        return _many(reading, kind, typed, at)
    if isinstance(kind, Part):
        if _is_empty(typed) or is_spare(typed, kind):
            return _nothing(reading, shape, field, at)
        return _record(reading, kind.shape, typed, f"{at}-", {})
    if isinstance(kind, lim.Flag) and typed in (None, ""):
        return _default(shape, field) if typed is None and reading.notation.strict else False
    if _is_empty(typed):
        return _nothing(reading, shape, field, at)
    return _value(reading, kind, typed, at)


def _value(reading: _Reading, kind: lim.Kind, typed: Any, at: str) -> Any:
    text = _as_text(kind, typed)
    if text is None:
        reading.fault(at, *_wrong_type(kind))
        return None
    try:
        value = kind.read(text, reading.notation)
    except Unreadable as unreadable:
        reading.fault(at, unreadable.code, unreadable.sentence)
        return None
    return value


def _as_text(kind: lim.Kind, typed: Any) -> str | None:
    """The text to read; JSON's true/false and whole numbers only where a flag or a reference is wanted."""
    if isinstance(typed, str):
        return typed
    if isinstance(typed, bool):
        return ("yes" if typed else "no") if isinstance(kind, lim.Flag) else None
    if isinstance(typed, int) and isinstance(kind, lim.Reference):
        return str(typed)
    return None


def _wrong_type(kind: lim.Kind) -> tuple[str, str]:
    if isinstance(kind, lim.Number):
        return "number-format", 'Write amounts as text in quotes, such as "12.50".'
    if isinstance(kind, lim.Flag):
        return "choice", "Answer true or false."
    return "text", "Write this as text in quotes."


def _rows(reading: _Reading, field: Field, kind: Rows, typed: Any, at: str) -> tuple[Any, ...]:
    if typed in (None, ""):
        typed = []
    if not isinstance(typed, list):
        reading.fault(at, "shape", "This must be a list of lines.")
        return ()
    rows = []
    for index, row in enumerate(typed):
        if row is None or (not reading.notation.strict and is_spare(row, kind)):
            continue
        rows.append(_record(reading, kind.shape, row, f"{at}-{index}-", {}))
    if len(rows) < kind.least:
        reading.fault(at, "required", field.ask)
    if len(rows) > kind.most:
        reading.fault(at, "too-many", f"At most {kind.most} lines can be kept here.")
    return tuple(rows)


def _many(reading: _Reading, kind: Many, typed: Any, at: str) -> tuple[Any, ...]:
    if typed in (None, ""):
        return ()
    if not isinstance(typed, list):
        reading.fault(at, "shape", "This must be a list.")
        return ()
    values = [
        _value(reading, kind.kind, one, f"{at}-{index}") for index, one in enumerate(typed) if one not in (None, "")
    ]
    if len(values) > kind.most:
        reading.fault(at, "too-many", f"At most {kind.most} can be named here.")
    return tuple(dict.fromkeys(values))


def _is_empty(typed: Any) -> bool:
    return typed is None or (isinstance(typed, str) and not typed.strip())


def is_spare(row: Any, kind: Part | Rows) -> bool:
    """Whether nothing was typed into a line or a part: all that it could be known by is empty.

    That is what makes it count, and whatever else is typed: a charge with words and without an amount is a mistake to
    tell, and so are two pieces of nothing. What says something without being typed (a unit, a rate of tax that a press
    sets on all lines) says nothing; a rate that no press can have set, since it can't be read, was typed.
    """
    if not isinstance(row, Mapping) or any(_holds_lines(row, field) for field in kind.shape.fields):
        return False
    alike = kind.alike if isinstance(kind, Rows) else ()
    if any(not _can_be_read(kind.shape.field(name), row.get(name)) for name in alike):
        return False
    begun = {**dict(_begun(kind)), **dict.fromkeys(kind.keys, "")}
    return all(_is_empty(row.get(name)) or str(row[name]).strip() == text for name, text in begun.items())


def _can_be_read(field: Field, typed: Any) -> bool:
    """Whether a text is empty or a value of its field, in one notation or another."""
    for sign in () if _is_empty(typed) else (".", ","):
        try:
            field.kind.read(str(typed), Notation(sign))  # type: ignore[union-attr]  # a bare value: it is no line
        except Unreadable:
            continue
        return True
    return _is_empty(typed)


def _holds_lines(row: Mapping[str, Any], field: Field) -> bool:
    """Whether something was typed into the lines that a line has of its own (an offer's price breaks)."""
    typed = row.get(field.name)
    if not isinstance(field.kind, Rows) or not isinstance(typed, list):
        return False
    return any(one is not None and not is_spare(one, field.kind) for one in typed)


def _begun(kind: Part | Rows) -> Iterator[tuple[str, str]]:
    """The texts and amounts of a line, each with what stands in it until something is typed."""
    alike = kind.alike if isinstance(kind, Rows) else ()
    begins = {one.name: one.default for one in fields(kind.shape.record)}
    for field in kind.shape.fields:
        if isinstance(field.kind, lim.Text | lim.Number) and field.name not in alike:
            start = begins[field.name]
            yield field.name, "" if start in (MISSING, None, "") else str(field.kind.show(start, Notation()))


def _nothing(reading: _Reading, shape: Shape, field: Field, at: str) -> Any:
    if field.name == "since":
        return reading.today
    if field.required:
        reading.fault(at, "required", field.ask)
        return None
    return _default(shape, field)


def _default(shape: Shape, field: Field) -> Any:
    for declared in fields(shape.record):
        if declared.name == field.name:
            return None if declared.default is MISSING else declared.default
    raise KeyError(field.name)


def show(shape: Shape, record: Any, notation: Notation = JSON_NOTATION) -> dict[str, Any]:
    """A record as typed data that reads back equal: texts for forms; for JSON flags and references keep their type."""
    return {field.name: _shown(field.kind, getattr(record, field.name), notation) for field in shape.fields}


def _shown(kind: Any, value: Any, notation: Notation) -> Any:
    strict = notation.strict
    if value is None:
        return None if strict else ""
    if isinstance(kind, Part):
        return show(kind.shape, value, notation)
    if isinstance(kind, Rows):
        return [show(kind.shape, row, notation) for row in value]
    if isinstance(kind, Many):
        return [one if strict else str(one) for one in value]
    if strict and isinstance(kind, lim.Flag | lim.Reference):
        return value
    return kind.show(value, notation)
