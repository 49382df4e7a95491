"""What the number format of a cell says of its number (ISO/IEC 29500-1, 18.8.31): a currency, or a unit behind it."""

from __future__ import annotations

import re

from webapp.costing.amounts import MINOR_UNITS
from webapp.costing.written_units import unit_of

#: what stands beside the number: [$€-407], "kg", a sign by itself or behind a stroke
_BESIDE = re.compile(
    r'\[\$(?P<sign>[^\]-]*)(?:-(?P<place>[^\]]*))?\]|"(?P<quoted>[^"]*)"|(?P<bare>[$\u00a2-\u00a5\u20a0-\u20bf])'
)
#: the number itself; and what says of a price behind it for how much it is, or how tax stands
_NUMBER = re.compile(r"[#0?][#0?.,]*")
_SAYS_MORE = re.compile(r"\s*(?:/|per\b|each\b|\+|exc?l?\b|incl?\b)[^A-Za-z]{0,8}[A-Za-z]")
_SIGN = re.compile("[$\u00a3-\u00a5\u20a0-\u20bf]")
#: signs of letters that are one currency's
_LETTERS = {
    "us$": "USD", "a$": "AUD", "au$": "AUD", "c$": "CAD", "ca$": "CAD", "nz$": "NZD", "hk$": "HKD", "s$": "SGD",
    "r$": "BRL", "fr.": "CHF", "sfr.": "CHF", "fr": "CHF", "z\u0142": "PLN", "k\u010d": "CZK", "ft": "HUF",
}  # fmt: skip
#: crowns, by the place that the format names
_CROWNS = {"41d": "SEK", "sv": "SEK", "414": "NOK", "814": "NOK", "nb": "NOK", "nn": "NOK", "406": "DKK", "da": "DKK"}


def shown(digits: str, number_format: str) -> str:
    """The digits of a cell with the currency or the unit that its format shows, and what it says a price is for.

    "" where it shows none of them.
    """
    section = number_format.split(";", 1)[0]
    behind = _behind(section)
    for found in _BESIDE.finditer(section):
        word = (found["sign"] or found["quoted"] or found["bare"] or "").strip()
        if currency := _currency(word, (found["place"] or "").casefold()):
            return f"{currency}{'' if _SIGN.fullmatch(currency) else ' '}{digits}{behind}"
        if found["quoted"] and unit_of(word):
            return f"{digits} {unit_of(word)}"
    return f"{digits}{behind}" if behind else ""


def _behind(section: str) -> str:
    """What a format shows behind the number that says more of a price: "/100g", " per kg", " + VAT"."""
    section = re.sub(r"\[[^\]]*\]", "", section)
    begins = _NUMBER.search(section)
    text = re.sub(r"_.|\*.|[\"\\\\]", "", section[begins.end() :]) if begins else ""
    return text.rstrip() if _SAYS_MORE.match(text) else ""


def _currency(word: str, place: str) -> str:
    """The sign or the code of a currency; "" for what is none."""
    if _SIGN.fullmatch(word) or word in MINOR_UNITS:
        return word
    if word.casefold().strip(".") == "kr":
        return _CROWNS.get(place.partition("-")[0], "")
    return _LETTERS.get(word.casefold(), "")
