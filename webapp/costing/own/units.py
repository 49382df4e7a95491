"""Amounts as people write them: 1 gal (UK), 8 fl. oz., 32oz (fluid), 1 1/2, 1½, 2 lb 8 oz."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

from webapp.costing.written_units import unit_of

US, IMPERIAL, BOTH = "US", "imp", "both"
SYSTEMS = {
    **dict.fromkeys(("us", "usa", "american"), US),
    **dict.fromkeys(("uk", "imp", "imperial", "british", "english"), IMPERIAL),
}
_FLUID = frozenset(("fl", "fluid", "liquid", "liq", "floz", "fluidounce"))
_OUNCES = frozenset(("oz", "ozs", "ounce", "ounces", "floz", "fluidounce"))
_MEASURES = {
    word: name
    for name, words in {
        "gallon": "gal gals gallon gallons",
        "pint": "pt pts pint pints",
        "quart": "qt qts quart quarts",
    }.items()
    for word in words.split()
}
#: units and pieces as German, French, Spanish, Italian and Dutch write them
ELSEWHERE = {
    word: unit
    for unit, words in {
        "pieces": "ct cnt st stk stck stück stücke pièce pièces pz pezzo pezzi ud uds unidad unidades stuk stuks "
        "unité unités",
        "g": "gramm gramo gramos grammo grammi",
        "kg": "kilogramm kilogramo kilogramos chilo chili",
        "L": "litro litros litri",
        "mL": "milliliter millilitri mililitros",
    }.items()
    for word in words.split()
}
#: an amount from so much to so much
_RANGE = re.compile(
    r"[^0-9a-z]{0,3}[0-9][0-9.,]*\s?%?\s*(?:-|\u2013|\u2014|\.\.+|\bto\b|\bbis\b)\s*[0-9][0-9.,]*\s*[^0-9-]*",
    re.IGNORECASE,
)


#: how finely people divide by hand; what has a larger number below the line is no fraction of theirs (common practice)
MOST_PARTS = 16
#: 1 1/2, 1-1/2, 1/2, 1½, 1 ½, ½ and what stands behind it; only ½ and its like may stand right behind a whole number
_FRACTION = re.compile(
    r"(?:(?P<whole>[0-9]{1,4}\s+|[0-9]{1,2}-))?(?P<of>[0-9]{1,2})\s?[/\u2044]\s?(?P<parts>[0-9]{1,2})(?P<rest>(?!\s*[0-9.,/\u2044\u00bc-\u00be\u2150-\u215e]).*)"
    r"|(?P<before>[0-9]{0,4})\s?(?P<sign>[\u00bc-\u00be\u2150-\u215e])(?P<after>(?!\s*[0-9.,/\u2044\u00bc-\u00be\u2150-\u215e]).*)"
)
_NUMBER = r"[0-9][0-9.,]*|[0-9]*[ ]?(?:[0-9]{1,2}/[0-9]{1,2}|[\u00bc-\u00be\u2150-\u215e])"
_POUNDS = re.compile(
    rf"({_NUMBER})\s*(?:lbs?|pounds?)\.?\s*(?:,|and|&)?\s*({_NUMBER})\s*(?:ozs?|ounces?)\.?", re.IGNORECASE
)
DOZEN = 12
#: what counts pieces by twelve, or by twelve times twelve
_DOZENS = {
    **dict.fromkeys(
        "dozen dozens doz dz dzn dtzd dutzend douzaine douzaines docena docenas dozzina dozzine dozijn".split(), DOZEN
    ),
    "gross": DOZEN * DOZEN,
}
#: units that are so many of another one: a stone is 14 lb (Weights and Measures Act 1985 (UK), Sch. 1)
_MULTIPLES = {
    **dict.fromkeys("cl centilitre centilitres centiliter centiliters zentiliter".split(), (10, "mL")),
    **dict.fromkeys("dl decilitre decilitres deciliter deciliters deziliter".split(), (100, "mL")),
    **dict.fromkeys(("stone", "stones"), (14, "lb")),
    "pfund": (500, "g"),  # in German shops and kitchens (common practice, no source)
}
#: from how many on ounces beside pounds are a pound more
OUNCES_IN_POUND = 16


def fraction_in(text: str) -> tuple[Fraction, int, str] | None:
    """A fraction as it is divided by hand, into how many parts, and what stands behind it; None for anything else."""
    found = _FRACTION.fullmatch(text.strip())
    if found is None:
        return None
    sign = unicodedata.normalize("NFKC", found["sign"]) if found["sign"] else f"{found['of']}/{found['parts']}"
    of, parts = map(int, re.split("[/\u2044]", sign))
    if not 0 < of < parts <= MOST_PARTS:
        return None
    whole = int((found["whole"] or found["before"] or "0").strip(" -"))
    return whole + Fraction(of, parts), parts, (found["rest"] or found["after"] or "").strip()


def dozens_in(words: str) -> int:
    """How many pieces the first of some words is: 12 in "dozen jars", 144 in "gross"; 0 where it counts none.

    What stands behind it is what is counted, no unit and no weight.
    """
    first, *rest = [one.strip(" .:,()").casefold() for one in words.split()] or [""]
    if any(unit_of(one) or one in ("weight", "wt") for one in rest):
        return 0
    return _DOZENS.get(first, 0)


def multiple_in(words: str) -> tuple[int, str] | None:
    """How many of which unit one of what the first of some words names is: 10 mL for "cl"; None for anything else."""
    first = words.split()[:1]
    return _MULTIPLES.get(first[0].strip(" .:,()").casefold()) if first else None


def pounds_and_ounces(text: str) -> tuple[str, str] | None:
    """The pounds and the ounces of a weight that is written in both: 2 lb 8 oz."""
    found = _POUNDS.fullmatch(text.strip())
    return (found[1], found[2]) if found else None


def measure_in(text: str) -> tuple[str, str]:
    """The system and the measure that words name: ("US", "gallon"). A system nobody names is "", two are BOTH.

    ("", "") for what is no measure of two systems; an ounce that is said to be of one but not fluid is ("US", "oz").
    """
    words = re.findall(r"[^\W\d_]+", text.casefold().replace(".", ""))
    systems = {SYSTEMS[word] for word in words if word in SYSTEMS}
    system = BOTH if len(systems) > 1 else next(iter(systems), "")
    if _OUNCES & set(words):
        return (system, "fl oz") if _FLUID & set(words) else (system, "oz" if system else "")
    return system, next((_MEASURES[word] for word in words if word in _MEASURES), "")


def parted_aside(text: str) -> tuple[str, str]:
    """An amount, and what stands in brackets beside it; "" for words that say of which measure it is."""
    found = re.fullmatch(r"(.*?[^\s(\[])\s*[(\[]([^)\]]*)[)\]]\s*(.*)", text)
    if not found:
        return text, ""
    words = set(re.findall(r"[^\W\d_]+", found[2].casefold().replace(".", "")))
    of_measure = words <= _FLUID | set(SYSTEMS) | _OUNCES | {"measure", "gallon", "gallons", "pint", "pints"}
    if words and of_measure and not _is_again(found[1], found[2]):
        return text, ""
    return f"{found[1]} {found[3]}".strip(), found[2].strip()


def _is_again(text: str, aside: str) -> bool:
    """Whether ounces beside an amount are no more of it: 16 fl oz (14.4 oz), 1 lb (16 oz); not 2 lb (8 oz)."""
    ounces = re.fullmatch(r"([0-9]+(?:\.[0-9]+)?) ?(?:oz|ounces?)\.?", aside.strip().casefold())
    if ounces is None:
        return False
    pounds = re.fullmatch(r"([0-9]+(?:\.[0-9]+)?) ?(?:lbs?|pounds?)\.?", text.strip().casefold())
    if pounds is None:
        return not re.search(r"\b(?:lbs?|pounds?)\b|[0-9]lbs?\b", text.casefold())
    return Decimal(ounces[1]) == Decimal(pounds[1]) * OUNCES_IN_POUND


def is_range(text: str) -> bool:
    """Whether a cell says from how much to how much: 30-40."""
    return _RANGE.fullmatch(text) is not None


def unit_first(words: str) -> str:
    """The longest beginning of some words that is a unit or a measure; "" where none is."""
    parts = words.split()
    if dozens_in(words):
        return parts[0]
    for count in range(len(parts), 0, -1):
        if unit_of(" ".join(parts[:count])) or measure_in(" ".join(parts[:count]))[1]:
            return words if measure_in(words)[1] else " ".join(parts[:count])
    return ""
