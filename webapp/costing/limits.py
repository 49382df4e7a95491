"""Kind, range and places of every field, once: for forms, JSON, sheets and HTML attributes (trust.md).

A field kind reads a typed text into a value or a fault, and shows a value again so that it reads back the same.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any

from webapp.costing.amounts import MINOR_UNITS, Notation, Unreadable, plain, read_number
from webapp.costing.locales import LOCALES

NAME_LENGTH = 120
NOTE_LENGTH = 4_000
FORMULA_LINES = 200
ORDER_LINES = 200
NESTING = 20
FIELDS = 2_000
MARKS_ON_ONE_LETTER = 8
FIRST_DAY = date(1990, 1, 1)
LAST_DAY = date(2199, 12, 31)
_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c")
_ISO_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
_LINK = re.compile(r"https?://[^\s<>\"]+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong at one field: its path as forms write it, a code, and a sentence that says what to do."""

    field: str
    code: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Number:
    """An amount between `low` and `high` with at most `places` decimals. `above`/`below`: the limit itself is out."""

    low: Decimal
    high: Decimal
    places: int
    above: bool = False
    below: bool = False
    unit: str = ""
    beside: tuple[str, ...] = ()
    money: bool = False

    def read(self, text: str, notation: Notation) -> Decimal:
        value = read_number(text, notation if self.money else _unsigned(notation), self.beside)
        if value.normalize().as_tuple().exponent < -self.places:  # type: ignore[operator]
            raise Unreadable("number-decimals", self._places_sentence())
        if self._outside(value):
            raise Unreadable("number-range", self._range_sentence(notation))
        return value

    def show(self, value: Decimal, notation: Notation) -> str:
        return plain(value, notation.decimal_sign, notation.money_places if self.money else 0)

    def _outside(self, value: Decimal) -> bool:
        low = value <= self.low if self.above else value < self.low
        high = value >= self.high if self.below else value > self.high
        return low or high

    def _places_sentence(self) -> str:
        if self.places == 0:
            return "Type a whole number."
        return f"This keeps at most {self.places} decimals. Shorten the number."

    def _range_sentence(self, notation: Notation) -> str:
        sign = notation.decimal_sign
        low = f"above {plain(self.low, sign)}" if self.above else f"{plain(self.low, sign)} or more"
        high = f"below {plain(self.high, sign)}" if self.below else f"at most {plain(self.high, sign)}"
        return f"This must be {low}, and {high}."


def _unsigned(notation: Notation) -> Notation:
    return Notation(notation.decimal_sign, (), notation.strict)


@dataclass(frozen=True, slots=True)
class Text:
    """Words on one line, or several (`lines`); NFC, trimmed, spaces collapsed; no control or override characters."""

    length: int = NAME_LENGTH
    lines: bool = False

    def read(self, text: str, notation: Notation) -> str:
        del notation
        kept = _clean(text, self.lines)
        if len(kept) > self.length:
            raise Unreadable("text-too-long", f"This is longer than {self.length} characters. Shorten it.")
        return kept

    def show(self, value: str, notation: Notation) -> str:
        del notation
        return value


@dataclass(frozen=True, slots=True)
class Link(Text):
    """A web address kept as a link; the program never fetches it."""

    length: int = 500

    def read(self, text: str, notation: Notation) -> str:
        kept = Text.read(self, text, notation)
        if kept and not _LINK.fullmatch(kept):
            raise Unreadable("url-scheme", "Write the address with http:// or https:// before it.")
        return kept


@dataclass(frozen=True, slots=True)
class Locale(Text):
    """How numbers and days are written: a language and its country, as CLDR names them (en_GB)."""

    length: int = 20

    def read(self, text: str, notation: Notation) -> str:
        kept = Text.read(self, text, notation).replace("-", "_")
        if kept not in LOCALES:
            raise Unreadable("locale", "Write a language and its country, such as en_GB, de_AT or en_US.")
        return kept


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    options: tuple[str, ...]

    def read(self, text: str, notation: Notation) -> str:
        del notation
        if text not in self.options:
            raise Unreadable("choice", "Choose one of: " + ", ".join(self.options) + ".")
        return text

    def show(self, value: str, notation: Notation) -> str:
        del notation
        return value


@dataclass(frozen=True, slots=True)
class Currency:
    """An ISO 4217 code."""

    def read(self, text: str, notation: Notation) -> str:
        del notation
        code = text.strip().upper()
        if code not in MINOR_UNITS:
            raise Unreadable("currency", "Write a currency by its three letters, such as EUR, GBP or USD.")
        return code

    def show(self, value: str, notation: Notation) -> str:
        del notation
        return value


@dataclass(frozen=True, slots=True)
class Day:
    """A calendar day, as YYYY-MM-DD."""

    def read(self, text: str, notation: Notation) -> date:
        del notation
        try:
            if not _ISO_DAY.fullmatch(text.strip()):
                raise ValueError
            day = date.fromisoformat(text.strip())
        except ValueError:
            raise Unreadable("date-format", "There is no such day. Write it as year-month-day: 2026-03-31.") from None
        if not FIRST_DAY <= day <= LAST_DAY:
            raise Unreadable("date-range", f"Days between {FIRST_DAY} and {LAST_DAY} can be kept.")
        return day

    def show(self, value: date, notation: Notation) -> str:
        del notation
        return value.isoformat()


@dataclass(frozen=True, slots=True)
class Flag:
    """Yes or no: a tick box; "yes" when ticked."""

    def read(self, text: str, notation: Notation) -> bool:
        del notation
        if text not in ("", "yes", "no"):
            raise Unreadable("choice", "Answer yes or no.")
        return text == "yes"

    def show(self, value: bool, notation: Notation) -> str:
        del notation
        return "yes" if value else ""


