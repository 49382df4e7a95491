"""What can be wrong with a batch that was made: what was weighed, and what it filled."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from webapp.costing import book as b
from webapp.costing.amounts import ZERO, plain
from webapp.costing.batches import jar_grams_of
from webapp.costing.book import Book, Id
from webapp.costing.checks.found import Found, Question
from webapp.costing.gaps import Gap
from webapp.costing.limits import Fault


def batch(book: Book, batch: b.MadeBatch) -> Found:
    """A batch: each line one thing that is weighed, something weighed at all, products filled from it, people once."""
    if batch.day > book.day:
        yield Fault("day", "ahead", "This day is still to come. A batch is written down when it was made.")
    for index, line in enumerate(batch.lines):
        yield from _weighed(book, line, f"lines-{index}")
    if not any(line.grams for line in batch.lines):
        yield Fault("lines", "nothing-weighed", "Nothing was weighed. Type the grams of at least one ingredient.")
    for index, filled in enumerate(batch.filled):
        if not _is_filled_from(book, filled.product, batch.formula):
            name = book.formulas[batch.formula].name
            sentence = f"This product is not filled with “{name}”. Choose one that is, or change the product first."
            yield Fault(f"filled-{index}-product", "reference", sentence)
    yield from _once([one.product for one in batch.filled], "filled", "product", "This product stands here already.")
    yield from _once([one.person for one in batch.spent], "spent", "person", "This person stands here already.")


def _weighed(book: Book, line: b.Weighed, at: str) -> Found:
    if (line.material is None) == (line.formula is None):
        yield Fault(f"{at}-material", "required", "Choose an ingredient or a formula for this line, not both.")
    elif line.material is not None and book.materials[line.material].by_piece:
        yield Fault(f"{at}-material", "reference", "This is counted in pieces. Choose what was weighed.")


def _once(ids: Iterable[Id], rows: str, field: str, sentence: str) -> Found:
    seen: set[Id] = set()
    for index, one in enumerate(ids):
        if one in seen:
            yield Fault(f"{rows}-{index}-{field}", "duplicate", f"{sentence} Add the two up in one line.")
        seen.add(one)


def _is_filled_from(book: Book, product: Id, formula: Id) -> bool:
    return any(fill.formula == formula for fill in book.products[product].fills)


def batch_questions(book: Book, batch: b.MadeBatch) -> Iterator[Question]:
    """More in the jars than was weighed is a slip, or jars that were filled short."""
    weighed = sum((line.grams for line in batch.lines), ZERO)
    filled = _filled_grams(book, batch)
    if filled is not None and filled > weighed > 0:
        yield Question(
            "more-than-weighed",
            "filled",
            f"The jars hold {plain(filled)} g and {plain(weighed)} g were weighed in. "
            "Were so many filled, each with less than planned?",
        )


def _filled_grams(book: Book, batch: b.MadeBatch) -> Decimal | None:
    """What the jars take as planned; None where a jar's grams are not known."""
    total = ZERO
    for one in batch.filled:
        for fill in book.products[one.product].fills:
            if fill.formula == batch.formula:
                grams = jar_grams_of(fill, book.formulas[batch.formula])
                if isinstance(grams, Gap):
                    return None
                total += grams * one.jars
    return total
