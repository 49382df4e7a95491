"""Heads that stand in a maker's own sheet once more: what the columns hold below them."""

from __future__ import annotations

from collections.abc import Collection

from webapp.costing.own.columns import AMOUNTS, FORMULAS, Layout, roles_in
from webapp.costing.own.heads import is_amount, tells_figures, unit_alone
from webapp.costing.own.heads_again import is_heads
from webapp.costing.own.ounces import with_ounces
from webapp.costing.own.rows import OwnRow, filled, is_total
from webapp.costing.own.stages import is_phase, says_amount


def titled_heads(row: OwnRow) -> Layout | None:
    """What the columns hold below a row that names a formula over its ingredients, and heads beside it: units, costs.

    Other heads are known as such where they stand in the first row of heads too.
    """
    here, names = row.table.rows[row.number - 1], row.layout.place("ingredient")
    beside = {
        place: text for place in range(len(here)) if place != names and (text := row.table.cell(row.number, place))
    }
    above = {place: row.table.cell(row.layout.heads, place) for place in beside}
    units = {text for text in beside.values() if unit_alone(text) and not is_amount(text)}
    says = bool(units)
    says = says or (is_phase(row.text("ingredient")) and bool({*roles_in([*beside.values()], FORMULAS)} & {*AMOUNTS}))
    if not says or not all(
        text in units or text == above[place] or tells_figures(text) for place, text in beside.items()
    ):
        return None
    roles = list(roles_in(here, FORMULAS))
    roles[names or 0] = "ingredient"
    return with_ounces(row.table, Layout(FORMULAS, row.number, tuple(roles)))


def phase_heads(row: OwnRow) -> Layout | None:
    """The same of a row that names a phase over its ingredients: "Oil phase | g"; None for any other."""
    return titled_heads(row) if is_phase(row.text("ingredient")) else None


def with_lines(row: OwnRow, titles: Collection[int]) -> frozenset[int]:
    """The rows below which amounts stand, before the next title or heads; and 0, so that it is never empty."""
    found, begun = {0}, False
    for number in range(len(row.table.rows), row.layout.heads, -1):
        found |= {number} if begun else set()
        here = OwnRow(row.sheet, number, row.table, row.layout, row.told)
        if number in titles or (filled(here) and heads_here(here)):
            begun = False
        elif says_amount(here) and not is_total(here):
            begun = True
    return frozenset(found)


def heads_here(row: OwnRow) -> Layout | None:
    """What the columns hold below a row that says heads once more: as before where they say the same; else None."""
    here, layout = row.table.rows[row.number - 1], row.layout
    roles = roles_in(here, FORMULAS)
    says = "ingredient" in roles and bool({*AMOUNTS} & {*roles}) and not any(map(is_amount, here))
    if not says and not is_heads(row):
        return None
    above = row.table.rows[layout.heads - 1] if layout.heads else ()
    kept = [
        layout.roles[place]
        if place < len(layout.roles) and here[place : place + 1] == above[place : place + 1]
        else role
        for place, role in enumerate((*roles, *[""] * (len(layout.roles) - len(roles))))
    ]
    sound = "ingredient" in kept and {*AMOUNTS} & {*kept} and len({*kept} - {""}) == sum(map(bool, kept))
    return with_ounces(row.table, Layout(FORMULAS, row.number, tuple(kept))) if sound else layout
