"""Prices that stand in recipes: of each ingredient for one kg or another unit, beside its amount.

They count where no sheet of prices has the ingredient; the same price in several recipes is one, another is asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from webapp.costing.amounts import plain
from webapp.costing.called import keys_alike
from webapp.costing.own.columns import MATERIALS, Layout, OwnTable
from webapp.costing.own.lines import FormulaRows
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.materials import material_in
from webapp.costing.own.rows import NOT_IN_ANY, OwnRow, Skipped, Wrong
from webapp.costing.own.told import Told


def priced_in(
    tables: Sequence[OwnTable],
    layouts: Sequence[Layout],
    formulas: Sequence[FormulaRows],
    rows: Sequence[MaterialRow],
    told: Callable[[int], Told],
    *,
    passed: Sequence[Skipped],
) -> Iterator[MaterialRow]:
    """The ingredients whose price stands in recipes alone. `rows` are the materials that have a row of their own.

    `told` is what was said for all sheets and of one, by its number. `passed` are rows that were passed over: what is
    in no formula beside others has its price all the same.
    """
    names = (*(one.name for one in rows), *(one.name for one in formulas))
    elsewhere = {key for name in names for key in keys_alike(name)}
    before: dict[str, MaterialRow] = {}
    for sheet, number, name in _named(tables, layouts, formulas, passed):
        table, layout = tables[sheet], layouts[sheet]
        place = layout.place("unit_price")
        if place is None or not elsewhere.isdisjoint(keys_alike(name)) or not table.cell(number, place):
            continue
        roles = tuple({"ingredient": "name", "unit_price": "unit_price"}.get(role, "") for role in layout.roles)
        here = replace(told(sheet), exact=table.exact)
        found = material_in(OwnRow(sheet, number, table, Layout(MATERIALS, layout.heads, roles), here))
        first = next((before[key] for key in keys_alike(name) if key in before), found)
        before |= {key: first for key in keys_alike(name) if key not in before}
        if first is found:
            yield found
        elif (first.price, first.size, first.unit) != (found.price, found.size, found.unit):
            yield _asked(found, first, place, here)


def _named(
    tables: Sequence[OwnTable], layouts: Sequence[Layout], formulas: Sequence[FormulaRows], passed: Sequence[Skipped]
) -> Iterator[tuple[int, int, str]]:
    """Sheet, row and name of each ingredient that stands in the column for it."""
    for formula in formulas:
        ingredient = layouts[formula.sheet].place("ingredient")
        yield from (
            (formula.sheet, line.row, line.ingredient)
            for line in formula.lines
            if ingredient is not None and line.at == ingredient and not line.named
        )
    for one in passed:
        place = layouts[one.sheet].place("ingredient")
        if one.what == NOT_IN_ANY and place is not None and (name := tables[one.sheet].cell(one.row, place)):
            yield one.sheet, one.row, name


def _asked(found: MaterialRow, first: MaterialRow, place: int, told: Told) -> MaterialRow:
    at = f"row {first.row}" if first.sheet == found.sheet else "an earlier sheet"
    was = (
        "another"
        if first.price is None
        else f"{told.written.money(first.price, first.currency or told.home)} for "
        f"{told.written.number(first.size or first.packs)} {first.unit}"
    )
    words = f"{found.name} has another price in {at}: {was}. Correct one of them."
    wrong = Wrong(found.sheet, found.row, place, plain(found.price) if found.price is not None else "", words)
    return replace(found, price=None, wrong=(*found.wrong, wrong))
