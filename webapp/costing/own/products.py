"""Rows of a maker's own list of products as products: filling, jar and label, minutes, and prices on their channels.

What a list does not say of a product is left to be entered, and said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import NamedTuple

from webapp.costing import book as b
from webapp.costing import limits as lim
from webapp.costing.amounts import Unreadable, plain
from webapp.costing.book import Book, Id
from webapp.costing.called import Names
from webapp.costing.changes import Put
from webapp.costing.limits import name_key
from webapp.costing.own import cells
from webapp.costing.own.columns import BLANK, Layout, OwnTable, sort_of
from webapp.costing.own.contents import Filling, fillings_of, set_in
from webapp.costing.own.heads_again import is_heads
from webapp.costing.own.made import jars_in
from webapp.costing.own.minutes import minutes_in
from webapp.costing.own.names import FILLING, FORMULA, NameAsked, likely_of
from webapp.costing.own.parts import Parting, new_pieces, parts_of, work_of
from webapp.costing.own.plan import NEW
from webapp.costing.own.prices import SOURCE, Planned
from webapp.costing.own.rows import (
    COMMENT,
    HEADS,
    TOTAL,
    OwnRow,
    Skipped,
    Wrong,
    is_total,
    mark_of,
    mentioned,
    rows_of,
    skipped,
)
from webapp.costing.own.selling import PriceColumn
from webapp.costing.own.told import Told

#: in place of a name: the one above
_DITTO = ('"', "''", "\u201d", "\u2033", "ditto", "dto", "dto.", "idem")
ONLY_FILLED = "Only its filling is entered: add jar, label and minutes at the product."
NO_PARTS = "The sheet names no jar and no label: add them at the product."
NO_MINUTES = "The sheet says no minutes: add them at the product."


class Asked(NamedTuple):
    """A price in a column, and its currency; "" for home money."""

    column: int
    amount: Decimal
    currency: str


@dataclass(frozen=True, slots=True)
class ProductRow:
    """What one row says of a product, with the rows below it that are of the same; `wrong` as it is.

    `fillings` are one at least; `size` and `unit` are those of the first, None where it says no content.
    """

    row: OwnRow
    name: str
    fillings: tuple[Filling, ...]
    minutes: Decimal | None = None
    prices: tuple[Asked, ...] = ()
    below: tuple[OwnRow, ...] = ()
    makes: Decimal | None = None
    """How many jars a batch makes; None where that is not said, or can't be read."""

    @property
    def size(self) -> Decimal | None:
        """How much of the first formula is in a jar, in g or mL."""
        return self.fillings[0].size

    @property
    def unit(self) -> str:
        """The unit of that."""
        return self.fillings[0].unit

    @property
    def rows(self) -> tuple[OwnRow, ...]:
        """All rows of it."""
        return (self.row, *self.below)

    @property
    def wrong(self) -> list[Wrong]:
        """What is wrong with it so far."""
        return [fault for one in self.rows for fault in one.wrong]


@dataclass
class ProductSaid:
    """What becomes of one row: its product, whether it was there, and its prices that are kept, by channel."""

    row: ProductRow
    product: Id
    known: bool
    name: str
    parts: tuple[b.Part, ...] = ()
    prices: dict[Id, Decimal] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)


@dataclass
class Offering:
    """What is gathered while rows of products become changes."""

    book: Book
    names: Names
    columns: Mapping[tuple[int, int], PriceColumn]
    parting: Parting
    said: list[ProductSaid] = field(default_factory=list)
    planned: list[Planned] = field(default_factory=list)


def products_in(
    sheet: int, table: OwnTable, layout: Layout, told: Told, left_out: frozenset[str], *, ounces: str
) -> tuple[list[ProductRow], list[Skipped]]:
    """The products of a sheet, and the rows passed over. `ounces` is what those of contents were said to be."""
    found: list[ProductRow] = []
    passed: list[Skipped] = []
    for row in rows_of(sheet, table, layout, told, left_out):
        if found and _is_more(row, found[-1]):
            found[-1] = _with_more(found[-1], row, ounces)
            continue
        what = HEADS if is_heads(row) else TOTAL if is_total(row) else "" if len(mentioned(row)) > 1 else COMMENT
        if what:
            passed.append(skipped(row, what))
        else:
            found.append(_product(row, ounces))
    return found, passed


