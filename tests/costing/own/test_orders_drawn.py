"""Orders in whatever way people write their freight and their tax: they cost what they did, or it is said or asked.

The truth is of fractions: freight and tax of an order are shared over its lines by what these cost.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from hypothesis import event, given, settings
from hypothesis import strategies as st

from tests import examples
from webapp.costing.book import Book, Registration
from webapp.costing.own.columns import OwnTable
from webapp.costing.own.prices import PAID, How
from webapp.costing.own.reading import Choices, OwnReading
from webapp.costing.own.sheets import read_own
from webapp.costing.own.told import OfSheet, Told

SUPPLIERS = ("Mill", "Oak Supply", "Press")
#: to the cents that freight and tax are shared in, a cent each
CENTS = Fraction(2, 100)


@dataclass(frozen=True)
class Bought:
    """One order: of whom, on which day, kilograms and cents of each line, and what came on top in cents."""

    supplier: str
    day: date
    lines: tuple[tuple[int, int], ...]
    freight: int
    tax: int

    @property
    def goods(self) -> int:
        return sum(cents for _, cents in self.lines)


@dataclass(frozen=True)
class Way:
    """How a person writes it: keys in each row or in the first of an order; freight and tax each in a way.

    Tax by "line" is a fifth of each price, to a cent. What is `reclaimed` is no cost.
    """

    keys: str
    freight: str
    tax: str
    row_says: str
    reclaimed: bool


@st.composite
def logs(draw: st.DrawFn) -> tuple[Bought, ...]:
    day, found = date(2026, 1, 5), list[Bought]()
    for _ in range(draw(st.integers(1, 4))):
        day += timedelta(draw(st.integers(0, 9)))
        # one amount beside several lines that cost the same may be each line's own
        cents = draw(st.lists(st.integers(500, 9_900), min_size=1, max_size=4, unique=True))
        lines = [(draw(st.integers(1, 9)), each) for each in cents]
        freight, tax = (draw(st.sampled_from((0, 1))) * draw(st.integers(300, 2_000)) for _ in "ab")
        one = Bought(draw(st.sampled_from(SUPPLIERS)), day, tuple(lines), freight, tax)
        if not any((before.supplier, before.day) == (one.supplier, one.day) for before in found):
            found.append(one)
    return tuple(found)


WAYS = st.builds(
    Way,
    st.sampled_from(("each", "first")),
    st.sampled_from(("first", "each", "row", "none")),
    st.sampled_from(("first", "each", "row", "line", "none")),
    st.sampled_from(("both", "supplier", "day", "nothing")),
    st.booleans(),
)


def money(cents: int) -> str:
    return f"{cents // 100}.{cents % 100:02}" if cents else ""


def fifth(cents: int) -> int:
    return (cents * 2 + 5) // 10


def written(orders: tuple[Bought, ...], way: Way) -> OwnTable:
    """The orders as such a person writes them."""
    rows, number = [["Date", "Supplier", "Item", "Pack", "Price", "Freight", "VAT"]], 0
    for order in orders:
        day, supplier, tax = order.day.isoformat(), order.supplier, f"€{money(order.tax)}" if order.tax else ""
        for place, (kilograms, cents) in enumerate(order.lines):
            here = ("each",) if place else ("each", "first")
            keys = (day, supplier) if way.keys in here else ("", "")
            freight = money(order.freight) if way.freight in here else ""
            number += 1
            line = [f"Oil number {number}", f"{kilograms} kg", money(cents)]
            own = f"€{money(fifth(cents))}" if way.tax == "line" else ""
            rows.append([*keys, *line, freight, own or (tax if way.tax in here else "")])
        said = [
            day if way.row_says in ("both", "day") else "",
            supplier if way.row_says in ("both", "supplier") else "",
        ]
        if way.freight == "row" and order.freight:
            rows.append([*said, "Delivery", "", money(order.freight), "", ""])
        if way.tax == "row" and order.tax:
            rows.append([*said, "VAT", "", money(order.tax), "", ""])
    used = [place for place in range(7) if place < 5 or any(row[place] for row in rows[1:])]
    return OwnTable("Orders", tuple(tuple(row[place] for place in used) for row in rows))


def costs(orders: tuple[Bought, ...], way: Way) -> list[tuple[Fraction, int]]:
    """What each line cost, in money, with its part of freight and tax by value; and its grams."""
    found = []
    for order in orders:
        taxed = way.tax in ("first", "each", "row") and not way.reclaimed
        on_top = (order.freight if way.freight != "none" else 0) + (order.tax if taxed else 0)
        for kilograms, cents in order.lines:
            own = fifth(cents) if way.tax == "line" and not way.reclaimed else 0
            found.append((Fraction(cents + own, 100) + Fraction(on_top * cents, order.goods * 100), kilograms * 1000))
    return found


def answered(orders: tuple[Bought, ...], way: Way) -> OwnReading:
    """What is read of it, with what is asked of the sheet answered as it was meant."""
    since = (Registration(date(2020, 1, 1), True),) if way.reclaimed else ()
    book = Book(day=date(2026, 11, 25), registrations=since)
    book = replace(book, terms=replace(book.terms, registered=way.reclaimed))
    said = OfSheet(order_tax="top", freight="top")
    return read_own(book, (written(orders, way),), Choices(told=Told("."), how=How(PAID), of_sheets={0: said}))


@settings(max_examples=examples.of(300), deadline=None)
@given(logs(), WAYS)
def test_orders_cost_what_they_did_or_it_is_asked(orders: tuple[Bought, ...], way: Way) -> None:
    reading = answered(orders, way)
    if not reading.good:
        event(f"asked: {way}")
        return
    said = [one for one in reading.skipped if "not taken" in one.what or "not entered" in one.what]
    said_so = said or any("not taken" in one for each in reading.materials for one in each.said.remarks)
    event("said" if said_so else "read")
    if said_so:
        return
    for (cost, grams), one in zip(costs(orders, way), reading.materials, strict=True):
        assert isinstance(one.cost, Decimal)
        assert abs(Fraction(one.cost) * grams - cost) <= CENTS, (one.said.name, float(one.cost * grams), float(cost))
