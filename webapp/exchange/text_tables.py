"""A text file of cells (CSV, RFC 4180, and as spreadsheets write it elsewhere) as a table of texts."""

from __future__ import annotations

import csv
import io
import re

from webapp.exchange.tables import MOST_BYTES, CannotRead, Gathering, Table

SEPARATORS = ("\t", ";", "|", ",")
#: how many lines are looked at to find what parts the cells
_LOOKED_AT = 50
_MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
#: a cell that is too long is told with its row and column (`Gathering`), so the reader of cells must let it pass
_NO_FIELD_LONGER = MOST_BYTES + 1
_NO_TEXT = "This is neither a workbook nor a text file. Choose an .xlsx workbook, a CSV file, or paste the cells."


def table_of(title: str, data: bytes) -> Table:
    """Cells parted at what parts them in most lines; CannotRead for what is no text or has an open quotation mark."""
    return cut(title, decoded(data))


def decoded(data: bytes) -> str:
    """The text by its byte order mark, else as UTF-8, else as Windows-1252, which older programs write."""
    told = next((encoding for mark, encoding in _MARKS if data.startswith(mark)), "")
    for encoding in (told,) if told else ("utf-8", "cp1252"):
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if re.search("[\x00-\x08\x0e-\x1f\x7f]", text):
            raise CannotRead(_NO_TEXT)
        return text
    raise CannotRead(_NO_TEXT)


def cut(title: str, text: str) -> Table:
    """A text as a table; a cell in quotation marks may hold separators and new lines."""
    told = re.match(r"sep=([\t;|,])[^\S\t\n]*\r?\n", text, re.IGNORECASE)
    parted_at = told[1] if told else _separator(text)
    # The line that says what parts the cells is a row of the file all the same: rows keep their numbers.
    gathering = Gathering(title, rows=[()] if told else [])
    csv.field_size_limit(_NO_FIELD_LONGER)
    reader = csv.reader(io.StringIO(text[told.end() if told else 0 :], newline=""), delimiter=parted_at, strict=True)
    try:
        for cells in reader:
            gathering.take([cell.replace("\r\n", "\n").replace("\r", "\n") for cell in cells])
    except csv.Error as error:
        at = reader.line_num + (1 if told else 0)
        words = f"Line {at} has a quotation mark that does not close, or text behind one. Look at that line."
        raise CannotRead(words) from error
    return Table(title, tuple(gathering.rows))


def _separator(text: str) -> str:
    """What parts the cells in most of the first lines: a tab before a semicolon, a bar and a comma."""
    outside = re.sub(r'"(?:[^"]|"")*"', "", text[:200_000])
    lines = [line for line in outside.splitlines() if line.strip()][:_LOOKED_AT]
    counts = {sign: sum(sign in line for line in lines) for sign in SEPARATORS}
    return max(SEPARATORS, key=lambda sign: counts[sign]) if any(counts.values()) else "\t"
