"""Texts of cells as what the door of all typed things reads: names as numbers, amounts with a point, yes and no."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from webapp.costing import limits as lim
from webapp.costing.amounts import JSON_NOTATION, Notation, Unreadable, plain, read_number
from webapp.exchange.book_naming import Naming
from webapp.exchange.book_rows import Row
from webapp.exchange.book_sheets import NO, YES, BookSheet, Column

_FLAGS = {"yes": YES, "true": YES, "x": YES, "no": NO, "false": NO}


@dataclass(frozen=True, slots=True)
class RowFault:
    """What is wrong in a file: the sheet, the row as it is counted there, the column, what to do, what was read.

    `doubtful` is what may be so all the same, if the person says that it is.
    """

    sheet: str
    row: int
    column: str
    sentence: str
    read: str = ""
    doubtful: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """How cells are read: which names there are, how numbers are written; faults are gathered."""

    naming: Naming
    notation: Notation
    faults: list[RowFault]

    def fault(self, described: BookSheet, row: Row, key: str, sentence: str) -> None:
        """Gather what is wrong with a cell, or with its row where there is no such column."""
        column = described.column(key)
        title = column.title if column else ""
        self.faults.append(RowFault(described.title, row.number, title, sentence, row.cells.get(key, "")[:120]))

    def typed(self, described: BookSheet, row: Row, onto: Mapping[str, Any]) -> dict[str, Any]:
        """`onto` with what a row says, as typed data of the sheet's shape. What it does not say stays."""
        found = dict(onto)
        for column in described.columns:
            if column.field and column.key in row.cells:
                value = self._value(described, row, column)
                if len(column.field) == 1:
                    found[column.field[0]] = value
                else:
                    outer, inner = column.field
                    found[outer] = {**(found.get(outer) or {}), inner: value}
        return found

    def _value(self, described: BookSheet, row: Row, column: Column) -> Any:
        text = row.cells[column.key].strip()
        if not text:
            return ""
        try:
            return self._settled(column, text)
        except Unreadable as unreadable:
            self.fault(described, row, column.key, unreadable.sentence)
            return ""

    def _settled(self, column: Column, text: str) -> Any:
        if column.refers:
            return self.naming.find(column.refers, text)
        kind = column.kind
        if isinstance(kind, lim.Number) and not self.notation.strict:
            return plain(read_number(text, self.notation, kind.beside))
        if isinstance(kind, lim.Choice):
            return {option.casefold(): option for option in kind.options}.get(text.casefold(), text)
        if isinstance(kind, lim.Flag):
            return _FLAGS.get(text.casefold(), text)
        return text

    def day(self, described: BookSheet, row: Row, key: str) -> date | None:
        """The day in a cell; None where it is empty or (told) is none."""
        text = row.cells.get(key, "")
        if not text.strip():
            return None
        try:
            return lim.DAY.read(text, JSON_NOTATION)
        except Unreadable as unreadable:
            self.fault(described, row, key, unreadable.sentence)
            return None
