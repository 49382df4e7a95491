"""One cell of a maker's own sheet: a number, an amount with its unit, money, a day, as people write them.

What can be read in two ways is asked for once for all sheets (`Told`), never guessed; a cell that can't be read is a
`Doubt` (a choice would settle it) or an `Unreadable`, each with a sentence.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from webapp.costing import limits as lim
from webapp.costing.amounts import JSON_NOTATION, MOST_CHARACTERS, ZERO, Unreadable, half_up, plain
from webapp.costing.own.currencies import currency_of, put_plainly_money, without_mark, without_money
from webapp.costing.own.pack_words import is_container, is_put_otherwise, put_plainly
from webapp.costing.own.told import Told
from webapp.costing.own.units import (
    BOTH,
    ELSEWHERE,
    IMPERIAL,
    OUNCES_IN_POUND,
    US,
    dozens_in,
    fraction_in,
    measure_in,
    multiple_in,
    parted_aside,
    pounds_and_ounces,
)
from webapp.costing.sheets import SIGNS, bare, number_in, written_with
from webapp.costing.units import MASS, PIECES, VOLUME
from webapp.costing.written_units import AMOUNT, unit_of

_TIMES = re.compile(r"([0-9]{1,4})\s*[x\u00d7*]\s*([0-9].*)", re.IGNORECASE)
_PER = re.compile(
    r"(?P<money>.*[0-9].*?)\s*(?:/|\b(?:per|a|pro|je|each|ea)\b\.?)\s*(?P<unit>[0-9]*\s*[^0-9]*)", re.IGNORECASE
)
_REST = re.compile(
    r"(q\.? ?s\.?(?: ?p\.?)?|quantum satis|rest|the rest|balance|remainder|fill up)(?: ?(?:to|ad|of|\u00e0)? ?100 ?%?)?"
    r"|(?:to|ad|add to|up to) 100 ?%?",
    re.IGNORECASE,
)
MONEY_PLACES, QUANTITY_PLACES = 4, 6
#: -5.00, £-5.00, -£5.00, (5.00), with or without a currency
_BELOW_ZERO = re.compile(
    r"(?:[^\W\d_]{1,4}\.?|[^\w\s(])?\s*[-\u2212\u2010-\u2015]\s*(?:[^\W\d_]{1,4}\.?|[^\w\s])?\s*[0-9].*|"
    r"[^0-9(]{0,4}\([^0-9]{0,4}[0-9][0-9., ]*[^0-9]{0,4}\)[^0-9]{0,4}"
)
#: how far litres beside a measure may be away for having been rounded, as a share
_ROUNDED = Decimal("0.015")


@dataclass(frozen=True, slots=True)
class Doubt(Exception):
    """A cell that one choice for all sheets would settle: which choice, and a sentence with both readings."""

    choice: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Read:
    """An amount as it was read, its unit or currency ("" where none is said), and what is to be said of the reading.

    `slack` is half of its last place, where that is asked for; `exact` is what stands there, where that has more
    decimals than can be kept.
    """

    value: Decimal
    unit: str = ""
    remark: str = ""
    slack: Decimal = ZERO
    exact: Decimal | None = None

    @property
    def whole(self) -> Decimal:
        """What stands there, with all of its decimals."""
        return self.value if self.exact is None else self.exact


def number(text: str, told: Told) -> Decimal:
    """A bare number; Doubt where it can be read in two ways and nobody said how, Unreadable where it is none."""
    if len(text) > MOST_CHARACTERS:
        raise Unreadable("number-too-long", f"{text[:MOST_CHARACTERS]}… is longer than a number may be.")
    if told.exact and re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", text, re.ASCII):
        return Decimal(text)
    said = written_with(bare(text))
    if said == "?" and not told.sign:
        one, other = (plain(Decimal(number_in(text, sign))) for sign in SIGNS)
        raise Doubt("sign", f"{text} can be read as {one} or as {other}. Choose how decimals are written.")
    try:
        return Decimal(number_in(text, said if said in SIGNS else told.sign or "."))
    except (Unreadable, InvalidOperation):
        raise Unreadable("number-format", f"{text[:40]} is no number. Type digits, such as 12.50.") from None


def rounded(value: Decimal, places: int) -> Decimal:
    """The value as it was written where it has no more places than can be kept, else half-up to these."""
    kept = half_up(value, places)
    return value if kept == value else kept


def fitting(value: Decimal, kind: lim.Number, text: str) -> Decimal:
    """The value as a field of that kind keeps it; Unreadable where it lies outside of what it may be."""
    kept = rounded(value, kind.places)
    try:
        return kind.read(plain(kept), JSON_NOTATION)
    except Unreadable as unreadable:
        raise Unreadable(unreadable.code, f"{text[:40]}: {unreadable.sentence}") from None


def words(text: str, kind: lim.Text = lim.NAME) -> str:
    """A name as it is kept; Unreadable where it is too long or holds what can't be seen."""
    return kind.read(text, JSON_NOTATION)


