"""What a typed number says, by the table in trust.md ("Numbers at the edge") and nothing of the program.

Whole shapes are held against a text, one after the other, in fractions; the program takes it apart piece by piece.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

LONGEST = 24
_SPACE = "[ \u00a0\u202f\u2009]"
#: digits without a sign among them, in one piece or in groups of three behind spaces
_PLAIN = rf"(?P<whole>[0-9]+|[0-9]{{1,3}}(?:{_SPACE}[0-9]{{3}})+)"
_NO_SIGN = re.compile(_PLAIN)
_ONE_SIGN = re.compile(rf"{_PLAIN}?(?P<sign>[.,])(?P<decimals>[0-9]+)")
_BOTH_SIGNS = (
    re.compile(r"(?P<whole>[0-9]{1,3}(?:,[0-9]{3})+)\.(?P<decimals>[0-9]+)"),
    re.compile(r"(?P<whole>[0-9]{1,3}(?:\.[0-9]{3})+),(?P<decimals>[0-9]+)"),
)
_ONE_SIGN_TWICE = (re.compile(r"[0-9]{1,3}(?:,[0-9]{3}){2,}"), re.compile(r"[0-9]{1,3}(?:\.[0-9]{3}){2,}"))
TOO_LONG, FORMAT, AMBIGUOUS = "number-too-long", "number-format", "number-ambiguous"


def said_by(text: str, decimal_sign: str, beside: Sequence[str] = ()) -> Fraction | str:
    """The number, or what the fault is called. `beside`: a unit or currency of which one may stand at either side."""
    if len(text) > LONGEST:
        return TOO_LONG
    bare = without_what_stands_beside(text.strip(), beside)
    below = bare[:1] in ("-", "\u2212") and bare != ""
    found = without_minus(bare[1:] if below else bare, decimal_sign)
    return -found if below and isinstance(found, Fraction) else found


def said_by_json(text: str) -> Fraction | str:
    """The same of an amount by JSON: digits with a point, a minus before them, nothing else."""
    if len(text) > LONGEST:
        return TOO_LONG
    found = re.fullmatch(r"(?P<minus>-?)(?P<whole>[0-9]+)(?:\.(?P<decimals>[0-9]+))?", text)
    return (
        FORMAT
        if found is None
        else with_decimals(found["whole"], found["decimals"] or "0") * (-1) ** len(found["minus"])
    )


def without_what_stands_beside(text: str, beside: Sequence[str]) -> str:
    """The text without the longest of the signs that it ends or else begins with."""
    for sign in sorted(beside, key=len, reverse=True):
        for pattern in (rf"(?P<rest>.*){re.escape(sign)}", rf"{re.escape(sign)}(?P<rest>.*)"):
            if sign and (found := re.fullmatch(pattern, text, re.IGNORECASE | re.DOTALL)):
                return found["rest"].strip()
    return text


def without_minus(text: str, decimal_sign: str) -> Fraction | str:
    """The table itself."""
    if found := _NO_SIGN.fullmatch(text):
        return Fraction(digits_of(found["whole"]))
    if found := _ONE_SIGN.fullmatch(text):
        whole, decimals = found["whole"] or "", found["decimals"]
        two_ways = re.fullmatch("[0-9]{1,3}", whole) and whole != "0" and len(decimals) == 3
        return AMBIGUOUS if two_ways and found["sign"] != decimal_sign else with_decimals(whole, decimals)
    for shape in _BOTH_SIGNS:
        if found := shape.fullmatch(text):
            return with_decimals(found["whole"], found["decimals"])
    if any(shape.fullmatch(text) for shape in _ONE_SIGN_TWICE):
        return Fraction(digits_of(text))
    return FORMAT


def with_decimals(whole: str, decimals: str) -> Fraction:
    """The number of these digits before and after the decimal sign."""
    return int(digits_of(whole) or "0") + Fraction(int(decimals), 10 ** len(decimals))


def digits_of(text: str) -> str:
    """The digits alone."""
    return re.sub("[^0-9]", "", text)


def faults_of(value: Fraction, low: Fraction, high: Fraction, places: int, *, above: bool, below: bool) -> set[str]:
    """What may be said against a number in a field of this range and so many places; nothing where it fits."""
    fits = (value > low if above else value >= low) and (value < high if below else value <= high)
    exact = (value * 10**places).denominator == 1
    return ({"number-range"} if not fits else set()) | ({"number-decimals"} if not exact else set())
