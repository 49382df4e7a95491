"""How figures are written in what is said of a maker's own sheets: plainly, or as the one who reads them writes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from webapp.costing.amounts import plain


def _plain_money(value: Decimal, currency: str) -> str:
    return f"{plain(value)} {currency}"


@dataclass(frozen=True, slots=True)
class Written:
    """A number, an amount of money with its currency (a code), and a day as words; a page gives its workshop's way."""

    number: Callable[[Decimal], str] = plain
    money: Callable[[Decimal, str], str] = _plain_money
    day: Callable[[date], str] = date.isoformat
    signs: Mapping[str, Sequence[str]] = field(default_factory=dict)
    """The signs of currencies as they are written there, each with the codes of whose it is."""
