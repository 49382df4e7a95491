"""What stands on the page of a maker's own sheets, field by field."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date

from webapp.costing.gaps import Figure
from webapp.costing.own.columns import FORMULAS, MATERIALS, NOTHING, PRODUCTS, OwnTable
from webapp.costing.own.prices import ABOUT, LIST, PAID
from webapp.costing.own.reading import Choices, OwnReading
from webapp.pages.data.own_ours import OursView
from webapp.pages.formats import Formats

#: how many first rows stand beside a column, how many wrong cells are shown at once, rows of each preview, heads
FIRST_ROWS, MOST_WRONG, MOST_SHOWN, MOST_HEADS = 3, 40, 200, 6
#: how many rows of formulas can be left out from the page, so that it stays one that a browser shows at once
MOST_LINES = 1_000
#: a number with more decimals than anybody wrote: what a spreadsheet worked out
_LONG = re.compile(r"([0-9][.,][0-9]{4})[0-9]{3,}", re.ASCII)
#: what was answered and is not asked any more: it is carried along
CARRIED = ("fix-", "leave-", "note-", "means-", "density-", "file", "money", "registered")
HOLDS = (
    (MATERIALS, "materials and prices"),
    (FORMULAS, "formulas"),
    (PRODUCTS, "products and selling prices"),
    (NOTHING, "nothing that is wanted"),
)
WAYS = {PAID: "paid: an order", LIST: "list price: a quote", ABOUT: "starting price", "": "no price yet"}


@dataclass(frozen=True, slots=True)
class Read:
    """A file that waits: its name, its sheets as they were sent, what was chosen, and what that comes to."""

    name: str
    tables: tuple[OwnTable, ...]
    choices: Choices
    reading: OwnReading
    as_before: tuple[str, ...] = ()
    """The sheets whose heads were met before, so that what was chosen then is chosen now."""


@dataclass(frozen=True, slots=True)
class ColumnView:
    """One column: its letter, its head, its first cells, and the field that says what it holds."""

    field: str
    letter: str
    head: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetView:
    """One sheet: what it may hold, its columns, and how many it has beyond those that can be chosen."""

    field: str
    title: str
    hidden: bool
    remarks: tuple[str, ...]
    holds: str
    heads: int
    columns: tuple[ColumnView, ...]
    roles: tuple[tuple[str, str], ...]
    beyond: int
    left: tuple[str, ...]
    """Heads of columns that are left out."""
    side_by_side: str
    """How formulas stand side by side in it; "" where they don't."""
    empty: bool


@dataclass(frozen=True, slots=True)
class CellView:
    """A cell to put right: the fields of its correction, and of leaving its row out; "" where that is not offered.

    There is none of the latter in a row of heads. `read` is what the sheet says; `leaving` what leaving out is called.
    """

    fix: str
    leave: str
    label: str
    row: int
    read: str
    words: str
    leaving: str = ""
    like: tuple[CellView, ...] = ()
    """Others of which the same is said."""
    note: str = ""
    """The field that says whether the note beside a price counts; "" where none is asked about."""
    options: tuple[tuple[str, str], ...] = ()
    asks: str = ""
    others: tuple[LineView, ...] = ()
    """Rows that say otherwise, any of which can be left out in place of its own."""
    cost: LineView | None = None
    """The press that says that it is a cost of its order; None where it can be none."""


@dataclass(frozen=True, slots=True)
class NameView:
    """A name that is nothing with a price: the field, what stands there and where, and what it may mean."""

    field: str
    name: str
    where: str
    options: tuple[tuple[str, str], ...]
    label: str
    likely: str = ""
    """The one thing that it most likely is, where nothing else comes near."""


@dataclass(frozen=True, slots=True)
class MaterialView:
    """A material as it will be."""

    name: str
    known: bool
    pack: str
    price: str
    way: str
    by_piece: bool
    cost: Figure | None
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LineView:
    """A row that a formula is read from: the field of leaving it out, and what stands there."""

    leave: str
    row: int
    words: str


