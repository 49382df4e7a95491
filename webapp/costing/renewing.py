"""Prices that were looked at again: each still right as of today, or a new one for a pack; read and made into changes.

A new price of what was bought before is a quote of its last supplier that is chosen as the price while it is valid
(method.md section 2: a starting price counts only until something is bought). Without a purchase it is the starting
price, which has no day of its own: that it was typed today is a review.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from webapp.costing.amounts import Notation
from webapp.costing.book import Book, Id, Quote, Review, StartingPrice
from webapp.costing.changes import Put, apply_all
from webapp.costing.describing import Field, Shape
from webapp.costing.entry import read
from webapp.costing.gaps import Figure, Gap, Ref, from_known, surely
from webapp.costing.limits import MONEY, SHORT, Choice, Fault, Reference
from webapp.costing.orders import LandedLine
from webapp.costing.purchases import months_before
from webapp.costing.quantities import usable
from webapp.costing.reckoning import Reckoning

LEAVE, STILL, NEW = "", "still right", "new price"
ANSWERS = (LEAVE, STILL, NEW)
NEW_QUOTE = -1


@dataclass(frozen=True, slots=True)
class Answer:
    """What was found about one price; `price` is for one pack, in home currency, with everything."""

    material: Id
    answer: str = LEAVE
    price: Decimal | None = None
    reason: str = ""


ANSWER = Shape(
    Answer,
    (
        Field("material", Reference("material"), True, "Say which material."),
        Field("answer", Choice(ANSWERS)),
        Field("price", MONEY),
        Field("reason", SHORT),
    ),
)


class Pack(NamedTuple):
    """What a price is for: so much of a unit; `line` is the newest purchase, None for a starting price."""

    size: Decimal
    unit: str
    line: LandedLine | None


def pack_of(known: Reckoning, material: Id) -> Pack | None:
    """The pack in which a material was bought last, or the unit of its starting price; None where it has neither."""
    bought = known.purchases(material)
    if bought:
        line = known.landed_line(*bought[-1])
        return Pack(line.line.size, line.line.unit, line)
    starting = known.book.materials[material].starting
    return None if starting is None else Pack(Decimal(1), starting.unit, None)


def with_everything(known: Reckoning, material: Id, pack: Pack) -> Figure:
    """What a pack cost with its share of freight and charges when it was bought last; or the starting price."""
    held = known.book.materials[material]
    if pack.line is None:
        return held.starting.amount if held.starting else Gap("It has no price yet.")
    quantity = usable(held, pack.size, pack.unit, Ref("material", material, "density"))
    return from_known(lambda cost, of: cost * of, pack.line.unit_cost, quantity)


class Answered(NamedTuple):
    """The answers that could be read, and the faults of the others ("checks-3-price")."""

    answers: tuple[Answer, ...]
    faults: tuple[Fault, ...]


def answered(known: Reckoning, typed: Sequence[Any], notation: Notation, prefix: str = "checks") -> Answered:
    """Answers as they were typed, one a row. A row that is left with nothing typed in it says nothing."""
    found: dict[Id, Answer] = {}
    faults: list[Fault] = []
    for number, row in enumerate(typed):
        if not isinstance(row, Mapping) or not any(str(row.get(name) or "").strip() for name in ("answer", "price")):
            continue
        entry = read(ANSWER, row, notation, today=known.book.day)
        one: Answer | None = entry.record
        wrong = entry.faults if one is None else tuple(_wrong(known, one, found))
        faults += [Fault(f"{prefix}-{number}-{fault.field}", fault.code, fault.sentence) for fault in wrong]
        if one is not None and not wrong:
            found[one.material] = one
    return Answered(tuple(found.values()), tuple(faults))


def _wrong(known: Reckoning, one: Answer, others: Mapping[Id, Answer]) -> Iterable[Fault]:
    if one.material not in known.book.materials or pack_of(known, one.material) is None:
        yield Fault("answer", "reference", "This price isn't there any more. Load the page again.")
    elif one.material in others:
        yield Fault("answer", "repeated", "This price is answered twice.")
    elif one.answer == NEW and one.price is None:
        yield Fault("price", "required", "Type the new price, or leave it as it is.")
    elif one.answer == NEW and not one.price:
        yield Fault("price", "number-range", "What is bought for nothing sets no price. Type what it costs.")
    elif one.answer != NEW and one.price is not None:
        yield Fault("answer", "choice", "A price is typed here. Choose “a new price”, or empty the field.")
    else:
        after = apply_all(known.book, _puts(known, one, NEW_QUOTE))
        yield from () if isinstance(after, Book) else (Fault("price", at.code, at.sentence) for at in after)


def puts(known: Reckoning, answers: Iterable[Answer]) -> tuple[Put, ...]:
    """What keeps the answers, dated on the book's day."""
    return tuple(put for number, one in enumerate(answers, 1) for put in _puts(known, one, -number))


def _puts(known: Reckoning, one: Answer, quote: Id) -> tuple[Put, ...]:
    book, material = known.book, known.book.materials[one.material]
    if one.answer == STILL:
        return (Put(Review(one.material, book.day, STILL, one.reason)),)
    pack, price = surely(pack_of(known, one.material)), surely(one.price)
    if pack.line is None:
        starting = replace(material, starting=StartingPrice(price, pack.unit))
        return Put(starting), Put(Review(one.material, book.day, STILL, one.reason))
    made = _quote(book, one, price, pack.line, quote)
    return Put(made), Put(replace(material, quote=made.id))


def _quote(book: Book, one: Answer, price: Decimal, line: LandedLine, number: Id) -> Quote:
    supplier = book.orders[line.order].supplier
    pack, until = line.line, valid_until(book)
    currency = book.workshop.currency
    return Quote(
        number, one.material, supplier, book.day, until, pack.size, pack.unit, price, currency, None, one.reason
    )  # fmt: skip


def valid_until(book: Book) -> date:
    """The last day on which a new price counts before it has to be looked at again."""
    return months_before(book.day, -book.workshop.stale_months)
