"""Which languages of numbers and which currencies can be chosen, and what a browser's language suggests."""

from __future__ import annotations

import re
from datetime import date
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.core import get_global
from babel.numbers import get_currency_name, get_territory_currencies

from webapp.costing.amounts import MINOR_UNITS
from webapp.costing.locales import LOCALES

OFFERED = (
    "cs_CZ da_DK de_AT de_CH de_DE el_GR en_AU en_CA en_GB en_GH en_IE en_IN en_JM en_KE en_NG en_NZ en_TT en_US "
    "en_ZA es_ES es_MX et_EE fi_FI fr_BE fr_CA fr_CH fr_FR hr_HR hu_HU is_IS it_CH it_IT ja_JP ko_KR lt_LT lv_LV "
    "nb_NO nl_BE nl_NL pl_PL pt_BR pt_PT ro_RO sk_SK sl_SI sv_SE tr_TR uk_UA"
).split()
FALLBACK = ("en_GB", "GBP")
_TAG = re.compile(r"\s*([A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8}){0,3})\s*(?:;.*)?")


@lru_cache(maxsize=256)
def name_of(locale: str) -> str:
    """A locale in words: "English (United Kingdom)"."""
    try:
        return str(Locale.parse(locale).get_display_name("en"))
    except (ValueError, UnknownLocaleError):
        return locale


def locales(chosen: str = "") -> list[tuple[str, str]]:
    """The ways to write numbers and days that can be chosen, by name; the present one among them."""
    names = {*OFFERED, chosen} - {""}
    return sorted(((name, name_of(name)) for name in names), key=lambda one: one[1])


@lru_cache(maxsize=1)
def currencies() -> list[tuple[str, str]]:
    """The currencies that can be chosen."""
    return [(code, f"{code}, {get_currency_name(code, locale='en')}") for code in sorted(MINOR_UNITS)]


def suggested(accept_language: str, today: date) -> tuple[str, str]:
    """Locale and currency from a browser's languages (the header Accept-Language), its first known one."""
    for part in accept_language[:400].split(","):
        found = _TAG.fullmatch(part)
        locale = _located(found[1]) if found else None
        if locale is not None:
            return str(locale), _currency(locale, today)
    return FALLBACK


def _located(tag: str) -> Locale | None:
    """The locale of a language tag, with its likeliest country where the tag names none."""
    try:
        locale = Locale.parse(tag, sep="-")
        if locale.territory is None:
            likely = get_global("likely_subtags").get(locale.language, "")
            locale = Locale(locale.language, str(likely).rpartition("_")[2] or None)
    except (ValueError, UnknownLocaleError, TypeError):
        return None
    return locale if str(locale) in LOCALES else None


def _currency(locale: Locale, today: date) -> str:
    found = get_territory_currencies(str(locale.territory), today, today)
    return next((code for code in found if code in MINOR_UNITS), FALLBACK[1])
