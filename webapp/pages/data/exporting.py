"""Everything out: the whole book as JSON, a workbook or CSV files, or one of its sheets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from webapp import importing
from webapp.errors import NotFound
from webapp.exchange import book_csv, book_files, whole, xlsx_files
from webapp.exchange.book_rows import Document
from webapp.exchange.book_sheets import sheet
from webapp.pages import addresses, files
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "settings"
_AS = "?as="
MEDIA = {
    book_files.JSON: whole.MEDIA,
    book_files.XLSX: xlsx_files.MEDIA,
    book_files.ZIP: "application/zip",
    book_files.CSV: "text/csv; charset=utf-8",
}


@dataclass(frozen=True, slots=True)
class SheetLink:
    """One sheet: what it is called, its rows, what stands on it, where it is had as CSV."""

    title: str
    rows: int
    about: str
    href: str


@dataclass(frozen=True, slots=True)
class ExportView:
    """What can be had: the whole in three forms (label, address, what it is for), and the sheets one by one."""

    whole: tuple[tuple[str, str, str], ...]
    sheets: tuple[SheetLink, ...]
    note: str
    rows: int


@router.get(addresses.EXPORT)
def export(
    desk: DeskNow, *, kind: Annotated[str, Query(alias="as")] = "", wanted: Annotated[str, Query(alias="sheet")] = ""
) -> Response:
    """The page, or the file that is asked for."""
    document = importing.exported(desk.store, desk.today)
    if kind:
        return _file(desk, document, kind, wanted)
    return show(desk, View("data/export.html", "Export everything", PLACE, _view(desk, document)))


def _view(desk: Desk, document: Document) -> ExportView:
    at = addresses.EXPORT
    links = tuple(
        SheetLink(found.title, len(rows), found.about, f"{at}{_AS}{book_files.CSV}&sheet={key}")
        for key, rows in document.sheets.items()
        if rows and (found := sheet(key)) is not None
    )
    every = (
        ("Workbook (XLSX)", f"{at}{_AS}{book_files.XLSX}", "to look through and change in a spreadsheet, all sheets"),
        ("CSV files (ZIP)", f"{at}{_AS}{book_files.CSV}", "one file for each sheet, for other programs"),
        ("JSON", f"{at}{_AS}{book_files.JSON}", "one document, for programs and for comparing"),
    )
    return ExportView(every, links, files.note(files.sign(desk.formats)), document.rows)


def _file(desk: Desk, document: Document, kind: str, wanted: str) -> Response:
    """The file; of CSV files one sheet, or all of them packed."""
    sign = files.sign(desk.formats)
    described = sheet(wanted) if kind == book_files.CSV and wanted else None
    if described is not None:
        content = book_csv.one_sheet(document, described, sign)
    elif wanted or kind not in (book_files.JSON, book_files.XLSX, book_files.CSV):
        raise NotFound
    else:
        kind = book_files.ZIP if kind == book_files.CSV else kind
        content = book_files.written(document, kind, sign)
    words = [desk.book.workshop.name, described.title if described else ""]
    name = f"{files.file_name(words, desk.today)}.{kind}"
    return Response(content, media_type=MEDIA[kind], headers={"Content-Disposition": f'attachment; filename="{name}"'})
