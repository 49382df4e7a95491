"""Texts near the edge of what a number is, drawn and held against a reading of their own; and every number shown."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from tests.numbers_by_hand import faults_of, said_by, said_by_json
from tests.tried import many, tell
from webapp.costing import limits
from webapp.costing.amounts import JSON_NOTATION, MINOR_UNITS, Notation, Unreadable, read_number
from webapp.costing.limits import Number
from webapp.costing.locales import LOCALES
from webapp.pages.formats import formats_for

D = Decimal
FIELDS = {name: kind for name, kind in vars(limits).items() if isinstance(kind, Number)}
POINT, COMMA = Notation(".", ("\u20ac", "EUR")), Notation(",", ("\u20ac", "EUR"))
SPACES = (" ", "\u00a0", "\u202f", "\u2009")
#: what may stand in a number, and what looks as if it might
SIGNS = (*("0123456789" * 3 + ".,.,.,"), *SPACES, *"-+eE_'%", "\u2212", "\u2019", "\u20ac")
STRANGE = (
    *SIGNS,
    "\t",
    "x",
    "/",
    "\uff11",
    "\u0663",
    "\u00b2",
    "\u00bd",
    "\u0967",
    "\u2013",
    "\u066b",
    "inf",
    "g",
    "0x",
)


def near(rng: Random, kind: Number) -> D:
    """A number at, beside or between the limits of a field, at times with a place more than it keeps."""
    step = D(1).scaleb(-kind.places)
    limit = rng.choice((kind.low, kind.high, D(0), D(1), D(1000)))
    between = D(rng.randint(0, 10**9)).scaleb(-rng.choice((0, 1, 3, kind.places, kind.places + 1)))
    beside = rng.choice((limit + rng.randint(-2, 2) * step, limit + step.scaleb(-1)))
    return rng.choice((beside, -between, between, kept(rng, kind), kept(rng, kind)))


def grouped(rng: Random, whole: str) -> str:
    """Digits with something between groups of three, at times of another size."""
    size = rng.choice((3, 3, 3, 3, 2, 4))
    between = rng.choice((",", ".", *SPACES))
    head = len(whole) % size or size
    return between.join([whole[:head], *(whole[at : at + size] for at in range(head, len(whole), size))])


def written(rng: Random, kind: Number, value: D) -> str:
    """A number in one of the ways in which people write it."""
    whole, _, decimals = format(abs(value), "f").partition(".")
    whole = rng.choice((whole, whole, whole, grouped(rng, whole), f"0{whole}", whole.removeprefix("0")))
    decimals += rng.choice(("", "", "0", "000"))
    text = whole + (rng.choice(".,") + decimals if decimals or rng.random() < 0.05 else "")
    text = ("" if value >= 0 else rng.choice(("-", "\u2212", "- "))) + text
    beside = rng.choice((*kind.beside, "\u20ac", "eur", "%"))
    return rng.choice((text, text, text, f" {text} ", f"{beside} {text}", f"{text}{beside}", f"{text} {beside}"))


def spoiled(rng: Random, text: str) -> str:
    """A text with a sign put in, taken out or put in another's place."""
    at, sign = rng.randint(0, len(text)), rng.choice(STRANGE)
    return rng.choice((text[:at] + sign + text[at:], text[:at] + text[at + 1 :], text[:at] + sign + text[at + 1 :]))


def drawn(rng: Random, kind: Number) -> str:
    """A text: a number as it is written, one that was spoiled, or a soup of signs."""
    way = rng.random()
    if way < 0.1:
        return "".join(rng.choice(SIGNS) for _ in range(rng.choice((1, 2, 3, 4, 5, 6, 8, 12, 24, 25, 26))))
    if way < 0.2:  # what can be read in two ways, or nearly
        return f"{rng.randint(0, 10 ** rng.randint(1, 4))}{rng.choice('.,')}{rng.randint(10, 10**4)}"
    text = written(rng, kind, near(rng, kind))
    return text if way < 0.7 else spoiled(rng, text)


def read_otherwise(kind: Number, text: str, notation: Notation, met: Counter[str]) -> str:
    """What the program makes of a text where the table says something else; nothing where it is the same."""
    beside = (*kind.beside, *(notation.currency_signs if kind.money else ()))
    wanted = said_by_json(text) if notation.strict else said_by(text, notation.decimal_sign, beside)
    limits_of = (Fraction(kind.low), Fraction(kind.high), kind.places)
    if isinstance(wanted, Fraction):
        allowed = faults_of(wanted, *limits_of, above=kind.above, below=kind.below)
    else:
        allowed = {wanted}
    try:
        read = kind.read(text, notation)
    except Unreadable as unreadable:
        met[unreadable.code] += 1
        return "" if unreadable.code in allowed else f"{text!r}: {unreadable.code}, not {allowed or wanted}"
    met["read"] += 1
    return "" if not allowed and Fraction(read) == wanted else f"{text!r}: read as {read}, not {wanted}, {allowed}"


