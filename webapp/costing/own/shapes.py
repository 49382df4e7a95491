"""How a maker's own sheets are sent by JSON: the sheets as text, what was chosen about them, what was put right."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import date
from decimal import Decimal

from webapp.costing import limits as lim
from webapp.costing.amounts import MINOR_UNITS, Notation
from webapp.costing.describing import Field, Rows, Shape
from webapp.costing.own.answered import (
    ALL_OF_DAY,
    FREE_OF_CHARGE,
    JUST_ABOVE,
    OF_ONE,
    OF_PACK,
    RATE,
    TAKEN_OFF,
    UNKNOWN,
)
from webapp.costing.own.columns import MATERIAL_ROLES, MOST_COLUMNS, MOST_SHEETS, ROLES, Layout, OwnTable
from webapp.costing.own.contents import OUNCES
from webapp.costing.own.freight import INSIDE, NOT_TAKEN, ON_TOP
from webapp.costing.own.layouts import laid_out_as
from webapp.costing.own.method import NAMES, NOTE
from webapp.costing.own.noted import AS_READ, COUNTS
from webapp.costing.own.orders import AS_ABOVE, AS_BLANK
from webapp.costing.own.prices import ABOUT, LIST, PAID, How
from webapp.costing.own.reading import Choices
from webapp.costing.own.rows import cell_mark, mark_of, row_mark
from webapp.costing.own.selling import sold_mark
from webapp.costing.own.taxes import MEANINGS, STANDS
from webapp.costing.own.title_lines import FIRST, LAST
from webapp.costing.own.told import OfSheet, Told
from webapp.costing.own.totals import IN, OUT
from webapp.costing.units import PURCHASE_UNITS

MOST_CHARACTERS, MOST_CORRECTIONS = 200_000, 500


@dataclass(frozen=True, slots=True)
class OwnText(lim.Text):
    """A sheet as text, kept as it is: an empty cell at its beginning counts."""

    length: int = MOST_CHARACTERS
    lines: bool = True

    def read(self, text: str, notation: Notation) -> str:
        lim.Text.read(self, text, notation)
        return text


@dataclass(frozen=True, slots=True)
class OwnColumn:
    """What one column holds; "" where it is left out."""

    holds: str = ""


@dataclass(frozen=True, slots=True)
class OwnSheet(OfSheet):
    """One sheet, with what is said of it: its cells parted by tabs, semicolons or commas.

    Without `holds` all of its layout is guessed.
    """

    text: str
    title: str = "Sheet"
    holds: str = ""
    heads: Decimal = Decimal(0)
    columns: tuple[OwnColumn, ...] = ()


@dataclass(frozen=True, slots=True)
class OwnFix:
    """What stands in place of a cell: sheet and column counted from 0, row from 1."""

    row: Decimal
    text: str
    sheet: Decimal = Decimal(0)
    column: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class OwnRowLeft:
    """A row that is left out, counted from 1."""

    row: Decimal
    sheet: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class OwnName:
    """What a name means: one that the book or a sheet has, or "new"."""

    name: str
    means: str


@dataclass(frozen=True, slots=True)
class OwnNote:
    """Whether a price is right "as" it is read beside a note of its row, or is to be read "so" as the note says."""

    row: Decimal
    counts: str
    sheet: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class OwnDensity:
    """What one mL of what is bought by volume weighs, in g, where its sheet doesn't say."""

    name: str
    density: Decimal


@dataclass(frozen=True, slots=True)
class OwnFormula:
    """What the amounts of one formula are, where its sheet says otherwise, or not."""

    name: str
    amounts: str


@dataclass(frozen=True, slots=True)
class OwnRate:
    """What one of a currency is in home money."""

    currency: str
    amount: Decimal


