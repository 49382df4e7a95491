"""A sheet as it leaves the program: its columns, its rows, and what is said above and below. No file format here."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeAlias

Cell: TypeAlias = str | Decimal | date | None
TEXT, NUMBER, DAY = "text", "number", "day"


@dataclass(frozen=True, slots=True)
class Column:
    """A column by its head, what its cells are, and with how many places a number is written.

    A unit or a currency stands once, in the head. Finer numbers are written as they are. `key` is what the column is
    called inside the program.
    """

    key: str
    head: str
    kind: str = TEXT
    unit: str = ""
    places: int = 0
    width: int = 13

    @property
    def title(self) -> str:
        """The head with its unit, for a file."""
        return f"{self.head}, {self.unit}" if self.unit else self.head


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table. `above` and `below` are lines for people: a file that is only a table leaves them out.

    `title` is its first line, and the name of its page in a workbook; `paper` is what it is to be printed on.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    above: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    day: date | None = None
    paper: str = "A4"
    landscape: bool = False


def decimals(value: Decimal) -> int:
    """How many places a number has, without zeros at its end."""
    exponent = value.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0
