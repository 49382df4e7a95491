"""The line in groups: by formula or by channel, each with what its rows add up to a month."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.book import Book, Id
from webapp.costing.limits import name_key
from webapp.costing.line import Totals, known_totals, left_out
from webapp.costing.rows import Row

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

FORMULA, CHANNEL = "formula", "channel"
GROUPS = (FORMULA, CHANNEL)


class Group(NamedTuple):
    """Rows that belong together, in the order in which they came. `things` are its formulas or its channel.

    `totals` are those of the rows that can be worked out; `left_out` rows sell and can't. A set without a
    filling of its own has no formula.
    """

    things: tuple[Id, ...]
    rows: tuple[Row, ...]
    totals: Totals
    left_out: int


def grouped(known: Reckoning, rows: Sequence[Row], by: str) -> tuple[Group, ...]:
    """The rows in groups by name, what has none last. `by` is one of `GROUPS`."""
    found: dict[tuple[Id, ...], list[Row]] = {}
    for row in rows:
        found.setdefault(things_of(known.book, row, by), []).append(row)
    ordered = sorted(found, key=lambda things: (not things, names_of(known.book, things, by)))
    return tuple(_group(known.book, things, found[things]) for things in ordered)


def _group(book: Book, things: tuple[Id, ...], rows: list[Row]) -> Group:
    return Group(things, tuple(rows), known_totals(book, rows), len(left_out(rows)))


def things_of(book: Book, row: Row, by: str) -> tuple[Id, ...]:
    """What a row is grouped under: its channel, or the formulas that fill its product, each once."""
    if by == CHANNEL:
        return (row.channel,)
    return tuple(dict.fromkeys(fill.formula for fill in book.products[row.product].fills))


def names_of(book: Book, things: tuple[Id, ...], by: str) -> list[str]:
    """Their names as they are ordered by."""
    held = book.channels if by == CHANNEL else book.formulas
    return [name_key(held[one].name) for one in things]
