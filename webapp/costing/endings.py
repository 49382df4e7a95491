"""How a price may end: .00 .50 .95 .99, or a step, in the currency's minor unit (method.md section 5)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO, minor_places, snap, unit_of

MOST_WHOLE_DIGITS = 4


@dataclass(frozen=True, slots=True)
class Endings:
    """The prices allowed: `ends`, from the lowest, above every whole multiple of `every`; one pair for each length.

    ".95 .99" is every 1 with the ends 0.95 and 0.99; a step of 0.05 is every 0.05 with the end 0.
    """

    allowed: tuple[tuple[Decimal, tuple[Decimal, ...]], ...]


@dataclass(frozen=True, slots=True)
class Unusable:
    """Why endings can't be used: the field ("endings" or "step") and a sentence that says what to type."""

    field: str
    sentence: str


def every_minor_unit(currency: str) -> Endings:
    """Every amount that can be paid in the currency: 0.01 in euros, 1 in yen, 0.001 in dinars."""
    return Endings(((unit_of(minor_places(currency)), (ZERO,)),))


def read_endings(text: str, step: Decimal | None, currency: str) -> Endings | Unusable:
    """The endings typed as `text` (".00 .50"), else the `step`, else every minor unit of `currency`.

    Named endings win over a step. In a currency without decimals an ending is written as whole digits ("80").
    """
    words = [word.rstrip(",;") for word in text.split()]
    if words:
        return _from_words([word for word in words if word], minor_places(currency))
    if step is None:
        return every_minor_unit(currency)
    smallest = unit_of(minor_places(currency))
    if step <= 0 or step % smallest:
        return Unusable("step", f"Prices in {currency} move by {smallest}. Type a step that is a multiple of it.")
    return Endings(((step, (ZERO,)),))


def _from_words(words: list[str], places: int) -> Endings | Unusable:
    ends: dict[Decimal, set[Decimal]] = {}
    pattern = rf"([0-9]{{0,{MOST_WHOLE_DIGITS}}})[.,]([0-9]{{1,{places}}})" if places else r"([0-9]{1,4})()"
    for word in words:
        found = re.fullmatch(pattern, word, re.ASCII)
        if not found:
            example = ".00 .50 .95" if places else "0 50 80"
            return Unusable("endings", f"One of the endings can't be used. Write them like this: {example}.")
        whole, decimals = found.groups()
        ends.setdefault(ONE.scaleb(len(whole)), set()).add(Decimal(f"{whole or 0}.{decimals or 0}"))
    return Endings(tuple((every, tuple(sorted(ends[every]))) for every in sorted(ends)))


def next_ending(price: Decimal, endings: Endings) -> Decimal:
    """The lowest allowed price at or above `price` (snapped to 12 places first) and above zero."""
    snapped = snap(price)
    if len(endings.allowed) == 1:  # nearly always, and asked for every row of the line
        every, ends = endings.allowed[0]
        return _next(snapped, every, ends)
    return min(_next(snapped, every, ends) for every, ends in endings.allowed)


def _next(price: Decimal, every: Decimal, ends: tuple[Decimal, ...]) -> Decimal:
    beyond = price % every
    base = price - beyond
    for end in ends:
        if end >= beyond:
            moved = base + end
            if moved > ZERO:
                return moved
    return base + every + ends[0]
