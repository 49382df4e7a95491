"""Rows of a maker's own sheet that say its heads once more."""

from __future__ import annotations

from functools import lru_cache
from itertools import zip_longest

from webapp.costing.own.columns import FORMULAS, MATERIALS, PRICES, role_of, sort_of
from webapp.costing.own.rows import OwnRow, filled
from webapp.costing.written_units import unit_of

#: cells are looked at as heads several times in each reading
_role_of = lru_cache(maxsize=16_384)(role_of)


def is_heads(row: OwnRow) -> bool:
    """Whether a row says the heads once more."""
    if not row.layout.heads:
        return False
    here = row.table.rows[row.number - 1]
    roles = [_role_of(cell, row.layout.holds) for cell in here if len(cell) < 60]
    known = sum(map(bool, roles))
    return _are_the_same(row) or 1 < known == len([one for one in here if one]) or _are_of_prices(row)


def _are_the_same(row: OwnRow) -> bool:
    """Whether several cells are as their heads, and no other holds an amount, nor the name of a product or material.

    "Balm 100 | 95 g | Lid | Label" below such heads has a lid and a label.
    """
    above = row.table.rows[row.layout.heads - 1]
    pairs = [
        (one.strip(), head.strip()) for one, head in zip_longest(row.table.rows[row.number - 1], above, fillvalue="")
    ]
    others = [one for one, head in pairs if one and one != head]
    names = row.layout.place("name")
    named = row.layout.holds != FORMULAS and names is not None and not _says_head(row, names)
    amounts = any(sort_of(one) != "text" and not unit_of(one) for one in others)
    return sum(bool(one) and one == head for one, head in pairs) > 1 and not amounts and not named


def _says_head(row: OwnRow, place: int) -> bool:
    """Whether a cell is empty, as its head, or another that is known."""
    text = row.table.cell(row.number, place)
    return text in ("", row.table.cell(row.layout.heads, place)) or bool(_role_of(text, row.layout.holds))


def _are_of_prices(row: OwnRow) -> bool:
    """Whether words alone stand in a row, one of them a head of prices with a number below: "Oil | ml | Price"."""
    here = row.table.rows[row.number - 1]
    if row.layout.holds != MATERIALS or any(sort_of(cell) != "text" for cell in here if cell.strip()):
        return False
    prices = [place for place, cell in enumerate(here) if role_of(cell, MATERIALS) in PRICES]
    below = [sort_of(row.table.cell(row.number + 1, place)) for place in prices]
    return len(filled(row)) > 1 and bool({"money", "number"} & set(below))
