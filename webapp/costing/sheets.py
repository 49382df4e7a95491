"""Cells that were pasted from a spreadsheet or a CSV file: how they are parted, and how their decimals are written.

Both are found once for the whole sheet. What can be read in two ways is said, never guessed (trust.md, on . and ,).
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from dataclasses import dataclass

from webapp.costing.amounts import Unreadable

MOST_ROWS, MOST_COLUMNS, MOST_CHARACTERS = 200, 20, 40_000
SEPARATORS = ("\t", ";", ",")
SIGNS = (".", ",")
_BETWEEN_GROUPS = re.compile("[ \u00a0\u202f\u2009'\u2019]")


@dataclass(frozen=True, slots=True)
class Line:
    """One row: the number of its line in what was pasted, and its cells."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """What was pasted as rows of cells; a sentence in `fault` where it is no sheet that can be read."""

    lines: tuple[Line, ...] = ()
    separator: str = ""
    fault: str = ""


@dataclass(frozen=True, slots=True)
class Sign:
    """The decimal sign of a sheet: "" where the person must choose, with the one or two texts that leave it open."""

    sign: str
    because: str = ""
    doubt: tuple[str, ...] = ()


def cut(text: str) -> Sheet:
    """Rows of cells, parted at tabs, else semicolons, else commas; a cell in quotation marks may hold any of them."""
    if len(text) > MOST_CHARACTERS:
        return Sheet(fault=f"This is longer than {MOST_CHARACTERS} characters. Paste a part of it.")
    rows = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    separator, skipped = _separator(rows)
    reader = csv.reader([f"{row}\n" for row in rows[skipped:]], delimiter=separator, strict=True, skipinitialspace=True)
    lines = []
    try:
        for cells in reader:
            stripped = tuple(" ".join(cell.split()) for cell in cells)
            if any(stripped):
                lines.append(Line(reader.line_num + skipped, stripped))
    except csv.Error:
        at = reader.line_num + skipped
        return Sheet((), separator, f"Line {at} has a quotation mark that does not close. Close it or take it out.")
    return Sheet(tuple(lines), separator, _too_much(lines))


def _separator(rows: list[str]) -> tuple[str, int]:
    """What parts the cells, and how many rows stand before the first one: some programs write "sep=;" above."""
    first = next((number for number, row in enumerate(rows) if row.strip()), 0)
    told = re.fullmatch(r"sep=(.)\s*", rows[first], re.IGNORECASE)
    if told and told[1] in SEPARATORS:
        return told[1], first + 1
    outside = re.sub(r'"[^"]*"', "", rows[first])
    return next((sign for sign in SEPARATORS if sign in outside), "\t"), 0


def _too_much(lines: list[Line]) -> str:
    if len(lines) > MOST_ROWS + 1:
        return f"At most {MOST_ROWS} rows can be read at once. Paste the rest afterwards."
    if max((len(line.cells) for line in lines), default=0) > MOST_COLUMNS:
        return f"At most {MOST_COLUMNS} columns can be read. Leave out those that are not needed."
    return ""


def bare(text: str) -> str:
    """A number without the spaces and apostrophes between its groups."""
    return _BETWEEN_GROUPS.sub("", text)


def written_with(number: str) -> str:
    """The decimal sign that a number must have been written with: "" where it has none, "?" where it may be either."""
    signs = [one for one in number if one in SIGNS]
    if not signs:
        return ""
    if len(set(signs)) > 1:
        return signs[-1]
    if len(signs) > 1:
        return "," if signs[0] == "." else "."
    before, _, after = number.lstrip("-").partition(signs[0])
    grouped = 1 <= len(before) <= 3 and before != "0" and len(after) == 3
    return "?" if grouped else signs[0]


def sign_of(numbers: Iterable[str]) -> Sign:
    """The one decimal sign of all the numbers of a sheet."""
    found: dict[str, str] = {}
    for number in numbers:
        found.setdefault(written_with(bare(number)), number)
    told = [sign for sign in SIGNS if sign in found]
    if len(told) == 1:
        return Sign(told[0], found[told[0]])
    if told:
        return Sign("", doubt=tuple(found[sign] for sign in told))
    return Sign("", doubt=(found["?"],)) if "?" in found else Sign(".")


def number_in(text: str, sign: str) -> str:
    """A number of a sheet whose decimals are written with `sign`, as digits with a point. Unreadable otherwise."""
    other = "," if sign == "." else "."
    digits, mark, group = bare(text), re.escape(sign), re.escape(other)
    if (
        not re.fullmatch(rf"-?([0-9]{{1,3}}({group}[0-9]{{3}})+|[0-9]+)?({mark}[0-9]+)?", digits, re.ASCII)
        or not digits
    ):
        words = "point" if sign == "." else "comma"
        raise Unreadable("number-format", f"{text[:24]} is no number with a decimal {words}.")
    whole = digits.replace(other, "").replace(sign, ".")
    return f"0{whole}" if whole.startswith(".") else whole
