"""The currency of a price: the sign, the letters or the code beside its number, and whose money that is."""

from __future__ import annotations

import re

from webapp.costing.amounts import MINOR_UNITS, Unreadable

_SIGNS = "\\$\u00a2-\u00a5\u20a0-\u20bf"
#: a currency's sign where it is one currency's; a dollar is the workshop's own, or asked for
_MONEY = {
    "\u20ac": "EUR", "\u00a3": "GBP", "\u00a5": "JPY", "\u20b9": "INR", "\u20a9": "KRW", "\u20ba": "TRY",
    "\u20bd": "RUB", "\u20b4": "UAH", "\u20ab": "VND", "\u20b1": "PHP", "\u20aa": "ILS", "\u20a6": "NGN",
    "\u20a1": "CRC", "\u20b2": "PYG",
    "\u20b8": "KZT", "\u20ae": "MNT", "\u20b5": "GHS", "\u20be": "GEL", "\u20bc": "AZN", "\u20ad": "LAK",
}  # fmt: skip
#: signs that several currencies have: the workshop's own, where it is one of them, else the first
_SEVERAL = {
    "$": (
        "USD CAD AUD NZD SGD HKD TWD BBD BMD BND BSD BZD FJD GYD JMD KYD LRD NAD SBD SRD TTD XCD MXN CLP COP ARS"
    ).split(),
    "\u00a5": ["JPY", "CNY"],
}


def without_money(text: str) -> tuple[str, str]:
    """A cell without the sign or the code of a currency beside its number, and that sign or code."""
    code = re.match(r"([A-Z]{2,3}\$|[A-Z]{3})\s*(?=[-0-9.,])|.*[0-9]\s*([A-Z]{3})$", text)
    said = (code[1] or code[2] or "") if code else ""
    if said in MINOR_UNITS:
        return text.replace(said, "", 1).strip(), said
    sign = re.match(rf"([{_SIGNS}])\s*|.*?\s*([{_SIGNS}])$", text)
    if sign and (sign[1] or sign[2]):
        return text.replace(sign[1] or sign[2], "", 1).strip(), sign[1] or sign[2]
    return text, ""


def currency_of(said: str, home: str, chosen: str = "") -> str:
    """The currency that a sign or a code means; what was chosen, else the workshop's own, where nothing is said."""
    if not said:
        return currency_of(chosen, home) if chosen else home
    if said in MINOR_UNITS:
        return said
    if said in _SEVERAL:
        return next((one for one in (chosen, home) if one in _SEVERAL[said]), _SEVERAL[said][0])
    if said not in _MONEY:
        raise Unreadable("currency", f"{said[:8]} is no currency that is known here. Write its code: EUR 12.50.")
    return _MONEY[said]
