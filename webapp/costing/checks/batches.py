"""What can be wrong with a batch that was made: what was weighed, and what it filled."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from webapp.costing import book as b
from webapp.costing.amounts import ZERO, plain
from webapp.costing.book import Book, Id
from webapp.costing.checks.found import Found, Question
from webapp.costing.limits import Fault
from webapp.costing.made_batches import aside_of, filled_grams, is_filled_from


def batch(book: Book, batch: b.MadeBatch) -> Found:
    """A batch: each line one thing that is weighed, something weighed at all, products filled from it, people once."""
    if batch.day > book.day:
        yield Fault("day", "ahead", "This day is still to come. A batch is written down when it was made.")
    for index, line in enumerate(batch.lines):
        yield from _weighed(book, line, f"lines-{index}")
    if not any(line.grams for line in batch.lines):
        yield Fault("lines", "nothing-weighed", "Nothing was weighed. Type the grams of at least one ingredient.")
    for index, filled in enumerate(batch.filled):
        if not is_filled_from(book.products[filled.product], batch.formula):
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


def batch_questions(book: Book, batch: b.MadeBatch) -> Iterator[Question]:
    """More in the jars than was weighed is a slip, or jars that were filled short."""
    weighed = sum((line.grams for line in batch.lines), ZERO)
    filled = filled_grams(book, batch)
    if isinstance(filled, Decimal) and filled > weighed > 0:
        aside = any(aside_of(book, batch, one.product) for one in batch.filled)
        held = f"The jars hold {plain(filled)} g, those set aside too," if aside else f"The jars hold {plain(filled)} g"
        yield Question(
            "more-than-weighed",
            "filled",
            f"{held} and {plain(weighed)} g were weighed in. Were so many filled, each with less than planned?",
        )
