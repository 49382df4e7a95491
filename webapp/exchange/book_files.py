"""A whole book as a file, and back: JSON, a workbook, a zip of CSV files, or one CSV file."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.costing.amounts import JSON_NOTATION, Notation
from webapp.exchange import book_about, book_csv, book_tables, book_workbook, whole
from webapp.exchange.book_rows import Document
from webapp.exchange.reading import read_tables
from webapp.exchange.tables import MIB, MOST_BYTES, CannotRead

JSON, XLSX, ZIP, CSV = "json", "xlsx", "zip", "csv"
KINDS = (JSON, XLSX, ZIP)
SIGNS = (".", ",")


@dataclass(frozen=True, slots=True)
class Brought:
    """What a file holds, how its numbers are written, and what of it is not read.

    `asks` is whether the file does not say its decimal sign, so that the person does.
    """

    document: Document
    notation: Notation = JSON_NOTATION
    remarks: tuple[str, ...] = ()
    asks: bool = False


def written(document: Document, kind: str, sign: str = ".") -> bytes:
    """The document as a file of one of KINDS; `sign` is the decimal sign of CSV files."""
    if kind == JSON:
        return whole.written(document)
    return book_workbook.written(document) if kind == XLSX else book_csv.zipped(document, sign)


def read(name: str, data: bytes, sign: str = "") -> Brought:
    """What a file holds; `sign` is its decimal sign where it does not say it. CannotRead where it is none of ours."""
    if len(data) > MOST_BYTES:
        raise CannotRead(f"This file is larger than {MOST_BYTES // MIB} MiB. Import a part of it at a time.")
    if data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return Brought(whole.read(data))
    tables = book_csv.tables(data) if book_csv.is_zip_of_csv(data) else read_tables(name, data)
    exact = all(table.exact for table in tables)
    told = book_tables.told(tables).get(book_about.SIGN_IS, "")
    known = "." if exact else told if told in SIGNS else ""
    document, remarks = book_tables.document(tables, bare=not exact)
    used = known or (sign if sign in SIGNS else ".")
    return Brought(document, Notation(decimal_sign=used), remarks, asks=not known)
