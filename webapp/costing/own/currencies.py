"""The currency of a price: the sign, the letters or the code beside its number, and whose money that is."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from types import MappingProxyType

from webapp.costing.amounts import MINOR_UNITS, Unreadable, plain

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
        "USD CAD AUD NZD SGD HKD TWD BBD BMD BND BSD BZD FJD GYD JMD KYD LRD NAD SBD SRD TTD XCD MXN CLP COP ARS CUP "
        "UYU"
    ).split(),
    "\u00a5": ["JPY", "CNY"],
    "\u00a3": ["GBP", "FKP", "GIP", "SHP", "SSP"],
}


#: letters that are one currency's, in small letters and without a point behind them
_LETTERS = {
    word: code
    for code, words in {
        "ZAR": "r", "NGN": "n", "KES": "ksh kshs sh/k", "UGX": "ush ugsh", "TZS": "tsh tzsh",
        "GHS": "gh\u20b5 gh\u00a2 ghc gh",
        "USD": "us$ $us usd$", "CAD": "ca$ cad$ $ca can$", "AUD": "a$ au$ aud$ $a $au",

        "NZD": "nz$ nzd$ $nz", "HKD": "hk$ $hk", "SGD": "s$ sg$ sgd$", "TWD": "nt$", "BRL": "r$", "JMD": "ja$ j$ jm$",
        "TTD": "tt$", "BBD": "bds$", "FJD": "fj$", "NAD": "na$ n$", "XCD": "ec$", "DOP": "rd$", "MXN": "mx$ mex$",
        "PLN": "z\u0142", "CZK": "k\u010d", "BGN": "\u043b\u0432", "CHF": "sfr", "ILS": "nis", "IDR": "rp", "TRY": "tl",
        "AOA": "kz", "MZN": "mtn", "RWF": "rf frw", "BIF": "fbu", "VND": "\u0111", "THB": "\u0e3f", "BDT": "\u09f3",
        "CNY": "rmb cn\u00a5", "GBP": "gb\u00a3 uk\u00a3", "EGP": "eg\u00a3", "ZMW": "zk",
    }.items()
    for word in words.split()
}  # fmt: skip
#: letters that several currencies have, or that are too short to be one's elsewhere: only the workshop's own is meant
_ONLY_AT_HOME = {
    "kr": "SEK NOK DKK ISK", "rs": "INR PKR LKR NPR MUR SCR", "c$": "CAD NIO", "cfa": "XOF XAF", "fcfa": "XOF XAF",
    "f cfa": "XOF XAF", "br": "ETB BYN", "dh": "MAD AED", "dhs": "MAD AED", "lei": "RON MDL", "din": "RSD DZD TND",
    "k": "ZMW PGK MMK", "p": "BWP", "l": "HNL MDL LSL SZL", "q": "GTQ", "e": "SZL", "m": "LSL", "d": "GMD", "g": "HTG",
    "f": "CHF XOF XAF", "le": "SLE EGP", "km": "BAM", "fr": "CHF XOF XAF", "rm": "MYR", "mt": "MZN", "ft": "HUF",
    "sh": "KES TZS UGX SOS", "shs": "KES TZS UGX SOS", "s/": "PEN", "b/": "PAB",
}  # fmt: skip
#: letters or a sign before a number or behind it
_BESIDE = re.compile(r"(?P<before>[^0-9]*)(?P<number>[0-9][0-9.,' \u2019]*)(?P<after>[^0-9]*)")
#: marks of the way in which people write, which nobody sees
_UNSEEN = re.compile("[\u061c\u200b-\u200f]")
#: wide signs as narrow ones, and what parts thousands in Adlam and in Kashmiri
_PLAINLY = {0xFFE5: "\u00a5", 0xFFE6: "\u20a9", 0x2E41: " ", 0x060C: " "}
#: euros before cents: 12\u20ac50
_BETWEEN = re.compile(rf"([0-9]{{1,6}}) ?([{_SIGNS}]) ?([0-9]{{2}})")
_NONE: Mapping[str, Sequence[str]] = MappingProxyType({})


def without_money(text: str, home: str = "", signs: Mapping[str, Sequence[str]] = _NONE) -> tuple[str, str]:
    """A cell without the sign, the letters or the code of a currency beside its number, and that sign or code.

    `signs` are those that the workshop's own language writes, each with the codes of whose it is.
    """
    text = " ".join(_UNSEEN.sub("", text).translate(_PLAINLY).split())
    if between := _BETWEEN.fullmatch(text):
        return f"{between[1]}.{between[3]}", between[2]
    code = re.match(r"([A-Z]{3})\s*(?=[-0-9.,])|.*[0-9]\s*([A-Z]{3})$", text)
    said = (code[1] or code[2] or "") if code else ""
    if said in MINOR_UNITS:
        return text.replace(said, "", 1).strip(), said
    if found := _in_letters(text, home, signs):
        return found
    sign = re.match(rf"([{_SIGNS}])\s*|.*?\s*([{_SIGNS}])$", text)
    if sign and (sign[1] or sign[2]):
        return text.replace(sign[1] or sign[2], "", 1).strip(), sign[1] or sign[2]
    return text, ""


def _in_letters(text: str, home: str, signs: Mapping[str, Sequence[str]]) -> tuple[str, str] | None:
    """The same of what is written in letters, or in several signs; None where no currency is written so."""
    found = _BESIDE.match(text)
    if found is None:
        return None
    before, after = found["before"].strip(), found["after"].strip() if found.end() == len(text) else ""
    if before and (code := named_so(before, home, signs)):
        return text[found.end("before") :].strip(), code
    if (
        after
        and (len(after) > 1 or not after.isascii() or home in signs.get(after, ()))
        and (code := named_so(after, home, signs))
    ):
        return f"{before} {found['number']}".strip(), code
    return None


def put_plainly_money(text: str) -> str:
    """A price without what is written beside its number and says nothing: 12,-  12,50*  at 12,50  2,500/-  1,200/=.

    What has /- or /= in place of cents is whole, whatever parts its thousands.
    """
    text = re.sub(
        r"^(?:\u00e0|\u00e1|at|@)\s*(?=[^a-z]*[0-9])", "", text.strip().rstrip("*").strip(), flags=re.IGNORECASE
    )
    if whole := re.fullmatch(r"([^0-9]*)([0-9]{1,3}(?:[., ][0-9]{3})+|[0-9]+)\s*/\s*[-=\u2013]", text):
        return whole[1] + re.sub("[^0-9]", "", whole[2])
    return re.sub(r"(?<=[0-9])[.,]\s?(?:-{1,2}|\u2013|\u2014)(?=\s|$|[^0-9])", "", text).strip()


def named_so(word: str, home: str, signs: Mapping[str, Sequence[str]] = _NONE) -> str:
    """The code of what letters mean; the letters where they may be several currencies', none of them the workshop's.

    "" for a sign that is no letters, and for what is no currency.
    """
    key = word.casefold().removesuffix(".").strip()
    if word in _SEVERAL or word in _MONEY or (len(key) == 1 and key.isascii() and not word.isupper()):
        return ""
    here, several = signs.get(word, ()), _ONLY_AT_HOME.get(key, "").split()
    if home in here or len(here) == 1:
        return home if home in here else here[0]
    if several and home not in several:
        return word if len(key) > 1 else ""
    return home if several else _LETTERS.get(key, "")


def is_money(cell: str) -> bool:
    """Whether a cell has the sign of a currency, or is an amount with letters: KSh 1,200; R300 may be a code."""
    if re.search(rf"[{_SIGNS}]", cell):
        return True
    rest, said = without_money(cell)
    return bool(said and re.fullmatch(r"[0-9][0-9.,' ]*", rest) and not re.fullmatch(r"[A-Z] ?[0-9 ]*", cell))


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


def without_mark(text: str, home: str) -> str:
    """A price without the # that is typed for a naira; Unreadable for any other #, and for a k that means thousand."""
    if found := re.fullmatch(r"([0-9]+)(?:[.,]([0-9]+))? ?[kK]", text):
        full = plain(Decimal(f"{found[1]}.{found[2] or 0}") * 1000)
        raise Unreadable("number-format", f"{text[:24]} is short for a larger number: type it in full, such as {full}.")
    if not text.startswith("#"):
        return text
    if home != "NGN":
        words = f"{text[:24]} has a # before its digits. Type the number without it, such as {text.strip('# ')[:20]}."
        raise Unreadable("number-format", words)
    return text.strip("# ")


def bare_number(cell: str) -> str:
    """The digits of a plain amount of money or of how many, with a point; "" for anything else."""
    return cell.replace(",", ".") if re.fullmatch(r"[0-9]{1,9}(?:[.,][0-9]{1,2})?", cell, re.ASCII) else ""
