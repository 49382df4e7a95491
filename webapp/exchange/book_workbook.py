"""A whole book as a workbook (ECMA-376): a page for each sheet, numbers as numbers, days as days, texts as texts.

A number that a spreadsheet could not keep to its last digit is written as a text, and read back as the number.
"""

from __future__ import annotations

import io
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from webapp.costing import limits as lim
from webapp.exchange import book_about
from webapp.exchange.book_rows import Document
from webapp.exchange.book_sheets import NO, YES, BookSheet, Column, sheets

_SAFE = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False, "in_memory": True}
#: digits that every spreadsheet keeps of a number
_DIGITS = 15
#: how many rows below the last one offer a choice too
_MORE_ROWS = 200
_WIDTHS = {lim.Day: 12, lim.Flag: 8, lim.Number: 12}


def written(document: Document) -> bytes:
    """The workbook; the same book on the same day is the same file."""
    from xlsxwriter import Workbook  # noqa: PLC0415 - a start without it is a tenth of a second quicker

    file = io.BytesIO()
    with Workbook(file, _SAFE) as book:
        if document.made_on is not None:
            book.set_properties({"created": datetime.combine(document.made_on, time())})
        looks = {
            "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"}),
            "day": book.add_format({"num_format": "yyyy-mm-dd"}),
            "text": book.add_format({"num_format": "@"}),
        }
        _about(book.add_worksheet(book_about.TITLE), document, looks)
        for one in sheets():
            if one.key in document.sheets:
                _sheet(book.add_worksheet(one.title), one, document, looks)
    return file.getvalue()


def _about(page: Any, document: Document, looks: dict[str, Any]) -> None:
    for across, width in enumerate((24, 34, 22, 8, 30, 22, 60)):
        page.set_column(across, across, width)
    for down, row in enumerate(book_about.rows(document, ".")):
        for across, text in enumerate(row):
            page.write_string(down, across, text, looks["head"] if row == book_about.HEADS else looks["text"])


def _sheet(page: Any, described: BookSheet, document: Document, looks: dict[str, Any]) -> None:
    rows = document.sheets[described.key]
    for across, column in enumerate(described.columns):
        is_text = not isinstance(column.kind, lim.Day | lim.Number)
        width = 28 if column.refers or column.key == "name" else _WIDTHS.get(type(column.kind), 16)
        page.set_column(across, across, width, looks["text"] if is_text else None)
        page.write_string(0, across, column.title, looks["head"])
        options = _options(column)
        if options:
            page.data_validation(1, across, len(rows) + _MORE_ROWS, across, {"validate": "list", "source": options})
    for down, row in enumerate(rows, start=1):
        for across, column in enumerate(described.columns):
            text = row.cells.get(column.key, "")
            if text:
                _write(page, (down, across), column, text, looks)
    page.freeze_panes(1, 1)


def _options(column: Column) -> list[str]:
    if isinstance(column.kind, lim.Flag):
        return [YES, NO]
    if isinstance(column.kind, lim.Choice) and len(",".join(column.kind.options)) < 255:
        return [option for option in column.kind.options if option]
    return []


def _write(page: Any, at: tuple[int, int], column: Column, text: str, looks: dict[str, Any]) -> None:
    if column.is_number and _kept(text):
        page.write_number(*at, float(text))
    elif isinstance(column.kind, lim.Day):
        page.write_datetime(*at, datetime.combine(date.fromisoformat(text), time()), looks["day"])
    else:
        page.write_string(*at, text, looks["text"])


def _kept(text: str) -> bool:
    """Whether a spreadsheet gives the number back to its last digit."""
    return Decimal(f"{float(text):.{_DIGITS}g}") == Decimal(text)
