"""The rate of tax that prices with tax and without show beside each other, for rows that leave one of them out."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ONE, half_up
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.counts import number_at

_A_CENT = Decimal("0.01")
#: how many rows have to show a rate
_ROWS = 2


def stand_beside(layout: Layout) -> bool:
    """Whether prices with tax and without stand side by side."""
    return layout.place("price") is not None and layout.place("net_price") is not None


def shown_rate(table: OwnTable, layout: Layout) -> Decimal | None:
    """The one rate in percent that all rows with both prices show, two at least; None where they show none."""
    if not stand_beside(layout):
        return None
    places = layout.place("net_price"), layout.place("price")
    rows = range(layout.heads + 1, len(table.rows) + 1)
    pairs = [
        (net, gross)
        for row in rows
        if (net := number_at(table, row, places[0] or 0)) and (gross := number_at(table, row, places[1] or 0))
    ]
    if len(pairs) < _ROWS:
        return None
    net, gross = max(pairs)
    rate = half_up((gross / net - ONE) * HUNDRED, 1)
    fits = all(abs(one * (ONE + rate / HUNDRED) - other) <= _A_CENT for one, other in pairs)
    return rate if fits and rate > 0 else None
