"""A whole book as CSV files (RFC 4180): one a sheet, or all of them in a zip."""

from __future__ import annotations

import csv
import io
import zlib
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from pathlib import PurePosixPath
from zipfile import ZIP_DEFLATED, BadZipFile, ZipFile, ZipInfo

from webapp.costing import limits as lim
from webapp.exchange import book_about, text_tables
from webapp.exchange.book_rows import Document
from webapp.exchange.book_sheets import BookSheet, Column, sheets
from webapp.exchange.book_tables import guarded
from webapp.exchange.csv_files import separator
from webapp.exchange.tables import MOST_ENTRIES, MOST_UNFOLDED, CannotRead, Table

_BROKEN = "This file is damaged, or it was not saved to its end. Export it once more."
_EARLIEST = (1980, 1, 1, 0, 0, 0)


def one_sheet(document: Document, described: BookSheet, sign: str = ".") -> bytes:
    """One sheet, with `sign` as the decimal sign."""
    heads = [column.title for column in described.columns]
    rows = (
        [_cell(column, row.cells.get(column.key, ""), sign) for column in described.columns]
        for row in document.sheets.get(described.key, ())
    )
    return _written((heads, *rows), sign)


def zipped(document: Document, sign: str = ".") -> bytes:
    """Every sheet as a CSV file, and one about them all. The same book on the same day is the same file."""
    file = io.BytesIO()
    with ZipFile(file, "w", ZIP_DEFLATED) as packed:
        about = ([guarded(text) for text in row] for row in book_about.rows(document, sign))
        _pack(packed, book_about.KEY, _written(about, sign), document.made_on)
        for one in sheets():
            if one.key in document.sheets:
                _pack(packed, one.key, one_sheet(document, one, sign), document.made_on)
    return file.getvalue()


def _pack(packed: ZipFile, name: str, data: bytes, day: date | None) -> None:
    moment = max((day.year, day.month, day.day, 0, 0, 0), _EARLIEST) if day else _EARLIEST
    entry = ZipInfo(f"{name}.csv", moment)
    entry.compress_type = ZIP_DEFLATED
    packed.writestr(entry, data)


def _written(rows: Iterable[Sequence[str]], sign: str) -> bytes:
    text = io.StringIO(newline="")
    out = csv.writer(text, delimiter=separator(sign), lineterminator="\r\n")
    out.writerows(rows)
    return b"\xef\xbb\xbf" + text.getvalue().encode()


def _cell(column: Column, text: str, sign: str) -> str:
    if column.is_number:
        return text.replace(".", sign)
    return text if isinstance(column.kind, lim.Day) else guarded(text)


def is_zip_of_csv(data: bytes) -> bool:
    """Whether these bytes are a packed file that holds CSV files and is no workbook."""
    try:
        with ZipFile(io.BytesIO(data)) as packed:
            names = packed.namelist()
    except (BadZipFile, ValueError, NotImplementedError, OSError):
        return False
    return any(name.lower().endswith(".csv") for name in names) and not any(name.startswith("xl/") for name in names)


def tables(data: bytes) -> tuple[Table, ...]:
    """The CSV files of a zip as tables. CannotRead where it is damaged or unfolds to too much."""
    try:
        with ZipFile(io.BytesIO(data)) as packed:
            return tuple(_tables(packed))
    except (BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError, ValueError) as error:
        raise CannotRead(_BROKEN) from error


def _tables(packed: ZipFile) -> Iterator[Table]:
    names = [name for name in packed.namelist() if name.lower().endswith(".csv")]
    if len(packed.namelist()) > MOST_ENTRIES or len({*names}) != len(names):
        raise CannotRead(_BROKEN)
    left = MOST_UNFOLDED
    for name in names:
        with packed.open(name) as entry:
            data = entry.read(left + 1)  # what the zip says of its own sizes is not believed
        left -= len(data)
        if left < 0:
            raise CannotRead("This file unfolds to far more than a book holds, so it was not read.")
        if data.strip():
            yield text_tables.table_of(PurePosixPath(name).stem, data)
