"""What has to be chosen of a maker's own sheets before any of their rows can be read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from webapp.costing.own_across import faults_across, is_side_by_side
from webapp.costing.own_columns import (
    AMOUNTS,
    FORMULAS,
    MATERIALS,
    MAY_REPEAT,
    MOST_ROWS,
    NOTHING,
    PRODUCTS,
    ROLES,
    Layout,
    OwnTable,
)


def faults_in(tables: Sequence[OwnTable], layouts: Sequence[Layout]) -> tuple[tuple[str, str], ...]:
    """What has to be chosen before any row can be read."""
    found = []
    if all(layout.holds == NOTHING for layout in layouts):
        found.append(("sheets-0-holds", "Say which sheet holds materials with prices, formulas, or products."))
    for number, (table, layout) in enumerate(zip(tables, layouts, strict=True)):
        roles = set(layout.roles)
        if layout.holds != NOTHING and len(table.rows) > MOST_ROWS:
            words = (
                f"This sheet has {len(table.rows):,} rows, and {MOST_ROWS:,} can be taken at once. Save a part of it "
                "in a file of its own, or choose that it holds nothing that is wanted."
            )
            found.append((f"sheets-{number}-holds", words))
        if layout.holds == PRODUCTS and not {"name", "formula"} & roles:
            found.append((f"sheets-{number}-columns-0", "Choose the column with the product's name, or its formula."))
        if layout.holds == MATERIALS and not {"name", "inci"} & roles:
            found.append((f"sheets-{number}-columns-0", "Choose the column with the material's name."))
        found += [(f"sheets-{number}-{at}", words) for at, words in _of_columns(table, layout)]
    return tuple(found)


def _of_columns(table: OwnTable, layout: Layout) -> Iterator[tuple[str, str]]:
    """What the columns of one sheet can't be together."""
    roles = set(layout.roles)
    if is_side_by_side(layout):
        yield from faults_across(table, layout)
    elif layout.holds == FORMULAS:
        if "ingredient" not in roles:
            yield "columns-0", "Choose the column with the ingredient."
        if not roles & set(AMOUNTS):
            yield "columns-0", "Choose the column that says how much of each ingredient."
    once = [role for role in layout.roles if role and role not in MAY_REPEAT.get(layout.holds, ())]
    twice = next((role for role in once if once.count(role) > 1), "")
    if twice:
        words = f"Two columns are said to hold the same ({ROLES[layout.holds][twice]}). Choose one of them."
        last = len(layout.roles) - 1 - layout.roles[::-1].index(twice)
        yield f"columns-{last}", words
