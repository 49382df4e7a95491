"""The line: every product on every channel in one table, sorted and filtered by its address."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Annotated
from urllib.parse import urlencode

from fastapi import Query
from markupsafe import Markup
from starlette.responses import Response

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Figure, Gap
from webapp.costing.jars import NO_MINUTES
from webapp.costing.line import Row, Totals, known_totals, left_out, totals
from webapp.costing.line_order import FIGURES, JARS, MARGIN, NAME, SORTS, part_of, sorted_by
from webapp.costing.rows import HELD_UP
from webapp.exchange.line_sheet import sheet_of
from webapp.exchange.sheets import Sheet
from webapp.pages import addresses, files, formats
from webapp.pages.formats import symbol_of
from webapp.pages.needs import quotes_in
from webapp.pages.price import makeup
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.routes import Routes

router = Routes()
PLACE = "price"
FILTERS = (
    ("", "All"),
    ("below", "Below their target"),
    ("unpriced", "No price accepted"),
    ("missing", "Not known yet"),
)
#: column of a figure that is shown and sorted by -> heading, unit
COLUMNS = {
    "price": ("Price", ""),
    "cost": ("Cost", ""),
    "left": ("Contributes", "a jar before overhead"),
    "hundred": ("Contributes", "per 100 g"),
    "hour": ("Contributes", "an hour"),
}
#: column -> what stands small below its figure, where it is known: unit and figure
BELOW: dict[str, tuple[tuple[str, Callable[[Row], Figure | None]], ...]] = {
    "price": (("per 100 g", lambda row: row.price_per_100_g), ("per 100 mL", lambda row: row.price_per_100_ml)),
    "hundred": (("per 100 mL", lambda row: row.per_100_ml),),
}
#: rows on one page; a page of a thousand is slow to draw and slower to read
MOST = 100
ALL = "all"


@dataclass(frozen=True, slots=True)
class Cell:
    """A figure as text, or why it is missing and where that is cured; `again`: a cell before it says the same."""

    label: str
    text: str
    below: tuple[str, ...] = ()
    reason: str = ""
    cure: str = ""
    again: bool = False


@dataclass(frozen=True, slots=True)
class LineRow:
    """One row as it is drawn: all its figures are text already, a macro a cell would cost more than the sums."""

    name: str
    href: str
    channel: str
    decide: str
    accepted: bool
    untimed: bool
    quoted: str
    because: str
    short: bool
    cells: tuple[Cell, ...]
    vessel: formats.Vessel
    bar: Markup
    jars: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A row that sells and is not in the month's figures: which, how many jars, why not."""

    name: str
    href: str
    jars: Decimal
    gap: Gap


@dataclass(frozen=True, slots=True)
class Head:
    """A column's heading, its link that sorts by it, and whether it is sorted so now."""

    label: str
    unit: str
    href: str
    sorted: str


@dataclass(frozen=True, slots=True)
class LineView:
    """What stands on the page of the line."""

    rows: tuple[LineRow, ...]
    heads: dict[str, Head]
    filters: tuple[tuple[str, str, bool], ...]
    channels: tuple[tuple[str, str, bool], ...]
    totals: Totals
    known: Totals
    left_out: tuple[LeftOut, ...]
    missing_href: str
    shown: int
    every: int
    pages: tuple[tuple[str, str, bool], ...]
    all_of_it: str
    files: files.FileLinks


