"""How many pieces the name of packaging says, where no column holds a pack: "Labels, roll of 250", "Tin 60ml x 100".

Where words say it, it is the pack; a number alone in brackets may be that, or a size or a model, so it is asked.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from webapp.costing.own.columns import words_of
from webapp.costing.own.kinds import PACKAGING, is_called_ingredient, is_called_packaging
from webapp.costing.own.pack_words import CONTAINERS, COUNTED, ON_ONE
from webapp.costing.own.units import dozens_in
from webapp.costing.units import PIECES

_IN, _OF = ("|".join(sorted(words.split(), key=len, reverse=True)) for words in (CONTAINERS, COUNTED))
_N = r"(?P<count>[1-9][0-9]{0,4}|[1-9][0-9]{0,2}[.,][0-9]{3})"
_PIECES = r"(?:pcs?|pieces?|stk|st\u00fcck|pi\u00e8ces?|piezas?|pezzi|stuks?|ct|count)\.?"
_BEFORE = r"(?P<name>.*?[^\s,;:(\[\u2013-])[\s,;:\u2013-]*"
_BETWEEN, _END = r"[\s,(\[]\s*", r"\s*[)\]]?"


def _ways(*ways: str, between: str = _BETWEEN) -> tuple[re.Pattern[str], ...]:
    return tuple(re.compile(f"{_BEFORE}{between}{way}{_END}", re.IGNORECASE) for way in ways)


#: of whatever it is, but what is weighed
_OF_ANY = _ways(rf"(?:packs?|pk|pkt|packet) of {_N}(?: ?{_PIECES})?", rf"{_N}[ -]?{_PIECES}")
_OF_PACKAGING = (
    *_ways(
        rf"(?:packs?|pk|pkt|packet) ?{_N}(?: ?{_PIECES})?",
        rf"{_N}[ -]?(?:pack|pk)",
        rf"(?:{_IN}) (?:of|de|di|da|\u00e0|mit|zu|von|van) {_N}(?: ?(?:{_PIECES}|{_OF}))?",
        rf"(?:(?:{_IN}) ?/|per|qty:?) ?{_N}",
        rf"{_N} ?(?:{_PIECES}|{_OF})? ?{ON_ONE}",
        r"(?:per )?(?P<count>(?:[1-9][0-9]{0,2} )?(?:dozen|doz|dz)|[1-9][0-9]{0,2} gross)",
    ),
    re.compile(rf"{_N}\s?[x\u00d7*]\s*(?P<name>[^\W\d_].*)", re.IGNORECASE),
)
#: what is counted, where the name is that of it; times so many; a number alone
_OF_ITS_OWN = _ways(rf"{_N} ?(?P<of>{_OF})")
_TIMES = _ways(rf"[x\u00d7*]\s?{_N}(?: ?{_PIECES})?")
_BARE = _ways(rf"{_N}\s*[)\]]", between=r"[(\[]\s*")
#: before "x 100": a measure without a unit, so that 100 is more of it, or one that may go on behind it
_MEASURE = re.compile(r"(?:^|.*[\s(x\u00d7*])[0-9]+(?:[.,][0-9]+)?")
_LENGTH = re.compile(r".*[0-9]\s?(?:mm|cm|m|in|inch|inches|[\"\u2033\u201d'])", re.IGNORECASE)
_WEIGHED = re.compile(r"[0-9]\s?(?:kg|g|gr|lbs?|oz|ml|cl|l|litres?|liters?|gal)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Counted:
    """How many pieces a name says, as a pack is written; of a number alone, which may be something else, that."""

    count: str
    open: bool = False


def count_in(name: str, kind: str) -> Counted | None:
    """How many pieces a name ends with; None where it ends with no number of them."""
    for way in _OF_ANY:
        found = way.fullmatch(name)
        if found and (_is_packaging(found["name"], kind) or not (kind or _is_weighed(found["name"]))):
            return Counted(_in_pieces(found["count"]))
    for way in (*_OF_PACKAGING, *_OF_ITS_OWN, *_TIMES, *_BARE):
        found = way.fullmatch(name)
        if found is None or not _is_packaging(found["name"], kind):
            continue
        if way in _OF_ITS_OWN and not _names(found["name"], found["of"]):
            continue
        if way in _TIMES and _MEASURE.fullmatch(found["name"]):
            continue
        asked = way in _BARE or (way in _TIMES and _LENGTH.fullmatch(found["name"]) is not None)
        count = found["count"]
        return None if asked and count == "1" else Counted(count if asked else _in_pieces(count), asked)
    return None


def _in_pieces(count: str) -> str:
    return count if dozens_in(count.strip("0123456789 ")) else f"{count} {PIECES}"


def _is_weighed(name: str) -> bool:
    """Whether a name is that of an ingredient, or says a weight of it, so that so many of it are no pieces."""
    return is_called_ingredient(name) or _WEIGHED.search(name) is not None


def _is_packaging(name: str, kind: str) -> bool:
    return kind == PACKAGING or (not kind and is_called_packaging(name))


def _names(name: str, counted: str) -> bool:
    """Whether a name is that of what is counted: 1000 stickers of a sticker; not a box for 12 jars."""
    one = words_of(counted).rstrip("s")
    return any(word.startswith(one) for word in words_of(name).split())
