"""Tables of texts that were read from a workbook or from CSV files, as the sheets of a book."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from webapp.costing.limits import name_key
from webapp.exchange import book_about
from webapp.exchange.book_rows import FORMAT, VERSION, Document, Row
from webapp.exchange.book_sheets import BookSheet, Column, sheets
from webapp.exchange.book_words import BESIDE
from webapp.exchange.tables import CannotRead, Table

#: an apostrophe that was put before a text which a spreadsheet would take for a formula, see `guarded`
_LIKE_A_FORMULA = r"'*[ \u00a0]*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]"
_GUARDED = re.compile(f"'{_LIKE_A_FORMULA}")
_TO_GUARD = re.compile(_LIKE_A_FORMULA)


def guarded(text: str) -> str:
    """A text that no spreadsheet takes for a formula; `bared` gives it back as it was, whatever it was."""
    return f"'{text}" if _TO_GUARD.match(text) else text


def bared(text: str) -> str:
    """The text that `guarded` was given."""
    return text[1:] if _GUARDED.match(text) else text


def told(tables: Iterable[Table]) -> Mapping[str, str]:
    """What the sheet about the others says of the whole: format, version, decimal sign. CannotRead for a newer one."""
    found: dict[str, str] = {}
    for table in tables:
        if name_key(table.title) == book_about.KEY:
            found = {row[0]: row[1] for row in table.rows[:10] if len(row) > 1}
    if found and found.get(book_about.FORMAT_IS, FORMAT) != FORMAT:
        raise CannotRead("This is no whole book.")
    if found.get(book_about.VERSION_IS, "1").isdecimal() and int(found.get(book_about.VERSION_IS, "1")) > VERSION:
        raise CannotRead("This was made by a newer Brimful. Read it with that one.")
    return found


def document(tables: Iterable[Table], *, bare: bool) -> tuple[Document, tuple[str, ...]]:
    """The sheets of a book in `tables`, and what of them is not read. `bare` takes guarding apostrophes away."""
    found: dict[str, tuple[Row, ...]] = {}
    remarks: list[str] = []
    every = list(tables)
    about = told(every)
    for table in every:
        remarks += table.remarks
        if name_key(table.title) == book_about.KEY or not any(table.rows):
            continue
        described = _sheet_of(table)
        if described is None:
            remarks.append(f"{table.title}: this is no sheet of a book, so it is not read.")
            continue
        if described.key in found:
            raise CannotRead(f"There are two sheets of {described.title}. Leave one of them out.")
        found[described.key] = tuple(_rows(table, described, remarks, bare=bare))
    if not found:
        raise CannotRead(
            "There is no sheet of a book in it. The names of sheets stand in an exported one, under About. "
            "A spreadsheet of your own is brought in another way: under Settings, Bring a spreadsheet."
        )
    return Document(_day(about.get(book_about.MADE_ON, "")), about.get(book_about.CURRENCY_IS, ""), found), tuple(
        remarks
    )


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def _sheet_of(table: Table) -> BookSheet | None:
    """By its title; else by its heads, where they are those of one sheet only."""
    title = name_key(table.title)
    for one in sheets():
        if title in (one.key, name_key(one.title)):
            return one
    fitting = [one for one in sheets() if one.kind not in BESIDE and _fits(table, one)]
    return fitting[0] if len(fitting) == 1 else None


def _fits(table: Table, described: BookSheet) -> bool:
    heads = [_column(described, text) for text in _heads(table) if text]
    needed = [column for column in described.columns if column.required]
    return bool(heads) and all(heads) and all(column in heads for column in needed)


def _heads(table: Table) -> tuple[str, ...]:
    return next((row for row in table.rows if any(row)), ())


def _column(described: BookSheet, text: str) -> Column | None:
    key = name_key(bared(text))
    for column in described.columns:
        if key in (column.key, name_key(column.title), name_key(column.head)):
            return column
    return None


def _rows(table: Table, described: BookSheet, remarks: list[str], *, bare: bool) -> Iterator[Row]:
    at = next(place for place, row in enumerate(table.rows) if any(row))
    columns: dict[int, Column] = {}
    for place, text in enumerate(table.rows[at]):
        column = _column(described, text) if text.strip() else None
        if column in columns.values():
            raise CannotRead(f"{described.title}: there are two columns called {text[:60]}. Leave one of them out.")
        if column is not None:
            columns[place] = column
        elif text.strip():
            remarks.append(f"{described.title}: there is no column called {text[:60]}, so it is not read.")
    for number, row in enumerate(table.rows[at + 1 :], start=at + 2):
        if any(cell.strip() for cell in row):
            yield Row(number, {one.key: _cell(row, place, one, bare=bare) for place, one in columns.items()})


def _cell(row: tuple[str, ...], place: int, column: Column, *, bare: bool) -> str:
    text = row[place] if place < len(row) else ""
    return bared(text) if bare and not column.is_number else text
