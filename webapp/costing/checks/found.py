"""What a check finds: faults at fields, questions; and the checks that several kinds of record share."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from webapp.costing.amounts import MINOR_UNITS, half_up
from webapp.costing.book import Id
from webapp.costing.limits import Fault, name_key


@dataclass(frozen=True, slots=True)
class Question:
    """Something to be sure of: a code to answer with, the field it is about, and a sentence."""

    code: str
    field: str
    sentence: str


Found = Iterator[Fault]


def name_taken(held: Mapping[Id, Any], record: Any) -> Found:
    """A name that another thing of the same kind has, without regard to case, accents' form and spaces."""
    key = name_key(record.name)
    for other in held.values():
        if other.id != record.id and name_key(other.name) == key:
            where = " It is retired; bring it back instead." if other.retired else ""
            yield Fault("name", "duplicate", f"There is already one called {other.name}. Choose another name.{where}")
            return


def minor_unit(amount: Decimal | None, currency: str, at: str) -> Found:
    """An invoice amount finer than the currency's minor unit."""
    places = MINOR_UNITS[currency]
    if amount is not None and half_up(amount, places) != amount:
        many = {0: "no decimals", 2: "two decimals", 3: "three decimals"}[places]
        yield Fault(at, "number-decimals", f"An amount in {currency} has {many}. Round it as the invoice does.")


def people_once(work: Iterable[Any], at: str) -> Found:
    """The same person on two lines."""
    seen: set[Id] = set()
    for index, entry in enumerate(work):
        if entry.person in seen:
            yield Fault(
                f"{at}-{index}-person",
                "twice",
                "This person stands here already. Put the minutes on one line.",
            )
        seen.add(entry.person)


def in_words(names: Iterable[str]) -> str:
    """Names as a sentence lists them: at most three, then how many more."""
    every = sorted(set(names))
    if len(every) > 3:
        return ", ".join(every[:3]) + f" and {len(every) - 3} more"
    return ", ".join(every[:-1]) + " and " + every[-1] if len(every) > 1 else every[0]
