"""Short builders of orders and of the little book they are landed in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from webapp.costing.book import (
    Book,
    Charge,
    Density,
    Exchange,
    Material,
    Order,
    OrderLine,
    Registration,
    StartingPrice,
    Supplier,
    Workshop,
)
from webapp.costing.gaps import Figure, Gap

TODAY = date(2026, 6, 30)
BOUGHT = date(2026, 6, 1)
SHEA, JOJOBA, ROSE_WATER, JAR, LID, VANILLA = 1, 2, 3, 4, 5, 6
D = Decimal


def density(value: str) -> Density:
    return Density(date(2020, 1, 1), D(value), D(20))


MATERIALS = {
    SHEA: Material(SHEA, "Shea butter"),
    JOJOBA: Material(JOJOBA, "Jojoba", density=density("0.8642")),
    ROSE_WATER: Material(ROSE_WATER, "Rose water"),
    JAR: Material(JAR, "Jar", kind="packaging", piece_grams=D("92.5")),
    LID: Material(LID, "Lid", kind="packaging"),
    VANILLA: Material(VANILLA, "Vanilla pod", piece_grams=D("3.5")),
}


def book(*, registered: bool = False, materials: Sequence[Material] = (), **facts: Any) -> Book:
    """A book on TODAY in euros; `materials` replace the usual ones of the same id."""
    held = {**MATERIALS, **{material.id: material for material in materials}}
    tax = (Registration(date(2020, 1, 1), registered=True),) if registered else ()
    facts.setdefault("workshop", Workshop(currency="EUR"))
    return Book(
        facts.pop("day", TODAY),
        registrations=tax,
        materials=held,
        suppliers={1: Supplier(1, "Hollow Lane Oils")},
        **facts,
    )


def line(material: int = SHEA, packs: str = "1", size: str = "1", unit: str = "kg", **typed: Any) -> OrderLine:
    """A line; amounts as texts."""
    return OrderLine(material, D(packs), D(size), unit, **_exact(typed))


def charge(amount: str, kind: str = "freight", **typed: Any) -> Charge:
    return Charge(kind, D(amount), **_exact(typed))


def order(*lines: OrderLine, number: int = 1, day: date = BOUGHT, **typed: Any) -> Order:
    return Order(number, 1, day, tuple(lines), **_exact(typed))


def exchange(way: str, amount: str) -> Exchange:
    return Exchange(way, D(amount))


def starting(amount: str, unit: str) -> StartingPrice:
    return StartingPrice(D(amount), unit)


WORDS = {"unit", "kind", "money", "share", "discount_in", "not_priced", "currency", "label", "number", "note"}


def _exact(typed: dict[str, Any]) -> dict[str, Any]:
    """Texts as exact amounts, but for the fields that hold words."""
    return {name: D(value) if isinstance(value, str) and name not in WORDS else value for name, value in typed.items()}


def known(figure: Figure) -> Decimal:
    """The figure, which the test expects to be known."""
    assert not isinstance(figure, Gap), figure.reason
    return figure


def reason(figure: object) -> str:
    """Why the figure is missing, which the test expects it to be."""
    assert isinstance(figure, Gap), figure
    return figure.reason
