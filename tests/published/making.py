"""The published examples about making, and how their units become kilos, batches and jars.

A unit of a textbook is a jar that takes 1 kg (or 1 g), a cost per unit is a price per kg, a lump of labour is so many
minutes at so much an hour. Each example names its source and how well that is known in data/making.json.
"""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

from tests.costing.making import ANNA, DAY, SHEA, TUB, costing, fill, formula, line, product, room, work
from webapp.costing.book import Book, Person, Terms, Wage
from webapp.costing.jars import CostSheet
from webapp.costing.reckoning import Reckoning

EXAMPLES: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "making.json").read_text("utf-8"))
PERMITTED = Decimal("0.005")
MADE = 24


def example(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """The inputs and the answers of a published example, which says where it is from and how well that is known."""
    entry = EXAMPLES[name]
    assert entry["source"]
    assert entry["standing"]
    return entry["inputs"], entry["expected"]


def unit_book(
    *, units: str, unit_cost: str, loss: str = "0", hours: str = "0", wage: str = "0", per_jar: str = "0",
    overhead: str = "0", planned_hours: str | None = None,
) -> Book:  # fmt: skip
    """A batch of so many kilos at `unit_cost` a kg into jars of 1 kg; `hours` for the batch, `per_jar` in minutes."""
    batch = Decimal(units) * 1000
    minutes = str(Decimal(hours) * 60)
    return room(
        costing(SHEA, "Stuff", unit_cost),
        Person(ANNA, "Anna", "hired", Wage(DAY, Decimal(wage))),
        formula(MADE, line(SHEA, "100"), batch_grams=str(batch), loss=loss, work=(work(ANNA, per_batch=minutes),)),
        product(TUB, fill(MADE, "1000"), work=(work(ANNA, per_jar=per_jar),)),
        terms=Terms(overhead="hours", making_hours=None if planned_hours is None else Decimal(planned_hours)),
        bills={1: overhead},
    )


def sheet(book: Book) -> CostSheet:
    return Reckoning(book).sheet(TUB)


def near(figure: Any, published: str) -> bool:
    """The figure is the published one, within what its own rounding allows."""
    assert isinstance(figure, Decimal), figure
    return abs(figure - Decimal(published)) <= PERMITTED
