"""Prices that stand in recipes: of each ingredient for one kg or another unit, beside its amount.

They count where no sheet of prices has the ingredient; the same price in several recipes is one, another is asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from webapp.costing.amounts import plain
from webapp.costing.limits import name_key
from webapp.costing.own_cells import Told
from webapp.costing.own_columns import MATERIALS, Layout, OwnTable
from webapp.costing.own_lines import FormulaRows
from webapp.costing.own_materials import MaterialRow, material_in
from webapp.costing.own_rows import OwnRow, Wrong


def priced_in(
    tables: Sequence[OwnTable],
    layouts: Sequence[Layout],
    formulas: Sequence[FormulaRows],
    rows: Sequence[MaterialRow],
    told: Told,
) -> Iterator[MaterialRow]:
    """The ingredients whose price stands in recipes alone. `rows` are the materials that have a row of their own."""
    elsewhere = {*(name_key(one.name) for one in rows), *(name_key(one.name) for one in formulas)}
    before: dict[str, MaterialRow] = {}
    for formula in formulas:
        table, layout = tables[formula.sheet], layouts[formula.sheet]
        roles = tuple({"ingredient": "name", "unit_price": "unit_price"}.get(role, "") for role in layout.roles)
        place, here = layout.place("unit_price"), replace(told, exact=table.exact)
        for line in formula.lines:
            wanted = place is not None and line.at == layout.place("ingredient") and not line.named
            if not wanted or name_key(line.ingredient) in elsewhere or not table.cell(line.row, place or 0):
                continue
            row = OwnRow(formula.sheet, line.row, table, Layout(MATERIALS, layout.heads, roles), here)
            found = material_in(row)
            first = before.setdefault(name_key(line.ingredient), found)
            if first is found:
                yield found
            elif (first.price, first.size, first.unit) != (found.price, found.size, found.unit):
                yield _asked(found, first, place or 0)


def _asked(found: MaterialRow, first: MaterialRow, place: int) -> MaterialRow:
    at = f"row {first.row}" if first.sheet == found.sheet else "an earlier sheet"
    was = (
        "another"
        if first.price is None
        else f"{plain(first.price)} for {plain(first.size or first.packs)} {first.unit}"
    )
    words = f"{found.name} has another price in {at}: {was}. Correct one of them."
    wrong = Wrong(found.sheet, found.row, place, plain(found.price) if found.price is not None else "", words)
    return replace(found, price=None, wrong=(*found.wrong, wrong))
