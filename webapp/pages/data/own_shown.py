"""What stands on the page of a maker's own sheets, field by field, and the words of its choices."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date

from webapp.costing.gaps import Figure
from webapp.costing.own.answered import FREE_OF_CHARGE, OF_ONE, OF_PACK, TAKEN_OFF, UNKNOWN
from webapp.costing.own.columns import FORMULAS, MATERIALS, NOTHING, PRODUCTS, OwnTable
from webapp.costing.own.freight import INSIDE, NOT_TAKEN, ON_TOP
from webapp.costing.own.orders import AS_ABOVE, AS_BLANK
from webapp.costing.own.price_heads import TAX_IN, TAX_OUT
from webapp.costing.own.prices import ABOUT, LIST, PAID
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.taxes import TAX_NONE
from webapp.costing.own.title_lines import FIRST, LAST
from webapp.costing.units import PURCHASE_UNITS
from webapp.pages.formats import Formats

#: how many first rows stand beside a column, how many wrong cells are shown at once, rows of each preview, heads
FIRST_ROWS, MOST_WRONG, MOST_SHOWN, MOST_HEADS = 3, 40, 200, 6
#: how many rows of formulas can be left out from the page, so that it stays one that a browser shows at once
MOST_LINES = 1_000
#: a number with more decimals than anybody wrote: what a spreadsheet worked out
_LONG = re.compile(r"([0-9][.,][0-9]{4})[0-9]{3,}", re.ASCII)
#: what was answered and is not asked any more: it is carried along
CARRIED = ("fix-", "leave-", "means-", "density-", "file")
HOLDS = (
    (MATERIALS, "materials and prices"),
    (FORMULAS, "formulas"),
    (PRODUCTS, "products and selling prices"),
    (NOTHING, "nothing that is wanted"),
)
WAYS = {PAID: "paid: an order", LIST: "list price: a quote", ABOUT: "starting price", "": "no price yet"}
#: a choice for all sheets: what it is called, and its options
CHOICES: Mapping[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "sign": (
        "Decimals are written with",
        (("", "as the sheet shows"), ("point", "a point: 12.50"), ("comma", "a comma: 12,50")),
    ),
    "days": (
        "In a day like 03/04/2026",
        (("", "choose"), ("day first", "the day stands first"), ("month first", "the month stands first")),
    ),
    "system": (
        "Gallons, pints and fluid ounces are",
        (("", "choose"), ("US", "US measures"), ("imp", "imperial measures")),
    ),
    "ounces": (
        "Ounces of contents are",
        (("", "choose"), ("weight", "a weight"), ("US", "US fluid ounces"), ("imp", "imperial fluid ounces")),
    ),
    "amounts": (
        "Bare amounts of formulas are",
        (("", "choose"), ("percent", "percent"), ("grams", "grams"), ("parts", "parts")),
    ),
}
#: a choice for one sheet, in the same way
OF_SHEET: Mapping[str, tuple[str, tuple[tuple[str, str], ...]]] = {
    "unit": ("an amount without a unit is in", (("", "choose"), *((one, one) for one in PURCHASE_UNITS))),
    "priced": (
        "prices are",
        (
            ("", "choose"),
            ("one", "for one pack each"),
            ("all", "for all packs of a row together"),
            ("none", "nowhere: it has none"),
        ),
    ),
    "formulas": (
        "columns of amounts that are left out are",
        (("", "choose"), ("yes", "formulas side by side"), ("no", "no formulas")),
    ),
    "counts": (
        "the whole numbers that are left out are",
        (("", "choose"), ("yes", "how many packs were bought"), ("no", "something else")),
    ),
    "freight": (
        "freight",
        (
            ("", "choose"),
            (ON_TOP, "comes on top of these prices"),
            (INSIDE, "is in these prices already"),
            (NOT_TAKEN, "is not to be counted"),
        ),
    ),
    "yes": (
        "yes below the head of tax means",
        (
            ("", "choose"),
            ("in_out", "tax is in the price; no: on top of it"),
            ("in_none", "tax is in the price; no: there is none"),
            ("out_none", "tax comes on top; no: there is none"),
            ("out_in", "tax comes on top; no: it is in the price"),
        ),
    ),
    "tax": (
        "where a row says nothing of sales tax, it",
        (("", "choose"), (TAX_IN, "is in the price"), (TAX_OUT, "comes on top of it"), (TAX_NONE, "is not due")),
    ),
    "orders": (
        "rows without a supplier or day of their own are",
        (("", "choose"), (AS_ABOVE, "of the order above them"), (AS_BLANK, "of no order that it names")),
    ),
    "each": (
        "the unit price is",
        (("", "choose"), (OF_PACK, "the price of one pack"), (OF_ONE, "the price of one kg, g, L or piece")),
    ),
    "discount": (
        "a discount in a row of its own",
        (("", "choose"), (TAKEN_OFF, "is taken off the rows above it, by value"), (NOT_TAKEN, "is not taken off")),
    ),
    "words": ("words in place of a price mean", (("", "choose"), (UNKNOWN, "that it is not known yet"))),
    "zero": (
        "a price of 0 means",
        (("", "choose"), (FREE_OF_CHARGE, "that it is free"), (UNKNOWN, "that it is not known yet")),
    ),
    "titles": (
        "of several lines above a formula its name is",
        (("", "choose"), (FIRST, "the first"), (LAST, "the last, right above it")),
    ),
}


@dataclass(frozen=True, slots=True)
class Read:
    """A file that waits: its name, its sheets as they were sent, what was chosen, and what that comes to."""

    name: str
    tables: tuple[OwnTable, ...]
    choices: Choices
    reading: OwnReading


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
    held: str
    """How many of what stand in the book already, and change in nothing; "" where none does."""
    more: tuple[int, ...]
    unpriced: tuple[str, ...]
    skipped: tuple[tuple[str, str, str], ...]
    gone: tuple[str, ...]
    """The formulas that went with their titles."""
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