def test_texts_near_the_edge_of_a_number_are_read_by_the_table() -> None:
    rng, tries, met = Random(20261129), many(4_000, 20_000), Counter[str]()
    wrong = []
    for _ in range(tries):
        name, kind = rng.choice(list(FIELDS.items()))
        notation = rng.choice((POINT, POINT, COMMA, COMMA, JSON_NOTATION))
        if fault := read_otherwise(kind, drawn(rng, kind), notation, met):
            wrong.append(f"{name}, {notation.decimal_sign}: {fault}")
    codes = ("read", "number-format", "number-ambiguous", "number-too-long", "number-range", "number-decimals")
    assert all(met[one] > tries / 200 for one in codes), met
    tell("drawn texts of numbers", tries, wrong, ", ".join(f"{n} {one}" for one, n in met.items()))


def test_another_reading_would_be_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    met = Counter[str]()
    assert read_otherwise(FIELDS["MONEY"], "1,5", POINT, met) == ""
    assert read_otherwise(FIELDS["MONEY"], "1,5", JSON_NOTATION, met) == ""
    assert said_by("1,234", ".") == "number-ambiguous"
    assert said_by("1,234", ",") == Fraction(1234, 1000)
    assert said_by("1 234,5 \u20ac", ".", ("\u20ac",)) == Fraction(12345, 10)
    monkeypatch.setattr(limits, "read_number", lambda *_: D("1.5"))
    assert "read as 1.5, not number-format" in read_otherwise(FIELDS["MONEY"], "1.5.", POINT, met)
    assert "read as 1.5, not 1" in read_otherwise(FIELDS["MONEY"], "1", POINT, met)


@pytest.mark.parametrize("text", ["1.2 345", "1. 345", ".5 123", "1 2.5 345", "0,5 123", "1 234,5 678"])
def test_a_space_behind_the_decimal_sign_groups_nothing(text: str) -> None:
    """It would have been left out unseen: 1.2 345 read as 1.2345."""
    for notation in (POINT, COMMA):
        with pytest.raises(Unreadable) as refused:
            read_number(text, notation)
        assert refused.value.code == "number-format"


def test_every_number_that_a_field_keeps_is_read_as_it_is_shown_wherever_it_is() -> None:
    rng, tries = Random(20261130), many(3_000, 20_000)
    places_of_money = sorted(set(MINOR_UNITS.values()))
    notations = [JSON_NOTATION, *every_notation(rng, places_of_money)]
    wrong = []
    for _ in range(tries):
        name, kind = rng.choice(list(FIELDS.items()))
        notation, value = rng.choice(notations), kept(rng, kind)
        shown = kind.show(value, notation)
        try:
            read = kind.read(shown, notation)
        except Unreadable as unreadable:
            wrong.append(f"{name}: {value} shown as {shown!r} in {notation}: {unreadable.code}")
            continue
        if read != value:
            wrong.append(f"{name}: {value} shown as {shown!r} in {notation} reads as {read}")
    tell("drawn numbers shown and read", tries, wrong, f"{len(FIELDS)} kinds of field, {len(notations)} notations")


def every_notation(rng: Random, places: list[int]) -> list[Notation]:
    """Those of every locale there is; in a plain run of some of them, since reading one takes its time."""
    locales = sorted(LOCALES)
    chosen = rng.sample(locales, many(40, len(locales)))
    currencies = [next(one for one, of in MINOR_UNITS.items() if of == many_places) for many_places in places]
    return [formats_for(one, rng.choice(currencies), "kg").notation() for one in chosen]


def kept(rng: Random, kind: Number) -> D:
    """A number that a field keeps: at a limit, beside it, or anywhere between, with any of its places."""
    step = D(1).scaleb(-kind.places)
    first, last = kind.low + (step if kind.above else 0), kind.high - (step if kind.below else 0)
    beside = rng.randint(0, 3) * step
    anywhere = first + rng.randint(0, int((last - first) / step)) * step
    whole, thousandths = D(int(anywhere)), D(int(anywhere * 1000)) / 1000
    found = rng.choice((first + beside, last - beside, anywhere, anywhere, whole, thousandths))
    return min(max(found, first), last)
