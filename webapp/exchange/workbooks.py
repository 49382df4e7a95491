"""A workbook (Office Open XML, ISO/IEC 29500) as tables of texts: last values, exact numbers, days, percent.

It was looked through before (`unfolding`). Nothing in it is run, followed or fetched.
"""

from __future__ import annotations

import io
import re
import time
import warnings
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar

from webapp.exchange.cell_formats import shown as shown_as
from webapp.exchange.tables import MOST_SECONDS, MOST_SHEETS, CannotRead, Gathering, Table
from webapp.exchange.unfolding import BROKEN, looked_through

T = TypeVar("T")
#: what a spreadsheet's own number can hold: the digits beyond are noise of its arithmetic (0.1 + 0.2)
_DIGITS = 15
_MERGED = re.compile(rb'<(?:\w+:)?mergeCell\s[^>]*?ref="([A-Z]{1,3}[0-9]{1,7}:[A-Z]{1,3}[0-9]{1,7})"')
_QUOTED = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]')
#: how many cells without a value are named
_NAMED = 6


def tables_of(data: bytes) -> tuple[Table, ...]:
    """Every sheet of cells, in its order; CannotRead for another kind of packed file, or one that is damaged."""
    entries, valueless = looked_through(data)
    if "xl/workbook.bin" in entries:
        raise CannotRead("This is a binary workbook (.xlsb). Save it as an .xlsx workbook or as CSV.")
    if "mimetype" in entries or "content.xml" in entries:
        raise CannotRead("This is an OpenDocument file (.ods). Save it as an .xlsx workbook or as CSV.")
    if not any(name.startswith("xl/") for name in entries):
        raise CannotRead("This packed file is no workbook. Choose an .xlsx workbook or a CSV file.")
    until = time.monotonic() + MOST_SECONDS
    found = _each(data, until, _table, data_only=True)
    if valueless:
        formulas = _each(data, until, _formulas, data_only=False)
        found = [_with_missing(table, cells) for table, cells in zip(found, formulas, strict=True)]
    if not found:
        raise CannotRead("This workbook has no sheet with cells.")
    return tuple(found)


def _opened(data: bytes, *, data_only: bool) -> Any:
    # Imported when a workbook is read: it takes longer to load than a page takes to answer.
    from openpyxl import load_workbook  # noqa: PLC0415

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what it can't keep (pictures, rules) is of no use here
        return load_workbook(io.BytesIO(data), read_only=True, data_only=data_only, keep_links=False)


def _each(data: bytes, until: float, read: Callable[[Any, float], T], *, data_only: bool) -> list[T]:
    """What `read` makes of each sheet; whatever goes wrong inside the reader is a file that can't be read."""
    try:
        book = _opened(data, data_only=data_only)
        if len(book.worksheets) > MOST_SHEETS:
            raise CannotRead(f"This workbook has more than {MOST_SHEETS} sheets. Save those that you need in another.")
        for sheet in book.worksheets:
            sheet.reset_dimensions()  # what a file says of its own size is not believed
        return [read(sheet, until) for sheet in book.worksheets]
    except CannotRead:
        raise
    except (MemoryError, RecursionError) as error:
        raise CannotRead("This file is too much to be read at once. Save a part of it in another file.") from error
    except Exception as error:  # the reader of another's format may stumble over anything in a broken file
        raise CannotRead(BROKEN) from error


def _table(sheet: Any, until: float) -> Table:
    gathering = Gathering(sheet.title, until)
    shown: dict[tuple[int, int], str] = {}
    typed: set[tuple[int, int]] = set()
    struck: set[int] = set()
    for number, row in enumerate(sheet.iter_rows(), 1):
        texts = [text_of(cell) for cell in row]
        for place, (cell, text) in enumerate(zip(row, texts, strict=True)):
            if isinstance(cell.value, str):
                typed.add((number, place))
            elif isinstance(cell.value, int | float) and (other := shown_as(text, cell.number_format)):
                shown[number, place] = other
        if any(texts) and all(cell.font.strike for cell, text in zip(row, texts, strict=True) if text):
            struck.add(number)
        gathering.take(texts)
    rows = tuple(gathering.rows)
    return Table(
        sheet.title,
        rows,
        (),
        sheet.sheet_state != "visible",
        True,
        shown | _merged(sheet, rows),
        frozenset(typed),
        frozenset(struck),
    )


def _merged(sheet: Any, rows: tuple[tuple[str, ...], ...]) -> dict[tuple[int, int], str]:
    """The words of a cell that is merged with those below it, in each of them whose row says anything."""
    from openpyxl.utils.cell import range_boundaries  # noqa: PLC0415

    with sheet.parent._archive.open(sheet._worksheet_path) as entry:  # noqa: SLF001  # its reader leaves merged cells out
        ranges = _MERGED.findall(entry.read())
    found: dict[tuple[int, int], str] = {}
    for one in ranges:
        left, top, right, bottom = range_boundaries(one.decode("ascii"))
        text = rows[top - 1][left - 1] if left == right and top <= len(rows) and left <= len(rows[top - 1]) else ""
        if re.search(r"[^\W\d_]|[0-9]{4}-", text):  # words and days: an amount is not one of several rows
            found |= {(row, left - 1): text for row in range(top + 1, min(bottom, len(rows)) + 1) if rows[row - 1]}
    return found


# --- cells


def text_of(cell: Any) -> str:
    """A cell as text: a number as digits with a point, a day as year-month-day, a percent with its sign."""
    value = cell.value
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return _number(value, percent=_is_percent(cell.number_format))
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == value.time().min else value.isoformat(" ")
    return value.isoformat() if isinstance(value, date) else str(value)


def _is_percent(written: str) -> bool:
    return "%" in _QUOTED.sub("", written.split(";", 1)[0])


def _number(value: int | float, *, percent: bool) -> str:
    exact = Decimal(value) if isinstance(value, int) else Decimal(f"{value:.{_DIGITS}g}")
    if not exact.is_finite():
        return str(value)
    text = format(exact.scaleb(2) if percent else exact, "f")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text}{'%' if percent else ''}"


# --- formulas without a value


def _formulas(sheet: Any, until: float) -> list[tuple[int, int, str]]:
    """The row, column and name of every cell that holds a formula."""
    gathering = Gathering(sheet.title, until)
    cells = []
    for number, row in enumerate(sheet.iter_rows(), 1):
        gathering.in_time()
        cells += [
            (number, place, cell.coordinate)
            for place, cell in enumerate(row, 1)
            if cell.value is not None and cell.data_type == "f"
        ]
    return cells


def _with_missing(table: Table, formulas: list[tuple[int, int, str]]) -> Table:
    def has_no_value(row: int, place: int) -> bool:
        cells = table.rows[row - 1] if row <= len(table.rows) else ()
        return place > len(cells) or not cells[place - 1]

    missing = [name for row, place, name in formulas if has_no_value(row, place)]
    if not missing:
        return table
    named = ", ".join(missing[:_NAMED]) + (f" and {len(missing) - _NAMED} more" if len(missing) > _NAMED else "")
    words = (
        f"The file holds a formula without its result at {named}: read as empty. Open it in your spreadsheet program, "
        "save it there and choose it again."
    )
    return replace(table, remarks=(words,))
