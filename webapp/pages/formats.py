"""Figures as texts: rounded half-up, in the workshop's locale, whose symbols are read once.

A number is parted from its unit by a no-break space. A gap is written "not known yet" wherever it turns up.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import TypeAlias

from webapp.costing.amounts import MINOR_UNITS, Notation, half_up, snap
from webapp.costing.book import Workshop
from webapp.costing.gaps import Gap
from webapp.costing.units import MASS
from webapp.pages.symbols import NBSP, around, day_of, grouped, locale_of, symbol_of

MINUS = "\u2212"
UNKNOWN = "not known yet"
SIGNIFICANT = 4
MOST_PLACES = 12

Shown: TypeAlias = Decimal | Gap | None


@dataclass(frozen=True, slots=True)
class Formats:
    """How one workshop writes: made once for each locale, currency and unit of mass."""

    locale: str
    currency: str
    mass_unit: str
    decimal_sign: str
    signs: dict[int, str] = field(repr=False)
    """From the signs that Python writes to those of the locale; empty where they are the same."""
    primary: int = 3
    secondary: int = 3
    money_before: str = ""
    money_after: str = ""
    """The currency's pattern, "{}" standing for the symbol."""

    def notation(self, currency: str = "") -> Notation:
        """How numbers are typed here; money of another currency than ours with as many decimals as that has."""
        symbols = {symbol_of(self.currency, self.locale), symbol_of(self.currency, "en"), self.currency}
        return Notation(
            self.decimal_sign, tuple(sorted(symbols)), money_places=MINOR_UNITS.get(currency or self.currency, 2)
        )

    # --- numbers

    def fixed(self, value: Decimal, places: int) -> str:
        """`value` half-up to so many places, grouped."""
        rounded = half_up(snap(value), places)
        text = format(abs(rounded), ",f" if self.secondary == 3 else "f")
        if self.secondary != 3:
            text = grouped(text, self.primary, self.secondary)
        if self.signs:
            text = text.translate(self.signs)
        return MINUS + text if rounded < 0 else text

    def trimmed(self, value: Decimal, places: int) -> str:
        """The same without zeros at its end."""
        text = self.fixed(value, places)
        if self.decimal_sign in text and places:
            return text.rstrip("0").rstrip(self.decimal_sign)
        return text

    def number(self, value: Shown, unit: str = "") -> str:
        """A plain number, at most four places, and more where it is small."""
        if not isinstance(value, Decimal):
            return UNKNOWN
        return _beside(self.trimmed(value, max(4, _places(value, 0))), unit)

    def count(self, value: Shown | int) -> str:
        """A whole number."""
        if isinstance(value, int):
            value = Decimal(value)
        return self.trimmed(value, 4) if isinstance(value, Decimal) else UNKNOWN

    # --- money

    def bare(self, value: Shown, currency: str = "") -> str:
        """An amount of money to the minor unit, without its currency (that stands at the column's head)."""
        if not isinstance(value, Decimal):
            return UNKNOWN
        return self.fixed(value, MINOR_UNITS.get(currency or self.currency, 2))

    def money(self, value: Shown, currency: str = "") -> str:
        """An amount of money to the minor unit, with its currency."""
        if not isinstance(value, Decimal):
            return UNKNOWN
        return self._with_currency(self.bare(value, currency), currency or self.currency)

    def _with_currency(self, text: str, currency: str) -> str:
        before, after = around(self.money_before, self.money_after, symbol_of(currency, self.locale))
        if text.startswith(MINUS):
            return f"{MINUS}{before}{text.removeprefix(MINUS)}{after}"
        return before + text + after

    def fine_money(self, value: Shown, currency: str = "") -> str:
        """Money with at least four significant digits: the cost of a gram, a piece, a minute."""
        if not isinstance(value, Decimal):
            return UNKNOWN
        code = currency or self.currency
        return self._with_currency(self.fixed(value, _places(value, MINOR_UNITS.get(code, 2))), code)

    def whole_money(self, value: Decimal, currency: str = "") -> str:
        """Money with all of its decimals, six at most: what a sentence compares with another."""
        code, written = currency or self.currency, -int(value.normalize().as_tuple().exponent)
        return self._with_currency(self.fixed(value, max(MINOR_UNITS.get(code, 2), min(6, written))), code)

    def unit_cost(self, value: Shown, by_piece: bool = False) -> str:
        """A cost per gram, as per kg or lb as the workshop likes; of packaging, a cost per piece."""
        if not isinstance(value, Decimal):
            return UNKNOWN
        if by_piece:
            return _beside(self.fine_money(value), "a piece")
        return _beside(self.fine_money(value * MASS[self.mass_unit]), f"per {self.mass_unit}")

    def per_gram(self, value: Shown) -> str:
        """A cost per gram."""
        return _beside(self.fine_money(value), "per g") if isinstance(value, Decimal) else UNKNOWN

    def in_sum(self, value: Shown, kind: str, unit: str = "") -> str:
        """A figure as a step of a sum: two places more than elsewhere where they are not 0: it adds up."""
        if not isinstance(value, Decimal) or kind not in _IN_SUM:
            return self.shown(value, kind, unit)
        code = unit if kind == "money" and unit in MINOR_UNITS else self.currency
        amount = value.scaleb(2) if kind == "percent" else value
        usual = _IN_SUM[kind](amount, MINOR_UNITS.get(code, 2))
        finer = min(MOST_PLACES, usual + 2)
        while finer > usual and half_up(snap(amount), finer) == half_up(snap(amount), finer - 1):
            finer -= 1
        text = self.fixed(amount, finer) if kind in ("money", "unit cost", "percent") else self.trimmed(amount, finer)
        if kind in ("money", "unit cost"):
            return _beside(self._with_currency(text, code), "" if code == unit else unit)
        return _beside(_beside(text, _UNITS.get(kind, "")), unit)

    # --- quantities

    def grams(self, value: Shown) -> str:
        """A mass in grams: two places, and more where it is small."""
        return self._quantity(value, "g")

    def millilitres(self, value: Shown) -> str:
        """A volume in millilitres."""
        return self._quantity(value, "mL")

    def minutes(self, value: Shown) -> str:
        """Minutes, to a hundredth."""
        return self._quantity(value, "min")

    def hours(self, value: Shown) -> str:
        """Hours, to a hundredth."""
        return self._quantity(value, "h")

    def _quantity(self, value: Shown, unit: str) -> str:
        if not isinstance(value, Decimal):
            return UNKNOWN
        return _beside(self.trimmed(value, max(2, _places(value, 0) if abs(value) < 1 else 2)), unit)

    # --- shares

    def percent(self, value: Shown) -> str:
        """A fraction as a percentage, to a tenth: 0.412 is 41.2 %."""
        return _beside(self.fixed(value.scaleb(2), 1), "%") if isinstance(value, Decimal) else UNKNOWN

    def typed_percent(self, value: Shown) -> str:
        """A percentage as it was typed: 45 is 45 %."""
        return _beside(self.trimmed(value, 4), "%") if isinstance(value, Decimal) else UNKNOWN

    def points(self, margin: Shown, target: Shown) -> str:
        """A margin and how far it is from its target (fractions); as many places as show the side it is on."""
        if not isinstance(margin, Decimal):
            return UNKNOWN
        if not isinstance(target, Decimal):
            return self.percent(margin)
        have, want = snap(margin.scaleb(2)), snap(target.scaleb(2))
        goal = self.trimmed(want, MOST_PLACES)
        if have == want:
            return f"{goal}{NBSP}%, just at the target of {goal}"
        places = _places_apart(have, want)
        near = half_up(have, places)
        gap = self.trimmed(abs(want - near), MOST_PLACES)
        side = "short of" if have < want else "above"
        counted = "point" if gap == "1" else "points"
        return f"{self.fixed(near, places)}{NBSP}%, {gap} {counted} {side} {goal}"

    # --- days

    def day(self, value: date | None) -> str:
        """A day as it is written here."""
        return day_of(value, self.locale) if value else UNKNOWN

    def sentence(self, text: str) -> str:
        """A sentence of the core, the day of an order that it begins with as it is written here."""
        return _ORDER_DAY.sub(lambda found: f"{found[1]}{self.day(date.fromisoformat(found[2]))}", text, count=1)

    # --- what the core names

    def shown(self, value: Shown, kind: str, unit: str = "") -> str:
        """A figure by its kind, as `working.Step` names it. Percentages are fractions."""
        if not isinstance(value, Decimal):
            return UNKNOWN
        way = _KINDS.get(kind)
        text = str(getattr(self, way)(value)) if way else self.number(value)
        return _beside(text, unit)


