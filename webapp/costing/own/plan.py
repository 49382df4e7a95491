"""What is gathered while materials of a maker's own sheets become changes of the book, and what was chosen for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from functools import cached_property

from webapp.costing import book as b
from webapp.costing.book import Book, Id
from webapp.costing.called import Meant, Names, keys_alike, known
from webapp.costing.changes import Change
from webapp.costing.limits import name_key
from webapp.costing.own.material_row import MaterialRow
from webapp.costing.own.rows import Skipped, Wrong, mark_of
from webapp.costing.own.told import OfSheet
from webapp.costing.own.written import Written

PAID, LIST, ABOUT = "paid", "list", "about"


OrderKey = tuple[Id, date, str, str]
"""An order by its supplier, its day, its currency and its number, where one parts it from others."""


@dataclass(frozen=True, slots=True)
class How:
    """What the prices of the sheets are, as a person said once: `rates` are home money for one of another currency."""

    prices: str = ABOUT
    supplier: str = ""
    day: date | None = None
    tax_included: bool = False
    rates: Mapping[str, Decimal] = field(default_factory=dict)
    published: bool = False
    """Whether published densities are taken for what is bought by volume and has none."""
    means: Mapping[str, str] = field(default_factory=dict)
    """What a name was said to mean: its mark -> the name in the book, or NEW."""
    channel: str = ""
    """The channel that prices of products are for, where their head says no other."""
    densities: Mapping[str, Decimal] = field(default_factory=dict)
    """The mark of a name -> g/mL: what is bought by volume and whose sheet doesn't say what it weighs."""
    channels: Mapping[str, str] = field(default_factory=dict)
    """The channel that the prices of a column were said to be for: the mark of the column -> its name."""
    person: str = ""
    """Whose minutes stand in lists of products; somebody new where nobody is called so."""
    by_price: bool = False
    """Whether what one mL weighs is taken from a sheet's own price for one kg, where nothing else says it."""
    written: Written = field(default=Written(), compare=False)
    """How figures are written in what is said."""


NEW = "new"


@dataclass(frozen=True, slots=True)
class Planned:
    """A change with the cell that it comes from: what is refused of it is said there, and mended there."""

    change: Change
    sheet: int
    row: int
    column: int = 0


@dataclass
class MaterialSaid:
    """What becomes of one row: its material, whether the book has it already, and how its price is kept."""

    row: MaterialRow
    material: Id
    known: bool
    name: str
    way: str = ""
    """"paid", "list", "about", or "" where there is no price."""
    remarks: list[str] = field(default_factory=list)
    near: tuple[str, ...] = ()
    missing: str = ""
    """What the sheet doesn't say of it, so that it is no order and no list price: "supplier and no day"."""


@dataclass
class Numbers:
    """Temporary numbers for what is new."""

    last: int = 0

    def new(self) -> Id:
        """The next one, below zero."""
        self.last -= 1
        return self.last


