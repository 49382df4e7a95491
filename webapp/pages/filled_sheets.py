"""A sheet drawn on a page: the figures of its file, each with the way to its working."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from webapp.costing.gaps import Gap
from webapp.costing.price_lists import Listed, PriceList
from webapp.exchange.price_list_sheet import FILE_ONLY
from webapp.exchange.sheets import NUMBER, Cell, Column, Sheet, decimals
from webapp.pages.formats import Formats
from webapp.pages.symbols import symbol_of

__all__ = ["Drawn", "Sheet", "drawn"]


@dataclass(frozen=True, slots=True)
class DrawnCell:
    """A cell as text; `reason`: why it is empty."""

    label: str
    text: str
    number: bool
    href: str = ""
    reason: str = ""
    under: str = ""


@dataclass(frozen=True, slots=True)
class DrawnHead:
    """The head of a column, with the unit that all its figures have."""

    label: str
    unit: str
    number: bool


@dataclass(frozen=True, slots=True)
class Drawn:
    """The whole sheet as texts."""

    title: str
    above: tuple[str, ...]
    below: tuple[str, ...]
    heads: tuple[DrawnHead, ...]
    rows: tuple[tuple[DrawnCell, ...], ...]


def drawn(formats: Formats, found: PriceList, sheet: Sheet, hrefs: Sequence[Mapping[str, str]]) -> Drawn:
    """The sheet of a price list without the columns that only a file has. `hrefs`: of each row, by column."""
    shown = [(place, one) for place, one in enumerate(sheet.columns) if one.key not in FILE_ONLY]
    return Drawn(
        sheet.title,
        sheet.above,
        sheet.below,
        tuple(DrawnHead(one.head, _unit(formats, one), one.kind == NUMBER) for _, one in shown),
        tuple(
            tuple(_cell(formats, column, row[place], listed, to) for place, column in shown)
            for row, listed, to in zip(sheet.rows, found.rows, hrefs, strict=True)
        ),
    )


def _unit(formats: Formats, column: Column) -> str:
    return symbol_of(column.unit, formats.locale) if column.unit else ""


def _cell(formats: Formats, column: Column, cell: Cell, listed: Listed, hrefs: Mapping[str, str]) -> DrawnCell:
    label, number = f"{column.head} {_unit(formats, column)}".strip(), column.kind == NUMBER
    value = getattr(listed, column.key, None)
    if isinstance(value, Gap):
        return DrawnCell(label, "", number, reason=value.reason)
    under = "suggested" if column.key == "name" and not listed.accepted else ""
    return DrawnCell(label, text(formats, column, cell), number, hrefs.get(column.key, "") if cell else "", "", under)


def text(formats: Formats, column: Column, cell: Cell) -> str:
    """A cell as it is written here."""
    if isinstance(cell, Decimal):
        return formats.fixed(cell, max(column.places, decimals(cell)))
    return formats.day(cell) if isinstance(cell, date) else cell or ""
