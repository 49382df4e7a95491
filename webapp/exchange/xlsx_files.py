"""A sheet as XLSX (ECMA-376): numbers are numbers, days are days, a text is never a formula or a link.

The library is imported when a workbook is asked for: a start without it is a tenth of a second quicker.
"""

from __future__ import annotations

import io
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from webapp.exchange.sheets import DAY, NUMBER, Cell, Column, Sheet, decimals

MEDIA = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
#: numbers of paper sizes in ECMA-376, part 1, 18.3.1.63
_PAPER = {"A4": 9, "Letter": 1}
#: characters that the name of a page in a workbook can't hold, and how long it may be
_NOT_IN_A_NAME = str.maketrans(dict.fromkeys("[]:*?/\\'", " "))
_LONGEST_NAME = 31
_SAFE = {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False, "in_memory": True}


def written(sheet: Sheet) -> bytes:
    """One page: what stands above, the table under heads that stay and are repeated on paper, what stands below."""
    from xlsxwriter import Workbook  # noqa: PLC0415 - see above

    file = io.BytesIO()
    with Workbook(file, _SAFE) as book:
        if sheet.day is not None:  # the same sheet of the same day is the same file
            book.set_properties({"created": datetime.combine(sheet.day, time())})
        page = book.add_worksheet(" ".join(sheet.title.translate(_NOT_IN_A_NAME).split())[:_LONGEST_NAME] or "Sheet")
        head = _above(book, page, sheet)
        _table(book, page, sheet, head)
        for place, line in enumerate(sheet.below):
            page.write_string(head + len(sheet.rows) + 2 + place, 0, line)
        _on_paper(page, sheet, head)
    return file.getvalue()


def _above(book: Any, page: Any, sheet: Sheet) -> int:
    """Title and lines; the row of the table's heads."""
    page.write_string(0, 0, sheet.title, book.add_format({"bold": True, "font_size": 14}))
    for place, line in enumerate(sheet.above, start=1):
        page.write_string(place, 0, line)
    return len(sheet.above) + 2


def _table(book: Any, page: Any, sheet: Sheet, head: int) -> None:
    formats: dict[str, Any] = {}

    def style(pattern: str) -> Any:
        if pattern not in formats:
            formats[pattern] = book.add_format({"num_format": pattern})
        return formats[pattern]

    for across, column in enumerate(sheet.columns):
        look = {"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"}
        look["align"] = "right" if column.kind == NUMBER else "left"
        page.write_string(head, across, column.title, book.add_format(look))
        page.set_column(across, across, column.width)
        for down, row in enumerate(sheet.rows, start=head + 1):
            _write(page, (down, across), row[across], column, style)


def _write(page: Any, at: tuple[int, int], cell: Cell, column: Column, style: Any) -> None:
    if cell is None:
        return
    if isinstance(cell, Decimal):
        places = max(column.places, decimals(cell))
        page.write_number(*at, cell, style("#,##0" + ("." + "0" * places if places else "")))
    elif isinstance(cell, date):
        page.write_datetime(*at, datetime.combine(cell, time()), style("yyyy-mm-dd" if column.kind == DAY else ""))
    else:
        page.write_string(*at, cell)


def _on_paper(page: Any, sheet: Sheet, head: int) -> None:
    page.freeze_panes(head + 1, 1)
    page.repeat_rows(head)
    page.set_paper(_PAPER[sheet.paper])
    page.fit_to_pages(1, 0)
    if sheet.landscape:
        page.set_landscape()
    page.set_footer("&C&P / &N")