@dataclass(frozen=True, slots=True)
class Reference:
    """The identity of another thing of the book, by its number."""

    kind: str

    def read(self, text: str, notation: Notation) -> int:
        del notation
        if not re.fullmatch(r"-?[1-9][0-9]{0,8}", text.strip(), re.ASCII):
            raise Unreadable("reference", "Choose one from the list.")
        return int(text)

    def show(self, value: int, notation: Notation) -> str:
        del notation
        return str(value)


@dataclass(frozen=True, slots=True)
class CalledReference(Reference):
    """A reference that may also be sent by any of the thing's names; whoever reads it has put its number there."""


Kind = Number | Text | Link | Choice | Currency | Day | Flag | Reference


def _clean(text: str, lines: bool) -> str:
    text = unicodedata.normalize("NFC", text)
    if lines:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    for character in text:
        if character in _BIDI:
            raise Unreadable("text-bidi-control", "This holds a hidden character that turns text round. Type it anew.")
        if unicodedata.category(character) in ("Cc", "Cs") and not (lines and character in "\n\t"):
            raise Unreadable("text-control", "This holds a control character. Type it anew on one line.")
        if _is_no_character(character):
            raise Unreadable("text-control", "This holds something that is no character. Type it anew.")
    _refuse_piled_marks(text)
    if lines:
        kept = "\n".join(line.rstrip() for line in text.strip().split("\n"))
    else:
        kept = " ".join(text.split())
    if kept and all(unicodedata.category(character) in ("Cf", "Zs", "Cn", "Co") for character in kept):
        raise Unreadable("text-invisible", "Nothing here can be seen. Type a name with letters.")
    return kept


def _is_no_character(character: str) -> bool:
    """Whether Unicode keeps it out of texts for good (section 23.7): a workbook that holds one can't be opened."""
    return ord(character) & 0xFFFE == 0xFFFE or 0xFDD0 <= ord(character) <= 0xFDEF


def _refuse_piled_marks(text: str) -> None:
    run = 0
    for character in unicodedata.normalize("NFD", text):
        run = run + 1 if unicodedata.combining(character) else 0
        if run > MARKS_ON_ONE_LETTER:
            raise Unreadable("text-combining", "One letter carries too many accents. Type it anew.")


@lru_cache(maxsize=32_768)  # every name of a kind is asked for whenever one is typed
def name_key(name: str) -> str:
    """What makes two names the same: NFC, case folded, spaces collapsed."""
    return unicodedata.normalize("NFC", " ".join(unicodedata.normalize("NFC", name).casefold().split()))


def _d(text: str) -> Decimal:
    return Decimal(text)


MONEY = Number(_d("0"), _d("9999999.9999"), 4, money=True)
SIGNED_MONEY = Number(_d("-9999999.9999"), _d("9999999.9999"), 4, money=True)
QUANTITY = Number(_d("0"), _d("10000000"), 6, above=True)
QUANTITY_OR_NONE = Number(_d("0"), _d("10000000"), 6)
GRAMS = Number(_d("0"), _d("10000000"), 6, above=True, beside=("g",))
GRAMS_OR_NONE = Number(_d("0"), _d("10000000"), 6, beside=("g",))
DENSITY = Number(_d("0.1"), _d("5"), 4, beside=("g/mL", "g/ml"))
TEMPERATURE = Number(_d("-50"), _d("250"), 1, beside=("°C", "C"))
PERCENT = Number(_d("0"), _d("100"), 4, beside=("%",))
SHARE = Number(_d("0"), _d("100"), 4, above=True, beside=("%",))
LOSS = Number(_d("0"), _d("100"), 4, below=True, beside=("%",))
TARGET = Number(_d("0"), _d("100"), 4, below=True, beside=("%",))
TAX_RATE = Number(_d("0"), _d("100"), 4, beside=("%",))
FEE = Number(_d("0"), _d("100"), 4, below=True, beside=("%",))
EXTRA = Number(_d("0"), _d("1000"), 4, beside=("%",))
AIR = Number(_d("0"), _d("1000"), 4, beside=("%",))
RATE = Number(_d("0"), _d("10000000"), 6, above=True)
PRICE_CHANGE = Number(_d("-100"), _d("1000"), 4, above=True, beside=("%",))
MINUTES = Number(_d("0"), _d("100000"), 4, beside=("min",))
HOURS = Number(_d("0"), _d("10000"), 4, beside=("h",))
COUNT = Number(_d("1"), _d("1000000"), 0)
COUNT_OR_NONE = Number(_d("0"), _d("1000000"), 0)
JARS_A_MONTH = Number(_d("0"), _d("1000000"), 4)
PIECES = Number(_d("0"), _d("1000000"), 4, above=True)
SPOILED = Number(_d("0"), _d("1000"), 4)
DROPS = Number(_d("0"), _d("200"), 4, above=True)
WIDTH = Number(_d("0"), _d("200"), 2, above=True, beside=("cm",))
MONTHS = Number(_d("1"), _d("240"), 0)
NAME = Text()
SHORT = Text(200)
LINES = Text(600, lines=True)
NOTE = Text(NOTE_LENGTH, lines=True)
DAY = Day()
FLAG = Flag()
LINK = Link()
CURRENCY = Currency()


def attributes(kind: Kind) -> dict[str, Any]:
    """HTML attributes that tell the browser the same limits, without a second truth."""
    if isinstance(kind, Number):
        return {
            "inputmode": "numeric" if kind.places == 0 else "decimal",
            "maxlength": 24,
            "autocomplete": "off",
        }
    if isinstance(kind, Text):
        return {"maxlength": kind.length}
    return {}
