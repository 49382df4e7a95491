"""No published bad input is forgotten: each is tried by a test."""

from __future__ import annotations

import json
import re
from collections import Counter
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.bad_inputs import FOLDER
from webapp.exchange import csv_files
from webapp.exchange.reading import CannotRead, read_tables
from webapp.exchange.sheets import NUMBER, Column, Sheet
from webapp.exchange.tables import MOST_ROWS

ROOT = Path(__file__).parent
EVERY: dict[str, dict[str, Any]] = {
    one["id"]: one for file in FOLDER.glob("*.json") for one in json.loads(file.read_text(encoding="utf-8"))["inputs"]
}
#: how many of each group were published
PUBLISHED = {
    "numbers": 22,
    "locale": 7,
    "text": 16,
    "structure": 15,
    "http": 15,
    "auth": 6,
    "import": 14,
    "export": 5,
    "backup": 6,
}
#: input -> why another answer than the listed one is given, and is right for a maker
OTHERWISE = {
    "AUT-03": "410: the link is gone for good, whoever has it; 401 would say that signing in helps",
    "AUT-09": "a page leads to where one signs in; all else is answered 401",
    "IMP-05": "spreadsheets save it so and its mark says so: it is read, and shown before it is saved",
    "IMP-11": "of two columns of prices one is taken and the other left out, which is shown; both can't be chosen",
    "LOC-11": "12,50 and 12.50 can each be read in one way only: both are, and shown before it is saved",
    "NUM-43": "the first page is shown",
    "TEX-25": "names are looked through in memory: no pattern is too much, and what is asked for is cut",
}
#: held by `tests/exchange/test_reading.py` with workbooks that it makes: entries, entities, macros
WORKBOOKS = {"IMP-21", "IMP-23", "IMP-25"}
_BY_FIELD = re.compile(r'(?:inputs_of|published|accepted)\("([a-z]+)", "([a-z_.]+)"')
_ONE_OF = re.compile(r'one_of\("([a-z_.]+)"(?:, "([a-z]+)")?')


def tried() -> set[str]:
    """Every input that a test names or takes by its field; all of the group http is taken by name."""
    sources = [file.read_text(encoding="utf-8") for file in ROOT.rglob("test_*.py") if file != Path(__file__)]
    text = "\n".join(sources)
    pairs = set(_BY_FIELD.findall(text)) | {(group or "structure", field) for field, group in _ONE_OF.findall(text)}
    named = set(re.findall(r"\b[A-Z]{3}-[0-9]{2}\b", text))
    return {ident for ident, one in EVERY.items() if ident in named or (one["group"], one["field"]) in pairs}


def test_every_published_input_is_here() -> None:
    assert Counter(one["group"] for one in EVERY.values()) == PUBLISHED


def test_every_input_is_tried() -> None:
    here = {*FILES, *EXPORTED, "EXP-09"}
    assert set(EVERY) - tried() - here - WORKBOOKS == set()


def test_what_is_answered_otherwise_is_published_and_tried() -> None:
    assert set(OTHERWISE) <= tried() | set(FILES)


# --- files

PAGE = b"<!DOCTYPE html><html><body>name,price</body></html>"
#: input -> the file, and words of what is said of it
FILES = {
    "IMP-01": (b"", "empty"),
    "IMP-07": (b"name,price\nSh\x00ea,1\n", "text"),
    "IMP-09": (b"name,price\n" + b"a" * 200_000 + b",1\n", "row 2, column 1 holds 200,000"),
    "IMP-13": (b"name,price\n" + b"Shea,1\n" * (MOST_ROWS + 1), "rows"),
    "IMP-19": (PAGE, "web page"),
    "IMP-03": (b"\xef\xbb\xbfname,price\nShea,1\n", ""),
    "IMP-05": ("name,price\nShea,1\n".encode("utf-16"), ""),
}


@pytest.mark.parametrize("ident", FILES)
def test_a_file_is_read_or_refused_in_words(ident: str) -> None:
    data, words = FILES[ident]
    if words:
        with pytest.raises(CannotRead, match=words):
            read_tables("sheet.csv", data)
        return
    (table,) = read_tables("sheet.csv", data)
    assert table.rows[0] == ("name", "price")


EXPORTED = [ident for ident, one in EVERY.items() if one["group"] == "export" and one["field"] == "ingredient.name"]


@pytest.mark.parametrize("ident", EXPORTED)
def test_a_text_in_a_file_is_no_formula(ident: str) -> None:
    assert csv_files.harmless(EVERY[ident]["value"]) == f"'{EVERY[ident]['value']}"


def test_a_number_below_nothing_stays_a_number() -> None:
    """EXP-09."""
    sheet = Sheet("Prices", (Column("price", "Price", NUMBER, "EUR", 2),), ((Decimal(-5),),))
    assert csv_files.written(sheet).splitlines()[1] == b"-5.00"
