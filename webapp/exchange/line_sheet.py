"""The product line as a sheet: the columns of its page, one figure to a cell, and why a figure is missing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal

from webapp.costing.amounts import HUNDRED, half_up, minor_places, snap
from webapp.costing.book import Book
from webapp.costing.gaps import Figure, Gap
from webapp.costing.rows import Row
from webapp.exchange.sheets import NUMBER, Cell, Column, Sheet

_FigureOf = Callable[[Row], Figure | None]
#: figures in money: key, head, where it is in a row
MONEY: tuple[tuple[str, str, _FigureOf], ...] = (
    ("price", "Price", lambda row: row.price),
    ("price_per_100_g", "Price per 100 g", lambda row: row.price_per_100_g),
    ("price_per_100_ml", "Price per 100 mL", lambda row: row.price_per_100_ml),
    ("cost", "Cost", lambda row: row.cost),
    ("contribution", "Contributes a jar before overhead", lambda row: row.contribution),
    ("per_100_g", "Contributes per 100 g", lambda row: row.per_100_g),
    ("per_100_ml", "Contributes per 100 mL", lambda row: row.per_100_ml),
    ("per_labour_hour", "Contributes an hour", lambda row: row.per_labour_hour),
)
#: what a margin is written with; whether it reaches its target is a column of its own, so no rounding can hide it
_PERCENT_PLACES = 2
_REACHES = {True: "yes", False: "no", None: ""}


def sheet_of(book: Book, rows: Iterable[Row], above: tuple[str, ...], paper: str) -> Sheet:
    """These rows in their order. Money is to the smallest coin, as on the page; what is not known is an empty cell."""
    places, currency = minor_places(book.workshop.currency), book.workshop.currency
    columns = (
        Column("product", "Product", width=34),
        Column("channel", "Channel", width=22),
        Column("standing", "Price is"),
        *(Column(key, head, NUMBER, currency, places) for key, head, _ in MONEY),
        Column("margin", "Margin", NUMBER, "%", _PERCENT_PLACES),
        Column("target", "Target", NUMBER, "%", _PERCENT_PLACES),
        Column("reaches", "Reaches its target"),
        Column("jars_a_month", "Jars a month", NUMBER),
        Column("missing", "Not known, because", width=60),
    )
    table = tuple(_row(book, row, places) for row in rows)
    return Sheet("The line", columns, table, above, (), book.day, paper, landscape=True)


def _row(book: Book, row: Row, places: int) -> tuple[Cell, ...]:
    figures = [figure_of(row) for _, _, figure_of in MONEY]
    return (
        book.products[row.product].name,
        book.channels[row.channel].name,
        "accepted" if row.accepted else "suggested",
        *(_rounded(figure, places) for figure in figures),
        _percent(row.margin),
        _percent(row.target),
        _REACHES[row.reaches],
        row.jars_a_month,
        _reasons([*figures, row.margin]),
    )


def _rounded(figure: Figure | None, places: int) -> Decimal | None:
    return half_up(snap(figure), places) if isinstance(figure, Decimal) else None


def _percent(figure: Figure) -> Decimal | None:
    return _rounded(figure * HUNDRED, _PERCENT_PLACES)


def _reasons(figures: Iterable[Figure | None]) -> str:
    """Every reason once."""
    return " ".join(dict.fromkeys(figure.reason for figure in figures if isinstance(figure, Gap)))
