"""CSV and XLSX read back: a text is never a formula, a number is a number, a day is a day."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from openpyxl import load_workbook

from webapp.exchange import csv_files, xlsx_files
from webapp.exchange.sheets import DAY, NUMBER, Column, Sheet
from webapp.pages.files import file_name

COLUMNS = (Column("name", "Product"), Column("price", "Price", NUMBER, "EUR", 2), Column("from", "Valid from", DAY))
NASTY = [
    "=1+1",
    "+4 jars",
    "-5 % off",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    " =1+1",
    '=HYPERLINK("http://example.org","x")',
    "\uff1d1+1",
]
PLAIN = ['Butter "soft"', "a;b", "a,b", "zwei\nZeilen", "été", "http://example.org/x", "007", "1.50", "–5"]


def sheet(*rows: tuple[Any, ...], **more: Any) -> Sheet:
    return Sheet("Prices: a/b [x]", COLUMNS, rows, **more)


def csv_rows(content: bytes, separator: str = ",") -> list[list[str]]:
    assert content.startswith(b"\xef\xbb\xbf")
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), delimiter=separator))


def cells(content: bytes) -> Any:
    return load_workbook(io.BytesIO(content)).worksheets[0]


@pytest.mark.parametrize("text", NASTY)
def test_a_text_that_looks_like_a_formula_gets_an_apostrophe_in_csv(text: str) -> None:
    assert csv_rows(csv_files.written(sheet((text, None, None))))[1] == [f"'{text}", "", ""]


@pytest.mark.parametrize("text", PLAIN)
def test_any_other_text_comes_back_as_it_was(text: str) -> None:
    assert csv_rows(csv_files.written(sheet((text, None, None))))[1][0] == text
    assert csv_rows(csv_files.written(sheet((text, None, None)), ","), ";")[1][0] == text


@pytest.mark.parametrize("text", [*NASTY[:5], *NASTY[6:], *PLAIN])
def test_in_a_workbook_every_text_is_a_text(text: str) -> None:
    found = cells(xlsx_files.written(sheet((text, None, None)))).cell(4, 1)
    assert (found.value, found.data_type, found.hyperlink) == (text, "s", None)


@pytest.mark.parametrize(
    ("value", "point", "comma"),
    [
        ("4.2", "4.20", "4,20"),
        ("4.205", "4.205", "4,205"),
        ("1234567.5", "1234567.50", "1234567,50"),
        ("-0.5", "-0.50", "-0,50"),
        ("0", "0.00", "0,00"),
        ("1E+3", "1000.00", "1000,00"),
    ],
)
def test_a_number_is_a_number(value: str, point: str, comma: str) -> None:
    one = sheet(("x", Decimal(value), date(2026, 11, 5)))
    assert csv_rows(csv_files.written(one))[1] == ["x", point, "2026-11-05"]
    assert csv_rows(csv_files.written(one, ","), ";")[1] == ["x", comma, "2026-11-05"]
    page = cells(xlsx_files.written(one))
    assert page.cell(4, 2).data_type == "n"
    assert Decimal(str(page.cell(4, 2).value)) == Decimal(value)
    assert page.cell(4, 2).number_format == ("#,##0.000" if value == "4.205" else "#,##0.00")
    assert page.cell(4, 3).value.date() == date(2026, 11, 5)
    assert page.cell(4, 3).number_format == "yyyy-mm-dd"


def test_the_currency_stands_once_in_the_head() -> None:
    assert csv_rows(csv_files.written(sheet()))[0] == ["Product", "Price, EUR", "Valid from"]


def test_a_workbook_has_what_stands_around_the_table_and_is_set_up_for_paper() -> None:
    one = sheet(
        ("x", Decimal(1), None), above=("=The mill",), below=("-14 days",), paper="Letter", day=date(2026, 1, 2)
    )
    content = xlsx_files.written(one)
    page = cells(content)
    assert [page.cell(row, 1).value for row in (1, 2, 4, 5, 7)] == [
        "Prices: a/b [x]", "=The mill", "Product", "x", "-14 days",
    ]  # fmt: skip
    assert {page.cell(row, 1).data_type for row in (1, 2, 4, 5, 7)} == {"s"}
    assert (page.title, page.print_title_rows, page.page_setup.paperSize) == ("Prices a b x", "$4:$4", 1)
    assert content == xlsx_files.written(one)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("price list", "Shops, wholesale"), "price-list-shops-wholesale-2026-01-02"),
        (("price list", 'Café "Zoë"\r\n../x'), "price-list-cafe-zoe-x-2026-01-02"),
        (("市場",), "2026-01-02"),
        (("x" * 300,), "x" * 60 + "-2026-01-02"),
    ],
)
def test_a_file_has_a_name_that_every_system_takes(words: tuple[str, ...], name: str) -> None:
    assert file_name(words, date(2026, 1, 2)) == name
