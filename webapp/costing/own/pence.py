"""Prices in hundredths of money: 95p, 85 ct; £0.95p is in pounds all the same."""

from __future__ import annotations

import re
from dataclasses import dataclass

_PENCE = re.compile(r"(?P<number>[0-9]{1,4})\s?(?:(?P<p>p|pence)|c|ct|cts|cents?)\b\.?(?P<rest>.*)", re.IGNORECASE)
_BOTH = re.compile(r"(?P<number>\u00a3\s?[0-9]+[.,][0-9]{2})\s?p\b(?P<rest>.*)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Pence:
    """A price without its word for hundredths, and whether it is in hundredths."""

    plainly: str
    hundredths: bool


def pence_in(text: str) -> Pence | None:
    """What a price in hundredths says; None where it is in none. Pence are those of pounds, cents of the workshop's."""
    if found := _BOTH.fullmatch(text.strip()):
        return Pence(f"{found['number']}{found['rest']}", hundredths=False)
    if found := _PENCE.fullmatch(text.strip()):
        sign = "\u00a3" if found["p"] else ""
        return Pence(f"{sign}{found['number']}{found['rest']}", hundredths=True)
    return None
