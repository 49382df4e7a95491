"""Holding the core against the reckoning in fractions: records as the dicts it reads, and figures by the same names."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from webapp.costing import book as b
from webapp.costing import entry, line, shapes
from webapp.costing.amounts import half_up
from webapp.costing.book import Book
from webapp.costing.formulas import out_cost
from webapp.costing.gaps import Gap
from webapp.costing.jars import charged_grams
from webapp.costing.reckoning import Reckoning

#: every shelf whose things have names
SHELVES = ("people", "bills", "suppliers", "materials", "formulas", "groups", "products", "channels")
#: figures of a row that the core works out whole, by their names in expected.csv
PLAIN_GAP = "gap: no shop is supplied"


def empty_book(day: date) -> Book:
    """A book before anything is entered."""
    return Book(day=day)


def known(figure: Any) -> Any:
    """A figure that must not be a gap."""
    assert not isinstance(figure, Gap), figure
    return figure


def typed(book: Book) -> dict[str, list[dict[str, Any]]]:
    """The book as the dicts of texts that tests/reckoning.py reads."""
    data: dict[str, list[dict[str, Any]]] = {
        "workshop": [{**entry.show(shapes.SHAPES["workshop"], book.workshop), "key": 1}],
        "terms": _terms(book),
    }
    for kind, shelf in b.SHELVES.values():
        if kind in data:
            continue
        data[kind] = [
            {**entry.show(shapes.SHAPES[kind], one), "key": one.id, "retired": _retired(book, one)}
            for one in getattr(book, shelf).values()
        ]
    for kind, shelf in b.PAIRS.values():
        data[kind] = [
            {**entry.show(shapes.SHAPES[kind], one), "product": one.product, "channel": one.channel}
            for one in getattr(book, shelf).values()
        ]
    return data


def _retired(book: Book, one: Any) -> bool:
    day = getattr(one, "retired", None)
    return day is not None and day <= book.day


def _terms(book: Book) -> list[dict[str, Any]]:
    """One version a registration: the book keeps the history of that only."""
    shown = {**entry.show(shapes.SHAPES["terms"], book.terms), "key": 1}
    if not book.registrations:
        return [{**shown, "registered": False}]
    return [{**shown, "since": one.since.isoformat(), "registered": one.registered} for one in book.registrations]


def agrees(figure: Any, value: str) -> bool:
    """The core's figure, rounded half-up to 12 places, is that of the reckoning; a gap is a gap."""
    if value.startswith("gap:"):
        return isinstance(figure, Gap) or (figure is None and value in (PLAIN_GAP, "gap: not typed"))
    return isinstance(figure, Decimal) and half_up(figure, 12) == Decimal(value)


def figure_of(reckoning: Reckoning, ids: Mapping[str, int], of: str, channel: str, name: str) -> Any:
    """The core's figure by the names of expected.csv: `of` is "material shea", `ids` the numbers of the keys."""
    kind, _, key = of.partition(" ")
    if kind == "line":
        return line.totals(reckoning.book, reckoning.line()).weighted_margin
    if channel:
        return _of_row(reckoning, ids, ids[key], ids[channel], name)
    return _OF[kind](reckoning, ids[key], name)


def _of_row(reckoning: Reckoning, ids: Mapping[str, int], product: int, channel: int, name: str) -> Any:
    row = reckoning.row(product, channel)
    if name.startswith("headroom "):
        grams = charged_grams(reckoning, product)
        return grams if isinstance(grams, Gap) else line.headroom(row, grams[ids[name.removeprefix("headroom ")]])
    return getattr(row, name)


def _of_material(reckoning: Reckoning, number: int, name: str) -> Any:
    return getattr(reckoning.material(number), name)


def _of_order(reckoning: Reckoning, number: int, name: str) -> Any:
    landed = reckoning.landed(number)
    return landed.total if name == "total" else landed.lines[int(name.removeprefix("landed-"))].landed


def _of_formula(reckoning: Reckoning, number: int, name: str) -> Any:
    if name == "out_cost":
        return out_cost(reckoning, reckoning.book.formulas[number])
    return getattr(reckoning.formula(number), {"good_per_gram": "good_cost"}.get(name, name))


def _of_product(reckoning: Reckoning, number: int, name: str) -> Any:
    sheet = reckoning.sheet(number)
    if name.startswith("jars-"):
        return sheet.fills[int(name.removeprefix("jars-"))].jars
    return getattr(sheet, name)


_OF = {"material": _of_material, "order": _of_order, "formula": _of_formula, "product": _of_product}
