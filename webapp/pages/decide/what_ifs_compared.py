"""Two kept what-ifs side by side: each row that moves as it is now, with the one and with the other."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from webapp.costing.month import Month, month
from webapp.costing.supposing import again, suppositions
from webapp.costing.whatif import suppose
from webapp.costing.whatif_compared import ComparedRow, compared
from webapp.pages import addresses
from webapp.pages.decide.what_if import PLACE, kept_one
from webapp.pages.rendering import Desk, DeskNow, View, show
from webapp.routes import Routes
from webapp.store.what_ifs import KeptWhatIf

router = Routes()
#: how many rows are sent; all of them where that is asked for
SHOWN = 50


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two: its name, where it is opened, its month, and what of it does not fit today's book."""

    name: str
    href: str
    month: Month
    faults: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NamedRow:
    """A row of the comparison with what it is called."""

    name: str
    href: str
    row: ComparedRow


@dataclass(frozen=True, slots=True)
class Comparison:
    """What stands on the page; `more` is where all rows are, "" where they are here."""

    now: Month
    one: Side
    other: Side
    rows: tuple[NamedRow, ...]
    rest: int
    more: str


@router.get(addresses.COMPARED)
def side_by_side(
    desk: DeskNow,
    a: Annotated[str, Query()] = "",
    b: Annotated[str, Query()] = "",
    every: Annotated[str, Query()] = "",
) -> Response:
    """Both worked out anew on the book, beside the line as it is."""
    view = comparison(desk, kept_one(desk, a), kept_one(desk, b), all_of_them=bool(every))
    return show(desk, View("decide/what_if/compared.html", f"{view.one.name} and {view.other.name}", PLACE, view))


def comparison(desk: Desk, a: KeptWhatIf, b: KeptWhatIf, *, all_of_them: bool) -> Comparison:
    """The sides and the rows, the worst of the first one first."""
    desk.reckoning.line()  # what is known can be carried over
    found = []
    for one in (a, b):
        read = suppositions(desk.book, again(one.rows, desk.notation), desk.notation)
        supposed = suppose(desk.reckoning, read.found)
        faults = tuple(_said(fault.field, fault.sentence) for fault in (*read.faults, *supposed.faults))
        found.append((Side(one.name, addresses.kept_what_if(one.ident), month(supposed.known), faults), supposed.known))
    (one_side, one_known), (other_side, other_known) = found
    rows = compared(desk.reckoning, one_known, other_known)
    shown = rows if all_of_them else rows[:SHOWN]
    more = f"{addresses.COMPARED}?a={a.ident}&b={b.ident}&every=yes" if len(rows) > len(shown) else ""
    named = tuple(_named(desk, row) for row in shown)
    return Comparison(month(desk.reckoning), one_side, other_side, named, len(rows) - len(shown), more)


def _said(field: str, sentence: str) -> str:
    number = field.split("-")[1]
    return f"Supposition {int(number) + 1} is left out: {sentence}"


def _named(desk: Desk, row: ComparedRow) -> NamedRow:
    product, channel = desk.book.products[row.now.product], desk.book.channels[row.now.channel]
    return NamedRow(f"{product.name}, {channel.name}", addresses.thing("product", product.id), row)
