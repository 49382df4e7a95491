"""A maker's own sheet while the titles of its formulas are looked for: its rows, and what tells a batch or a name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, field

from webapp.costing.called import Names
from webapp.costing.limits import name_key
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.rows import OwnRow, row_mark
from webapp.costing.own.title_lines import Naming
from webapp.costing.own.titles import BY_WORD, Batch, Title
from webapp.costing.own.told import Told


@dataclass
class Looking:
    """A sheet while its titles are looked for."""

    sheet: int
    table: OwnTable
    told: Told
    known: Names
    found: dict[int, Title] = field(default_factory=dict)
    usual: Counter[tuple[int, str]] = field(default_factory=Counter)
    """In how many rows a column holds what would tell a batch: in most, it tells none."""
    rows: int = 0
    named: set[int] = field(default_factory=set)
    """The heads above which a name stands."""
    naming: Naming | None = None
    """What tells which of several lines is a name."""
    several: bool = False
    """Whether more than a name stands in the last block that was looked at."""
    staged: bool = False
    """Whether only a stage stands between the last name that was found and its heads."""

    def row(self, number: int, layout: Layout) -> OwnRow:
        return OwnRow(self.sheet, number, self.table, layout, self.told)

    def texts(self, number: int) -> list[tuple[int, str]]:
        return [(at, text) for at in range(self.table.width) if (text := self.table.cell(number, at))]

    def tells(self, batch: Batch | None) -> bool:
        """Whether it is a batch that a cell says, and no amount as the rows around have it."""
        return batch is not None and (batch.by == BY_WORD or self.usual[(batch.at, batch.by)] * 2 <= self.rows)


def naming_of(looking: Looking, left_out: Collection[str]) -> Naming:
    """What tells which of several lines is a name."""
    table = looking.table
    firsts = [next(filter(None, map(str.strip, row)), "") for row in table.rows]
    stands = Counter(map(name_key, filter(None, firsts)))
    again = {key for key, count in stands.items() if count > 1}
    left = {number for number in range(1, len(table.rows) + 1) if row_mark(looking.sheet, number) in left_out}
    return Naming(looking.known, table.title, looking.told.titles, again, left)
