"""Files that somebody chose, as tables of texts. Workbooks are written by openpyxl or put together by hand."""

from __future__ import annotations

import io
import time
import tracemalloc
import zipfile
from datetime import date, datetime
from datetime import time as clock
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.styles import numbers

from webapp.exchange.reading import CannotRead, Table, cells_pasted, read_tables
from webapp.exchange.tables import MOST_BYTES, MOST_ROWS

ROWS = (("Name", "Price"), ("Shea", "12,50"))


def csv_rows(data: bytes) -> tuple[tuple[str, ...], ...]:
    return read_tables("prices.csv", data)[0].rows


def saved(book: Workbook) -> bytes:
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


def workbook(*rows: list[Any]) -> bytes:
    book = Workbook()
    for row in rows:
        book.active.append(row)
    return saved(book)


def refused(data: bytes, name: str = "prices.xlsx") -> str:
    with pytest.raises(CannotRead) as caught:
        read_tables(name, data)
    return caught.value.sentence


def repacked(data: bytes, **changed: str | bytes) -> bytes:
    """A workbook with the text of some entries changed, by the last part of their names."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            key = name.rsplit("/", 1)[-1].split(".")[0]
            new.writestr(name, changed.get(key, old.read(name)))
    return out.getvalue()


def sheet_xml(data: bytes) -> str:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return packed.read("xl/worksheets/sheet1.xml").decode()


# --- text files


@pytest.mark.parametrize(
    "text",
    [
        "Name\tPrice\nShea\t12,50\n",
        "Name;Price\r\nShea;12,50\r\n",
        "Name|Price\nShea|12,50",
        'Name,Price\nShea,"12,50"\n',
        '"Name","Price"\r"Shea","12,50"\r',
    ],
)
def test_five_dialects_say_the_same(text: str) -> None:
    assert csv_rows(text.encode()) == ROWS


def test_a_line_may_say_what_parts_the_cells_and_rows_keep_their_numbers() -> None:
    assert csv_rows(b"sep=;\r\nName;Price\r\nShea;12,50") == ((), *ROWS)


def test_a_heading_of_one_cell_does_not_hide_what_parts_the_others() -> None:
    assert csv_rows(b"My prices\nName;Price\nShea, raw;12,50") == (("My prices",), ROWS[0], ("Shea, raw", "12,50"))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_are_told_apart(encoding: str) -> None:
    assert csv_rows("Näme;£\nBienenwachs für Lippen;4 €".encode(encoding))[1] == ("Bienenwachs für Lippen", "4 €")


def test_big_endian_utf_16_has_a_mark_too() -> None:
    assert csv_rows(b"\xfe\xff" + "a;é".encode("utf-16-be")) == (("a", "é"),)


def test_a_cell_in_quotation_marks_may_hold_lines_marks_and_separators() -> None:
    assert csv_rows(b'a,b\n"one\r\ntwo; ""three"", four",5\n') == (("a", "b"), ('one\ntwo; "three", four', "5"))


def test_blank_rows_between_others_keep_their_place_and_those_at_the_end_go() -> None:
    assert csv_rows(b"a;b\n;\n\nc;;\n;;\n\n") == (("a", "b"), (), (), ("c",))


def test_an_open_quotation_mark_is_told_with_its_line() -> None:
    assert "Line 3 has a quotation mark that does not close" in refused(b'a,b\nc,d\n"e,f\n', "x.csv")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b" \r\n", "empty"),
        (b"a\x00b\x01c", "neither a workbook nor a text"),
        (b"\x81\x8d\x8f", "neither a workbook nor a text"),
        (b"%PDF-1.7 ...", "PDF"),
        (b"{\\rtf1", "text document"),
        (b"\x89PNG\r\n", "picture"),
        (b"\x1f\x8b\x08", "Unpack it"),
        (b"\xef\xbb\xbf<!DOCTYPE html><table>", "web page"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 99, "old kind (.xls). Save it as an .xlsx"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
            "locked by a password. Take the password off",
        ),
        (b"a" * (MOST_BYTES + 1), "larger than 8 MiB"),
    ],
)
def test_what_is_no_table_is_named_with_what_to_do(data: bytes, words: str) -> None:
    assert words in refused(data)


def test_as_many_rows_as_are_taken_and_one_more() -> None:
    assert len(csv_rows(b"a,b\n" * MOST_ROWS)) == MOST_ROWS == 20_000
    assert "more than 20,000 rows" in refused(b"a,b\n" * (MOST_ROWS + 1), "x.csv")


def test_blank_rows_at_the_end_of_a_file_count_nothing() -> None:
    assert len(csv_rows(b"a,b\n" * 3 + b",\n" * MOST_ROWS)) == 3


def test_columns_and_long_cells_have_their_limits() -> None:
    assert len(csv_rows(b",".join([b"a"] * 200))[0]) == 200
    assert "more than 200 columns" in refused(b",".join([b"a"] * 201), "x.csv")
    assert "row 2" in refused(b"a,b\nc," + b"d" * 32_768, "x.csv")


def test_pasted_cells_are_a_table() -> None:
    assert cells_pasted("Name\tPrice\r\nShea\t12,50\r\n").rows == ROWS
    with pytest.raises(CannotRead, match="paste some cells"):
        cells_pasted(" \n")


# --- workbooks


def test_numbers_come_exactly_days_by_iso_and_percent_with_its_sign() -> None:
    book = Workbook()
    values = [
        0.1,
        0.1 + 0.2,
        2,
        2.0,
        1e-7,
        -12.5,
        1234567890123456789,
        date(2026, 3, 31),
        datetime.combine(date(2026, 3, 31), clock(8, 5)),
    ]
    book.active.append([*values, True, None, "0.10", 0.125, 1])
    book.active["M1"].number_format = "0.0%"
    book.active["N1"].number_format = '0" %"'
    (table,) = read_tables("a.xlsx", saved(book))
    told = ["0.1", "0.3", "2", "2", "0.0000001", "-12.5", "1234567890123460000", "2026-03-31", "2026-03-31 08:05:00"]
    assert table == Table("Sheet", ((*told, "TRUE", "", "0.10", "12.5%", "1"),), exact=True)


def test_a_day_shown_without_its_time_is_a_day() -> None:
    book = Workbook()
    book.active["A1"] = 46112  # 2026-03-31 in the day count of ISO/IEC 29500, 18.17.4.1
    book.active["A1"].number_format = numbers.FORMAT_DATE_DDMMYY
    assert read_tables("a.xlsx", saved(book))[0].rows == (("2026-03-31",),)


def test_merged_cells_hold_their_text_once() -> None:
    book = Workbook()
    book.active.append(["Lip balm", "gone", "Shea"])
    book.active.append([None, None, "Wax"])
    book.active.merge_cells("A1:B2")
    assert read_tables("a.xlsx", saved(book))[0].rows == (("Lip balm", "", "Shea"), ("", "", "Wax"))


def test_hidden_sheets_are_read_and_said_to_be_hidden() -> None:
    book = Workbook()
    book.active.title = "Prices"
    for title, state in (("Old", "hidden"), ("Secret", "veryHidden")):
        book.create_sheet(title).sheet_state = state
    assert [(one.title, one.hidden) for one in read_tables("a.xlsx", saved(book))] == [
        ("Prices", False),
        ("Old", True),
        ("Secret", True),
    ]


def test_a_formula_gives_its_last_value_and_one_without_is_said() -> None:
    data = workbook(["a", "=1+1"], ["b", "=2+2"])
    assert "<f>1+1</f><v /></c>" in sheet_xml(data) or "<f>1+1</f><v/></c>" in sheet_xml(data)
    valued = (
        sheet_xml(data).replace("<f>1+1</f><v />", "<f>1+1</f><v>2</v>").replace("<f>1+1</f><v/>", "<f>1+1</f><v>2</v>")
    )
    (table,) = read_tables("a.xlsx", repacked(data, sheet1=valued))
    assert table.rows == (("a", "2"), ("b",))
    assert "without its result at B2" in table.remarks[0]
    both = valued.replace("<f>2+2</f><v />", "<f>2+2</f><v>4</v>").replace("<f>2+2</f><v/>", "<f>2+2</f><v>4</v>")
    assert read_tables("a.xlsx", repacked(data, sheet1=both))[0] == Table("Sheet", (("a", "2"), ("b", "4")), exact=True)


def test_a_formula_that_failed_keeps_its_mark() -> None:
    assert read_tables("a.xlsx", workbook(["#DIV/0!", "x"]))[0].rows == (("#DIV/0!", "x"),)


def test_what_a_sheet_says_of_its_size_is_not_believed() -> None:
    data = workbook(["a", "b"])
    lied = sheet_xml(data).replace('ref="A1:B1"', 'ref="A1:XFD1048576"')
    assert lied != sheet_xml(data)
    assert read_tables("a.xlsx", repacked(data, sheet1=lied))[0].rows == (("a", "b"),)


def test_a_stray_row_far_below_is_too_many_rows() -> None:
    far = sheet_xml(workbook(["a"])).replace('r="1"', 'r="1048576"').replace('r="A1"', 'r="A1048576"')
    assert "more than 20,000 rows" in refused(repacked(workbook(["a"]), sheet1=far))


def test_20_000_rows_of_a_workbook_are_read_and_one_more_is_not() -> None:
    book = Workbook(write_only=True)
    sheet = book.create_sheet("Prices")
    for number in range(MOST_ROWS):
        sheet.append(["Shea", number])
    assert len(read_tables("a.xlsx", saved(book))[0].rows) == MOST_ROWS
    assert "The sheet Sheet has more than 20,000 rows" in refused(workbook(*[["a"]] * (MOST_ROWS + 1)))


def test_a_number_without_end_is_a_damaged_file() -> None:
    endless = sheet_xml(workbook([7])).replace("<v>7</v>", f"<v>{'7' * 5000}</v>")
    assert "damaged" in refused(repacked(workbook([7]), sheet1=endless))


@pytest.mark.parametrize("at", [10, 100, 1000, -60, -1])
def test_a_file_that_was_cut_off_is_damaged(at: int) -> None:
    assert "damaged" in refused(workbook(["a", 1])[:at])


@pytest.mark.parametrize("place", range(60, 3000, 400))
def test_a_flipped_byte_is_noticed_or_changes_nothing(place: int) -> None:
    data = bytearray(workbook(["a", 1]))
    data[place] ^= 0x55
    try:
        found = read_tables("a.xlsx", bytes(data))[0].rows
    except CannotRead:
        return
    assert found == (("a", "1"),)


def packed(**entries: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name, content in entries.items():
            new.writestr(name.replace("__", "/").replace("_", "."), content)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (packed(xl__workbook_bin=b"x"), ".xlsb"),
        (packed(mimetype=b"x", content_xml=b"x"), ".ods"),
        (packed(word__document_xml=b"x"), "no workbook"),
        (packed(xl__workbook_xml=b"x"), "damaged"),
        (packed(**{f"xl__a{n}_xml": b"x" for n in range(201)}), "more than 200 parts"),
    ],
)
def test_other_packed_files_are_named(data: bytes, words: str) -> None:
    assert words in refused(data)


def test_a_bomb_is_refused_at_once_and_with_little_memory() -> None:
    """A workbook of less than 70 KB with a sheet of 60 MB: below the most that may be unfolded, past the ratio."""
    full = workbook(["a"])
    bomb = repacked(full, sheet1=b"<worksheet>" + b" " * 60_000_000)
    assert len(bomb) < 70_000
    tracemalloc.start()
    began = time.perf_counter()
    assert "unfolds to far more" in refused(bomb)
    took, (_, most) = time.perf_counter() - began, tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert took < 2
    assert most < 8 * 1024 * 1024


def test_a_bomb_that_lies_about_its_size_is_counted_all_the_same() -> None:
    bomb = bytearray(repacked(workbook(["a"]), sheet1=b" " * 30_000_000))
    told = (30_000_000).to_bytes(4, "little")
    assert bomb.count(told) == 2
    lying = bytes(bomb).replace(told, (1000).to_bytes(4, "little"))
    assert "damaged" in refused(lying)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize("entry", ["sheet1", "workbook", "styles"])
def test_declarations_of_entities_are_refused(entry: str, encoding: str) -> None:
    text = (
        f'<?xml version="1.0" encoding="{encoding}"?><!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><a>&b;</a>'
    )
    assert "fetch or repeat" in refused(repacked(workbook(["a"]), **{entry: text.encode(encoding)}))


def test_a_declaration_across_two_pieces_is_found() -> None:
    padded = b"<a>" + bytes(range(65, 91)) * 10_082
    text = padded[: 256 * 1024 - 5] + b"<!DOCTYPE x>"
    assert "fetch or repeat" in refused(repacked(workbook(["a"]), sheet1=text))
