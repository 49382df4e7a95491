"""Facts of the workshop itself: how it writes and reckons, who works, what it pays every month."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeAlias

Id: TypeAlias = int
ZERO = Decimal(0)


WORKSHOP_ID = 1


@dataclass(frozen=True, slots=True)
class Workshop:
    """How this workshop writes and prices; not dated. One record, id 1."""

    id: Id = WORKSHOP_ID
    name: str = "My workshop"
    currency: str = "EUR"
    locale: str = "en_GB"
    mass_unit: str = "kg"  # kg | lb: how unit costs are shown
    basis: str = "latest"  # latest | averaged | dearest
    basis_months: Decimal = Decimal(12)
    stale_months: Decimal = Decimal(12)  # a purchase price older than this is pointed out
    contact: str = ""  # who and where, as it stands on a price list


@dataclass(frozen=True, slots=True)
class Terms:
    """How the workshop reckons from a day on. One record, id 1."""

    id: Id = WORKSHOP_ID
    since: date = date(1990, 1, 1)
    registered: bool = False  # registered for sales tax: tax on purchases is reclaimed
    cost: str = "full"  # full | direct: what a target margin is reckoned on
    target: Decimal = Decimal(40)  # percent
    overhead: str = "hours"  # hours | jars | left out
    making_hours: Decimal | None = None  # planned hours of making a month
    planned_jars: Decimal | None = None  # planned jars a month


@dataclass(frozen=True, slots=True)
class Wage:
    """An hour of a person, in home currency, and the employer's extra on it (percent)."""

    since: date
    per_hour: Decimal
    extra: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who works: `whose` is "own" (the maker's own time) or "hired"."""

    id: Id
    name: str
    whose: str = "own"  # own | hired
    wage: Wage | None = None
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Bill:
    """A monthly overhead bill, in home currency a month."""

    id: Id
    name: str
    since: date
    a_month: Decimal
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Registration:
    """From `since` on the maker is (not) registered for sales tax."""

    since: date
    registered: bool
