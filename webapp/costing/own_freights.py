"""The freight of orders that a maker's own sheet says, as charges of them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from webapp.costing.amounts import ZERO, plain
from webapp.costing.book import Charge, Id
from webapp.costing.own_plan import MaterialSaid, Plan
from webapp.costing.own_rows import Wrong

Order = tuple[Id, date, str]
"""An order by its supplier, its day and its currency."""


def add_freight(plan: Plan, said: MaterialSaid, order: Order, *, again: bool) -> None:
    """Keep what a row says of its order's freight; wrong where it is in a currency that neither of them has.

    `again`: the book has the purchase already, so that it may have its freight too.
    """
    row = said.row
    if again:
        plan.again.add(order)
    if row.freight is None:
        return
    if row.freight.unit not in (order[2], plan.book.workshop.currency):
        words = f"The freight is in {row.freight.unit} and its order in {order[2]}. Type it in {order[2]}."
        plan.wrong.append(Wrong(row.sheet, row.row, 0, row.name, words))
        return
    plan.freights.setdefault(order, []).append((said, again))


def say_freights(plan: Plan) -> None:
    """Say at its first row what is taken for the freight of each order."""
    for order, rows in plan.freights.items():
        first, lines = rows[0][0], len(plan.orders.get(order, ()))
        amounts = _amounts(plan, order)
        if not lines and order not in plan.again:
            first.remarks.append("Its freight is not taken: nothing of this order has a price.")
            continue
        if not amounts or not lines:
            first.remarks.append("Its freight is not entered again: the book has this order, or a part of it.")
            continue
        sums = (_sum_of([value for value, one in amounts if one == unit], unit, order) for unit in _units(amounts))
        once = ", once," if len(rows) > len(amounts) else ""
        over = f", shared over its {lines} lines by value" if lines > 1 else ""
        first.remarks.append(f"{' and '.join(sums)} is{once} the freight of this order of {order[1]}{over}.")


def charges_of(plan: Plan, order: Order) -> tuple[Charge, ...]:
    """The freight of an order as its charges, one for each currency that it is in."""
    amounts = _amounts(plan, order)
    return tuple(
        Charge("freight", sum((value for value, one in amounts if one == unit), ZERO), _money(unit, order))
        for unit in _units(amounts)
    )


def _amounts(plan: Plan, order: Order) -> list[tuple[Decimal, str]]:
    """What the freight of an order is made of: one amount that stands in several rows is one, others are of each row.

    Where the book has a part of the order, the one amount was that part's, and others are those of rows that are new.
    """
    rows = [
        (read.value, read.unit, again) for said, again in plan.freights.get(order, ()) if (read := said.row.freight)
    ]
    each = [(value, unit) for value, unit, again in rows if not again]
    if len({(value, unit) for value, unit, _ in rows}) > 1:
        return each
    return [] if order in plan.again else each[:1]


def _units(amounts: Sequence[tuple[Decimal, str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(unit for _, unit in amounts))


def _money(unit: str, order: Order) -> str:
    """Which currency a charge is in: that of its order, else home money."""
    return "order" if unit == order[2] else "home"


def _sum_of(values: Sequence[Decimal], unit: str, order: Order) -> str:
    """An amount, or several with what they come to; with its currency where that is not the order's."""
    named = "" if unit == order[2] else f" {unit}"
    whole = f" = {plain(sum(values, ZERO))}" if len(values) > 1 else ""
    return f"{' + '.join(map(plain, values))}{whole}{named}"
