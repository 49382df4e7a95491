"""Sheets without heads that have names with amounts and units beside them, and no money: formulas, and no prices."""

from __future__ import annotations

import re
from collections.abc import Container

from webapp.costing.limits import name_key
from webapp.costing.own.cards_above import roles_of, says_how_much
from webapp.costing.own.columns import FORMULAS, MATERIALS, NOTHING, Layout, OwnTable, sort_of, words_of
from webapp.costing.own.head_rows import TITLES
from webapp.costing.own.heads import stands_beside
from webapp.costing.own.rows import says_total
from webapp.costing.own.titles import speaks_of_batch

#: how many lines make a formula
_LINES = 2
#: sheets that list amounts of what is bought, and are no formula
_OTHERS = re.compile(
    r"inventor|shop|order|buy|bought|need|deliver|lager|bestand|bestell|courses|achat|compra|spesa|acquist|giacenz|"
    r"boodschap"
)


def weighed_lines(table: OwnTable, layout: Layout) -> dict[int, str]:
    """The rows that name something with an amount, where that is all that the sheet has; else none.

    It has no heads, no money, no bare number and no day; words alone may stand between.
    """
    top = [text for text in table.rows[table.begins] if text.strip()] if table.rows else []
    titles = [words_of(one) for one in (table.title, *(top if len(top) == 1 else ()))]
    if any(TITLES[MATERIALS].search(one) or _OTHERS.search(one) or stands_beside(one) for one in titles):
        return {}
    if layout.holds not in (MATERIALS, NOTHING) or layout.heads or table.hidden:
        return {}
    found: dict[int, str] = {}
    for row in range(1, len(table.rows) + 1):
        first, *others = [text for place in range(table.width) if (text := table.cell(row, place))] or [""]
        amounts = [text for text in others if says_how_much(text) and sort_of(text) != "number"]
        if not first:
            continue
        if sort_of(first) != "text" or any(sort_of(one) != "text" for one in others if one not in amounts):
            return {}
        if amounts and not says_total(words_of(first)) and not speaks_of_batch(first):
            found[row] = first
    return found


def as_formula(table: OwnTable, layout: Layout, priced: Container[str]) -> Layout | None:
    """The layout of such a sheet as a formula, where most of its names are `priced` elsewhere; else None."""
    lines = weighed_lines(table, layout)
    known = [name for name in lines.values() if name_key(name) in priced]
    if len(known) < _LINES or len(known) * 2 <= len(lines):
        return None
    places = [next(place for place in range(table.width) if table.cell(row, place)) for row in lines]
    return Layout(FORMULAS, 0, roles_of(table, [*lines], places))
