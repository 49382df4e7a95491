"""Densities of a maker's own sheet: heads that name one, and what a cell below them says in g/mL.

In g/mL, in another mass of another volume, or in pounds of a gallon, which are turned by the definitions of both.
"""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing.amounts import ONE, Unreadable, half_up
from webapp.costing.own.cells import Doubt, Read, amount, fitting, number
from webapp.costing.own.told import Told
from webapp.costing.own.units import BOTH, IMPERIAL, US, measure_in
from webapp.costing.units import MASS, VOLUME

_NAMED = re.compile(
    r"\b(?:densit(?:y|ies|e|es|a)|densidad|dichten?|dichtheid|(?:sp|spec|specific)\.? ?(?:gravity|grav|gr|weight)|"
    r"spez(?:ifisches|\.)? ?gew(?:icht|\.)?|s\.?g\.?|(?:weight|wt)\.? ?(?:per|/|a) ?(?:us |imp\w* |uk )?"
    r"gal(?:lon)?s?\.?)(?![a-z])"
)
#: what one litre, or another measure, weighs: "1 litre weighs (g)", "Weight of 1 L in kg"
_WEIGHS = re.compile(
    r"(?:(?:1|one|a|per) )?(?P<one>l|lit(?:er|re)|ml|millilit(?:er|re)) (?:weighs|weight|=|is)(?: in)?(?P<in>.*)|"
    r"(?:weight|weighs|mass) ?(?:of|per|for)? ?(?:1|one|a) ?(?P<of>l|lit(?:er|re)|ml|millilit(?:er|re))(?: in)?"
    r"(?P<as>.*)"
)
#: from how much on a density without a unit is in grams in a litre: nothing weighs so much in g/mL
_IN_LITRES = 100
_MASSES = {
    "g": r"g|gr|gms?|grams?|gramm|grammes?|grammi|gramos?",
    "kg": r"kg|kilos?|kilograms?|kilogramm",
    "lb": r"lbs?\.?|pounds?|#",
    "oz": r"oz|ounces?",
}
_MILLILITRES = {"mL": ONE, "L": Decimal(1000), "m3": Decimal(1_000_000)}
_VOLUMES = {
    "mL": r"ml|millilit(?:er|re)s?|cm3|ccm|cc",
    "L": r"l|lit(?:er|re)s?|dm3",
    "m3": r"m3|cbm",
    "gallon": r"gal\.?|gals|gallons?",
}
_OF = r" ?(?:/|\bper\b|\bpro\b|\bje\b|\bpar\b|\bpor\b|\ba\b|\bin an?\b|\bto the\b) ?(?:(?:us|u\.s\.|imp\w*|uk) )?"
_UNIT = re.compile(
    "(?<![a-z])(?:"
    + "|".join(
        f"(?P<{mass}_{volume}>(?:{masses}){_OF}(?:{volumes})(?![a-z0-9]))"
        for mass, masses in _MASSES.items()
        for volume, volumes in _VOLUMES.items()
    )
    + ")"
)
_MONEY = re.compile(
    r"[$\u00a2-\u00a5\u20a0-\u20bf]|\b(?:eur|usd|gbp|prices?|costs?|preis\w*|kosten|prix|cout|precios?|coste|costo|"
    r"prezz[io]|prij[sz]\w*|paid)\b|preis\b"
)
#: a volume with its weight behind it; how many of them; that ounces are a weight; how far rounded ounces may be off
_BOTH_SAID = re.compile(
    r"([^(\[/=x\u00d7]*[0-9][^(\[/=x\u00d7]*)[(\[/=]\s*([^)\]]*[0-9][^)\]]*?)"
    r"(?: (?:net )?(?:wt|weight)\.?)?\s*[)\]]?",
    re.IGNORECASE,
)
_SEVERAL = re.compile(r"^[0-9]{1,4} ?[x\u00d7*] ?|(?<=\)) ?[x\u00d7*] ?[0-9]{1,4}$")
_SAYS_WEIGHT = re.compile(r"\b(?:wt|weight)\b", re.IGNORECASE)
_ABOUT_SAME = Decimal("0.02")
#: what may stand beside a unit that is all the density a head names: pounds and a gallon are no two units of a pack
_WEIGHT = frozenset(("", "weight", "wt", "gewicht", "poids", "peso"))


def is_density(head: str) -> bool:
    """Whether a head names a density, by its name or by a unit of one; a price for one of something is none.

    "Amount (g/ml)" is an amount, in g or in mL.
    """
    words = _folded(head)
    if _MONEY.search(words):
        return False
    unit = _UNIT.search(words)
    if _NAMED.search(words) or _WEIGHS.fullmatch(words):
        return True
    beside = _UNIT.sub(" ", words).strip(" ()[].:-") if unit else "?"
    return beside == "" or (unit is not None and unit.lastgroup == "lb_gallon" and beside in _WEIGHT)


