"""Exact amounts: text to Decimal and back, rounding named at its place, sharing out.

Every amount is a `decimal.Decimal`; the working precision is 50 significant digits, so that the only roundings
are the ones named here (method.md section 0).
"""

from __future__ import annotations

import decimal
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_DOWN, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import NamedTuple

PRECISION = 50
# Threads started later take their context from DefaultContext, the present one must be set as well: the default
# of 28 digits would round a long product silently.
decimal.DefaultContext.prec = PRECISION
decimal.setcontext(decimal.DefaultContext.copy())

ZERO = Decimal(0)
ONE = Decimal(1)
HUNDRED = Decimal(100)
SNAP_PLACES = 12
MOST_CHARACTERS = 24

_TWO_PLACES = (
    "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY COP "
    "CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR "
    "JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN "
    "NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP "
    "SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VES WST XCD YER ZAR ZMW"
)
#: Minor units by ISO 4217 (list of 2026-01-01): decimals of an invoice amount in that currency.
MINOR_UNITS: dict[str, int] = {
    **dict.fromkeys(_TWO_PLACES.split(), 2),
    **dict.fromkeys("BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF".split(), 0),
    **dict.fromkeys("BHD IQD JOD KWD LYD OMR TND".split(), 3),
}


@lru_cache(maxsize=64)
def unit_of(places: int) -> Decimal:
    """The smallest step at so many decimal places: unit_of(2) is 0.01."""
    return ONE.scaleb(-places)


def half_up(value: Decimal, places: int) -> Decimal:
    """Rounded to `places`, half away from zero."""
    return value.quantize(unit_of(places), ROUND_HALF_UP)


def rounded_up(value: Decimal, places: int) -> Decimal:
    """The next amount at or above `value` with so many places; for floors, fair prices, jars needed."""
    return value.quantize(unit_of(places), ROUND_CEILING)


def rounded_down(value: Decimal, places: int) -> Decimal:
    """The next amount at or below `value`; for what a cost or a wage may be."""
    return value.quantize(unit_of(places), ROUND_FLOOR)


_SNAP = unit_of(SNAP_PLACES)
_HUNDREDTH = unit_of(2)


def snap(value: Decimal) -> Decimal:
    """Half-up to 12 places: before a figure is floored, moved to an ending, rounded for show or compared."""
    return value.quantize(_SNAP, ROUND_HALF_UP)


def whole_number(value: Decimal) -> Decimal:
    """Whole jars: the snapped value, floored towards zero."""
    return value.quantize(_SNAP, ROUND_HALF_UP).to_integral_value(ROUND_DOWN)


def whole(value: Decimal) -> int:
    """The same to count with."""
    return int(whole_number(value))


_SMALLEST = {currency: unit_of(places) for currency, places in MINOR_UNITS.items()}


def minor_places(currency: str) -> int:
    """Decimals of the currency's minor unit (ISO 4217). KeyError for a code that is not in the list."""
    return MINOR_UNITS[currency]


def to_minor(value: Decimal, currency: str) -> Decimal:
    """An invoice amount: half-up to the currency's minor unit.

    Not snapped first: nothing was divided before it but by a tax rate, and that quotient is either exact or nowhere
    near a half.
    """
    rounded = value.quantize(_SMALLEST[currency], ROUND_HALF_UP)
    return rounded or abs(rounded)  # never the -0 that a small amount taken off would leave


def percent(value: Decimal) -> Decimal:
    """A typed percentage as a fraction: 45 is 0.45. Exact."""
    return value * _HUNDREDTH  # a third of what scaleb takes


def share_out(total: Decimal, weights: Sequence[Decimal], places: int) -> tuple[Decimal, ...]:
    """`total` over `weights` by largest remainder, in steps of `places` decimals; the shares add up exactly.

    Ties go to the earlier line; a negative total is shared as its absolute amount, then signed; all weights zero
    shares equally. ValueError for no lines, a negative weight, or a total finer than the step.
    """
    if not weights:
        raise ValueError("There is nothing to share the amount over.")
    if min(weights) < 0:
        raise ValueError("An amount can't be shared by a negative weight.")
    units = abs(total).scaleb(places)
    if units != units.to_integral_value():
        raise ValueError("The amount to share is finer than its smallest unit.")
    used = _whole_weights(weights) if any(weights) else [1] * len(weights)
    whole_weight = sum(used)
    parts = [divmod(int(units) * weight, whole_weight) for weight in used]
    left = int(units) - sum(quotient for quotient, _ in parts)
    most_left = sorted([(-remainder, index) for index, (_, remainder) in enumerate(parts)])
    extra = {index for _, index in most_left[:left]}
    sign = -1 if total < 0 else 1
    unit = unit_of(places)
    return tuple([(quotient + (index in extra)) * sign * unit for index, (quotient, _) in enumerate(parts)])


def _whole_weights(weights: Sequence[Decimal]) -> list[int]:
    """The same proportions in whole numbers: those never run out of digits, so that a remainder is exact."""
    _, digits, finest = sum(weights, ZERO).as_tuple()
    if len(digits) == PRECISION:  # the sum may have been rounded, else it has the places of the finest weight
        finest = min(int(weight.as_tuple().exponent) for weight in weights)
    scale = ONE.scaleb(-int(finest))
    return [int(weight * scale) for weight in weights]


