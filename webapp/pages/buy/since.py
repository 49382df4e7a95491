"""Since when a material is bought, and how its cost changed with the last purchase: reckoned for the day before it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from webapp.costing.basis import MaterialCost, material_cost
from webapp.costing.book import Id, Material
from webapp.costing.gaps import Gap
from webapp.pages.rendering import Desk


@dataclass(frozen=True, slots=True)
class Change:
    """By which fraction a material is dearer (above zero) or cheaper than it was, and since when it had been that."""

    by: Decimal
    since: date

    @property
    def dearer(self) -> bool:
        """Whether it costs more now."""
        return self.by > 0

    @property
    def size(self) -> Decimal:
        """The fraction without its sign."""
        return abs(self.by)


def first_bought(desk: Desk, material: Id) -> date | None:
    """The day of its first purchase; None where it was never bought. A first density holds from then on."""
    bought = desk.reckoning.purchases(material)
    return desk.book.orders[bought[0][0]].day if bought else None


def change_of(desk: Desk, material: Material, cost: MaterialCost) -> Change | None:
    """What the last purchase did to the cost; None where there is no earlier one, or nothing changed."""
    known: dict[Id, Change | None] = desk.snapshot.once(change_of, dict)
    if material.id not in known:
        known[material.id] = _change_of(desk, material, cost)
    return known[material.id]


def _change_of(desk: Desk, material: Material, cost: MaterialCost) -> Change | None:
    if cost.day is None or cost.quote is not None or isinstance(cost.unit_cost, Gap):
        return None
    known = desk.reckoning
    lines = [known.landed(order).lines[index] for order, index in known.purchases(material.id)]
    earlier = replace(desk.book, day=cost.day - timedelta(days=1))
    was = material_cost(earlier, material, lines)
    if was.day is None or isinstance(was.unit_cost, Gap) or not was.unit_cost or was.unit_cost == cost.unit_cost:
        return None
    return Change(cost.unit_cost / was.unit_cost - 1, was.day)