@dataclass(frozen=True, slots=True)
class OwnSold:
    """The channel that a column of selling prices is for; sheet and column counted from 0."""

    channel: str
    column: Decimal = Decimal(0)
    sheet: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class OwnSheets:
    """A maker's own sheets, and what was chosen for all of them; "" is left to the sheets."""

    sheets: tuple[OwnSheet, ...]
    sign: str = ""
    days: str = ""
    system: str = ""
    unit: str = ""
    currency: str = ""
    amounts: str = ""
    prices: str = ""
    supplier: str = ""
    channel: str = ""
    channels: tuple[OwnSold, ...] = ()
    person: str = ""
    day: date | None = None
    tax_included: bool = False
    published: bool = False
    by_price: bool = False
    rates: tuple[OwnRate, ...] = ()
    fixes: tuple[OwnFix, ...] = ()
    left_out: tuple[OwnRowLeft, ...] = ()
    names: tuple[OwnName, ...] = ()
    notes: tuple[OwnNote, ...] = ()
    densities: tuple[OwnDensity, ...] = ()
    formulas: tuple[OwnFormula, ...] = ()
    batch: Decimal | None = None
    ounces: str = ""
    likely_names: bool = False
    """Whether each name that is likely one thing is that."""
    below: str = ""
    """Whether what stands below the totals of formulas is "in" them or "out"."""
    money: str = ""
    """The workshop's own currency, while its book is empty."""
    registered: str = ""


_ROLES = tuple(dict.fromkeys(("", *MATERIAL_ROLES, *(role for roles in ROLES.values() for role in roles))))
_SHEET = Shape(
    OwnSheet,
    (
        Field("text", OwnText(), True, "Send at least one line."),
        Field("title", lim.NAME),
        Field("holds", lim.Choice(("", *ROLES))),
        Field("heads", lim.COUNT_OR_NONE),
        Field("columns", Rows(Shape(OwnColumn, (Field("holds", lim.Choice(_ROLES)),)), ("holds",), 0, MOST_COLUMNS)),
        Field("unit", lim.Choice(("", *PURCHASE_UNITS))),
        Field("priced", lim.Choice(("", "one", "all", "none"))),
        Field("formulas", lim.Choice(("", "yes", "no"))),
        Field("counts", lim.Choice(("", "yes", "no"))),
        Field("freight", lim.Choice(("", ON_TOP, INSIDE, NOT_TAKEN))),
        Field("tax", lim.Choice(("", *STANDS))),
        Field("yes", lim.Choice(("", *MEANINGS))),
        Field("rate", lim.TAX_RATE),
        Field("orders", lim.Choice(("", AS_ABOVE, AS_BLANK))),
        Field("each", lim.Choice(("", OF_PACK, OF_ONE))),
        Field("discount", lim.Choice(("", TAKEN_OFF, NOT_TAKEN))),
        Field("shared", lim.Choice(("", ALL_OF_DAY, JUST_ABOVE, NOT_TAKEN))),
        Field("order_tax", lim.Choice(("", ON_TOP, INSIDE, NOT_TAKEN, RATE))),
        Field("words", lim.Choice(("", UNKNOWN))),
        Field("zero", lim.Choice(("", FREE_OF_CHARGE, UNKNOWN))),
        Field("titles", lim.Choice(("", FIRST, LAST))),
        Field("method", lim.Choice(("", NOTE, NAMES))),
    ),
)
_RATE = Shape(
    OwnRate, (Field("currency", lim.CURRENCY, True), Field("amount", lim.RATE, True, "Type what one of it is."))
)
_PLACE = (Field("sheet", lim.COUNT_OR_NONE), Field("row", lim.COUNT, True, "Say which row."))
_FIX = Shape(
    OwnFix, (*_PLACE, Field("column", lim.COUNT_OR_NONE), Field("text", lim.SHORT, True, "Type what it should be."))
)
_DENSITY = Shape(
    OwnDensity,
    (Field("name", lim.NAME, True), Field("density", lim.DENSITY, True, "Type what one mL of it weighs, in g.")),
)
_NAME = Shape(OwnName, (Field("name", lim.NAME, True), Field("means", lim.NAME, True, "Say what is meant.")))
_NOTE = Shape(OwnNote, (*_PLACE, Field("counts", lim.Choice((AS_READ, COUNTS)), True, "Say whether it counts.")))
_SOLD = Shape(
    OwnSold,
    (
        Field("sheet", lim.COUNT_OR_NONE),
        Field("column", lim.COUNT_OR_NONE),
        Field("channel", lim.NAME, True, "Name the channel."),
    ),
)
_FORMULA = Shape(
    OwnFormula,
    (
        Field("name", lim.NAME, True),
        Field("amounts", lim.Choice(("percent", "grams", "parts")), True, "Say what its amounts are."),
    ),
)
OWN_SHEETS = Shape(
    OwnSheets,
    (
        Field("sheets", Rows(_SHEET, ("text",), 1, MOST_SHEETS), True, "Send at least one sheet."),
        Field("sign", lim.Choice(("", ".", ","))),
        Field("days", lim.Choice(("", "day first", "month first"))),
        Field("system", lim.Choice(("", "US", "imp"))),
        Field("unit", lim.Choice(("", *PURCHASE_UNITS))),
        Field("currency", lim.Choice(("", *MINOR_UNITS))),
        Field("amounts", lim.Choice(("", "percent", "grams", "parts"))),
        Field("prices", lim.Choice(("", PAID, LIST, ABOUT))),
        Field("supplier", lim.NAME),
        Field("channel", lim.NAME),
        Field("channels", Rows(_SOLD, ("channel",), 0, MOST_COLUMNS)),
        Field("person", lim.NAME),
        Field("day", lim.DAY),
        Field("tax_included", lim.FLAG),
        Field("published", lim.FLAG),
        Field("by_price", lim.FLAG),
        Field("rates", Rows(_RATE, ("amount",))),
        Field("fixes", Rows(_FIX, ("row", "text"), 0, MOST_CORRECTIONS)),
        Field("left_out", Rows(Shape(OwnRowLeft, _PLACE), ("row",), 0, MOST_CORRECTIONS)),
        Field("names", Rows(_NAME, ("name",), 0, MOST_CORRECTIONS)),
        Field("likely_names", lim.FLAG),
        Field("money", lim.Choice(("", *MINOR_UNITS))),
        Field("registered", lim.Choice(("", "yes", "no"))),
        Field("notes", Rows(_NOTE, ("row", "counts"), 0, MOST_CORRECTIONS)),
        Field("formulas", Rows(_FORMULA, ("name",), 0, MOST_CORRECTIONS)),
        Field("batch", lim.GRAMS),
        Field("ounces", lim.Choice(("", *OUNCES))),
        Field("below", lim.Choice(("", OUT, IN))),
        Field("densities", Rows(_DENSITY, ("name",), 0, MOST_CORRECTIONS)),
    ),
)


