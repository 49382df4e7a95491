"""What was decided about selling prices while looking at what a change does: a new one taken, or the old one kept.

Read from forms and JSON by one shape. A price keeps why it was set, and what was suggested and the floor then.
One that is kept knowingly is decided anew at the same amount: its reason stands in the history like that of any other.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from webapp.costing.amounts import ZERO, Notation
from webapp.costing.book import Book, Id, Price
from webapp.costing.changes import Put
from webapp.costing.checks.found import minor_unit
from webapp.costing.describing import Field, Shape
from webapp.costing.entry import read
from webapp.costing.gaps import Figure
from webapp.costing.limits import MONEY, SHORT, Choice, Fault, Reference
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row

LEAVE, TAKE, KEEP = "", "take", "keep"
ANSWERS = (LEAVE, TAKE, KEEP)


@dataclass(frozen=True, slots=True)
class Decision:
    """One answer about the price of a product on a channel; `amount` is the price taken, in home currency."""

    product: Id
    channel: Id
    answer: str = LEAVE
    amount: Decimal | None = None
    why: str = ""


DECISION = Shape(
    Decision,
    (
        Field("product", Reference("product"), True, "Say which product."),
        Field("channel", Reference("channel"), True, "Say which channel."),
        Field("answer", Choice(ANSWERS)),
        Field("amount", MONEY),
        Field("why", SHORT),
    ),
)


@dataclass(frozen=True, slots=True)
class Decided:
    """The answers that could be read, by pair, and the faults of the others ("prices-3-amount")."""

    by_pair: Mapping[tuple[Id, Id], Decision]
    faults: tuple[Fault, ...] = ()


def decided(book: Book, typed: Sequence[Any], notation: Notation, today: date) -> Decided:
    """Answers as they were typed, one a row. A row that is left as it is has no faults."""
    found: dict[tuple[Id, Id], Decision] = {}
    faults: list[Fault] = []
    for number, row in enumerate(typed):
        if not isinstance(row, Mapping) or row.get("answer", LEAVE) == LEAVE:
            continue
        at = f"prices-{number}"
        entry = read(DECISION, row, notation, today=today)
        wrong = list(entry.faults) if entry.record is None else list(_wrong(book, entry.record, found))
        if wrong:
            faults += [Fault(f"{at}-{fault.field}", fault.code, fault.sentence) for fault in wrong]
        else:
            found[entry.record.product, entry.record.channel] = entry.record
    return Decided(found, tuple(faults))


def _wrong(book: Book, one: Decision, others: Mapping[tuple[Id, Id], Decision]) -> Iterable[Fault]:
    if one.product not in book.products or one.channel not in book.channels:
        yield Fault("product", "reference", "That product or channel isn't there any more.")
    elif (one.product, one.channel) in others:
        yield Fault("product", "repeated", "The price of this product on this channel is decided twice.")
    if one.answer == TAKE and one.amount is None:
        yield Fault("amount", "required", "Type the new price, or leave it as it is.")
    elif one.answer == TAKE and one.amount is not None:
        yield from minor_unit(one.amount, book.workshop.currency, "amount")
    elif (one.product, one.channel) not in book.prices:
        yield Fault("answer", "choice", "No price is accepted yet that could be kept. Take one, or leave it.")
    elif not one.why:
        yield Fault("why", "required", "Say in a word or two why it is kept.")


def puts(known: Reckoning, decisions: Iterable[Decision], day: date, why: str = "") -> tuple[Put, ...]:
    """What keeps the answers, from `day` on; `why` stands where nothing else was typed.

    `known` is the reckoning after the change, so that the floor and the suggestion kept are those that were looked at.
    """
    return tuple(Put(_price(known, one, day, why)) for one in decisions)


def _price(known: Reckoning, one: Decision, day: date, why: str) -> Price:
    pair = (one.product, one.channel)
    amount = known.book.prices[pair].amount if one.answer == KEEP else one.amount or ZERO
    return with_reasons(Price(*pair, day, amount, one.why or why), known.row(*pair))


def with_reasons(price: Price, row: Row) -> Price:
    """The price with what was suggested and the floor when it was decided."""
    return replace(price, floor=_known(row.floor), suggested=_known(row.suggested))


def _known(figure: Figure) -> Decimal | None:
    return figure if isinstance(figure, Decimal) else None


def with_prices(book: Book, decisions: Iterable[Decision], day: date) -> Book:
    """The book as if the prices taken held already."""
    taken = {
        (one.product, one.channel): Price(one.product, one.channel, day, one.amount)
        for one in decisions
        if one.answer == TAKE and one.amount is not None
    }
    return replace(book, prices={**book.prices, **taken}) if taken else book


def take_suggested(known: Reckoning, rows: Iterable[Row], day: date) -> dict[tuple[Id, Id], Decision]:
    """The suggested price of every row that has another, or none accepted yet.

    Wholesale first: what a stockist pays may raise what the own shops ask.
    """
    found: dict[tuple[Id, Id], Decision] = {}
    every, now = tuple(rows), known
    for retail in (False, True):
        if retail and found:
            now = Reckoning(with_prices(known.book, found.values(), day), known)
        for row in every:
            suggested = now.row(row.product, row.channel).suggested
            if row.terms.retail is retail and asks(row, suggested):
                found[row.product, row.channel] = Decision(row.product, row.channel, TAKE, suggested)  # type: ignore[arg-type]
    return found


def asks(row: Row, suggested: Figure) -> bool:
    """Whether another price than the present one is suggested, or none is accepted yet."""
    return isinstance(suggested, Decimal) and (not row.accepted or suggested != row.price)
