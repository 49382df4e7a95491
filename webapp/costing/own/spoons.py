"""Cups and spoons of kitchens, which have several sizes: what to type in place of them."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple


class Spoon(NamedTuple):
    """What one of a measure holds in most kitchens, in mL, and in which sizes it comes, as words."""

    millilitres: Decimal
    sizes: str


#: common practice; a cup of the United States is 236.588 mL, on food labels there 240 mL (21 CFR 101.9(b)(5)(viii))
_TEASPOON = Spoon(Decimal(5), "a teaspoon is about 5 mL")
_TABLESPOON = Spoon(Decimal(15), "a tablespoon is about 15 mL, in Australia 20")
_CUP = Spoon(Decimal(240), "a cup is 237 or 240 mL in the United States, 250 mL elsewhere")
_WORDS = {
    **dict.fromkeys("tsp tsps teaspoon teaspoons tl teel\u00f6ffel cc cucchiaino".split(), _TEASPOON),
    **dict.fromkeys("tbsp tbsps tbs tbl tablespoon tablespoons el essl\u00f6ffel cs cucchiaio".split(), _TABLESPOON),
    **dict.fromkeys("cup cups tasse tassen tasses taza tazas tazza".split(), _CUP),
}


def spoon_in(words: str) -> Spoon | None:
    """The measure that the first of some words, without case, is; None for anything else."""
    return _WORDS.get(next(iter(words.split()), "").strip(" .:,"))