#: how the core begins a sentence about an order; it knows no locale, so its days are ISO 8601
_ORDER_DAY = re.compile(r"\A(On the order of )(\d{4}-\d{2}-\d{2})(?=,)")
_KINDS = {
    "money": "money",
    "unit cost": "fine_money",
    "g": "grams",
    "mL": "millilitres",
    "pieces": "count",
    "minutes": "minutes",
    "percent": "percent",
    "rate": "number",
    "number": "number",
}


def _places(value: Decimal, least: int) -> int:
    """Places that show four significant digits of `value`, and at least `least`."""
    if not value:
        return least
    return min(MOST_PLACES, max(least, SIGNIFICANT - 1 - value.adjusted()))


_UNITS = {"percent": "%", "g": "g", "mL": "mL", "minutes": "min"}


def _places_of_quantity(value: Decimal, minor: int) -> int:
    del minor
    return max(2, _places(value, 0) if abs(value) < 1 else 2)


def _places_of_number(value: Decimal, minor: int) -> int:
    """All of a number that was typed or is defined: an ounce of 29.5735295625 mL is not 29.5735."""
    del minor
    return MOST_PLACES if half_up(value, MOST_PLACES) == value else max(SIGNIFICANT, _places(value, 0))


#: kind -> places that such a figure is usually shown with, of its value and the currency's minor unit
_IN_SUM: dict[str, Callable[[Decimal, int], int]] = {
    "money": lambda _, minor: minor,
    "unit cost": _places,
    "percent": lambda _, __: 1,
    "g": _places_of_quantity,
    "mL": _places_of_quantity,
    "minutes": _places_of_quantity,
    "number": _places_of_number,
    "rate": _places_of_number,
}
FILTERS = (
    "money bare fine_money unit_cost per_gram grams millilitres minutes hours percent typed_percent points count "
    "number day sentence shown in_sum"
).split()


