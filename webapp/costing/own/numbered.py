"""Running numbers before titles of formulas, which are no part of their names: "1. Balm", "No 3 Balm", "#4 Balm"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from webapp.costing.called import Names
from webapp.costing.limits import name_key
from webapp.costing.own.lines import FormulaRows

_NUMBERED = re.compile(
    r"(?:(?:no|nr|num|n\u00b0|n\u00ba|#|formula|recipe|rezept|recette|receta|ricetta)[.:]?\s*(?:no\.?|nr\.?|#)?\s*"
    r"([0-9]{1,3})\s*[.):\-\u2013\u2014]?|([0-9]{1,3})\s*(?:[.):]|\s[-\u2013\u2014]))\s+(.*[^\W\d_].*)",
    re.IGNORECASE,
)


def without_numbers(titles: Sequence[str]) -> tuple[str, ...]:
    """Titles without their running numbers, where each has one, they rise, and the rest tells them apart; else as is.

    A number alone before a word may be part of a name, so a point, a bracket or a word for number stands with it.
    """
    found = [_NUMBERED.fullmatch(title.strip()) for title in titles]
    numbers = [int(one[1] or one[2]) for one in found if one]
    names = [one[3].strip() for one in found if one]
    rising = all(one < other for one, other in pairwise(numbers))
    whole = 1 < len(names) == len(titles) == len({*map(name_key, names)})
    return tuple(names) if whole and rising else tuple(titles)


def unnumber(formulas: Sequence[FormulaRows], known: Names) -> None:
    """Call the formulas of a sheet by their names alone; not where the book has one of them under its whole title."""
    if any(known.meant(one.name).value.startswith("formula") for one in formulas):
        return
    names = without_numbers([one.name for one in formulas])
    for one, name in zip(formulas, names, strict=True):
        if name != one.name:
            one.titled = one.titled and one.titled.removeprefix(one.name[: len(one.name) - len(name)])
            one.numbered, one.name = one.name, name