class Ratio(NamedTuple):
    """A figure kept as one division that is not done yet, so that a chain of them divides once, at the end."""

    over: Decimal
    under: Decimal = ONE

    @property
    def value(self) -> Decimal:
        """The figure; decimal.DivisionByZero where `under` is zero."""
        return self.over if self.under is ONE else self.over / self.under

    def times(self, factor: Decimal) -> Ratio:
        return Ratio(self.over * factor, self.under)

    def per(self, divisor: Decimal) -> Ratio:
        return Ratio(self.over, divisor if self.under is ONE else self.under * divisor)

    def plus(self, other: Ratio) -> Ratio:
        if self.under == other.under:
            return Ratio(self.over + other.over, self.under)
        return Ratio(self.over * other.under + other.over * self.under, self.under * other.under)


def plain(value: Decimal, decimal_sign: str = ".", least: int = 0) -> str:
    """An amount as a person would type it: no exponent, no grouping, zeros at the end up to `least` decimals only."""
    text = format(value, "f")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text in ("-0", ""):
        text = "0"
    if least:
        whole, _, decimals = text.partition(".")
        text = f"{whole}.{decimals.ljust(least, '0')}"
    return text.replace(".", decimal_sign)


@dataclass(frozen=True, slots=True)
class Unreadable(Exception):
    """A text that is no number here: `code` as in the error list of the JSON interface, and a sentence."""

    code: str
    sentence: str

    def __str__(self) -> str:
        return self.sentence


@dataclass(frozen=True, slots=True)
class Notation:
    """How numbers are written here: the locale's decimal sign, and the signs that may stand beside money."""

    decimal_sign: str = "."
    currency_signs: tuple[str, ...] = ()
    strict: bool = False
    """True for JSON: ASCII digits with a point, nothing else."""
    money_places: int = 0
    """How many decimals an amount of money shows at least: 12.40 where its currency has hundredths."""


JSON_NOTATION = Notation(strict=True)

_SPACE = "[ \u00a0\u202f\u2009]"
_SPACES = re.compile(_SPACE)
_SPACED = re.compile(rf"[0-9]{{1,3}}(?:{_SPACE}[0-9]{{3}})+(?:[.,][0-9]+)?", re.ASCII)
_DIGITS = re.compile(r"[0-9]+", re.ASCII)
_JSON_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?", re.ASCII)


def read_number(text: str, notation: Notation = JSON_NOTATION, beside: Sequence[str] = ()) -> Decimal:
    """The number that `text` says, exactly; Unreadable otherwise (trust.md, "Numbers at the edge").

    `beside` are unit or currency signs that may stand before or after the number. At most 24 characters.
    """
    if len(text) > MOST_CHARACTERS:
        raise Unreadable("number-too-long", f"This is longer than a number may be ({MOST_CHARACTERS} characters).")
    if notation.strict:
        if not _JSON_NUMBER.fullmatch(text):
            raise Unreadable("number-format", 'Write the number as digits with a point, such as "12.50".')
        return Decimal(text)
    bare = _without_signs(text.strip(), (*beside, *notation.currency_signs))
    negative = bare.startswith(("-", "\u2212"))
    digits = _SPACES.sub("", _spaced_groups_checked(bare[1:] if negative else bare))
    value = Decimal(_with_point(digits, notation))
    return -value if negative else value


def _without_signs(text: str, signs: Sequence[str]) -> str:
    for sign in sorted(filter(None, signs), key=len, reverse=True):
        if text.casefold().endswith(sign.casefold()):
            return text[: -len(sign)].strip()
        if text.casefold().startswith(sign.casefold()):
            return text[len(sign) :].strip()
    return text


def _format_fault() -> Unreadable:
    return Unreadable("number-format", "This isn't a number. Type digits, such as 12.50.")


def _spaced_groups_checked(text: str) -> str:
    """A space groups digits before the decimal sign: one to three, then threes. One behind it would be a slip."""
    if _SPACES.search(text) and not _SPACED.fullmatch(text):
        raise _format_fault()
    return text


def _with_point(text: str, notation: Notation) -> str:
    """`text` with its grouping removed and a point as decimal sign, by the table in trust.md."""
    signs = [character for character in text if character in ".,"]
    pieces = re.split("[.,]", text)
    if not all(_DIGITS.fullmatch(piece) for piece in pieces[1:]) or not _DIGITS.fullmatch(pieces[0] or "0"):
        raise _format_fault()
    if not signs:
        return text if pieces[0] else _refuse()
    if len(signs) == 1:
        return _one_sign(pieces[0], pieces[1], signs[0], notation)
    groups, decimals = (pieces, "") if len(set(signs)) == 1 else (pieces[:-1], pieces[-1])
    mixed_before = len(set(signs[:-1] if decimals else signs)) > 1
    fits = 1 <= len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])
    if mixed_before or not fits:
        raise _format_fault()
    return "".join(groups) + (f".{decimals}" if decimals else "")


def _refuse() -> str:
    raise _format_fault()


def _one_sign(before: str, after: str, sign: str, notation: Notation) -> str:
    looks_grouped = 1 <= len(before) <= 3 and before != "0" and len(after) == 3
    if looks_grouped and sign != notation.decimal_sign:
        decimal_reading = f"{before}{notation.decimal_sign}{after}"
        raise Unreadable(
            "number-ambiguous",
            f"This can be read in two ways. Type {before}{after} or {decimal_reading}0.",
        )
    return f"{before or '0'}.{after}"
