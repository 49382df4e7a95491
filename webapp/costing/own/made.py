"""How many jars a batch of a maker's own formula makes, where its size is looked for: that is no weight.

Lines that are weighed say the batch themselves; else what a batch weighs is asked once for all formulas.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import Unreadable
from webapp.costing.own.pack_words import COUNTED
from webapp.costing.units import MASS, VOLUME
from webapp.costing.written_units import unit_of

#: without a unit so few are no grams, but jars (common practice, no source)
_FEW = 50
_ABOUT = r"(?:(?:about|approx\.?|ca\.?|around|makes?|yields?)\s+|~\s*)?"
_THINGS = "|".join(
    (
        *COUNTED.split(),
        *"bar bars stick sticks soap soaps candle candles piece pieces pcs pc unit units st stk batches".split(),
    )
)
#: "24 jars", "about 20 small pots", "12 x 60 ml tins", "24 pcs"
_COUNT = re.compile(rf"{_ABOUT}[0-9]{{1,4}}\s*(?:[^\W\d]+\s+){{0,2}}(?:{_THINGS})\.?(?:\s.*)?", re.IGNORECASE)
_TIMES = re.compile(rf"{_ABOUT}([0-9]{{1,4}}\s*[x\u00d7*]\s*[0-9][0-9.,]*\s*([^\W\d]+))\.?(?:\s+.*)?", re.IGNORECASE)
#: "12 4oz jars", "6 8-oz": three digits behind a space are thousands, but for what is filled into something
_OF_A_SIZE = re.compile(
    rf"{_ABOUT}[0-9]{{1,4}}\s+(?:(?![0-9]{{3}}(?![0-9.,]))[0-9]+(?:[.,][0-9]+)?[\s-]*(?:fl\.?\s*)?([^\W\d]+)\.?(?:\s+[^\W\d].*)?|"
    rf"[0-9]{{3}}[\s-]*(?:fl\.?\s*)?([^\W\d]+)\.?\s+(?:[^\W\d]+\s+)?(?:{_THINGS})\.?)",
    re.IGNORECASE,
)
WEIGHED = "How many it makes is no weight: its batch is what its lines weigh."
_JARS = re.compile(rf"{_ABOUT}([0-9]{{1,5}})\s*(?:[x\u00d7*].*|(?:[^\W\d]+\s+){{0,2}}(?:{_THINGS})\.?)?", re.IGNORECASE)
UNKNOWN = "How many it makes is no weight: what a batch weighs is still to be said."


class Made(NamedTuple):
    """What stands where the size of a batch is looked for and is no weight of it: its text and its cell.

    `grams` are what so many jars of one size hold; `sentence` is what is wrong with it where no line is weighed, ""
    where it says how many it makes.
    """

    text: str
    row: int
    column: int
    grams: Decimal | None = None
    sentence: str = ""


def says_count(text: str, beside: str) -> bool:
    """Whether a batch is said in jars: by their word, or by a small number without a unit."""
    said = text.strip()
    return (not beside and is_count(text)) or bool(_COUNT.fullmatch(said)) or _of_a_size(said)


def _of_a_size(text: str) -> bool:
    """Whether so many of one size are said without a mark between: "12 4oz jars"."""
    found = _OF_A_SIZE.fullmatch(text)
    return found is not None and unit_of(found[1] or found[2]) in {*MASS, *VOLUME}


def is_count(text: str) -> bool:
    """Whether what is made is said in jars: a small number without a unit."""
    return bool(re.fullmatch(r"[0-9]{1,2}", text.strip(), re.ASCII)) and int(text) < _FEW


def times(text: str) -> str:
    """Several of one size, without the words around them: "12 x 60 g tins" -> "12 x 60 g"; "" for anything else."""
    found = _TIMES.fullmatch(text.strip())
    return found[1] if found else ""


def weighed_jars(text: str) -> bool:
    """Whether a text says several jars of one weight: "12 x 60 g"."""
    found = _TIMES.fullmatch(text.strip())
    return found is not None and unit_of(found[2]) in MASS


def is_things(text: str) -> bool:
    """Whether a cell says what is counted, and nothing else: "jars"."""
    return bool(re.fullmatch(rf"(?:{_THINGS})\.?", text.strip(), re.IGNORECASE))


def is_jars(text: str) -> bool:
    """Whether a cell says how many jars a batch makes."""
    found = _JARS.fullmatch(text.strip())
    return found is not None and int(found[1]) > 0


def jars_in(text: str) -> Decimal:
    """How many jars a batch of a product makes: "18", "about 18 small jars", "18 x 100 g"; Unreadable for all else."""
    found = _JARS.fullmatch(text.strip())
    if found is None or not int(found[1]):
        raise Unreadable(
            "number-format", f"{text[:40]}: how many jars does a batch make? Type their number, such as 18."
        )
    return Decimal(found[1])
