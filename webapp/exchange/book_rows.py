"""Everything of a book as rows of texts, sheet by sheet, with things called by their names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from webapp.costing import entry
from webapp.costing import limits as lim
from webapp.costing.book import Id, MadeBatch
from webapp.costing.everything import Everything
from webapp.exchange import book_beside as beside
from webapp.exchange.book_sheets import (
    CALLED,
    NO,
    ORDER,
    OWNER,
    OWNER_SINCE,
    SINGLE,
    UNNAMED,
    YES,
    BookSheet,
    Column,
    inner_sheets,
    is_dated,
    main_sheet,
    shape_of,
)

FORMAT, VERSION = "brimful-book", 1


@dataclass(frozen=True, slots=True)
class Row:
    """A row: where it stands in its sheet, counted as there, and its cells by column. "" is an empty cell."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Document:
    """A whole book, or a part of one, as texts: rows by the key of their sheet."""

    made_on: date | None = None
    currency: str = ""
    sheets: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)

    @property
    def rows(self) -> int:
        """How many rows there are in all."""
        return sum(map(len, self.sheets.values()))


def document_of(everything: Everything, made_on: date) -> Document:
    """All of it as rows, in the order of `ORDER` and of identities. A sheet without rows is there all the same."""
    names = names_of(everything)
    found: dict[str, list[dict[str, str]]] = {}
    for kind in ORDER:
        found[main_sheet(kind).key] = list(_main_rows(everything, kind, names))
        for one in inner_sheets(kind):
            found[one.key] = list(_inner_rows(everything, one, names))
    found |= beside.rows_of(everything, names)
    numbered = {key: tuple(Row(at, cells) for at, cells in enumerate(rows, start=2)) for key, rows in found.items()}
    workshop = next(iter(everything.of("workshop").values()), None)
    return Document(made_on, workshop[-1].currency if workshop else "", numbered)


def names_of(everything: Everything) -> dict[Id, str]:
    """What every thing is called in a file, unique in its kind without regard to case."""
    names: dict[Id, str] = {}
    for kind in ORDER:
        if kind not in (*SINGLE, *UNNAMED) and "name" in {one.name for one in shape_of(kind).fields}:
            names |= {one: versions[-1].name for one, versions in everything.of(kind).items()}
    for kind in UNNAMED:
        names |= called({one: found[-1] for one, found in everything.of(kind).items()}, names)
    return names


def called(records: Mapping[Id, Any], names: Mapping[Id, str]) -> dict[Id, str]:
    """Names for what has none of its own: day, whose, what; a number behind where two would be called the same."""
    found: dict[Id, str] = {}
    taken: dict[str, int] = {}
    for one, record in records.items():
        name = called_one(record, names)
        again = taken[lim.name_key(name)] = taken.get(lim.name_key(name), 0) + 1
        found[one] = name if again == 1 else f"{name} ({again})"
    return found


def called_one(record: Any, names: Mapping[Id, str]) -> str:
    """By day: an order with its supplier and number, a quote with supplier and material, a batch with its formula."""
    if isinstance(record, MadeBatch):
        return f"{record.day.isoformat()} {names[record.formula]}"
    if hasattr(record, "day"):
        return " ".join(filter(None, (record.day.isoformat(), names[record.supplier], record.number)))
    return f"{record.since.isoformat()} {names[record.supplier]}: {names[record.material]}"


def _main_rows(everything: Everything, kind: str, names: Mapping[Id, str]) -> Iterator[dict[str, str]]:
    described = main_sheet(kind)
    for one, versions in everything.of(kind).items():
        for record in versions:
            shown = entry.show(shape_of(kind), record)
            cells = {column.key: cell(column, shown, names) for column in described.columns if column.field}
            if kind in UNNAMED:
                cells[CALLED] = names[one]
            for given in shape_of(kind).given:
                if given != "id":
                    cells[given] = names[getattr(record, given)]
            if described.column("retired") is not None:
                away = everything.retired.get(one)
                cells["retired"] = away.isoformat() if away else ""
            yield {column.key: cells[column.key] for column in described.columns}


def _inner_rows(everything: Everything, described: BookSheet, names: Mapping[Id, str]) -> Iterator[dict[str, str]]:
    parts = everything.part(described.kind, described.inner)
    for one, versions in everything.of(described.kind).items():
        for held in parts.get(one, ()):
            yield _inner_row(described, held, {OWNER: names[one]}, names)
        for record in versions:
            owner = {OWNER: names[one]}
            if is_dated(described.kind):
                owner[OWNER_SINCE] = record.since.isoformat()
            for held in _held(getattr(record, described.inner)):
                yield _inner_row(described, held, owner, names)


def _held(value: Any) -> Iterable[Any]:
    return value if isinstance(value, tuple) else ()


def _inner_row(described: BookSheet, held: Any, owner: dict[str, str], names: Mapping[Id, str]) -> dict[str, str]:
    if described.many:
        return {**owner, described.inner: names[held]}
    shown = entry.show(described.shape, held)
    return owner | {column.key: cell(column, shown, names) for column in described.columns if column.field}


def cell(column: Column, shown: Mapping[str, Any], names: Mapping[Id, str]) -> str:
    """The text of a cell, of a record as `entry.show` gives it."""
    value: Any = shown
    for name in column.field:
        value = None if value is None else value[name]
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES if value else NO
    return names[value] if column.refers else str(value)
