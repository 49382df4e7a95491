"""A whole book as a file, and back: JSON, a workbook, a zip of CSV files, or one CSV file. Told apart by what is in it."""

from __future__ import annotations

from dataclasses import dataclass

from webapp.costing.amounts import JSON_NOTATION, Notation
from webapp.exchange import whole
from webapp.exchange.book_rows import Document
from webapp.exchange.tables import MIB, MOST_BYTES, CannotRead

JSON, XLSX, ZIP, CSV = "json", "xlsx", "zip", "csv"
KINDS = (JSON, XLSX, ZIP)


@dataclass(frozen=True, slots=True)
class Brought:
    """What a file holds, how its numbers are written, and what of it is not read."""

    document: Document
    notation: Notation = JSON_NOTATION
    remarks: tuple[str, ...] = ()


def written(document: Document, kind: str) -> bytes:
    """The document as a file of one of KINDS."""
    return {JSON: whole.written}[kind](document)


def read(name: str, data: bytes, sign: str = "") -> Brought:
    """What a file holds. CannotRead, with a sentence, where it is none of ours."""
    if len(data) > MOST_BYTES:
        raise CannotRead(f"This file is larger than {MOST_BYTES // MIB} MiB. Import a part of it at a time.")
    if data.lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{"):
        return Brought(whole.read(data))
    raise CannotRead("This is no file of a whole book.")
