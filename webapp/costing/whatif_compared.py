"""Two what-ifs side by side: each row of the line as it is now, with the one and with the other."""

from __future__ import annotations

from typing import NamedTuple

from webapp.costing.book import Id
from webapp.costing.difference import moved_rows
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row


class ComparedRow(NamedTuple):
    """A row that moves in at least one of them; what does not move there is the row as it is now."""

    now: Row
    one: Row
    other: Row


def compared(now: Reckoning, one: Reckoning, other: Reckoning) -> tuple[ComparedRow, ...]:
    """The rows that move: in the order of the first, the worst first, then those that only the second moves."""
    moved: dict[tuple[Id, Id], None] = {}
    for known in (one, other):
        moved |= {(pair.after.product, pair.after.channel): None for pair in moved_rows(now, known)}
    return tuple(ComparedRow(now.row(*pair), one.row(*pair), other.row(*pair)) for pair in moved)