def density(text: str, told: Told, head: str = "") -> Read:
    """Grams in a millilitre, with the unit behind it, else that of its head, else in g/mL.

    Doubt where a gallon may be of two systems, Unreadable for anything else.
    """
    found = re.fullmatch(r"([-0-9.,][0-9.,' ]*)(.*)", text.strip())
    digits, behind = (found[1].strip(), _folded(found[2])) if found else (text, "")
    unit = _unit(behind) or _unit(_folded(head)) or _of_one(_folded(head), behind)
    mass, volume = unit or ("g", "mL")
    if behind not in ("", "sg", mass, f"{mass}s") and not _UNIT.search(behind):
        digits = text  # it is no number with these words
    value = number(digits, told)
    if unit is None and value > _IN_LITRES:
        kept = fitting(value / 1000, lim.DENSITY, text)
        number_of = told.written.number
        return Read(kept, "", f"{number_of(value)} is read as grams in a litre: {number_of(kept)} g/mL.")
    if volume != "gallon":
        return Read(fitting(value * MASS[mass] / _MILLILITRES[volume], lim.DENSITY, text))
    system = _system(behind, head, told)
    kept = fitting(value * MASS[mass] / VOLUME[f"{system} gallon"], lim.DENSITY, text)
    gallon = "a US gallon" if system == US else "an imperial gallon"
    said, comes = map(told.written.number, (value, kept))
    return Read(kept, "", f"{said} {mass} in {gallon} is {comes} g/mL.")


def density_beside(text: str, told: Told) -> Read | None:
    """What one mL weighs where a pack says a volume and its weight: 500ml (455g), 1 gal = 10.5 lb; None for others.

    Ounces that are the volume once more, in fluid ounces, say no weight: 500 ml (17 oz).
    """
    one = _SEVERAL.sub("", text.strip())
    found = _BOTH_SAID.fullmatch(one)
    try:
        parts = [amount(part.strip(), told) for part in found.groups()] if found else []
    except (Doubt, Unreadable):
        return None
    if not parts or parts[0].unit not in VOLUME or parts[1].unit not in MASS:
        return None
    holds, weight = (parts[0].value * VOLUME[parts[0].unit], parts[1].value * MASS[parts[1].unit])
    if parts[1].unit == "oz" and not _SAYS_WEIGHT.search(one) and _is_fluid(parts[1].value, holds):
        return None
    kept = half_up(weight / holds, lim.DENSITY.places)
    if not lim.DENSITY.low <= kept <= lim.DENSITY.high:
        return None
    return Read(kept, "", f"By {text} one mL weighs {told.written.number(kept)} g.")


def _is_fluid(ounces: Decimal, holds: Decimal) -> bool:
    """Whether so many fluid ounces are about a volume in mL."""
    measured = [ounces * VOLUME[f"{system} fl oz"] for system in (US, IMPERIAL)]
    return any(abs(one - holds) <= holds * _ABOUT_SAME for one in measured)


def _unit(words: str) -> tuple[str, str] | None:
    """The mass and the volume that words name; a weight in a gallon is in pounds where they name no other."""
    if found := _UNIT.search(words):
        mass, _, volume = (found.lastgroup or "").partition("_")
        return mass, volume
    if re.search(r"\bgal", words):
        return ("kg" if re.search(r"\bkg\b", words) else "lb"), "gallon"
    return None


def _of_one(head: str, behind: str) -> tuple[str, str] | None:
    """The mass and the volume where a head says what one of it weighs; None where it names no mass, nor the cell."""
    found = _WEIGHS.fullmatch(head)
    if found is None:
        return None
    volume = "mL" if (found["one"] or found["of"]).startswith("m") else "L"
    said = behind or (found["in"] or found["as"] or "").strip(" ()[].:")
    mass = next((mass for mass, words in _MASSES.items() if re.fullmatch(words, said)), "")
    return (mass, volume) if mass else None


def _system(behind: str, head: str, told: Told) -> str:
    said = next((system for words in (behind, head) if (system := measure_in(words)[0])), told.system)
    if said == BOTH:
        raise Unreadable("unit", f"{head[:40]}: is it the US gallon or the imperial one? Name one of them.")
    if not said:
        raise Doubt("system", "This gallon can be a US or an imperial measure. Choose which of them the sheets mean.")
    return said


def _folded(text: str) -> str:
    """Small letters without accents; a small 3 is a 3."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    return " ".join("".join(one for one in bare if not unicodedata.combining(one)).replace("(s)", "s").split())