@dataclass
class Plan:
    """What is gathered while rows become changes."""

    book: Book
    how: How
    numbers: Numbers
    materials: dict[Id, b.Material] = field(default_factory=dict)
    suppliers: dict[str, b.Supplier] = field(default_factory=dict)
    orders: dict[OrderKey, list[tuple[MaterialRow, b.OrderLine]]] = field(default_factory=dict)
    freights: dict[OrderKey, list[tuple[MaterialSaid, bool]]] = field(default_factory=dict)
    """The rows of each order in which freight stands, and whether the book has the purchase already."""
    taxes: dict[OrderKey, list[tuple[MaterialRow, MaterialSaid | None, bool]]] = field(default_factory=dict)
    """The rows of each order in which its sales tax in money stands, what is said of each, whether the book has it."""
    again: set[OrderKey] = field(default_factory=set)
    """The orders of which the book has a purchase already."""
    besides: list[tuple[MaterialRow, MaterialRow | None, tuple[MaterialRow, ...]]] = field(default_factory=list)
    """The rows that are freight themselves, each with the row of an order right above it, and those of one day."""
    added: dict[OrderKey, list[tuple[int, Decimal, str]]] = field(default_factory=dict)
    """What such rows add to each order: their sheet, the amount, its currency."""
    passed: list[Skipped] = field(default_factory=list)
    """What is said of such rows, which are no materials."""
    quotes: list[tuple[MaterialRow, b.Quote]] = field(default_factory=list)
    sources: dict[Id, MaterialRow] = field(default_factory=dict)
    said: list[MaterialSaid] = field(default_factory=list)
    wrong: list[Wrong] = field(default_factory=list)
    quoted: dict[Id, tuple[MaterialSaid, b.Quote]] = field(default_factory=dict)
    """Of each material with list prices the one that counts."""
    started: dict[Id, MaterialSaid] = field(default_factory=dict)
    """By which row each material has its starting price."""
    of_sheets: Mapping[int, OfSheet] = field(default_factory=dict)
    """What was said of one sheet alone."""
    _new: dict[str, Id] = field(default_factory=dict)

    def told(self, sheet: int) -> OfSheet:
        """What was said of a sheet alone."""
        return self.of_sheets.get(sheet, OfSheet())

    @cached_property
    def bought(self) -> frozenset[Id]:
        """What was bought before."""
        return frozenset(line.material for order in self.book.orders.values() for line in order.lines)

    @cached_property
    def purchases(self) -> frozenset[tuple[object, ...]]:
        """The purchases of the book, as far as a sheet says them."""
        orders = self.book.orders.values()
        return frozenset(purchase(order.supplier, order.day, line) for order in orders for line in order.lines)

    @cached_property
    def listed(self) -> frozenset[b.Quote]:
        """The list prices of the book, as far as a sheet says them."""
        return frozenset(list_price(one) for one in self.book.quotes.values())

    @cached_property
    def supplier_names(self) -> Names:
        """What the suppliers of the book are called."""
        return Names(known(self.book.suppliers.values()))

    def supplier_called(self, name: str) -> Id:
        """The number of a supplier of the book or of the sheets; 0 where none is called so."""
        found, new = self.supplier_names.meant(name), self.suppliers.get(name_key(name))
        return int(found.value) if found.value else new.id if new else 0

    def say_alike(self) -> None:
        """Of each new material whose rows write its name in several ways, that these are one."""
        for one in self.said:
            if not one.known and name_key(one.name) != name_key(one.row.name):
                one.remarks.append(f"{one.row.name} is {one.name} here.")

    def material_named(self, row: MaterialRow, names: Names) -> tuple[Id, bool, tuple[str, ...]]:
        """The material that a row means, made where there is none; whether it was there; names that are like it."""
        told = self.how.means.get(mark_of(row.name), "")
        found = found_for(names, told, row.name)
        if found.value:
            ident = int(found.value)
            self.materials.setdefault(ident, self.book.materials[ident])
            return ident, True, ()
        keys = keys_alike(row.name)
        ident = next((self._new[key] for key in keys if key in self._new), 0)
        if not ident:
            ident = self.numbers.new()
            self.materials[ident] = b.Material(ident, row.name, row.kind, row.nature)
        self._new |= {key: ident for key in keys if key not in self._new}
        return ident, False, found.near


def found_for(names: Names, told: str, name: str) -> Meant:
    """What a name means, by what was said of it; what was said to be NEW is nothing but what is called just so.

    That has come in since: a sheet names it now, or it was saved. What was said and is not there any more, since its
    columns are read in another way now, says nothing.
    """
    if told != NEW:
        return said if told and (said := names.meant(told)).value else names.meant_alike(name)
    found = names.meant(name)
    return found if found.value and name_key(names.name_of(found.value)) == name_key(name) else Meant()


def purchase(supplier: Id, day: date, line: b.OrderLine) -> tuple[object, ...]:
    """A line of an order, as far as a sheet says it."""
    return supplier, day, line.material, line.packs, line.size, line.unit, line.price


def list_price(quote: b.Quote) -> b.Quote:
    """A quote without what a sheet doesn't say: until when it holds, and its note."""
    return replace(quote, id=0, until=quote.since, note="")