def _product(row: OwnRow, ounces: str) -> ProductRow:
    fillings = fillings_of(row, ounces)
    name, first = row.words("name"), fillings[0]
    if not name and first.formula and not row.text("name"):
        how_much = f", {plain(first.size)} {first.unit}" if first.size is not None else ""
        name = f"{first.formula}{how_much}"[: lim.NAME_LENGTH]
    if not name and not row.wrong:
        row.fault("name", "Name the product, or leave this row out.", "", "formula")
    prices = tuple(one for place in row.layout.places("price") if (one := _asked(row, place)) is not None)
    return ProductRow(row, name, fillings, minutes_in(row), prices, makes=_makes(row))


def _makes(row: OwnRow) -> Decimal | None:
    with suppress(Unreadable):
        return jars_in(row.text("makes"))
    return None


def _is_more(row: OwnRow, before: ProductRow) -> bool:
    """Whether a row without a price is of the product right above: another formula of a set, or parts.

    It has no name, or the same where others have a price.
    """
    last, layout, name = before.rows[-1], row.layout, row.text("name")
    again = bool(layout.places("price")) and name_key(name) == name_key(before.name)
    nameless = name in BLANK or name in _DITTO
    if row.number != last.number + 1 or before.row.text("name") in BLANK or not (nameless or again):
        return False
    if any(row.table.cell(row.number, place) not in BLANK for place in layout.places("price")) or is_total(row):
        return False
    formula = row.text("formula")
    if formula in BLANK:
        return {*mentioned(row)} == {"part"}
    return name_key(formula) not in [name_key(one.formula) for one in before.fillings]


def _with_more(before: ProductRow, row: OwnRow, ounces: str) -> ProductRow:
    """A product with what the row below says of it."""
    more = fillings_of(row, ounces) if row.text("formula") not in BLANK else ()
    for one in more:
        one.complete()
    minutes = minutes_in(row)
    if minutes is not None and before.minutes is not None:
        words = f"{before.name} has minutes in row {before.row.number}. Write all of them there, and none here."
        row.fault("minutes", words, "", "batch_minutes", "some_minutes")
    row.remarks.append(f"Row {row.number} is read as more of {before.name}.")
    minutes = before.minutes if before.minutes is not None else minutes
    return replace(before, fillings=(*before.fillings, *more), minutes=minutes, below=(*before.below, row))


def _asked(row: OwnRow, place: int) -> Asked | None:
    paid = row.read_at(place, cells.money)
    if paid is None:
        return None
    if more := cells.doubtful(row.table.cell(row.number, place), row.told):
        row.remarks.append(more)
    return Asked(place, paid[0].value, paid[0].unit)


# --- as changes


def plan_products(rows: Sequence[ProductRow], parting: Parting, columns: Sequence[PriceColumn]) -> Offering:
    """What the rows make of the book that the formulas of the sheets are in; faults are noted at their rows."""
    book = parting.book
    offering = Offering(book, parting.names, {(one.sheet, one.column): one for one in columns}, parting)
    held = {name_key(one.name): one for one in book.products.values()}
    before: dict[str, ProductRow] = {}
    for row in rows:
        key = name_key(row.name)
        first = before.setdefault(key, row)
        there = held.get(key)
        said = ProductSaid(row, there.id if there else parting.numbers.new(), there is not None, row.name)
        offering.said.append(said)
        if first is not row and row.name:
            row.row.fault("name", f"{row.name} stands here twice. Call one of them something else, or leave it out.")
        if there is not None:
            said.remarks.append("The book has it already: what is in it stays.")
        placed = there is not None or _is_placed(offering, said)
        said.remarks[:0] = [remark for one in row.rows for remark in one.remarks]
        if placed and not row.wrong:
            _price(offering, said)
    offering.planned[:0] = new_pieces(parting)
    return offering


def _is_placed(offering: Offering, said: ProductSaid) -> bool:
    """A new product with its filling, and whether there is one now; what is missing for it is wrong at its cell."""
    row = said.row
    formulas = [_formula_in(offering, said, one) for one in row.fillings]
    if None in formulas:
        said.remarks.append("Left out: no formula is in it.")
        return False
    if row.size is None and row.row.layout.place("size") is None:
        _ask_for_sizes(row.row)
    elif row.size is None and not row.row.text("size"):
        row.row.fault("size", "Say how much is in it, such as 100 g or 50 mL, or leave this row out.", "", "name")
    said.parts = tuple(part for one in row.rows for part in parts_of(offering.parting, one))
    work = work_of(offering.parting, row.row, row.minutes)
    if row.wrong or row.size is None or not all(one in offering.book.formulas for one in formulas):
        return False
    every = zip(formulas, row.fillings, strict=True)
    fills = tuple(b.Fill(one, of.size, of.unit) for one, of in every if one and of.size is not None)
    missing = (NO_MINUTES if said.parts else ONLY_FILLED) if not work else "" if said.parts else NO_PARTS
    said.remarks += [missing] if missing else []
    made = b.Product(said.product, row.name, offering.book.day, fills, said.parts, work=work)
    offering.planned.append(Planned(Put(made), row.row.sheet, row.row.number))
    return True


