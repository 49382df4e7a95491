"""A sheet as an answer: a file under a name that every system takes, offered beside what a page shows."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from starlette.responses import Response

from webapp.exchange import csv_files, xlsx_files
from webapp.exchange.sheets import Sheet
from webapp.pages.formats import Formats

CSV, XLSX = "csv", "xlsx"
KINDS = (CSV, XLSX)
#: places where paper is Letter, by the country behind a locale's underline
LETTER = ("US", "CA", "MX", "PH", "CL", "CO", "VE", "CR", "GT", "PA", "DO", "PR", "SV", "NI")
_NOT_IN_A_NAME = re.compile(r"[^a-z0-9]+")


@dataclass(frozen=True, slots=True)
class FileLinks:
    """Where the same is had as a file, and how numbers are written in the CSV."""

    csv: str
    xlsx: str
    note: str


def links(address: str, formats: Formats) -> FileLinks:
    """The two links beside a page at `address`, and what to know before a CSV is read elsewhere."""
    mark = "&" if "?" in address else "?"
    return FileLinks(f"{address}{mark}as={CSV}", f"{address}{mark}as={XLSX}", note(sign(formats)))


def note(sign: str) -> str:
    """How a CSV is written here."""
    cells = "semicolons" if csv_files.separator(sign) == ";" else "commas"
    return (
        f"In the CSV {cells} part the cells, {'a comma' if sign == ',' else 'a point'} is the decimal sign, "
        "and days are year-month-day."
    )


def answer(sheet: Sheet, kind: str, name: Iterable[str], formats: Formats) -> Response:
    """The sheet as a file of `kind`, one of KINDS."""
    file = f"{file_name(name, sheet.day)}.{kind}"
    if kind == XLSX:
        content, media = xlsx_files.written(sheet), xlsx_files.MEDIA
    else:
        content, media = csv_files.written(sheet, sign(formats)), csv_files.MEDIA
    return Response(content, media_type=media, headers={"Content-Disposition": f'attachment; filename="{file}"'})


def sign(formats: Formats) -> str:
    """The decimal sign of a CSV: a point or a comma, whichever is nearer to how numbers are written here."""
    return "," if formats.decimal_sign == "," else "."


def file_name(words: Iterable[str], day: date | None) -> str:
    """Words as a file's name: small Latin letters, digits and hyphens; accents are dropped."""
    plain = unicodedata.normalize("NFKD", " ".join(words)).encode("ascii", "ignore").decode().lower()
    parts = [_NOT_IN_A_NAME.sub("-", plain).strip("-")[:60].strip("-"), day.isoformat() if day else ""]
    return "-".join(part for part in parts if part) or "list"


def paper(formats: Formats) -> str:
    """The paper that is usual where the workshop is."""
    return "Letter" if formats.locale.rpartition("_")[2] in LETTER else "A4"