@router.get(addresses.LINE)
def line(
    desk: DeskNow,
    *,
    sort: Annotated[str, Query()] = NAME,
    down: Annotated[str, Query()] = "",
    only: Annotated[str, Query()] = "",
    channel: Annotated[str, Query()] = "",
    page: Annotated[str, Query()] = "",
    kind: Annotated[str, Query(alias="as")] = "",
) -> Response:
    """The whole line, or the part of it that is asked for; as a file it is all in one."""
    asked = Asked(sort if sort in SORTS else NAME, bool(down), only if only in dict(FILTERS) else "", channel, page)
    if kind in files.KINDS:
        return files.answer(line_sheet(desk, rows_of(desk, asked)), kind, ("the line",), desk.formats)
    return show(desk, View("price/line/page.html", "The line", PLACE, view_of(desk, asked)))


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for."""

    sort: str
    down: bool
    only: str
    channel: str
    page: str = ""

    def href(self, desk: Desk, **other: str) -> str:
        """The address of the same view with something else, from its first page unless another is named."""
        mine = {"sort": self.sort, "down": "1" if self.down else "", "only": self.only, "channel": self.channel}
        asked = {**mine, **other, "on": str(desk.on or "")}
        query = urlencode({name: text for name, text in asked.items() if text and (name, text) != ("sort", NAME)})
        return f"{addresses.LINE}?{query}" if query else addresses.LINE


def rows_of(desk: Desk, asked: Asked) -> list[Row]:
    """The rows that are asked for, in their order."""
    channel = next(
        (one.id for one in desk.things("channel") if str(one.id) == asked.channel), 0 if asked.channel else None
    )
    return sorted_by(part_of(desk.reckoning.line(), asked.only, channel), asked.sort, down=asked.down)


def line_sheet(desk: Desk, rows: Sequence[Row]) -> Sheet:
    """These rows as a sheet, with the day that they are of."""
    above = (desk.book.workshop.name, desk.formats.day(desk.day))
    return sheet_of(desk.book, rows, above, files.paper(desk.formats))


def view_of(desk: Desk, asked: Asked) -> LineView:
    """The rows that are asked for, in their order, as many as a page has, and what all of them add up to."""
    every, rows = desk.reckoning.line(), rows_of(desk, asked)
    shown, pages = _page(desk, rows, asked)
    named = [(str(one.id), one.name) for one in desk.things("channel")]
    summed = desk.reckoning.totals if len(rows) == len(every) else totals(desk.book, rows)
    missing = left_out(rows) if isinstance(summed.profit, Gap) or isinstance(summed.net_sales, Gap) else []
    return LineView(
        tuple(_drawn(desk, row) for row in shown),
        {key: _head(desk, asked, key) for key in SORTS},
        tuple((words, asked.href(desk, only=key), key == asked.only) for key, words in FILTERS),
        tuple(
            (name, asked.href(desk, channel=key), key == asked.channel) for key, name in [("", "Every channel"), *named]
        ),
        summed,
        known_totals(desk.book, rows) if missing else summed,
        tuple(_left_out(desk, row, gap) for row, gap in missing),
        asked.href(desk, only="missing"),
        len(rows),
        len(every),
        pages,
        asked.href(desk, page=ALL) if len(rows) > len(shown) else "",
        files.links(asked.href(desk), desk.formats),
    )


def _left_out(desk: Desk, row: Row, gap: Gap) -> LeftOut:
    name = f"{desk.book.products[row.product].name}, {desk.book.channels[row.channel].name}"
    return LeftOut(name, addresses.thing("product", row.product), row.jars_a_month or ZERO, gap)


def _page(desk: Desk, rows: list[Row], asked: Asked) -> tuple[list[Row], tuple[tuple[str, str, bool], ...]]:
    """The rows of one page, and links to all pages; a number that is none is taken for the first or the last."""
    many = -(-len(rows) // MOST)
    if many <= 1 or asked.page == ALL:
        return rows, ()
    number = int(asked.page) if asked.page.isascii() and asked.page.isdigit() and len(asked.page) < MOST else 1
    number = min(max(number, 1), many)
    links = tuple(
        (_span(desk, place, len(rows)), asked.href(desk, page="" if place == 1 else str(place)), place == number)
        for place in range(1, many + 1)
    )
    return rows[(number - 1) * MOST : number * MOST], links


def _span(desk: Desk, place: int, rows: int) -> str:
    count = desk.formats.count
    return f"{count((place - 1) * MOST + 1)}\u2013{count(min(place * MOST, rows))}"


def _head(desk: Desk, asked: Asked, key: str) -> Head:
    label, unit = {NAME: ("Product", ""), MARGIN: ("Margin against its target", ""), JARS: ("Jars a month", "")}.get(
        key, COLUMNS.get(key, ("", ""))
    )
    now = asked.sort == key
    if key in COLUMNS:  # the currency stands once, at the head
        unit = f"{_symbol(desk)} {unit}".strip()
    href = asked.href(desk, sort=key, down="" if now and asked.down else "1" if now or key != NAME else "")
    return Head(label, unit, href, ("descending" if asked.down else "ascending") if now else "")


def _symbol(desk: Desk) -> str:
    return symbol_of(desk.formats.currency, desk.formats.locale)


def _drawn(desk: Desk, row: Row) -> LineRow:
    cells = _said_once([_cell(desk, row, column) for column in COLUMNS])
    name, channel = desk.book.products[row.product].name, desk.book.channels[row.channel].name
    return LineRow(
        name,
        addresses.thing("product", row.product),
        channel,
        addresses.pair("price", row.product, row.channel),
        row.accepted,
        NO_MINUTES in row.sheet.marks,
        quotes_in(desk.reckoning, row.product),
        _because(desk, row),
        row.reaches is False,
        cells,
        formats.vessel(desk.formats, row.margin, row.target),
        makeup.small_bar(makeup.parts(desk.formats, row), f"{name}, {channel}"),
        "" if row.jars_a_month is None else desk.formats.number(row.jars_a_month),
    )


def _because(desk: Desk, row: Row) -> str:
    """Why a suggested price is higher than its own target asks for."""
    if row.accepted or HELD_UP not in row.marks:
        return ""
    return f"{desk.formats.money(row.suggested_alone)} for its target alone; held up so that shops are not undercut"


def _said_once(cells: Sequence[Cell]) -> tuple[Cell, ...]:
    """One reason is said in the first of its cells; five times over it made the table too wide."""
    if not any(cell.reason for cell in cells):
        return tuple(cells)
    said: set[str] = set()
    kept = []
    for cell in cells:
        kept.append(replace(cell, again=bool(cell.reason) and cell.reason in said))
        said.add(cell.reason)
    return tuple(kept)


def _cell(desk: Desk, row: Row, column: str) -> Cell:
    label, unit = COLUMNS[column]
    figure = FIGURES[column](row)
    label = f"{label}, {_symbol(desk)} {unit}".strip()
    if isinstance(figure, Gap):
        return Cell(label, "", (), figure.reason, addresses.href(figure.cure))
    bare = desk.formats.bare
    below = [(unit, figure_of(row)) for unit, figure_of in BELOW.get(column, ())]
    return Cell(label, bare(figure), tuple([f"{bare(one)} {unit}" for unit, one in below if isinstance(one, Decimal)]))
