"""Measures of which there is a US and an imperial one, as people write them: 1 gal (UK), 8 fl. oz., 32oz (fluid)."""

from __future__ import annotations

import re

from webapp.costing.written_units import unit_of

US, IMPERIAL, BOTH = "US", "imp", "both"
_SYSTEMS = {
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
        "pieces": "st stk stck stück stücke pièce pièces pz pezzo pezzi ud uds unidad unidades stuk stuks",
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


def measure_in(text: str) -> tuple[str, str]:
    """The system and the measure that words name: ("US", "gallon"). A system nobody names is "", two are BOTH.

    ("", "") for what is no measure of two systems; an ounce that is said to be of one but not fluid is ("US", "oz").
    """
    words = re.findall(r"[^\W\d_]+", text.casefold().replace(".", ""))
    systems = {_SYSTEMS[word] for word in words if word in _SYSTEMS}
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
    if words and words <= _FLUID | set(_SYSTEMS) | _OUNCES | {"measure", "gallon", "gallons", "pint", "pints"}:
        return text, ""
    return f"{found[1]} {found[3]}".strip(), found[2].strip()


def is_range(text: str) -> bool:
    """Whether a cell says from how much to how much: 30-40."""
    return _RANGE.fullmatch(text) is not None


def unit_first(words: str) -> str:
    """The longest beginning of some words that is a unit or a measure; "" where none is."""
    parts = words.split()
    for count in range(len(parts), 0, -1):
        if unit_of(" ".join(parts[:count])) or measure_in(" ".join(parts[:count]))[1]:
            return words if measure_in(words)[1] else " ".join(parts[:count])
    return ""
