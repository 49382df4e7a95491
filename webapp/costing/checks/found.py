"""What a check finds: faults at fields, questions; and the checks that several kinds of record share."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from webapp.costing.amounts import MINOR_UNITS, half_up
from webapp.costing.book import Id
from webapp.costing.limits import Fault, name_key
from webapp.costing.shelves import Shelf


@dataclass(frozen=True, slots=True)
class Question:
    """Something to be sure of: its kind, the field it is about, and a sentence.

    `answer` is what is ticked or sent for it. It is made of the sentence with its figures, so that an answer holds for
    what was read, and not for what is typed afterwards. `pair` is the product and the channel whose price it is about:
    among many prices, where the question belongs.
    """

    code: str
    field: str
    sentence: str
    answer: str = ""
    pair: tuple[Id, Id] | None = None


Found = Iterator[Fault]


def told_apart(asked: Iterable[Question]) -> tuple[Question, ...]:
    """The questions once each, every one with an answer of its own; what two ask in the same words is counted on."""
    found: list[Question] = []
    for one in dict.fromkeys(asked):
        mark = f"{one.code}-{hashlib.sha256(one.sentence.encode()).hexdigest()[:12]}"
        again = sum(other.answer.startswith(mark) for other in found)
        found.append(replace(one, answer=f"{mark}-{again + 1}" if again else mark))
    return tuple(found)


def name_taken(held: Mapping[Id, Any], record: Any) -> Found:
    """A name that another thing of the same kind has, without regard to case, accents' form and spaces."""
    key = name_key(record.name)
    for other in held.called(key) if isinstance(held, Shelf) else held.values():
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
