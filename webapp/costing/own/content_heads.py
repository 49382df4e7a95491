"""Which of several columns of contents in a maker's own list of products say what is filled in."""

from __future__ import annotations

import re
from collections.abc import Sequence

from webapp.costing.own.price_heads import plain_words

_WEIGHT = re.compile(r"\b(?:weight|wt|g|grams?|gramm|\w*gewicht|poids|peso)\b")
_FILLED = re.compile(r"\b(?:fill\w*|net\w*|contents?|(?:ab)?full\w*|inhalt|conten\w*|inhoud|vul\w*)\b")


_PLACE = re.compile(
    r"^(?:1st|2nd|3rd|4th|[1-4][.)]|first|second|third|fourth|other|erste|zweite|dritte|premiere|deuxieme|segunda|"
    r"tweede)\s+(?=\S)|(?<=\S)\s+(?:[a-d]|i{1,3}|one|two|three)$",
    re.IGNORECASE,
)


def without_place(head: str) -> str:
    """A head without which of several it is: "2nd formula", "Fill B"."""
    return _PLACE.sub("", head)


def with_contents(heads: Sequence[str], roles: Sequence[str]) -> list[str]:
    """The roles with one content beside one formula: what is weighed goes before what is filled, that before a size.

    Of several formulas each has the next one right of it.
    """
    sizes = [place for place, role in enumerate(roles) if role == "size"]
    formulas = [place for place, role in enumerate(roles) if role == "formula"]
    if len(sizes) <= max(len(formulas), 1):
        return [*roles]
    if len(formulas) > 1:
        kept = {next((size for size in sizes if size > place), sizes[0]) for place in formulas}
    else:
        kept = {max(sizes, key=lambda place: _rank(heads[place]))}
    return ["" if role == "size" and place not in kept else role for place, role in enumerate(roles)]


def _rank(head: str) -> int:
    words = plain_words(head)
    return 2 if _WEIGHT.search(words) else 1 if _FILLED.search(words) else 0
