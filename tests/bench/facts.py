"""What is said of a run before its figures: facts, a checksum of all costs, agreement with exact fractions."""

from __future__ import annotations

import hashlib
import os
import platform
import sqlite3
from decimal import Decimal
from fractions import Fraction

from tests.agreement import typed
from tests.reckoning import Line
from tests.reckoning_buying import Gap as NoFigure
from tests.sized_books import sized
from webapp.costing.amounts import half_up
from webapp.costing.book import Book
from webapp.costing.reckoning import Reckoning


def load() -> str:
    """How busy the machine is, over one minute."""
    return f"{os.getloadavg()[0]:.2f}" if hasattr(os, "getloadavg") else "not told here"


def versions() -> str:
    """What runs it."""
    return f"{platform.python_implementation()} {platform.python_version()}, SQLite {sqlite3.sqlite_version}"


def checksum(book: Book) -> str:
    """Of all costs and prices to 12 places: it must not change unless the rules do."""
    found = hashlib.sha256()
    for row in Reckoning(book).line():
        figures = (row.cost, row.sheet.full, row.suggested, row.net, row.profit)
        shown = [str(half_up(one, 12)) if isinstance(one, Decimal) else "-" for one in figures]
        found.update(f"{row.product} {row.channel} {' '.join(shown)}\n".encode())
    return found.hexdigest()[:16]


def agreement() -> str:
    """Every price and jar count of the small workshop against exact fractions."""
    book = sized("S")
    known, exact = Reckoning(book), Line(typed(book), book.day)
    apart = looked = 0
    for row in known.line():
        pair = (row.product, row.channel)
        looked += 2
        apart += not _same(row.suggested, exact.suggested, *pair)
        apart += not _same(row.sheet.fills[0].jars, exact.jars, row.product, 0)
    return f"agreement: {looked} prices and jar counts against exact fractions, {apart} differ"


def _same(figure: object, ask: object, *of: int) -> bool:
    try:
        wanted: Fraction | None = ask(*of)  # type: ignore[operator]
    except NoFigure:
        wanted = None
    return Fraction(figure) == wanted if isinstance(figure, Decimal) else wanted is None