def doubtful(text: str, told: Told) -> str:
    """What is said of a number that was read by what others or a choice say: 96,000 is read as 96000, not as 96."""
    found = AMOUNT.fullmatch(without_money(text)[0])
    digits = found["number"].strip() if found else ""
    plainly = told.exact and re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", digits, re.ASCII)
    if not digits or plainly or written_with(bare(digits)) != "?" or not told.sign:
        return ""
    other = "," if told.sign == "." else "."
    read, not_so = (plain(Decimal(number_in(digits, one))) for one in (told.sign, other))
    return f"{digits} is read as {read}, not as {not_so}."


def signed_cells(text: str, told: Told) -> str:
    """The number of a cell that tells how decimals are written; "" where it tells nothing."""
    found = AMOUNT.fullmatch(without_money(text)[0].removesuffix("%").strip())
    digits = found["number"].strip() if found else ""
    if told.exact and re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", digits, re.ASCII):
        return ""
    return digits


# --- amounts with their unit


def known_unit(word: str, told: Told) -> str:
    """A unit by what people write for it, also with words behind it ("kg bag"). Doubt where its system is not said."""
    said, word = word.strip(" .:"), word.strip(" .:()")
    if not word:
        return ""
    if unit := unit_of(word) or ELSEWHERE.get(word.casefold(), ""):
        return unit
    system, name = measure_in(word)
    if system == BOTH or (system and name == "oz"):
        raise Unreadable("unit", f"{said[:30]} can be two measures. Write one, such as US fl oz, imp fl oz, or oz.")
    if name:
        if not system and not told.system:
            words = f"{said[:30]} can be a US or an imperial measure. Choose which of them the sheets mean."
            raise Doubt("system", words)
        return f"{system or told.system} {name}"
    first = unit_of(word.split()[0])
    if first:
        return first
    raise Unreadable(
        "unit", f"{word[:40]} is no unit that is known here. Write one such as kg, g, lb, oz, L, mL, pieces."
    )


def amount(text: str, told: Told, beside: str = "") -> Read:
    """How much, with the unit behind it or `beside` it: "1 kg", "1 1/2 lb", "2 lb 8 oz", "6 x 500 g", "2 dozen"."""
    if (plainly := put_plainly(text, beside)) != text:
        read = amount(plainly, told, beside)
        return replace(read, remark=f"{text} is read as {plainly}.") if is_put_otherwise(text) else read
    if times := _TIMES.fullmatch(text):
        inner = amount(times[2], told, beside)
        return replace(inner, value=_kept(inner.value * Decimal(times[1]), text))
    text, aside = parted_aside(text)
    if aside:
        read = _in_litres(text, aside, told) or amount(text, told, beside)
        said = "" if "read" in read.remark else f"{text} is read; ({aside}) beside it is not."
        return replace(read, remark=f"{read.remark} {said}".strip())
    if (ounces := in_ounces(text, told)) is not None:
        pounds = ounces / OUNCES_IN_POUND
        whole = half_up(pounds, QUANTITY_PLACES) == pounds
        return Read(_kept(pounds if whole else ounces, text), "lb" if whole else "oz")
    if unit := unit_of(text) or ELSEWHERE.get(text.casefold(), ""):  # "kg" alone is one of it
        return Read(Decimal(1), unit)
    return _one_amount(text, told, beside)


def _in_litres(text: str, aside: str, told: Told) -> Read | None:
    """What a can holds that is called a gallon, or another measure nobody says the system of: 1 gallon (4 litres).

    The gallon counts where the litres beside it are those of one, rounded; None where no litres stand there.
    """
    system, name = measure_in(text)
    if name not in ("gallon", "quart", "pint") or system:
        return None
    try:
        litres = amount(aside, told)
        gallons = [
            amount(text, replace(told, system=one)) for one in ((told.system,) if told.system else (US, IMPERIAL))
        ]
    except (Doubt, Unreadable):
        return None
    if litres.unit not in ("L", "mL"):
        return None
    holds = litres.value * VOLUME[litres.unit]
    for one in gallons:
        measured = one.value * VOLUME[one.unit]
        if abs(measured - holds) <= measured * _ROUNDED:
            return replace(one, remark=f"{text} is read as {one.unit}, which ({aside}) beside it is.")
    return replace(litres, remark=f"{aside} is read; it is called {text}.")


