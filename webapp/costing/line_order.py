"""Parts of the product line, and the orders it can be looked at in: the same for the page and for JSON."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal

from webapp.costing.book import Id
from webapp.costing.gaps import Figure
from webapp.costing.rows import Row

NAME, MARGIN, JARS = "name", "margin", "jars"
#: what the line is sorted by, beside the name -> the figure of a row; a margin by its distance from the target
FIGURES: dict[str, Callable[[Row], Figure | None]] = {
    "price": lambda row: row.price,
    "cost": lambda row: row.cost,
    "left": lambda row: row.contribution,
    "hundred": lambda row: row.per_100_g,
    "hour": lambda row: row.per_labour_hour,
    MARGIN: lambda row: row.distance,
    JARS: lambda row: row.jars_a_month,
}
SORTS = (NAME, *FIGURES)
#: a part of the line -> whether a row is in it
PARTS: dict[str, Callable[[Row], bool]] = {
    "below": lambda row: row.reaches is False,
    "unpriced": lambda row: not row.accepted,
    "missing": lambda row: row.gap is not None,
}


def part_of(rows: Sequence[Row], only: str = "", channel: Id | None = None) -> list[Row]:
    """The rows of one part (a key of `PARTS`; "" all of them) and of one channel."""
    inside = PARTS.get(only)
    return [row for row in rows if (channel is None or row.channel == channel) and (inside is None or inside(row))]


def sorted_by(rows: list[Row], sort: str = NAME, *, down: bool = False) -> list[Row]:
    """By one of `SORTS`; what is not known comes last either way. `rows` come by name already."""
    if sort == NAME:
        return rows[::-1] if down else rows
    figures = [(FIGURES[sort](row), row) for row in rows]
    known = [(figure, row) for figure, row in figures if isinstance(figure, Decimal)]
    missing = [row for figure, row in figures if not isinstance(figure, Decimal)]
    return [row for _, row in sorted(known, key=lambda pair: pair[0], reverse=down)] + missing
