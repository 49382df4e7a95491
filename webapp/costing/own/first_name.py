"""What names the first formula of a maker's own sheet at its first heads, and the phase that those begin."""

from __future__ import annotations

from typing import NamedTuple

from webapp.costing.own.columns import FORMULAS, Layout, OwnTable, role_of
from webapp.costing.own.lines import STAGE
from webapp.costing.own.method import is_step_above_heads
from webapp.costing.own.stages import is_group
from webapp.costing.own.versions import may_be_title


class FirstName(NamedTuple):
    """The row, the column and the text of a name ("" where none stands there), and the phase that begins there."""

    row: int
    column: int
    name: str
    phase: str


def at_heads(table: OwnTable, layout: Layout, *, blocks: bool) -> FirstName:
    """A lone cell right above the heads, or the head over the ingredients: "Balm | %"; either may be a phase.

    `blocks`: titles above the heads name the formula, so that only a phase is looked for. What is done is no name.
    """
    place, above = layout.place("ingredient") or 0, _above(table, layout)
    head = table.cell(layout.heads, place) if layout.heads else ""
    texts = [(at, text) for at in range(table.width) if (text := table.cell(above, at))]
    known = not head or bool(role_of(head, FORMULAS))
    if not known and (STAGE.fullmatch(head) or (is_group(head) and (blocks or len(texts) == 1))):
        phase = head
    elif texts and STAGE.fullmatch(texts[0][1]) and (blocks or len(texts) == 1):
        phase, texts = texts[0][1], []
    elif not known:
        return FirstName(layout.heads, place, "" if blocks else head, "")
    else:
        phase = ""
    lone = not blocks and len(texts) == 1 and not is_step_above_heads(texts[0][1]) and "formula" not in layout.roles
    return FirstName(above, *texts[0], phase) if lone else FirstName(above, 0, "", phase)


def _above(table: OwnTable, layout: Layout) -> int:
    """The row of a title: right above the heads, or above a gap there where the sheet is called nothing of its own."""
    above = layout.heads - 1
    if above < 1 or any(table.cell(above, at) for at in range(table.width)) or may_be_title(table.title):
        return above
    filled = (row for row in range(above, 0, -1) if any(table.cell(row, at) for at in range(table.width)))
    row = next(filled, above)
    texts = [text for at in range(table.width) if (text := table.cell(row, at))]
    return row if len(texts) == 1 and may_be_title(texts[0]) else above
