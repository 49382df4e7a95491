"""What a change does: the difference between two books, as material costs and as rows of the line that moved."""

from __future__ import annotations

from typing import NamedTuple

from webapp.costing.basis import MaterialCost
from webapp.costing.book import Id
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row


class MovedMaterial(NamedTuple):
    """A material whose cost per gram or piece is another one afterwards; `before` is None for a new material."""

    material: Id
    before: MaterialCost | None
    after: MaterialCost


class MovedRow(NamedTuple):
    """A row whose cost, margin or suggestion is another one afterwards; `before` is None for a new row."""

    before: Row | None
    after: Row

    @property
    def falls_below(self) -> bool:
        """It reached its target before, or was not known to miss it, and misses it now."""
        return self.after.reaches is False and (self.before is None or self.before.reaches is not False)


def moved_materials(before: Reckoning, after: Reckoning) -> tuple[MovedMaterial, ...]:
    """Materials with another cost afterwards, by name. The same book gives none."""
    found = []
    for ident, material in after.book.materials.items():
        was = before.material(ident) if ident in before.book.materials else None
        now = after.material(ident)
        if was is None or was.unit_cost != now.unit_cost:
            found.append((material.name.casefold(), ident, MovedMaterial(ident, was, now)))
    return tuple(moved for _, _, moved in sorted(found, key=lambda one: one[:2]))


def moved_rows(before: Reckoning, after: Reckoning) -> tuple[MovedRow, ...]:
    """Rows that moved; those that fall below their target first, otherwise in the order of the line."""
    old = {(row.product, row.channel): row for row in before.line()}
    pairs = (MovedRow(old.get((row.product, row.channel)), row) for row in after.line())
    found = [pair for pair in pairs if pair.before is None or _differs(pair.before, pair.after)]
    return tuple(sorted(found, key=lambda pair: not pair.falls_below))


def _differs(was: Row, now: Row) -> bool:
    return was is not now and (was.cost, was.margin, was.suggested) != (now.cost, now.margin, now.suggested)
