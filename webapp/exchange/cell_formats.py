"""What the number format of a cell says of its number (ISO/IEC 29500-1, 18.8.31): a currency, or a unit behind it."""

from __future__ import annotations

import re

from webapp.costing.amounts import MINOR_UNITS
from webapp.costing.written_units import unit_of

#: what stands beside the number: [$€-407], "kg", a sign by itself or behind a stroke
_BESIDE = re.compile(
    r'\[\$(?P<sign>[^\]-]*)(?:-(?P<place>[^\]]*))?\]|"(?P<quoted>[^"]*)"|(?P<bare>[$\u00a2-\u00a5\u20a0-\u20bf])'
)
_SIGN = re.compile("[$\u00a3-\u00a5\u20a0-\u20bf]")
#: signs of letters that are one currency's
_LETTERS = {
    "us$": "USD", "a$": "AUD", "au$": "AUD", "c$": "CAD", "ca$": "CAD", "nz$": "NZD", "hk$": "HKD", "s$": "SGD",
    "r$": "BRL", "fr.": "CHF", "sfr.": "CHF", "fr": "CHF", "z\u0142": "PLN", "k\u010d": "CZK", "ft": "HUF",
}  # fmt: skip
#: crowns, by the place that the format names
_CROWNS = {"41d": "SEK", "sv": "SEK", "414": "NOK", "814": "NOK", "nb": "NOK", "nn": "NOK", "406": "DKK", "da": "DKK"}


def shown(digits: str, number_format: str) -> str:
    """The digits of a cell with the currency or the unit that its format shows; "" where it shows neither."""
    for found in _BESIDE.finditer(number_format.split(";", 1)[0]):
        word = (found["sign"] or found["quoted"] or found["bare"] or "").strip()
        if currency := _currency(word, (found["place"] or "").casefold()):
            return f"{currency}{'' if _SIGN.fullmatch(currency) else ' '}{digits}"
        if found["quoted"] and unit_of(word):
            return f"{digits} {unit_of(word)}"
    return ""


def _currency(word: str, place: str) -> str:
    """The sign or the code of a currency; "" for what is none."""
    if _SIGN.fullmatch(word) or word in MINOR_UNITS:
        return word
    if word.casefold().strip(".") == "kr":
        return _CROWNS.get(place.partition("-")[0], "")
    return _LETTERS.get(word.casefold(), "")
