"""Jars sold a month of many products on their channels at once: typed or pasted, all of them kept or none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.costing.amounts import Notation
from webapp.costing.book import Book, Id, Sales
from webapp.costing.changes import Put
from webapp.costing.describing import SINCE, Field, Rows, Shape
from webapp.costing.entry import read
from webapp.costing.limits import JARS_A_MONTH, Fault, Reference

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

SALES = "sales"
MOST = 500


@dataclass(frozen=True, slots=True)
class Sale:
    """Jars a month of a product on a channel; None: not known."""

    product: Id
    channel: Id
    jars: Decimal | None = None


@dataclass(frozen=True, slots=True)
class SalesSheet:
    """Several of them, from one day on."""

    since: date
    sales: tuple[Sale, ...]


SALE = Shape(
    Sale,
    (
        Field("product", Reference("product"), True, "Say which product."),
        Field("channel", Reference("channel"), True, "Say on which channel."),
        Field("jars", JARS_A_MONTH),
    ),
)
SHEET = Shape(
    SalesSheet,
    (
        SINCE,
        Field(SALES, Rows(SALE, ("product", "channel", "jars"), 1, MOST), True, "Send at least one line."),
    ),
)


class Read(NamedTuple):
    """What was typed as changes, those that change nothing left out; faults at "sales-3-jars"."""

    puts: tuple[Put, ...]
    faults: tuple[Fault, ...] = ()


def read_sales(known: Reckoning, rows: Sequence[Any], since: date, notation: Notation, today: date) -> Read:
    """Jars sold a month from a day on, one row a product on a channel. Empty jars: not known."""
    pairs = {(row.product, row.channel) for row in known.line()}
    found: dict[tuple[Id, Id], Sales] = {}
    faults: list[Fault] = []
    for number, row in enumerate(rows):
        entry = read(SALE, row if isinstance(row, Mapping) else {}, notation, today=today)
        wrong = list(entry.faults) or list(_wrong(entry.record, pairs, found))
        faults += [Fault(f"{SALES}-{number}-{fault.field}", fault.code, fault.sentence) for fault in wrong]
        if not wrong:
            sale: Sale = entry.record
            found[sale.product, sale.channel] = Sales(sale.product, sale.channel, since, sale.jars)
    return Read(tuple(Put(one) for one in found.values() if _changes(known.book, one)), tuple(faults))


def _wrong(sale: Sale, pairs: set[tuple[Id, Id]], before: Mapping[Any, Sales]) -> Iterable[Fault]:
    pair = (sale.product, sale.channel)
    if pair not in pairs:
        yield Fault("product", "reference", "This product isn't sold there. Look at its channels.")
    elif pair in before:
        yield Fault("product", "repeated", "The jars of this product on this channel stand here twice. Take one out.")


def _changes(book: Book, one: Sales) -> bool:
    held = book.sales.get((one.product, one.channel))
    return one.jars != (None if held is None else held.jars)