@dataclass(frozen=True, slots=True)
class FormulaView:
    """A formula as it will be, and what a gram of it costs."""

    name: str
    known: bool
    lines: int
    called: str
    rows: tuple[LineView, ...]
    """What its rows are called, and those that are understood, each of which can be left out."""
    way: str
    batch: str
    cost: Figure | None
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ProductView:
    """A product as it will be, what ingredients and parts of a jar cost, and its prices where they are kept."""

    name: str
    known: bool
    size: str
    ingredients: Figure | None
    has_parts: bool
    parts: Figure | None
    minutes: str
    price: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OwnView:
    """All that stands on the page."""

    name: str
    sheets: tuple[SheetView, ...]
    choices: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]
    rates: tuple[tuple[str, str], ...]
    home: str
    has_prices: bool
    loses_suppliers: bool
    """Whether the sheets name suppliers, and what is chosen keeps none."""
    has_tax: bool
    tax_rates: tuple[tuple[str, str], ...]
    """The rate of tax is asked of these sheets: the field, and its label."""
    voluminous: tuple[str, ...]
    by_price: tuple[str, ...]
    """What one mL weighs by the sheet's own price for one kg: the name with the figure."""
    densities: tuple[tuple[str, str, str], ...]
    """What one mL weighs is asked of: the field, the name, and what counts until it is typed."""
    cells: tuple[CellView, ...]
    noted: tuple[CellView, ...]
    """Notes beside prices that have to be answered."""
    answered: tuple[CellView, ...]
    """Notes that were answered before."""
    open: tuple[CellView, ...]
    """Cells that a choice would cure, and that can be typed as they are meant as well."""
    mended: tuple[CellView, ...]
    """Cells that were corrected before, and rows that were left out."""
    meant: tuple[NameView, ...]
    """Names that were answered before."""
    more_wrong: int
    carried: tuple[tuple[str, str], ...]
    names: tuple[NameView, ...]
    """Names that have to be answered."""
    same: tuple[NameView, ...]
    """Names that may be what is there: nothing is wrong with them."""
    more_same: int
    materials: tuple[MaterialView, ...]
    formulas: tuple[FormulaView, ...]
    products: tuple[ProductView, ...]
    channels: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]
    """For each column of prices its field, its label, and the channels."""
    no_channel: bool
    """Whether they have prices, and no channel that these could be for."""
    people: tuple[tuple[str, str], ...] | None
    """Who can have worked, where that has to be said; empty where nobody is known yet."""
    unsized: int
    """How many formulas say nothing of their batch."""
    understood: str
    as_before: tuple[str, ...]
    """The sheets for which what was chosen for an earlier one is chosen, while nothing was for these."""
    held: str
    """How many of what stand in the book already, and change in nothing; "" where none does."""
    more: tuple[int, ...]
    unpriced: tuple[str, ...]
    skipped: tuple[tuple[str, str, str], ...]
    gone: tuple[str, ...]
    """The formulas that went with their titles."""
    of_formulas: Mapping[str, str]
    """The remarks that hold for several formulas, each with their names; and those for several sheets."""
    of_sheets: Mapping[str, str]
    beyond: tuple[str, ...]
    """Titles of sheets that are not read, since there are more than are looked at."""
    good: bool
    nothing_new: bool
    act: str
    sign: str
    assumed: str
    """What is read as is usual where the workshop is."""
    likely: tuple[NameView, ...] = ()
    """Of the names that have to be answered those that are likely one thing: yes can be said to all of them at once."""
    ours: OursView = field(default=OursView())
    """What of the workshop itself may be said here."""
    prices: tuple[tuple[str, str], ...] = (
        (PAID, "what I paid: an order of each supplier and day"),
        (LIST, "list prices of suppliers: quotes that count from today"),
        (ABOUT, "about what it costs: starting prices, until the first order"),
    )
    holds: tuple[tuple[str, str], ...] = HOLDS


def legible(formats: Formats, text: str) -> str:
    """A cell to be recognized by: a day as it is written here, of a number no more than four decimals."""
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text, re.ASCII):
        with suppress(ValueError):
            return formats.day(date.fromisoformat(text))
    return _LONG.sub(r"\1…", text)


def shortened(text: str, most: int) -> str:
    """A text whose end is left out, and seen to be, where it is longer."""
    return text if len(text) <= most else f"{text[: most - 1]}…"
