"""Prices below their target that somebody keeps knowingly: with a reason, and in sight of what was suggested then.

As long as nothing more is suggested than was then, nothing about it is new. Once more is, it needs the maker again.
"""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import snap
from webapp.costing.book import Book, Price
from webapp.costing.rows import Row


def kept_knowingly(book: Book, row: Row) -> Price | None:
    """The decision that keeps a row's price below its target; None where it is none, or where more is suggested now."""
    price = book.prices.get((row.product, row.channel))
    if price is None or row.reaches is not False or not price.why or price.suggested is None:
        return None
    if price.suggested <= price.amount or not isinstance(row.suggested, Decimal):
        return None
    return price if snap(row.suggested) <= snap(price.suggested) else None
