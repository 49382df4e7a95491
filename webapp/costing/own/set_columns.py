"""Columns of a maker's own list of products that name the further formulas of sets, whatever their heads say."""

from __future__ import annotations

from dataclasses import replace

from webapp.costing.called import Names
from webapp.costing.limits import name_key
from webapp.costing.own.columns import BLANK, MOST_COLUMNS, PRODUCTS, Layout, OwnTable, role_of
from webapp.costing.own.content_heads import with_contents


def with_formulas(names: Names, table: OwnTable, layout: Layout) -> Layout:
    """The layout with each column that is left out and names nothing but other formulas as one, and their contents."""
    width = min(max(table.width, len(layout.roles)), MOST_COLUMNS)
    roles = [*layout.roles, *[""] * (width - len(layout.roles))]
    free = [place for place, role in enumerate(roles) if not role]
    more = [place for place in free if _names_others(names, table, layout, place)]
    if not more:
        return layout
    heads = [table.cell(layout.heads, place) for place in range(width)]
    for place in free:
        roles[place] = "formula" if place in more else "size" if role_of(heads[place], PRODUCTS) == "size" else ""
    return replace(layout, roles=tuple(with_contents(heads, roles)))


def _names_others(names: Names, table: OwnTable, layout: Layout, place: int) -> bool:
    """Whether all cells of a column name formulas, one at least another than its row does."""
    own = layout.place("formula")
    if own is None or not layout.heads:
        return False
    rows = range(layout.heads + 1, len(table.rows) + 1)
    found = [(table.cell(row, place), table.cell(row, own)) for row in rows]
    said = [(text, of) for text, of in found if text not in BLANK]
    others = any(name_key(text) != name_key(of) for text, of in said)
    return others and all(names.meant(text).value.startswith("formula") for text, _ in said)
