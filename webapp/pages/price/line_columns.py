"""The columns of the line: which there are, which are usual, and a row's figures in them as texts."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from webapp.costing.gaps import Figure, Gap
from webapp.costing.line_order import FIGURES, JARS, MARGIN, NAME
from webapp.costing.rows import Row
from webapp.pages import addresses
from webapp.pages.rendering import Desk
from webapp.pages.symbols import symbol_of

MONEY, SHARE, NUMBER = "money", "percent", "number"
#: column of a figure that is sorted by, too -> heading, unit, how it is written
COLUMNS: dict[str, tuple[str, str, str]] = {
    "price": ("Price", "", MONEY),
    "net": ("Net of tax", "", MONEY),
    "cost": ("Cost", "", MONEY),
    "fees": ("What selling costs", "", MONEY),
    "profit": ("Left of a jar", "", MONEY),
    "before_pay": ("Margin before own pay", "", SHARE),
    "target": ("Target", "", SHARE),
    "markup": ("Markup", "on cost and fees", SHARE),
    "left": ("Contributes", "a jar before overhead", MONEY),
    "hundred": ("Contributes", "per 100 g", MONEY),
    "hundred_ml": ("Contributes", "per 100 mL", MONEY),
    "hour": ("Contributes", "an hour", MONEY),
    "price_hundred": ("Price", "per 100 g", MONEY),
    "cost_hundred": ("Cost", "per 100 g", MONEY),
    "net_month": ("Net sales", "a month", MONEY),
    "month": ("Left", "a month", MONEY),
    "lost": ("Lost below target", "a month", MONEY),
    JARS: ("Jars a month", "", NUMBER),
}
#: where none is chosen
USUAL = ("price", "cost", "left", "hundred", "hour", JARS)
#: heads that are no column of figures
HEADS = {NAME: "Product", MARGIN: "Margin against its target"}
#: column -> what stands small below its figure, where it is known and has no column of its own: unit, figure, column
BELOW: dict[str, tuple[tuple[str, Callable[[Row], Figure | None], str], ...]] = {
    "price": (
        ("per 100 g", lambda row: row.price_per_100_g, "price_hundred"),
        ("per 100 mL", lambda row: row.price_per_100_ml, ""),
    ),
    "hundred": (("per 100 mL", lambda row: row.per_100_ml, "hundred_ml"),),
}


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure as text, or why it is missing and where that is cured; `again`: a cell before it says the same."""

    label: str
    text: str
    below: tuple[str, ...] = ()
    reason: str = ""
    cure: str = ""
    again: bool = False


def chosen(show: Sequence[str]) -> tuple[str, ...]:
    """The columns that are asked for, in the order of the table; the usual ones where there is none of them."""
    return tuple(one for one in COLUMNS if one in show) or USUAL


def heading(desk: Desk, key: str) -> tuple[str, str]:
    """What a column is called, and its unit: the currency stands once, at the head."""
    if key in HEADS:
        return HEADS[key], ""
    label, unit, kind = COLUMNS[key]
    return label, f"{_symbol(desk)} {unit}".strip() if kind == MONEY else unit


def _symbol(desk: Desk) -> str:
    return symbol_of(desk.formats.currency, desk.formats.locale)


def labels(desk: Desk, columns: Sequence[str]) -> dict[str, str]:
    """What each of the columns is called in one line, its unit with it."""
    return {key: ", ".join(word for word in heading(desk, key) if word) for key in columns}


def cells(desk: Desk, row: Row, columns: Mapping[str, str]) -> tuple[Cell, ...]:
    """A row's figures in columns, which come with their labels.

    One reason is said in the first of its cells; five times over it made the table too wide.
    """
    found = [_cell(desk, row, column, columns) for column in columns]
    if not any(cell.reason for cell in found):
        return tuple(found)
    said: set[str] = set()
    kept = []
    for cell in found:
        kept.append(replace(cell, again=bool(cell.reason) and cell.reason in said))
        said.add(cell.reason)
    return tuple(kept)


def _cell(desk: Desk, row: Row, column: str, columns: Mapping[str, str]) -> Cell:
    label, figure = columns[column], FIGURES[column](row)
    if figure is None:
        return Cell(label, "–")
    if isinstance(figure, Gap):
        return Cell(label, "", (), figure.reason, addresses.href(figure.cure))
    return Cell(label, written(desk, column, figure), _below(desk, row, column, columns))


def written(desk: Desk, column: str, figure: Decimal) -> str:
    """A figure of a column as text, money without its currency."""
    kind = COLUMNS[column][2]
    if kind == MONEY:
        return desk.formats.bare(figure)
    return desk.formats.percent(figure) if kind == SHARE else desk.formats.number(figure)


def _below(desk: Desk, row: Row, column: str, columns: Mapping[str, str]) -> tuple[str, ...]:
    small = [(unit, figure_of(row)) for unit, figure_of, own in BELOW.get(column, ()) if own not in columns]
    return tuple([f"{desk.formats.bare(one)} {unit}" for unit, one in small if isinstance(one, Decimal)])
