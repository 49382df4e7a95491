"""Rows of a maker's own formulas that name a stage: words alone, or with what its lines come to beside them."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from webapp.costing.amounts import ZERO, Unreadable
from webapp.costing.own import cells
from webapp.costing.own.columns import AMOUNTS, words_of
from webapp.costing.own.heads import is_amount
from webapp.costing.own.lines import STAGE, measured
from webapp.costing.own.rows import OwnRow, filled, is_total
from webapp.costing.own.whole import NOISE

#: what is typed where an amount would stand, to say that the row is the name of a formula
BEGINS = "formula"

#: what several ingredients are, so that it is none, and what stands beside it
_GROUPS = frozenset(
    "oils butters waxes liquids powders solids actives additives emulsifiers preservatives surfactants thickeners "
    "ingredients".split()
)
_BESIDE = frozenset("active dry wet liquid solid hard soft carrier base heat sensitive and the other".split())


def filled_at(row: OwnRow) -> list[tuple[int, str]]:
    """The cells of a row that hold anything, each with its column."""
    return [(at, text) for at in range(row.table.width) if (text := row.table.cell(row.number, at))]


def says_amount(row: OwnRow) -> bool:
    """Whether a row says how much; words alone left of the ingredients, where amounts stand, are a title."""
    here = filled_at(row)
    if len(here) == 1 and here[0][0] < (row.layout.place("ingredient") or 0) and not is_amount(here[0][1]):
        return False
    said = [text for role in AMOUNTS if (text := row.text(role))]
    return bool(said) and words_of(said[0]) != BEGINS


def is_group(text: str) -> bool:
    """Whether words say several ingredients by what they are, and nothing else: oils & butters, active ingredients."""
    words = set(words_of(text).split())
    return bool(words & _GROUPS) and words <= _GROUPS | _BESIDE


def is_phase(text: str) -> bool:
    """Whether words say by themselves that they are over a part of a formula: oil phase, cool down, oils & butters."""
    return bool(STAGE.fullmatch(text)) or is_group(text)


def amount_of(row: OwnRow) -> str:
    """What is said to stand in the column that says how much, in a row of a stage; "" where none does."""
    named = bool(STAGE.fullmatch(row.text("ingredient")))
    return next((one for one in AMOUNTS if row.text(one)), "") if named else ""


def contradicts(row: OwnRow, role: str, heads: Sequence[int]) -> str:
    """What is wrong with the amount beside a stage: a sentence where the lines below come to another, else "".

    `heads` are rows at which they end besides a blank one, a total and the next stage.
    """
    own, total = _figure(row, role), ZERO
    for number in range(row.number + 1, len(row.table.rows) + 1):
        one = OwnRow(row.sheet, number, row.table, row.layout, row.told)
        name = one.text("ingredient")
        if not filled(one) or number in heads or is_total(one) or STAGE.fullmatch(name) or is_group(name):
            break
        total += _figure(one, role) or ZERO
    if own is not None and abs(own - total) <= NOISE:
        return ""
    words = f"{row.text('ingredient')}: {row.text(role)[:24]} stands here, and the lines below it come to "
    return f"{words}{row.told.written.number(total)}. Correct one of them, or leave this row out."


def _figure(row: OwnRow, role: str) -> Decimal | None:
    """The number of a cell as it would be of a line; None where it is none."""
    try:
        return measured(row.text(role), row.told_of(role), "g").value
    except (cells.Doubt, Unreadable):
        return None
