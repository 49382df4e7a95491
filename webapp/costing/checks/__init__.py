"""What can be wrong with a record beside the rest of the book: references, sums, loops, depth, names, units.

Faults are errors at a field. Questions are things that are possible but rare: the person says that she is sure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from webapp.costing import book as b
from webapp.costing.book import Book, Id
from webapp.costing.checks import batches, buying, jars, making, selling, workshop
from webapp.costing.checks.found import Found, Question, told_apart
from webapp.costing.checks.undercutting import undercut_questions
from webapp.costing.checks.using import in_use, users_of
from webapp.costing.describing import Many, Part, Rows, Shape
from webapp.costing.limits import Fault, Reference
from webapp.costing.shapes import SHAPES

__all__ = ["Faults", "Question", "faults_of", "in_use", "questions_of", "told_apart", "undercut_questions", "users_of"]

Faults = tuple[Fault, ...]


def faults_of(book: Book, record: b.Record) -> Faults:
    """Every fault of `record` beside `book`; empty when it can be kept."""
    shape = SHAPES[_kind(record)]
    references = (*_missing_references(book, record, shape, ""), *_missing_owners(book, record, shape))
    if references:
        return references
    return tuple(_CHECKS[type(record)](book, record))


def questions_of(book: Book, record: b.Record) -> tuple[Question, ...]:
    """What must be confirmed before `record` is kept."""
    ask = _QUESTIONS.get(type(record))
    return tuple(ask(book, record)) if ask else ()


def _kind(record: Any) -> str:
    return next(kinds[type(record)][0] for kinds in (b.SHELVES, b.PAIRS, b.ABOUT) if type(record) in kinds)


def _missing_references(book: Book, record: Any, shape: Shape, path: str) -> Found:
    for field in shape.fields:
        value = getattr(record, field.name)
        at = f"{path}{field.name}"
        if value is None:
            continue
        if isinstance(field.kind, Reference):
            yield from _reference(book, field.kind, value, at)
        elif isinstance(field.kind, Many):
            for index, one in enumerate(value):
                yield from _reference(book, field.kind.kind, one, f"{at}-{index}")
        elif isinstance(field.kind, Part):
            yield from _missing_references(book, value, field.kind.shape, f"{at}-")
        elif isinstance(field.kind, Rows):
            for index, row in enumerate(value):
                yield from _missing_references(book, row, field.kind.shape, f"{at}-{index}-")


def _missing_owners(book: Book, record: Any, shape: Shape) -> Found:
    """A fact about something else needs that."""
    for given in shape.given:
        if given != "id":
            yield from _reference(book, Reference(given), getattr(record, given), given)


def _reference(book: Book, kind: Reference, value: Id, at: str) -> Found:
    shelf = b.SHELVES[b.KINDS[kind.kind]][1]
    if value not in getattr(book, shelf):
        yield Fault(at, "reference", "Choose one from the list; this one isn't there.")


_CHECKS: dict[type[Any], Callable[[Book, Any], Found]] = {
    b.Workshop: workshop.workshop,
    b.Terms: workshop.terms,
    b.Person: workshop.person,
    b.Bill: workshop.bill,
    b.Supplier: workshop.supplier,
    b.Material: buying.material,
    b.Quote: buying.quote,
    b.Order: buying.order,
    b.Formula: making.formula,
    b.PartGroup: jars.group,
    b.Product: jars.product,
    b.MadeBatch: batches.batch,
    b.Channel: selling.channel,
    b.Price: selling.price,
    b.Target: selling.nothing,
    b.Sales: selling.nothing,
    b.Review: buying.review,
}
_QUESTIONS: dict[type[Any], Callable[[Book, Any], Iterator[Question]]] = {
    b.MadeBatch: batches.batch_questions,
    b.Order: buying.order_questions,
    b.PartGroup: jars.group_questions,
    b.Product: jars.product_questions,
    b.Channel: selling.channel_questions,
    b.Price: selling.price_questions,
}
