"""What cost nothing beside the same material with a price: a free sample takes the place of no price that was paid."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from webapp.costing.limits import name_key
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.rows import Skipped

ZERO_ASKED = "zero"


def without_samples(rows: Iterable[MaterialRow]) -> tuple[list[MaterialRow], list[Skipped]]:
    """The rows without those that are free and named by another row of their sheet with a price; these are said.

    Where it is still asked what a price of 0 means, it is said that such a row may be left out. One that brought
    freight or tax of its order is kept.
    """
    every, passed = list(rows), list[Skipped]()
    priced: dict[tuple[int, str], MaterialRow] = {}
    for row in every:
        if row.name and row.price:
            priced.setdefault((row.sheet, name_key(row.name)), row)
    found: list[MaterialRow] = []
    for row in every:
        other = priced.get((row.sheet, name_key(row.name)))
        if row.price is None or row.price or other is None:
            found.append(row)
        elif any(one.choice == ZERO_ASKED for one in row.wrong):
            found.append(_asked(row, other))
        elif row.freight or row.order_tax:
            found.append(row)
        else:
            words = f"free, and {other.name} has a price in row {other.row}, which counts"
            passed.append(Skipped(row.sheet, row.row, words, row.name[:60]))
    return found, passed


def _asked(row: MaterialRow, other: MaterialRow) -> MaterialRow:
    """A row with a price of 0 that is asked about, with what else may be done."""
    more = f" {other.name} has another price in row {other.row}, so this row may be left out."
    wrong = [replace(one, sentence=one.sentence + more) if one.choice == ZERO_ASKED else one for one in row.wrong]
    return replace(row, wrong=tuple(wrong))
