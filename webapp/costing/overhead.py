"""The month's bills, and how much of them a jar bears (method.md section 4). Home currency."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Protocol

from webapp.costing.amounts import ZERO
from webapp.costing.book import Book, Product
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.labour import HOUR

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class Retirable(Protocol):
    """A thing that can be retired from a day on."""

    @property
    def retired(self) -> date | None:
        """The day from which it is retired."""


def is_living(book: Book, record: Retirable) -> bool:
    """Whether a thing is not retired on the book's day."""
    return record.retired is None or record.retired > book.day


def monthly_overhead(book: Book) -> Decimal:
    """The bills of a month; one retired on or before the book's day is out. No bill at all is 0."""
    return sum((bill.a_month for bill in book.bills.values() if is_living(book, bill)), ZERO)


def overhead_share(known: Reckoning, product: Product, minutes: Figure) -> Figure:
    """What a jar bears of the month by its minutes of making, or equally; the shares of a set's members not in it."""
    terms = known.book.terms
    if terms.overhead == "left out" or not known.overhead:
        return ZERO
    if terms.overhead == "jars":
        return ZERO if product.members else known.overhead_a_jar
    if isinstance(minutes, Gap):
        return minutes
    if known.making_minutes is None:
        return Gap(
            "The monthly bills can't be shared out yet: type how many hours of making you plan a month.",
            Ref("terms", terms.id, "making_hours"),
        )
    return minutes * known.overhead / known.making_minutes


def making_minutes(book: Book) -> Decimal | None:
    """Minutes of making that are planned a month, if that is said."""
    return None if book.terms.making_hours is None else HOUR * book.terms.making_hours


def overhead_a_jar(book: Book, overhead: Decimal) -> Figure:
    """The month's bills equally over the planned jars."""
    if book.terms.planned_jars is None:
        return Gap(
            "The monthly bills can't be shared out yet: type how many jars you plan a month.",
            Ref("terms", book.terms.id, "planned_jars"),
        )
    return overhead / book.terms.planned_jars
