"""Sheets that were pasted: how their cells are parted, and which decimal sign they are written with."""

from __future__ import annotations

import pytest

from webapp.costing.amounts import Unreadable
from webapp.costing.sheets import MOST_CHARACTERS, MOST_COLUMNS, MOST_ROWS, Sign, cut, number_in, sign_of, written_with


def cells(text: str) -> list[tuple[str, ...]]:
    return [line.cells for line in cut(text).lines]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a\tb\n1,5\t2;3\n", [("a", "b"), ("1,5", "2;3")]),
        ("a;b\r\n1,5;2\r\n", [("a", "b"), ("1,5", "2")]),
        ("\ufeffa,b\r1.5,2", [("a", "b"), ("1.5", "2")]),
        ('a,b\n"Wax, yellow","say ""soft"""\n', [("a", "b"), ("Wax, yellow", 'say "soft"')]),
        ('a,b\n"two\nlines",2\n', [("a", "b"), ("two lines", "2")]),
        ("sep=;\na,x;b\n", [("a,x", "b")]),
        ('"a;b",c\n', [("a;b", "c")]),
        ("\tQty\n\nShea\t 2 \n;\t\n", [("", "Qty"), ("Shea", "2"), (";", "")]),
        ("one column\n", [("one column",)]),
        ("", []),
        (" \n\t\n", []),
    ],
)
def test_cells_are_parted(text: str, found: list[tuple[str, ...]]) -> None:
    assert cells(text) == found


def test_a_line_keeps_its_number() -> None:
    assert [line.number for line in cut("sep=;\na;b\n\n1;2\n").lines] == [2, 4]


def test_what_is_no_sheet_is_said() -> None:
    assert "quotation mark" in cut('a,b\n"open,2\n').fault
    assert cut("a\n" * (MOST_ROWS + 1)).fault == ""
    assert f"At most {MOST_ROWS} rows" in cut("a\n" * (MOST_ROWS + 2)).fault
    assert cut(";".join("a" * MOST_COLUMNS)).fault == ""
    assert f"At most {MOST_COLUMNS} columns" in cut(";".join("a" * (MOST_COLUMNS + 1))).fault
    assert cut("a" * MOST_CHARACTERS).fault == ""
    assert "longer than" in cut("a" * (MOST_CHARACTERS + 1)).fault


@pytest.mark.parametrize(
    ("numbers", "sign"),
    [
        (["12.40", "3"], Sign(".", "12.40")),
        (["1.234", "0,5"], Sign(",", "0,5")),
        (["1.234,50"], Sign(",", "1.234,50")),
        (["1,234,567"], Sign(".", "1,234,567")),
        (["1 234,5"], Sign(",", "1 234,5")),
        (["12", "3"], Sign(".")),
        (["1.234", "2"], Sign("", doubt=("1.234",))),
        (["1.234", "2.5"], Sign(".", "2.5")),
        (["12.40", "3,5"], Sign("", doubt=("12.40", "3,5"))),
    ],
)
def test_the_decimal_sign_is_found_once_or_asked(numbers: list[str], sign: Sign) -> None:
    assert sign_of(numbers) == sign


@pytest.mark.parametrize(
    ("text", "sign", "number"),
    [
        ("12.40", ".", "12.40"),
        ("1,234.50", ".", "1234.50"),
        ("1,234", ".", "1234"),
        ("1.234", ".", "1.234"),
        ("12,40", ",", "12.40"),
        ("1.234", ",", "1234"),
        ("1.234.567,8", ",", "1234567.8"),
        ("1 250", ",", "1250"),
        ("1'250.5", ".", "1250.5"),
        (",5", ",", "0.5"),
        ("-3", ".", "-3"),
    ],
)
def test_a_number_is_read_with_the_sign_of_its_sheet(text: str, sign: str, number: str) -> None:
    assert number_in(text, sign) == number


@pytest.mark.parametrize(
    ("text", "sign"), [("12,40", "."), ("12.40", ","), ("1.2.3", ","), ("", "."), ("a", "."), (".", ".")]
)
def test_a_number_of_another_sign_is_refused(text: str, sign: str) -> None:
    with pytest.raises(Unreadable):
        number_in(text, sign)


@pytest.mark.parametrize(
    ("number", "sign"),
    [("123.456", "?"), ("1234.567", "."), ("1234,567", ","), ("0.125", "."), ("12.5", "."), ("12", "")],
)
def test_a_number_is_open_to_both_signs_only_where_it_could_be_in_groups_of_three(number: str, sign: str) -> None:
    assert written_with(number) == sign