def _formula_in(offering: Offering, said: ProductSaid, filling: Filling) -> Id | None:
    """Which formula a filling means, 0 for none that is known: that is asked, or wrong; None where it is left out."""
    text = filling.formula or said.row.name
    of = FILLING if filling.formula else FORMULA
    told = offering.parting.means.get(mark_of(text), "")
    found = offering.names.meant(text if told in ("", NEW) else told) if text else None
    kind, _, number = found.value.partition(":") if found else ("", "", "")
    if told == NEW:
        return None
    near = [one for one in found.near if offering.names.meant(one).value.startswith("formula")] if found else []
    asks = of == FORMULA or kind != "material"  # what is an ingredient stays one: its cell is corrected
    if text and kind != "formula" and _is_set(offering, text):
        words = f"{text[:60]}: how much of each is in it? Write it in the same order, such as 48 g + 45 g."
        filling.fault(words, sized=True)
    elif text and kind != "formula" and asks and (there := _formulas(offering, near)):
        best = likely_of(text, near, there)
        asked = NameAsked(mark_of(text), text, there, told, (filling.row.sheet, filling.row.number), of, best=best)
        offering.parting.asked.setdefault(asked.mark, asked)
    elif text and kind != "formula":
        filling.fault(f"No formula is called {text[:60]}. Name the one that is in it, or leave this row out.")
    return int(number) if kind == "formula" else 0


def _is_set(offering: Offering, text: str) -> bool:
    """Whether a text names several formulas, and only such."""
    names = set_in(text)
    return len(names) > 1 and all(offering.names.meant(one).value.startswith("formula") for one in names)


def _ask_for_sizes(row: OwnRow) -> None:
    """Which column holds the content, asked at the first that is left out and has amounts: once for the sheet."""
    table, layout = row.table, row.layout
    free = [place for place in range(table.width) if place >= len(layout.roles) or not layout.roles[place]]
    below = range(layout.heads + 1, len(table.rows) + 1)
    likely = [place for place in free if any(sort_of(table.cell(one, place)) == "amount" for one in below)]
    place = next(iter((*likely, *free)), 0)
    words = f"{table.title}: No column is taken for the content of a jar. Choose the one that says how much is in it, "
    words += "or say that this sheet holds nothing that is wanted."
    row.fault_at(place, words, f"sheets-{row.sheet}-columns-{place}")


def _formulas(offering: Offering, near: Sequence[str]) -> tuple[str, ...]:
    """The formulas that there are, by name, those that are like what was looked for first."""
    there = [one.name for one in offering.names.all if one.value.startswith("formula")]
    return tuple(sorted(dict.fromkeys(there), key=lambda name: (name not in near, name_key(name))))


def _price(offering: Offering, said: ProductSaid) -> None:
    row, book = said.row, offering.book
    if not row.prices:
        said.remarks.append("No price here: it has none until one is entered.")
    elif not any(one.retired is None for one in book.channels.values()):
        said.remarks.append("Its price is not kept: there is no channel yet. Enter where you sell, then look again.")
    else:
        for one in row.prices:
            _price_on(offering, said, one, offering.columns[row.row.sheet, one.column])


def _price_on(offering: Offering, said: ProductSaid, asked: Asked, column: PriceColumn) -> None:
    row, book, home = said.row.row, offering.book, offering.book.workshop.currency
    if asked.currency not in ("", home):
        words = f"This price is in {asked.currency}, and prices are set in {home}. Type it in {home}."
        row.fault_at(asked.column, words)
    elif column.channel is None:
        words = "Choose the channel that these prices are for, or leave this column out."
        row.fault_at(asked.column, words, column.choice)
    elif column.channel in said.prices:
        name = book.channels[column.channel].name
        words = f"Another column has prices for {name} too. Choose another channel, or leave one of them out."
        row.fault_at(asked.column, words, column.choice)
    else:
        said.prices[column.channel] = asked.amount
        held = book.prices.get((said.product, column.channel))
        if held is not None and held.amount == asked.amount:
            said.remarks.append("This is its price there already.")
            return
        price = b.Price(said.product, column.channel, book.day, asked.amount, f"From {SOURCE}.")
        offering.planned.append(Planned(Put(price), row.sheet, row.number))
