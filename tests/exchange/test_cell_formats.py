"""What number formats say of a number: its currency, or a unit behind it; and merged cells."""

from __future__ import annotations

import io
from datetime import date
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.styles import Font

from webapp.exchange.cell_formats import shown
from webapp.exchange.reading import read_tables
from webapp.exchange.tables import Table


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ('"£"#,##0.00', "£14"),
        ("[$£-809]#,##0.00", "£14"),
        ('#,##0.00\\ [$€-407]', "€14"),
        ('#,##0.00 "€"', "€14"),
        ("€#,##0", "€14"),
        ("[$EUR] #,##0.00", "EUR 14"),
        ("[$CHF-1407] 0.00", "CHF 14"),
        ('_-"£"* #,##0.00_-;-"£"* #,##0.00_-;_-"£"* "-"??_-;_-@_-', "£14"),
        ('_("$"* #,##0.00_)', "$14"),
        ("$#,##0.00", "$14"),
        ("[$-409]#,##0.00", ""),
        ("[$kr-41D]0", "SEK 14"),
        ("[$kr-406]0", "DKK 14"),
        ('0 "kr"', ""),
        ('0 "zł"', "PLN 14"),
        ("[$US$-409]0", "USD 14"),
        ('0 "g"', "14 g"),
        ('"£"0.00"/100g"', "£14/100g"),
        ("£0.00\\/\\1\\0\\0\\g", "£14/100g"),
        ('[$£-809]0.00" per kg"', "£14 per kg"),
        ('"£"0.00" + VAT"', "£14 + VAT"),
        ('0.00"/kg"', "14/kg"),
        ("# ?/?", ""),
        ("0/100", ""),
        ('0 "Gramm"', ""),
        ("General", ""),
        ("#,##0.00", ""),
        ('0;"£"0', ""),
    ],
)  # fmt: skip
def test_formats_as_spreadsheets_write_them(written: str, text: str) -> None:
    assert shown("14", written) == text


def table(rows: list[list[Any]], formats: dict[str, str] | None = None, merged: tuple[str, ...] = ()) -> Table:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    for cell, written in (formats or {}).items():
        book.active[cell].number_format = written
    for one in merged:
        book.active.merge_cells(one)
    kept = io.BytesIO()
    book.save(kept)
    (found,) = read_tables("x.xlsx", kept.getvalue())
    return found


def test_a_number_is_kept_as_it_is_and_shown_with_its_currency() -> None:
    found = table([["Shea", 14.125, "£7.10", "1.250"]], {"B1": '"£"0.00', "C1": '"£"0.00'})
    assert found.rows == (("Shea", "14.125", "£7.10", "1.250"),)
    assert found.as_shown() == (("Shea", "£14.125", "£7.10", "1.250"),)
    assert found.typed == {(1, 0), (1, 2), (1, 3)}


def test_a_percent_stays_one() -> None:
    assert table([[0.35]], {"A1": "0%"}).as_shown() == (("35%",),)


def test_words_and_days_of_a_merged_cell_stand_for_the_rows_below_it_and_an_amount_for_its_own() -> None:
    day = date(2026, 3, 1)
    rows: list[list[Any]] = [["Mill", "Shea", 14, day], [None, "Wax"], [None, None], [None, "Oil", 9], ["Title"]]
    found = table(rows, merged=("A1:A4", "C1:C2", "D1:D2", "A5:B5"))
    assert found.as_shown() == (
        ("Mill", "Shea", "14", "2026-03-01"),
        ("Mill", "Wax", "", "2026-03-01"),
        (),
        ("Mill", "Oil", "9"),
        ("Title",),
    )
    assert found.rows[1] == ("", "Wax")  # the file itself is as it was
    assert table([["Shea"]], merged=("A1:A9",)).as_shown() == (("Shea",),)
    assert table([["Shea"]], merged=("C3:C9", "B1:B2")).as_shown() == (("Shea",),)


def test_rows_of_which_every_cell_is_struck_out_are_told() -> None:
    book = Workbook()
    sheet = book.active
    for row in (["Item", "Price"], ["Old", 14], ["Half", 9], [None, None], ["New", 12]):
        sheet.append(row)
    for cell in (*sheet[2], sheet["A3"]):
        cell.font = Font(strike=True)
    kept = io.BytesIO()
    book.save(kept)
    assert read_tables("Mine.xlsx", kept.getvalue())[0].struck == {2}
