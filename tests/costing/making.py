"""Short builders of a small making room: what things cost is a starting price, so that a sum can be done by hand."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from webapp.costing.amounts import snap, whole
from webapp.costing.book import (
    Bill,
    Book,
    Density,
    Fill,
    Formula,
    FormulaLine,
    Material,
    Part,
    PartGroup,
    Person,
    Product,
    StartingPrice,
    Terms,
    Wage,
    Work,
)
from webapp.costing.gaps import Figure, Gap
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Working

D = Decimal
DAY = date(2026, 6, 30)
SHEA, OIL, WATER, JAR, LID = 1, 2, 3, 4, 5
ANNA, BEN = 11, 12
BUTTER, INFUSED, LOTION = 21, 22, 23
TUB, DUO, SET = 31, 32, 33
SEALED = 41


def costing(number: int, name: str, price: str | None, unit: str = "kg", **more: Any) -> Material:
    """A material at about so much a kg, or a piece."""
    starting = None if price is None else StartingPrice(D(price), unit)
    kind = "packaging" if unit == "pieces" else "ingredient"
    return Material(number, name, kind, starting=starting, **more)


def density(value: str) -> Density:
    return Density(DAY, D(value), D(20), "measured")


def line(
    what: int, amount: str | None, unit: str = "percent", *, blend: bool = False, rest: bool = False
) -> FormulaLine:
    """A line of a material, or of a formula where it is a `blend`; no amount where it takes the rest."""
    typed = None if amount is None else D(amount)
    return FormulaLine(None if blend else what, what if blend else None, typed, unit, rest)


def formula(number: int, *lines: FormulaLine, **more: Any) -> Formula:
    numbers: dict[str, Any] = {
        name: D(value) if isinstance(value, str) and name != "way" else value for name, value in more.items()
    }
    return Formula(
        number, {BUTTER: "Butter", INFUSED: "Infused oil"}.get(number, f"Formula {number}"), DAY, lines, **numbers
    )


def fill(of: int, declared: str, unit: str = "g", overfill: str = "0") -> Fill:
    return Fill(of, D(declared), unit, D(overfill))


def product(number: int, *fills: Fill, **more: Any) -> Product:
    numbers: dict[str, Any] = {name: D(value) if isinstance(value, str) else value for name, value in more.items()}
    return Product(
        number, {TUB: "Tub", DUO: "Duo", SET: "Gift set"}.get(number, f"Product {number}"), DAY, fills, **numbers
    )


def work(person: int, per_batch: str | None = None, per_kg: str | None = None, per_jar: str | None = None) -> Work:
    return Work(person, *(None if one is None else D(one) for one in (per_batch, per_kg, per_jar)))


MATERIALS = (
    costing(SHEA, "Shea", "8"),
    costing(OIL, "Oil", "5", density=density("0.9"), drops_per_ml=D(30)),
    costing(WATER, "Rose water", None),
    costing(JAR, "Jar", "0.50", "pieces"),
    costing(LID, "Lid", "0.20", "pieces"),
)
PEOPLE = (Person(ANNA, "Anna", "own", Wage(DAY, D(15))), Person(BEN, "Ben", "hired", Wage(DAY, D(12), D(25))))
GROUPS = (PartGroup(SEALED, "Jar and lid", DAY, (Part(JAR), Part(LID, spoiled=D(10)))),)


def room(*things: Any, terms: Terms | None = None, bills: Mapping[int, str] | None = None) -> Book:
    """The usual materials and people, with `things` beside them or in their place; bills by number, a month."""
    shelves: dict[type[Any], str] = {
        Material: "materials", Person: "people", PartGroup: "groups", Formula: "formulas", Product: "products",
    }  # fmt: skip
    held: dict[str, Any] = {shelf: {} for shelf in shelves.values()}
    for thing in (*MATERIALS, *PEOPLE, *GROUPS, *things):
        held[shelves[type(thing)]][thing.id] = thing
    month = {number: Bill(number, f"Bill {number}", DAY, D(amount)) for number, amount in (bills or {}).items()}
    return Book(day=DAY, terms=terms or Terms(overhead="left out"), bills=month, **held)


def reckoned(*things: Any, **more: Any) -> Reckoning:
    return Reckoning(room(*things, **more))


#: 60 % shea, 40 % oil: 6.80 a kg; a batch of 1 kg
PLAIN_BUTTER = formula(BUTTER, line(SHEA, "60"), line(OIL, "40"), batch_grams="1000")
PLAIN_TUB = product(TUB, fill(BUTTER, "100"))


def changed(record: Any, **more: Any) -> Any:
    return replace(record, **{name: D(value) if isinstance(value, str) else value for name, value in more.items()})


def these(*values: Any) -> tuple[Any, ...]:
    """Values side by side, to be compared with what they should be."""
    return values


def known(figure: Figure) -> Decimal:
    assert not isinstance(figure, Gap), figure
    return figure


def gap(figure: Any) -> Gap:
    assert isinstance(figure, Gap), figure
    return figure


def adds_up(working: Working) -> bool:
    """The steps of a sum, one after the other, come to its result, and so do all sums in it; a gap stays a gap."""
    return _comes_to(working) and all(
        step.working is None or (_same(step.working.result, step.amount) and adds_up(step.working))
        for step in working.steps
    )


def _same(one: Figure, other: Figure) -> bool:
    if isinstance(one, Gap) or isinstance(other, Gap):
        return isinstance(one, Gap) and isinstance(other, Gap)
    # A step that is a third cut off after 50 digits may fall on the other side of a tie at the twelfth place.
    return snap(one) == snap(other) or abs(one - other) < D("1e-30")


def _comes_to(working: Working) -> bool:
    return _same(total_of(working), working.result)


def total_of(working: Working) -> Figure:
    """What the steps of a sum come to, one after the other, or the first gap among them."""
    total = D(0)
    for step in working.steps:
        if isinstance(step.amount, Gap):
            return step.amount
        if step.sign == "=":
            assert step.amount in (snap(total), total, whole(total)), (working.title, step.words, total)
        total = _SIGNS[step.sign](total, step.amount)
    return total


_SIGNS: dict[str, Callable[[Decimal, Decimal], Decimal]] = {
    "": lambda _, amount: amount,
    "=": lambda _, amount: amount,
    "+": lambda total, amount: total + amount,
    "-": lambda total, amount: total - amount,
    "×": lambda total, amount: total * amount,
    "÷": lambda total, amount: total / amount,
}
