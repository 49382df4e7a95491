"""From rows of texts to the changes that make the book say the same: nothing that a file leaves out is removed.

A row is matched with what the book has by its name and the day from which it holds. Cells of columns that are not
there, and sheets that are not there, say nothing: what the book has stays.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from webapp.costing import entry
from webapp.costing.amounts import JSON_NOTATION, Notation, Unreadable
from webapp.costing.changes import UNDATED, Put, Restore, Retire
from webapp.costing.describing import Shape
from webapp.costing.everything import Beside, Everything, dated_parts
from webapp.costing.taking_over import Arriving
from webapp.exchange.book_beside_back import brought
from webapp.exchange.book_cells import Reading, RowFault
from webapp.exchange.book_naming import Naming, identity, naming
from webapp.exchange.book_rows import Document, Row
from webapp.exchange.book_sheets import (
    ORDER,
    OWNER,
    OWNER_SINCE,
    BookSheet,
    inner_sheets,
    is_dated,
    main_sheet,
    shape_of,
    sheets,
)

_NOWHERE = Row(0, {})
#: after so many rows it is said how far it is
OFTEN = 100


@dataclass(slots=True)
class Version:
    """What a file says of a thing from a day on: its row, and the rows of what it holds by field."""

    kind: str
    one: Any
    since: date | None
    row: Row
    told: bool = True
    """Whether it has a row of its own; else only lines of it are in the file."""
    inner: dict[str, list[Row]] = field(default_factory=dict)

    @property
    def sheet(self) -> BookSheet:
        """The sheet of its row."""
        return main_sheet(self.kind)

    @property
    def rows(self) -> int:
        """How many rows say it."""
        return self.told + sum(map(len, self.inner.values()))


@dataclass(frozen=True, slots=True)
class Arrived:
    """A change with what it comes from and what was there before it. `parts` are new ones with days of their own."""

    change: Arriving
    version: Version
    before: Any = None


@dataclass(frozen=True, slots=True)
class Back:
    """What a file comes to: changes, how many versions are as the book has them, faults, and the names in it."""

    arrived: tuple[Arrived, ...]
    same: int
    faults: tuple[RowFault, ...]
    naming: Naming
    beside: Beside

    @property
    def is_nothing(self) -> bool:
        """Whether all of it is there already."""
        return not (self.arrived or self.beside.what_ifs or self.beside.notes)

    @property
    def changes(self) -> tuple[Arriving, ...]:
        """The changes alone."""
        return tuple(one.change for one in self.arrived)


@dataclass(frozen=True, slots=True)
class _File:
    """A file being read beside what the book has."""

    document: Document
    held: Everything
    today: date
    reading: Reading


def back(
    document: Document,
    held: Everything,
    today: date,
    notation: Notation = JSON_NOTATION,
    looked: Callable[[int], object] = lambda _: None,
) -> Back:
    """What `document` changes of what is `held`. With faults nothing of it is to be stored.

    `looked` is told now and then how many rows were seen; what it raises ends it.
    """
    file = _File(document, held, today, Reading(naming(document, held), notation, []))
    arrived: list[Arrived] = []
    same = rows = told = 0
    for kind in ORDER:
        for one, versions in _things(file, kind).items():
            if rows >= told:
                looked(rows)
                told = rows + OFTEN
            found = list(_changes(file, one, versions))
            same += not found
            rows += sum(version.rows for version in versions.values())
            arrived += found
    kept, as_they_are = brought(document, held, file.reading, today)
    faults = tuple(sorted(file.reading.faults, key=_place))
    return Back(tuple(arrived), same + as_they_are, faults, file.reading.naming, kept)


def _place(fault: RowFault) -> tuple[int, int]:
    return [one.title for one in sheets()].index(fault.sheet), fault.row


# --- which rows belong together ---


def _things(file: _File, kind: str) -> dict[Any, dict[date | None, Version]]:
    """The versions that a file has of every thing of a kind, each with its lines."""
    found: dict[Any, dict[date | None, Version]] = {}
    described, document, reading = main_sheet(kind), file.document, file.reading
    for row in document.sheets.get(described.key, ()):
        try:
            one = identity(kind, row.cells, row.number, reading.naming)
        except Unreadable as unreadable:
            reading.fault(described, row, described.columns[0].key, unreadable.sentence)
            continue
        since = _since(file, kind, one, row)
        versions = found.setdefault(one, {})
        if since in versions:
            again = f"This stands in row {versions[since].row.number} already. Leave one of them out."
            reading.fault(described, row, described.columns[0].key, again)
        else:
            versions[since] = Version(kind, one, since, row)
    for inner in inner_sheets(kind):
        for row in document.sheets.get(inner.key, ()):
            _belong(file, inner, row, found)
    return {
        one: dict(sorted(versions.items(), key=lambda item: item[0] or date.min)) for one, versions in found.items()
    }


def _since(file: _File, kind: str, one: Any, row: Row) -> date | None:
    if not is_dated(kind):
        return None
    told = file.reading.day(main_sheet(kind), row, "since")
    if told is not None:
        return told
    version = _in_force(file.held.of(kind).get(one, ()), file.today)
    since: date = file.today if version is None else version.since
    return since


def _in_force(versions: Iterable[Any], day: date | None) -> Any:
    """The version that holds on a day, else the first one."""
    every = list(versions)
    begun = [one for one in every if day is None or getattr(one, "since", day) <= day]
    return begun[-1] if begun else next(iter(every), None)


def _belong(file: _File, inner: BookSheet, row: Row, found: dict[Any, dict[date | None, Version]]) -> None:
    """Lay a row of lines to the version that it belongs to."""
    text = row.cells.get(OWNER, "")
    try:
        if not text.strip():
            raise Unreadable("required", "Say what it belongs to.")
        one = file.reading.naming.find(inner.kind, text)
        versions = found.setdefault(one, {})
        since = _owner_since(file, inner, row, versions)
    except Unreadable as unreadable:
        file.reading.fault(inner, row, OWNER, unreadable.sentence)
        return
    version = versions.setdefault(since, Version(inner.kind, one, since, replace(_NOWHERE, number=0), told=False))
    version.inner.setdefault(inner.inner, []).append(row)


def _owner_since(file: _File, inner: BookSheet, row: Row, versions: Mapping[date | None, Version]) -> date | None:
    if inner.column(OWNER_SINCE) is None:
        return None
    told = file.reading.day(inner, row, OWNER_SINCE)
    one = file.reading.naming.find(inner.kind, row.cells[OWNER])
    days: set[date | None] = {*versions, *(version.since for version in file.held.of(inner.kind).get(one, ()))}
    if told is None and len(days) == 1:
        only: date | None = next(iter(days))
        return only
    if told is None:
        raise Unreadable("required", "There are several versions of it. Say from which day the one holds.")
    if told not in days:
        raise Unreadable("reference", f"There is no version of it from {told.isoformat()} on.")
    return told


# --- what they change ---


def _changes(file: _File, one: Any, versions: Mapping[date | None, Version]) -> Iterator[Arrived]:
    last = [version for version in versions.values() if version.told]
    for version in versions.values():
        before = _same_since(file.held.of(version.kind).get(one, ()), version.since)
        record = _record(file, version, last[-1] if last else version)
        if record is None:
            continue
        every = list(_with_parts(file, version, record))
        if record != before or any(is_new for _, is_new in every):
            for place, (put, is_new) in enumerate(every):
                if is_new or (place == 0 and record != before):
                    yield Arrived(Put(put), version, before)
    if last and "retired" in last[-1].row.cells:
        yield from _put_away(file, last[-1])


def _same_since(versions: Iterable[Any], since: date | None) -> Any:
    return next((one for one in versions if since is None or one.since == since), None)


def _record(file: _File, version: Version, last: Version) -> Any:
    """The record that a version comes to, without parts that have days of their own; None where it has faults."""
    shape, reading = shape_of(version.kind), file.reading
    base = _in_force(file.held.of(version.kind).get(version.one, ()), version.since)
    typed: dict[str, Any] = {} if base is None else entry.show(shape, base)
    for name, _ in dated_parts(version.kind):
        typed.pop(name.name, None)
    faults = len(reading.faults)
    typed = reading.typed(version.sheet, version.row, typed)
    alike = reading.typed(version.sheet, last.row, {}) if last is not version else {}
    typed |= {name: alike[name] for name in UNDATED if name in alike}
    if version.since is not None:
        typed["since"] = version.since.isoformat()
    typed |= _lines(file, version)
    if len(reading.faults) > faults:
        return None
    given = {"id": version.one} if "id" in shape.given else {}
    if shape.given and not given:
        ids = version.one if isinstance(version.one, tuple) else (version.one,)
        given = dict(zip(shape.given, ids, strict=True))
    read = entry.read(shape, typed, today=file.today, given=given)
    reading.faults.extend(at_row(version, fault.field, fault.sentence) for fault in read.faults)
    return read.record


def _lines(file: _File, version: Version) -> Iterator[tuple[str, Any]]:
    """What the sheets of its lines say; those that are not in the file say nothing."""
    dated = {name.name for name, _ in dated_parts(version.kind)}
    for inner in inner_sheets(version.kind):
        rows = version.inner.get(inner.inner, [])
        if inner.inner not in dated and inner.key in file.document.sheets and (version.told or rows):
            lines = [file.reading.typed(inner, row, {}) for row in rows]
            yield inner.inner, [line.get(inner.inner, "") for line in lines] if inner.many else lines


def _with_parts(file: _File, version: Version, record: Any) -> Iterator[tuple[Any, bool]]:
    """The record with each of its dated parts in turn, and whether that part is new; always with one that it has."""
    told: dict[str, list[tuple[Any, bool]]] = {}
    for name, shape in dated_parts(version.kind):
        known = file.held.part(version.kind, name.name).get(version.one, ())
        every = [(part, part not in known) for part in _parts(file, version, name.name, shape)]
        new = [one for one in every if one[1]]
        kept = [(known[-1], False)] if known else []
        told[name.name] = new or kept
    for place in range(max([1, *map(len, told.values())])):
        chosen = {name: parts[min(place, len(parts) - 1)] for name, parts in told.items() if parts}
        yield (
            replace(record, **{name: part for name, (part, _) in chosen.items()}),
            any(is_new for _, is_new in chosen.values()),
        )


def _parts(file: _File, version: Version, name: str, shape: Shape) -> Iterator[Any]:
    reading = file.reading
    described = next(one for one in inner_sheets(version.kind) if one.inner == name)
    days: dict[date, int] = {}
    for row in sorted(version.inner.get(name, ()), key=lambda row: row.cells.get("since", "")):
        faults = len(reading.faults)
        read = entry.read(shape, reading.typed(described, row, {}), today=file.today)
        if len(reading.faults) > faults:
            continue
        for fault in read.faults:
            reading.fault(described, row, fault.field, fault.sentence)
        if read.record is None:
            continue
        if read.record.since in days:
            again = f"Row {days[read.record.since]} says it of the same day. Leave one of them out."
            reading.fault(described, row, "since", again)
            continue
        days[read.record.since] = row.number
        yield read.record


def _put_away(file: _File, version: Version) -> Iterator[Arrived]:
    reading, before = file.reading, file.held.retired.get(version.one)
    faults = len(reading.faults)
    day = reading.day(version.sheet, version.row, "retired")
    if len(reading.faults) > faults or day == before:
        return
    change = Restore(version.kind, version.one) if day is None else Retire(version.kind, version.one, day)
    yield Arrived(change, version, before)


def at_row(version: Version, path: str, sentence: str, *, doubtful: bool = False) -> RowFault:
    """Where a fault of a record stands in the file: at the row of its line, else at its own."""
    name, _, rest = path.partition("-")
    index, _, column = rest.partition("-")
    rows = version.inner.get(name, [])
    described, row, key = version.sheet, version.row, path.replace("-", "_")
    for inner in inner_sheets(version.kind):
        if inner.inner == name:
            described = inner
            key = column.replace("-", "_") or (inner.inner if inner.many else "")
            row = rows[int(index)] if index.isdecimal() and int(index) < len(rows) else version.row
            if not index.isdecimal():
                described, key = version.sheet, name
    found = described.column(key)
    title = found.title if found else key.replace("_", " ").capitalize()
    return RowFault(described.title, row.number, title, sentence, row.cells.get(key, "")[:120], doubtful)
