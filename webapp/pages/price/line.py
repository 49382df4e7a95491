"""The line: every product on every channel in one table, sorted and filtered by its address."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated

from fastapi import Query
from markupsafe import Markup
from starlette.responses import Response

from webapp.costing.amounts import ZERO
from webapp.costing.gaps import Gap
from webapp.costing.jars import NO_MINUTES
from webapp.costing.line import Row, Totals, known_totals, left_out, totals
from webapp.costing.line_groups import CHANNEL, FORMULA, Group, grouped
from webapp.costing.line_order import MARGIN, NAME
from webapp.costing.rows import HELD_UP
from webapp.exchange.line_sheet import sheet_of
from webapp.exchange.sheets import Sheet
from webapp.pages import addresses, files, vessels
from webapp.pages.needs import quotes_in
from webapp.pages.price import makeup
from webapp.pages.price.line_asked import Asked, AskedNow, paged
from webapp.pages.price.line_columns import COLUMNS, Cell, cells, chosen, heading, labels
from webapp.pages.rendering import Desk, DeskNow, View, render, show
from webapp.routes import Routes

router = Routes()
PLACE = "price"
FILTERS = (
    ("", "All"),
    ("below", "Below their target"),
    ("unpriced", "No price accepted"),
    ("missing", "Not known yet"),
    ("stale", "Rests on an old price"),
    ("quoted", "Rests on a quote"),
)
GROUPED = (("", "Not in groups"), (FORMULA, "By formula"), (CHANNEL, "By channel"))
#: rows on one page; a page of a thousand is slow to draw and slower to read
MOST = 100
#: and on one that is to be printed: twenty thousand at once take a browser minutes
MOST_TO_PRINT = 1_000
ALL = "all"
#: so many pages are all named; of more only the ends and those near the one that is looked at
MOST_LINKS, NEAR = 12, 3


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
    vessel: vessels.Vessel
    bar: Markup
    at: str
    opened: str


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
class LineGroup:
    """Rows that belong together, with what all of the group add up to, on this page or not; `name` "": no groups."""

    name: str
    rows: tuple[Markup, ...]
    totals: Totals | None = None
    left_out: int = 0
    count: int = 0


@dataclass(frozen=True, slots=True)
class Page:
    """The rows of one page, and the way to the others: (words, address, whether it is this one); "" no such page."""

    rows: Sequence[Row]
    links: tuple[tuple[str, str, bool], ...] = ()
    before: str = ""
    after: str = ""
    more: str = ""
    more_words: str = ""


@dataclass(frozen=True, slots=True)
class Choices:
    """What can be chosen of the line: each with its words and whether it is so now."""

    asked: Asked
    columns: tuple[tuple[str, str, bool], ...]
    formulas: tuple[tuple[str, str, bool], ...]
    channels: tuple[tuple[str, str, bool], ...]
    filters: tuple[tuple[str, str, bool], ...]
    groups: tuple[tuple[str, str, bool], ...]
    sorts: tuple[tuple[str, str, bool], ...]
    day: str


@dataclass(frozen=True, slots=True)
class LineView:
    """What stands on the page of the line."""

    groups: tuple[LineGroup, ...]
    heads: dict[str, Head]
    columns: tuple[str, ...]
    filters: tuple[tuple[str, str, bool], ...]
    channels: tuple[tuple[str, str, bool], ...]
    totals: Totals
    known: Totals
    left_out: tuple[LeftOut, ...]
    missing_href: str
    shown: int
    every: int
    page: Page
    choices: Choices
    weakest: str
    suggested: str
    looks: str
    files: files.FileLinks


@router.get(addresses.LINE)
def line(desk: DeskNow, asked: AskedNow, *, kind: Annotated[str, Query(alias="as")] = "") -> Response:
    """The whole line, or the part of it that is asked for; as a file it is all in one."""
    if kind in files.KINDS:
        return files.answer(line_sheet(desk, asked.rows(desk)), kind, ("the line",), desk.formats)
    return show(desk, View("price/line/page.html", "The line", PLACE, view_of(desk, asked)))


def line_sheet(desk: Desk, rows: Sequence[Row]) -> Sheet:
    """These rows as a sheet, with the day that they are of."""
    above = (desk.book.workshop.name, desk.formats.day(desk.day))
    return sheet_of(desk.book, rows, above, files.paper(desk.formats))


def view_of(desk: Desk, asked: Asked) -> LineView:
    """The rows that are asked for, in their order, as many as a page has, and what all of them add up to."""
    every, rows = desk.reckoning.line(), asked.rows(desk)
    groups = grouped(desk.reckoning, rows, asked.group) if asked.group else ()
    ordered = [row for group in groups for row in group.rows] if groups else rows
    page = _page(desk, ordered, asked)
    columns = chosen(asked.show)
    summed = desk.reckoning.totals if len(rows) == len(every) else totals(desk.book, rows)
    missing = left_out(rows) if isinstance(summed.profit, Gap) or isinstance(summed.net_sales, Gap) else []
    choices = _choices(desk, asked, columns)
    return LineView(
        _groups(desk, page.rows, groups, asked, columns),
        {key: _head(desk, asked, key) for key in (NAME, MARGIN, *columns)},
        columns,
        tuple((words, asked.href(desk, only=key), key == asked.only) for key, words in FILTERS),
        tuple((words, asked.href(desk, channel=key), now) for key, words, now in choices.channels),
        summed,
        known_totals(desk.book, rows) if missing else summed,
        tuple(_left_out(desk, row, gap) for row, gap in missing),
        asked.href(desk, only="missing"),
        len(rows),
        len(every),
        page,
        choices,
        asked.href(desk, addresses.WEAKEST),
        asked.href(desk, addresses.SUGGESTED),
        asked.href(desk, addresses.LOOKS),
        files.links(asked.href(desk), desk.formats),
    )


def _choices(desk: Desk, asked: Asked, columns: Sequence[str]) -> Choices:
    def offered(pairs: Sequence[tuple[str, str]], now: str) -> tuple[tuple[str, str, bool], ...]:
        return tuple((key, words, key == now) for key, words in pairs)

    formulas = [(str(one.id), one.name) for one in desk.things("formula")]
    channels = [(str(one.id), one.name) for one in desk.things("channel")]
    named = list(labels(desk, tuple(COLUMNS)).items())
    sorts = [(key, heading(desk, key)[0]) for key in (NAME, MARGIN)]
    return Choices(
        asked,
        tuple((key, words, key in columns) for key, words in named),
        offered([("", "Every formula"), *formulas], asked.formula),
        offered([("", "Every channel"), *channels], asked.channel),
        offered(FILTERS, asked.only),
        offered(GROUPED, asked.group),
        offered([*sorts, *named], asked.sort),
        str(desk.on or ""),
    )


def _groups(
    desk: Desk, shown: Sequence[Row], groups: Sequence[Group], asked: Asked, columns: Sequence[str]
) -> tuple[LineGroup, ...]:
    """The rows of this page in their groups; without groups all in one that has no name."""
    named = labels(desk, columns)
    written = _written if len(shown) <= MOST else _write  # of more the first would be gone before the last is written
    drawn = {(row.product, row.channel): written(desk, row, named) for row in shown}
    if not groups:
        return (LineGroup("", tuple(drawn.values())),)
    found = []
    for group in groups:
        here = tuple(drawn[pair] for row in group.rows if (pair := (row.product, row.channel)) in drawn)
        if here:
            name = _named(desk, group, asked.group)
            found.append(LineGroup(name, here, group.totals, group.left_out, len(group.rows)))
    return tuple(found)


def _named(desk: Desk, group: Group, by: str) -> str:
    held = desk.book.channels if by == CHANNEL else desk.book.formulas
    return " and ".join(held[one].name for one in group.things) or "Sets without a filling of their own"


def _left_out(desk: Desk, row: Row, gap: Gap) -> LeftOut:
    name = f"{desk.book.products[row.product].name}, {desk.book.channels[row.channel].name}"
    return LeftOut(name, addresses.thing("product", row.product), row.jars_a_month or ZERO, gap)


def _page(desk: Desk, rows: Sequence[Row], asked: Asked) -> Page:
    """The rows of one page; of `ALL` as many as can be printed, the rest on "all-2" and so on."""
    long = asked.page.partition("-")[0] == ALL
    most, first = (MOST_TO_PRINT, ALL) if long else (MOST, "")
    number, many = paged(rows, asked.page.removeprefix(f"{ALL}-") if long else asked.page, most)
    if many <= 1:
        return Page(rows)
    named = ["", first, *(f"{first}-{place}" if long else str(place) for place in range(2, many + 1)), ""]
    there = [asked.href(desk, page=name) for name in named]
    links = tuple((_span(desk, place, len(rows), most), there[place], place == number) for place in _near(number, many))
    more = "" if long else f"all {desk.formats.count(len(rows))} on one page, to print"
    if not long and len(rows) > MOST_TO_PRINT:
        more = f"{desk.formats.count(MOST_TO_PRINT)} on a page, to print"
    return Page(
        rows[(number - 1) * most : number * most],
        links,
        there[number - 1] if number > 1 else "",
        there[number + 1] if number < many else "",
        asked.href(desk, page=ALL) if more else "",
        more,
    )


def _near(number: int, many: int) -> list[int]:
    """Which of many pages are named."""
    every = range(1, many + 1)
    return [one for one in every if many <= MOST_LINKS or one in {1, many} or abs(one - number) <= NEAR]


def _span(desk: Desk, place: int, rows: int, most: int) -> str:
    count = desk.formats.count
    return f"{count((place - 1) * most + 1)}\u2013{count(min(place * most, rows))}"


def _head(desk: Desk, asked: Asked, key: str) -> Head:
    label, unit = heading(desk, key)
    now = asked.sort == key
    href = asked.href(desk, sort=key, down="" if now and asked.down else "1" if now or key != NAME else "")
    return Head(label, unit, href, ("descending" if asked.down else "ascending") if now else "")


def _written(desk: Desk, row: Row, columns: Mapping[str, str]) -> Markup:
    """A row as it was written before, where it and its names are the same."""
    names = _names(desk, row)
    asked = ("row of the line", row.product, row.channel, *names, *columns.items())
    return desk.snapshot.written.once(asked, (row, desk.formats), lambda: _write(desk, row, columns))


def _names(desk: Desk, row: Row) -> tuple[str, str, str]:
    """What a row says that does not come from its figures: the product, the channel, and materials with a quote."""
    book = desk.book
    return book.products[row.product].name, book.channels[row.channel].name, quotes_in(desk.reckoning, row.product)


def _write(desk: Desk, row: Row, columns: Mapping[str, str]) -> Markup:
    name, channel, quoted = _names(desk, row)
    drawn = LineRow(
        name,
        addresses.thing("product", row.product),
        channel,
        addresses.pair("price", row.product, row.channel),
        row.accepted,
        NO_MINUTES in row.sheet.marks,
        quoted,
        _because(desk, row),
        row.reaches is False,
        cells(desk, row, columns),
        vessels.vessel(desk.formats, row.margin, row.target),
        makeup.small_bar(makeup.parts(desk.formats, row), f"{name}, {channel}"),
        f"{row.product}-{row.channel}",
        addresses.opened(row.product, row.channel),
    )
    return Markup(render(desk.formats, "price/line/_row.html", row=drawn))  # noqa: S704 - a template of ours


def _because(desk: Desk, row: Row) -> str:
    """Why a suggested price is higher than its own target asks for."""
    if row.accepted or HELD_UP not in row.marks:
        return ""
    return f"{desk.formats.money(row.suggested_alone)} for its target alone; held up so that shops are not undercut"
