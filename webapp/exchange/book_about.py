"""The sheet that documents the others: what each column is, in what unit, whether it is needed, and an example."""

from __future__ import annotations

from collections.abc import Iterator

from webapp.costing import limits as lim
from webapp.exchange.book_rows import FORMAT, VERSION, Document
from webapp.exchange.book_sheets import BookSheet, Column, main_sheet, sheets

TITLE, KEY = "About", "about"
HEADS = ("Sheet", "Column", "Unit", "Needed", "Example", "Names a row of", "What stands there")
#: what is told of the whole before the columns
FORMAT_IS, VERSION_IS, MADE_ON, CURRENCY_IS, SIGN_IS = "Format", "Version", "Made on", "Currency", "Decimal sign"
NOTES = (
    "Everything that holds, with the days from which it holds. What was corrected, withdrawn or undone is not in it.",
    "Rows are matched by their names, without regard to capitals. What a file leaves out stays as it is.",
    "An empty cell says that there is nothing; a column that is not there says nothing.",
    "Days are year-month-day. Yes or no is written as yes or no.",
)


def rows(document: Document, sign: str) -> Iterator[tuple[str, ...]]:
    """The sheet, row by row."""
    yield (FORMAT_IS, FORMAT)
    yield (VERSION_IS, str(VERSION))
    yield (MADE_ON, document.made_on.isoformat() if document.made_on else "")
    yield (CURRENCY_IS, document.currency)
    yield (SIGN_IS, sign)
    yield ()
    yield from ((note,) for note in NOTES)
    yield ()
    yield HEADS
    for one in sheets():
        yield (one.title, "", "", "", "", "", one.about)
        yield from (described(one, column, document.currency) for column in one.columns)


def described(one: BookSheet, column: Column, currency: str) -> tuple[str, ...]:
    """One column as the sheet says it."""
    needed = "yes" if column.required else ""
    refers = main_sheet(column.refers).title if column.refers else ""
    return (one.title, column.title, unit(one, column, currency), needed, column.example, refers, what(column))


def unit(one: BookSheet, column: Column, currency: str) -> str:
    """The unit of a column; of money, the currency that it is in."""
    if isinstance(column.kind, lim.Number) and column.kind.money and not column.unit:
        return "the currency of its row" if one.kind in ("order", "quote") else currency or "the workshop's currency"
    return column.unit


def what(column: Column) -> str:
    """What the cells of a column are, with their limits."""
    kind = column.kind
    if isinstance(kind, lim.Number):
        return f"a number, {kind.low} to {kind.high}, at most {kind.places} decimals"
    if isinstance(kind, lim.Choice):
        return "one of: " + ", ".join(option or "(empty)" for option in kind.options)
    if isinstance(kind, lim.Reference) or column.refers:
        return "a name"
    if isinstance(kind, lim.Text):
        return f"a text of at most {kind.length} characters"
    return {lim.Day: "a day", lim.Flag: "yes or no", lim.Currency: "three letters (ISO 4217)"}.get(type(kind), "")
