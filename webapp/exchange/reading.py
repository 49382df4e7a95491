"""A file that somebody chose, as tables of texts: a workbook or a text file, told apart by what is in it.

Nothing outside is trusted: not the name, not the size that a file claims, not what it says to fetch. Whatever is past
a limit, damaged or of another kind is refused with a sentence that says what to do.
"""

from __future__ import annotations

from pathlib import PurePath

from webapp.exchange import text_tables, workbooks
from webapp.exchange.tables import MIB, MOST_BYTES, CannotRead, Table

__all__ = ["CannotRead", "Table", "cells_pasted", "read_tables"]

_PACKED = b"PK\x03\x04"
_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
#: how other kinds of file begin -> what to say of them
_OTHERS = {
    b"%PDF": "This is a PDF, a picture of pages. Choose the workbook or the CSV file that it was made from.",
    b"{\\rtf": "This is a text document. Choose an .xlsx workbook, a CSV file, or paste the cells.",
    b"\x89PNG": "This is a picture. Choose an .xlsx workbook, a CSV file, or paste the cells.",
    b"\xff\xd8\xff": "This is a picture. Choose an .xlsx workbook, a CSV file, or paste the cells.",
    b"\x1f\x8b": "This file is packed (.gz). Unpack it and choose what was in it.",
}
_LOCKED = "EncryptedPackage".encode("utf-16-le")


def read_tables(name: str, data: bytes) -> tuple[Table, ...]:
    """The sheets of a workbook, or the one table of a text file, called by the file's name. CannotRead otherwise."""
    if not data.strip():
        raise CannotRead("This file is empty. Choose another, or paste the cells.")
    if len(data) > MOST_BYTES:
        raise CannotRead(f"This file is larger than {MOST_BYTES // MIB} MiB. Save the sheet that you need by itself.")
    if data.startswith(_PACKED):
        return workbooks.tables_of(data)
    if data.startswith(_OLD):
        raise CannotRead(_old(data))
    for begins, sentence in _OTHERS.items():
        if data.startswith(begins):
            raise CannotRead(sentence)
    if data.lstrip(b"\xef\xbb\xbf \t\r\n")[:9].lower().startswith((b"<!doctype", b"<html", b"<?xml")):
        raise CannotRead("This is a web page, whatever its name says. Save it as an .xlsx workbook or as CSV.")
    return (text_tables.table_of(PurePath(name).stem or "Sheet", data),)


def cells_pasted(text: str) -> Table:
    """Cells that were pasted, as one table. CannotRead as for a file."""
    if not text.strip():
        raise CannotRead("Choose a file or paste some cells.")
    if len(text) > MOST_BYTES:
        raise CannotRead("That is more than can be pasted at once. Choose the file instead.")
    return text_tables.cut("Pasted cells", text.replace("\r\n", "\n"))


def _old(data: bytes) -> str:
    if _LOCKED in data:
        return "This workbook is locked by a password. Take the password off, save it again and choose that."
    return "This is a workbook of the old kind (.xls). Save it as an .xlsx workbook or as CSV and choose that."
