"""What was chosen for some heads of her own sheets is kept, and chosen by itself for the next sheet with the same."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

from webapp.costing.own.columns import ABOVE, MATERIALS, ROLES, Layout, OwnTable, words_of
from webapp.pages.rendering import Desk

#: under which kind what the columns of some heads hold is kept, among what is half entered
REMEMBERED = "columns"


def mark_of_heads(table: OwnTable, layout: Layout) -> str:
    """The heads of a sheet as one mark; "" where it has none."""
    heads = table.rows[layout.heads - 1] if layout.heads else ()
    words = "|".join(words_of(head) or head.strip() for head in heads)
    return f"heads-{hashlib.sha256(words.encode()).hexdigest()[:40]}" if words.strip("|") else ""


def remembered(desk: Desk) -> dict[str, Mapping[str, str]]:
    """What columns held under heads that were met before."""
    return {one.form: one.texts for one in desk.store.drafts(kinds=(REMEMBERED,))}


def known_by_heads(table: OwnTable, known: Mapping[str, Mapping[str, str]]) -> tuple[int, Mapping[str, str]] | None:
    """The row of a sheet's heads, and what is remembered of them, where they were met before."""
    for row in range(table.begins + 1, min(len(table.rows), table.begins + ABOVE) + 1):
        found = known.get(mark_of_heads(table, Layout(MATERIALS, row)))
        if found and found.get("holds") in ROLES:
            return row, found
    return None


def known_layout(table: OwnTable, known: Mapping[str, Mapping[str, str]]) -> Layout | None:
    """The layout of a sheet whose heads were met before."""
    found = known_by_heads(table, known)
    if found is None:
        return None
    row, texts = found
    roles = ROLES[texts["holds"]]
    return Layout(
        texts["holds"], row, tuple(one if one in roles else "" for one in texts.get("columns", "").split("|"))
    )
