"""Sheets of a maker's own that are taken for nothing that is wanted, although rows with numbers stand there: said."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from webapp.costing.own.columns import FORMULAS, LOOKED_AT, NOTHING, Layout, OwnTable, sort_of
from webapp.costing.own.freight import is_freight, speaks_of_freight
from webapp.costing.own.layouts import laid_out
from webapp.costing.own.one_column import are_lines
from webapp.costing.own.rows import column_letters
from webapp.costing.own.weighed_lists import weighed_lines

NOT_READ = (
    "Nothing of this sheet is read, though rows with numbers stand in it. If they are prices, formulas or products, "
    "choose that below."
)
IN_ONE_CELL = (
    "Nothing of this sheet is read, though lines with an amount and a name in one cell stand in it. If they are a "
    "formula, write the names and the amounts in two columns."
)
OF_PRICED = (
    "Read as a formula, since its names have a price on another sheet. If it lists something else, choose that below."
)
#: how many such rows make a list
_ROWS = 2


def with_what_is_not_read(
    tables: Sequence[OwnTable], guessed: Sequence[Layout], layouts: Sequence[Layout]
) -> tuple[OwnTable, ...]:
    """The sheets, each that nothing is read of by its looks with a word of it where it has rows of its own.

    So is one that is taken for a formula by prices on another sheet alone.
    """
    every = zip(tables, guessed, layouts, strict=True)
    return tuple(_with_word(table, guess) if guess.holds == layout.holds else table for table, guess, layout in every)


def _with_word(table: OwnTable, guess: Layout) -> OwnTable:
    if guess.holds == FORMULAS and not guess.heads and weighed_lines(table, laid_out(table)):
        return replace(table, remarks=(*table.remarks, OF_PRICED))
    return table if guess.holds != NOTHING else _with_word_of_nothing(table)


def _with_word_of_nothing(table: OwnTable) -> OwnTable:
    rows = range(1, min(len(table.rows), LOOKED_AT) + 1)
    freight = next((words for row in rows if (words := _freight(table, row))), "")
    if not table.hidden and are_lines(table):
        return replace(table, remarks=(*table.remarks, IN_ONE_CELL))
    if table.hidden or not (freight or sum(_is_listed(table, row) for row in rows) >= _ROWS):
        return table
    return replace(table, remarks=(*table.remarks, freight or NOT_READ))


def _is_listed(table: OwnTable, row: int) -> bool:
    """Whether a row holds a number, and something beside it."""
    sorts = [sort_of(text) for text in _texts(table, row) if text]
    return len(sorts) > 1 and bool({"number", "amount", "money", "percent"} & {*sorts})


def _freight(table: OwnTable, row: int) -> str:
    """What is to be done about a column that is headed as freight and has a number below; "" where none is."""
    for place, head in enumerate(_texts(table, row)):
        if (is_freight(head) or speaks_of_freight(head)) and _is_money(table.cell(row + 1, place)):
            return (
                f"Nothing of this sheet is read. Column {column_letters(place)} ({head[:40]}) holds freight, which is "
                "in no cost: write it beside the prices, in a column Freight, in the first row of each order."
            )
    return ""


def _is_money(text: str) -> bool:
    return sort_of(text) in ("number", "money")


def _texts(table: OwnTable, row: int) -> Iterable[str]:
    return (table.cell(row, place) for place in range(table.width))