def _beside(text: str, unit: str) -> str:
    return f"{text}{NBSP}{unit}" if unit else text


def _places_apart(have: Decimal, want: Decimal) -> int:
    """The fewest places, one at least, at which the rounded figure stays on its own side of the target."""
    for places in range(1, MOST_PLACES):
        near = half_up(have, places)
        if near != want and (near < want) == (have < want):
            return places
    return MOST_PLACES


@lru_cache(maxsize=64)
def formats_for(locale: str, currency: str, mass_unit: str) -> Formats:
    """The formats of a locale, a currency and a unit of mass."""
    there = locale_of(locale)
    symbols = there.number_symbols["latn"]
    pattern = there.currency_formats["standard"]
    primary, secondary = pattern.grouping
    before, after = (
        part.replace("{", "").replace("}", "").replace("\u00a4", "{}").replace(" ", NBSP)
        for part in (pattern.prefix[0], pattern.suffix[0])
    )
    sign, group = symbols["decimal"], symbols["group"]
    if sign not in (".", ","):  # no other is read where a number is typed, and what is shown has to be typed again
        sign, group = ".", ","
    return Formats(
        str(there),
        currency,
        mass_unit,
        sign,
        {} if (sign, group) == (".", ",") else {ord("."): sign, ord(","): group},
        primary,
        secondary if secondary > 0 else primary,
        before,
        after,
    )


def formats_of(workshop: Workshop) -> Formats:
    """How a workshop writes."""
    return formats_for(workshop.locale, workshop.currency, workshop.mass_unit)


def age(value: date | None, today: date) -> str:
    """How long ago a day was."""
    if value is None:
        return UNKNOWN
    days = (today - value).days
    if days < 1:
        return "today" if days == 0 else "in the future"
    if days < 62:
        return "1 day old" if days == 1 else f"{days} days old"
    months = (today.year - value.year) * 12 + today.month - value.month - (today.day < value.day)
    return f"{months} months old" if months < 24 else f"{months // 12} years old"


# --- the formats of the page that is being rendered

current: ContextVar[Formats] = ContextVar("formats")
