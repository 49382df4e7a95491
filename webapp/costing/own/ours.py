"""What a person says of her workshop beside her first sheets: which money is her own, and that she gets tax back.

Only while the book is empty: what is there was reckoned with what holds. It is kept with the sheets, in one change.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from webapp.costing.book import Book
from webapp.costing.changes import Change, Put, apply_all

if TYPE_CHECKING:
    from webapp.costing.own.reading import Choices, OwnReading

MONEY, REGISTERED = "money", "registered"


def is_empty(book: Book) -> bool:
    """Whether nothing has been entered yet that costs anything."""
    return not (book.suppliers or book.materials or book.orders or book.formulas or book.products or book.prices)


def with_ours(book: Book, money: str, registered: str) -> tuple[Book, tuple[Change, ...]]:
    """The book with what was said of the workshop, and the changes for that; as it is where they can't be made."""
    changes: list[Change] = []
    if is_empty(book) and money not in ("", book.workshop.currency):
        changes.append(Put(replace(book.workshop, currency=money)))
    if is_empty(book) and registered == "yes" and not book.terms.registered:
        changes.append(Put(replace(book.terms, registered=True)))
    after = apply_all(book, changes)
    return (after, tuple(changes)) if isinstance(after, Book) else (book, ())


def ours_asked(book: Book, found: OwnReading, choices: Choices) -> frozenset[str]:
    """What of the workshop may be said beside the sheets: its money, where another is there, and tax."""
    if not is_empty(book):
        return frozenset()
    money = (MONEY,) if found.currencies or choices.money not in ("", book.workshop.currency) else ()
    return frozenset((*money, *((REGISTERED,) if says_tax(found) and not book.terms.registered else ())))


def says_tax(found: OwnReading) -> bool:
    """Whether prices of the sheets come with tax or a rate of it, so that it counts whether it is got back."""
    rows = [one.said.row for one in found.materials]
    columns: Sequence[str] = [role for layout in found.layouts for role in layout.roles]
    return "tax_rate" in columns or any(row.tax_rate or row.tax_in is not None for row in rows)
