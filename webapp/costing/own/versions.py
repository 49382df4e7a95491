"""Formulas side by side whose heads say only a version: they are called by the title above the heads, too."""

from __future__ import annotations

import re
from collections.abc import Mapping

from webapp.costing.own.columns import Layout, OwnTable, sort_of
from webapp.costing.own.heads import Column
from webapp.costing.own.method import is_step_above_heads
from webapp.costing.own.rows import is_note
from webapp.costing.own.title_lines import is_of_all
from webapp.costing.own.titles import is_name, parted_title

#: a version by its number or its age: "v1", "Version 2.1", "#3", "old", "2026"
_VERSION = re.compile(
    r"(?:v|ver|vers|version|variante?|test|trial|try|batch|no|nr|n\u00b0|#)?\.?\s*[0-9]+(?:\.[0-9]+)*\s?[a-z]?|"
    r"(?:the\s+)?(?:old|new|older|newer|current|previous|original|final|draft|latest|before|after|alte?|neue?|"
    r"ancien(?:ne)?|nouve(?:au|lle)|viejo|vieja|nuevo|nueva|vecchi[oa]|nuov[oa]|oude?|nieuwe?)"
    r"(?:\s+(?:one|version|recipe|formula))?",
    re.IGNORECASE,
)
#: what a program calls a sheet, and what says only that formulas stand in it
_ANY_SHEET = re.compile(
    r"(?:sheet|tab(?:elle)?|feuil\w*|hoja|foglio|blad|charts?|table|versions?|matrix|comparison|tests?|pasted cells)"
    r"\s*[0-9]*",
    re.IGNORECASE,
)


def with_titles(table: OwnTable, layout: Layout, columns: Mapping[int, Column]) -> dict[int, Column]:
    """The columns, each that a version is the name of with the title of all before it."""
    title = _title(table, layout.heads)
    return {
        place: Column(f"{title} {one.name}", one.unit) if title and is_version(one.name) else one
        for place, one in columns.items()
    }


def is_version(name: str) -> bool:
    """Whether a name says nothing but which version it is: by a number, a word for its age, or a day."""
    return bool(_VERSION.fullmatch(name.strip(" ()[]"))) or sort_of(name) in ("number", "day")


def _title(table: OwnTable, heads: int) -> str:
    """The words alone right above the heads, or above a gap there; else what the sheet is called; "" for neither."""
    row = heads - 1
    while row > 0 and not any(map(str.strip, table.rows[row - 1])):
        row -= 1
    texts = {text for place in range(table.width) if (text := table.cell(row, place))}
    for text in (*(texts if len(texts) == 1 else ()), table.title):
        if may_be_title(text) and not is_version(text):
            return parted_title(text).name
    return ""


def may_be_title(text: str) -> bool:
    """Whether words above heads, or the name of a sheet, may be what a formula is called."""
    return is_name(text) and not (
        is_note(text) or is_step_above_heads(text) or is_of_all(text) or _ANY_SHEET.fullmatch(text)
    )
