"""A sheet as CSV (RFC 4180): UTF-8 with its mark, CRLF, the table alone, a cell never a formula."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal

from webapp.exchange.sheets import Cell, Column, Sheet, decimals

MEDIA = "text/csv; charset=utf-8"
#: a text that begins with one of these may be taken for a formula by a spreadsheet, also in its wide forms
STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def separator(sign: str) -> str:
    """What parts cells: a semicolon where a comma is the decimal sign, as spreadsheets there expect it."""
    return ";" if sign == "," else ","


def written(sheet: Sheet, sign: str = ".") -> bytes:
    """The table with `sign` as its decimal sign, without grouping; days as ISO 8601."""
    text = io.StringIO(newline="")
    out = csv.writer(text, delimiter=separator(sign), lineterminator="\r\n")
    out.writerow([harmless(column.title) for column in sheet.columns])
    for row in sheet.rows:
        out.writerow([_written(cell, column, sign) for cell, column in zip(row, sheet.columns, strict=True)])
    return b"\xef\xbb\xbf" + text.getvalue().encode()


def harmless(text: str) -> str:
    """A text that no spreadsheet takes for a formula: an apostrophe before what looks like the start of one."""
    return f"'{text}" if text.lstrip(" \u00a0").startswith(STARTS) or text.startswith(STARTS) else text


def _written(cell: Cell, column: Column, sign: str) -> str:
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return f"{cell:.{max(column.places, decimals(cell))}f}".replace(".", sign)
    return cell.isoformat() if isinstance(cell, date) else harmless(cell)