def choices_from(sent: OwnSheets, tables: tuple[OwnTable, ...]) -> Choices:
    """What was sent as the choices that the sheets are read by."""
    layouts = {number: _layout(one, tables[number]) for number, one in enumerate(sent.sheets) if one.holds}
    how = How(
        sent.prices,
        sent.supplier,
        sent.day,
        sent.tax_included,
        {one.currency: one.amount for one in sent.rates},
        sent.published,
        {mark_of(one.name): one.means for one in sent.names},
        sent.channel,
        {mark_of(one.name): one.density for one in sent.densities},
        {sold_mark(int(one.sheet), int(one.column)): one.channel for one in sent.channels},
        sent.person,
        sent.by_price,
    )
    fixes = {cell_mark(int(one.sheet), int(one.row), int(one.column)): one.text for one in sent.fixes}
    left_out = frozenset(row_mark(int(one.sheet), int(one.row)) for one in sent.left_out)
    told = Told(sent.sign, sent.days, sent.system, sent.currency, unit=sent.unit)
    kinds = {mark_of(one.name): one.amounts for one in sent.formulas}
    of = {number: of for number, one in enumerate(sent.sheets) if (of := _of(one)) != OfSheet()}
    found = Choices(layouts, told, sent.amounts, sent.prices, how, fixes, left_out, kinds, sent.batch, sent.ounces, of)
    notes = {row_mark(int(one.sheet), int(one.row)): one.counts for one in sent.notes}
    return replace(found, below=sent.below, money=sent.money, registered=sent.registered, notes=notes)


def _of(sent: OwnSheet) -> OfSheet:
    return OfSheet(**{one.name: getattr(sent, one.name) for one in fields(OfSheet)})


def _layout(sent: OwnSheet, table: OwnTable) -> Layout:
    if not sent.columns:
        return laid_out_as(table, sent.holds)
    return Layout(sent.holds, min(int(sent.heads), len(table.rows)), tuple(one.holds for one in sent.columns))
