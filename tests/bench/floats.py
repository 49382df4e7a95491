"""The reference A1: the whole line in plain floats over flat rows, freight summed beforehand."""

from __future__ import annotations

from typing import NamedTuple

from webapp.costing.book import Book
from webapp.costing.reckoning import Reckoning


class Flat(NamedTuple):
    """Lists of plain numbers; materials, formulas and parts are places in the lists before them."""

    bought: list[tuple[float, float, float]]  # net price, its share of the freight, usable grams or pieces
    formulas: list[list[tuple[bool, int, float]]]  # (of a formula, its place, share); inner ones first
    products: list[tuple[int, float, float, float, list[tuple[int, float]]]]  # formula, grams, minutes, overhead, parts
    hourly: float


def flattened(book: Book) -> Flat:
    """The rows that the reference goes over, made ready outside of what is timed."""
    known = Reckoning(book)
    places: dict[int, int] = {}
    bought: list[tuple[float, float, float]] = []
    for number in book.materials:
        order, index = known.material(number).used[0]
        landed = known.landed(order).lines[index]
        shares = sum((float(share.amount) for share in landed.shares), 0.0)  # type: ignore[arg-type]
        places[number] = len(bought)
        bought.append((float(landed.net), shares, float(landed.quantity)))  # type: ignore[arg-type]
    formula_places = {number: place for place, number in enumerate(book.formulas)}
    formulas = []
    for number in book.formulas:
        shares_of = known.shares(number)
        formulas.append(
            [
                (True, formula_places[one.line.formula], float(one.share))  # type: ignore[arg-type]
                if one.line.formula is not None
                else (False, places[one.line.material], float(one.share))  # type: ignore[index, arg-type]
                for one in shares_of
            ]
        )
    products = []
    for number, product in book.products.items():
        sheet = known.sheet(number)
        parts = [(places[one.material], 1 + float(one.spoiled) / 100) for one in product.parts if one.material]
        grams = sheet.fills[0].jar_grams
        minutes, overhead = float(sheet.minutes), float(sheet.overhead)  # type: ignore[arg-type]
        place = formula_places[product.fills[0].formula]
        products.append((place, float(grams), minutes, overhead, parts))  # type: ignore[arg-type]
    return Flat(bought, formulas, products, 15.0)


def costs(flat: Flat) -> list[float]:
    """What each jar costs, in floats."""
    unit = [(price + freight) / quantity for price, freight, quantity in flat.bought]
    per_gram: list[float] = []
    for lines in flat.formulas:
        total = 0.0
        for of_formula, place, share in lines:
            total += share * (per_gram[place] if of_formula else unit[place])
        per_gram.append(total)
    jars = []
    for formula, grams, minutes, overhead, parts in flat.products:
        cost = per_gram[formula] * grams + minutes / 60 * flat.hourly + overhead
        for place, pieces in parts:
            cost += unit[place] * pieces
        jars.append(cost)
    return jars
