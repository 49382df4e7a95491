"""The signs and the ways of writing of a locale, each read once: currencies, days, groups of digits."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.dates import format_date
from babel.numbers import get_currency_symbol

from webapp.costing.amounts import MINOR_UNITS

NBSP = "\u00a0"
#: marks of the way in which people write, which nobody sees
_UNSEEN = re.compile("[\u061c\u200b-\u200f]")
FALLBACK = "en_GB"


@lru_cache(maxsize=64)
def locale_of(name: str) -> Locale:
    """The locale of that name; British English where there is none."""
    try:
        return Locale.parse(name)
    except (ValueError, UnknownLocaleError):
        return Locale.parse(FALLBACK)


@lru_cache(maxsize=512)
def symbol_of(currency: str, locale: str) -> str:
    """The sign of a currency as it is written there."""
    return str(get_currency_symbol(currency, locale=locale_of(locale)))


@lru_cache(maxsize=64)
def signs_of(locale: str) -> Mapping[str, tuple[str, ...]]:
    """The signs of all currencies as they are written there, each with the codes of whose it is."""
    found: dict[str, tuple[str, ...]] = {}
    for code in MINOR_UNITS:
        sign = " ".join(_UNSEEN.sub("", symbol_of(code, locale)).split())
        found[sign] = (*found.get(sign, ()), code)
    return found


@lru_cache(maxsize=4096)
def day_of(value: date, locale: str) -> str:
    """A day as it is written there."""
    return format_date(value, "medium", locale=locale_of(locale))


def grouped(text: str, primary: int, secondary: int) -> str:
    """Digits in groups: the last of `primary`, those before it of `secondary`."""
    whole, point, rest = text.partition(".")
    parts = [whole[-primary:]]
    whole = whole[:-primary]
    while whole:
        parts.insert(0, whole[-secondary:])
        whole = whole[:-secondary]
    return ",".join(parts) + point + rest


@lru_cache(maxsize=256)
def around(before: str, after: str, symbol: str) -> tuple[str, str]:
    """What stands before and after an amount; letters keep apart from the digits."""
    head = before.format(symbol)
    if head.endswith(symbol) and symbol[-1:].isalpha():
        head += NBSP
    return head, after.format(symbol)
