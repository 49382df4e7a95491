"""Tables of texts that were read from a file, how large they may be, and the one way to say that one can't be read."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass, field

MIB = 1024 * 1024
MOST_BYTES = 8 * MIB
MOST_ROWS, MOST_COLUMNS, MOST_SHEETS = 20_000, 200, 50
MOST_ENTRIES, MOST_UNFOLDED, MOST_RATIO = 200, 64 * MIB, 100
#: below this a ratio says nothing: a short sheet of one repeated word shrinks a hundredfold too
RATIO_COUNTS_FROM = 4 * MIB
#: a cell of a spreadsheet holds no more
MOST_IN_A_CELL = 32_767
MOST_CELLS = 1_000_000
MOST_SECONDS = 20.0


class CannotRead(Exception):
    """A file that is not read, with a sentence that says why and what to do. Nothing of it is used."""

    def __init__(self, sentence: str) -> None:
        self.sentence = sentence
        super().__init__(sentence)


@dataclass(frozen=True, slots=True)
class Table:
    """One sheet: row 1 of the file is `rows[0]`, blank rows between others are empty, cells at the end are cut off.

    Numbers are digits with a point, days are year-month-day, a percent cell ends with its sign. `remarks` say what
    was met on the way; `hidden` is a sheet that its own program doesn't show.
    """

    title: str
    rows: tuple[tuple[str, ...], ...]
    remarks: tuple[str, ...] = ()
    hidden: bool = False
    exact: bool = False
    """Whether numbers came as numbers: then a point in one is its decimal sign, whatever the person's locale."""
    shown: Mapping[tuple[int, int], str] = field(default_factory=dict)
    """Cells (row from 1, column from 0) that are shown with a currency or a unit, or merged with one above."""
    typed: frozenset[tuple[int, int]] = field(default=frozenset(), compare=False)
    """Of a sheet whose numbers came as numbers, the cells that came as text all the same."""
    struck: frozenset[int] = field(default=frozenset(), compare=False)
    """Rows (from 1) of which all cells that say anything are struck out."""

    def as_shown(self) -> tuple[tuple[str, ...], ...]:
        """The rows with what is shown in place of what is kept."""
        rows = list(self.rows)
        for (number, place), text in self.shown.items():
            row = rows[number - 1]
            cells = [*row, *[""] * (place + 1 - len(row))]
            rows[number - 1] = (*cells[:place], text, *cells[place + 1 :])
        return tuple(rows)


@dataclass(slots=True)
class Gathering:
    """Rows as they come, within the limits; CannotRead past one of them."""

    title: str
    until: float = field(default_factory=lambda: time.monotonic() + MOST_SECONDS)
    rows: list[tuple[str, ...]] = field(default_factory=list)
    _blank: int = 0
    _cells: int = 0

    def take(self, cells: list[str]) -> None:
        """One row; blank ones are remembered and only kept where another follows."""
        self.in_time()
        while cells and not cells[-1].strip():
            cells.pop()
        if not cells:
            self._blank += 1
            return
        self._cells += len(cells)
        self._within(cells)
        self.rows += [()] * self._blank + [tuple(cells)]
        self._blank = 0

    def in_time(self) -> None:
        """CannotRead where reading takes longer than anybody would wait."""
        if time.monotonic() > self.until:
            raise CannotRead("Reading this file takes too long. Save the sheet that you need in a file of its own.")

    def _within(self, cells: list[str]) -> None:
        where = f"The sheet {self.title[:60]}" if self.title else "This file"
        if len(self.rows) + self._blank >= MOST_ROWS:
            raise CannotRead(f"{where} has more than {MOST_ROWS:,} rows. Save a part of it in a file of its own.")
        if len(cells) > MOST_COLUMNS:
            raise CannotRead(f"{where} has more than {MOST_COLUMNS} columns. Leave out those that are not needed.")
        if self._cells > MOST_CELLS:
            raise CannotRead(f"{where} has more than {MOST_CELLS:,} cells. Save a part of it in a file of its own.")
        long = next((at for at, cell in enumerate(cells, 1) if len(cell) > MOST_IN_A_CELL), 0)
        if long:
            at = f"row {len(self.rows) + self._blank + 1}, column {long}"
            words = f"has a cell that is too long: {at} holds {len(cells[long - 1]):,} characters"
            raise CannotRead(f"{where} {words}, and a cell may hold {MOST_IN_A_CELL:,}. Shorten it, or leave it out.")