def _one_amount(text: str, told: Told, beside: str) -> Read:
    """A number or a fraction, with its unit."""
    divided, found = fraction_in(text), AMOUNT.fullmatch(text)
    if divided:
        value, words = in_decimals(divided[0]), divided[2]
    elif found:
        value, words = number(found["number"].strip(), told), found["unit"].strip()
    else:
        raise Unreadable("number-format", f"{text[:40]} is no amount. Type it with its unit, such as 1 kg.")
    if count := dozens_in(words or beside):
        return Read(_kept(value * count, text), PIECES)
    if multiple := multiple_in(words or beside):
        return Read(_kept(value * multiple[0], text), multiple[1])
    if is_container(words):
        sentence = f"{text[:40]}: how much is in one? Write its pieces or its weight, such as box of 48, or 5 kg."
        raise Unreadable("unit", sentence)
    unit = known_unit(words, told) or known_unit(beside, told)
    kept, said = _kept(value, text), text if divided else told.written.number(value)
    return Read(kept, unit, "" if kept == value else f"{said} is kept as {told.written.number(kept)}.")


def _kept(value: Decimal, text: str) -> Decimal:
    return fitting(value, lim.QUANTITY, text)


def in_ounces(text: str, told: Told) -> Decimal | None:
    """What is written in pounds and ounces, in ounces; None for anything else, Unreadable for one weight in both."""
    both = pounds_and_ounces(text)
    if both is None:
        return None
    pounds, ounces = (in_decimals(part[0]) if (part := fraction_in(one)) else number(one, told) for one in both)
    if pounds and (ounces >= OUNCES_IN_POUND or pounds % 1):
        raise Unreadable("unit", f"{text[:40]}: one weight in two units, or a slip? Write one of them, such as 2.5 lb.")
    return pounds * OUNCES_IN_POUND + ounces


def in_decimals(value: Fraction) -> Decimal:
    """A fraction with as many decimals as are worked with."""
    return Decimal(value.numerator) / Decimal(value.denominator)


def sort_is_amount(text: str) -> bool:
    """Whether a cell is a number with a unit of mass behind it, or alone: what may be the size of a batch."""
    divided, found = fraction_in(text), AMOUNT.fullmatch(text)
    if divided or pounds_and_ounces(text):
        return divided is None or not divided[2] or unit_of(divided[2]) in MASS
    return found is not None and (not found["unit"].strip() or unit_of(found["unit"]) in MASS)


def is_rest(text: str) -> bool:
    """Whether a cell says that its ingredient takes the rest (q.s.)."""
    return bool(_REST.fullmatch(text.strip()))


def in_grams(read: Read) -> Decimal | None:
    """A mass in grams, exactly, to six places; None for anything else."""
    return fitting(read.value * MASS[read.unit], lim.GRAMS, plain(read.value)) if read.unit in MASS else None


# --- money


def is_below_zero(text: str) -> bool:
    """Whether a cell is an amount below zero, by a minus or in brackets as accounts have it."""
    return bool(_BELOW_ZERO.fullmatch(text)) and bool(re.search("[1-9]", text))


def money(text: str, told: Told) -> tuple[Read, str]:
    """A price with its currency, and for one of what it is where the cell says so ("$12.50/kg"); "" for a pack."""
    if is_below_zero(text):
        words = f"{text[:40]} is below zero: leave the row out where something was given back, or type what was paid."
        raise Unreadable("number-range", words)
    plainly = put_plainly_money(text)
    rest, said = without_money(plainly, told.home, told.written.signs)
    per = _PER.fullmatch(rest)
    rest, unit = (per["money"].strip(), per["unit"].strip()) if per else (rest, "")
    if per and not said:
        rest, said = without_money(rest, told.home, told.written.signs)
    rest = without_mark(rest, told.home)
    value = number(rest.removesuffix("-").strip(), told)
    kept = fitting(value, lim.MONEY, text)
    currency = currency_of(said, told.home, told.currency)
    sums = [told.written.money(one, currency or told.home) for one in (value, kept)]
    remark = "" if kept == value else f"{sums[0]} is kept as {sums[1]}."
    if "*" in text and not remark:
        remark = f"{text[:24]} is read as {sums[1]}: what its mark says is not looked at."
    return Read(kept, currency, remark, exact=None if kept == value else value), unit
