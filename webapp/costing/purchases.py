"""The lines of supplier orders that say what a material costs: all of them, and those that count on a day.

Nearly everything was bought lately, so those that count are found from the newest order backwards, and a history of
many years is hardly looked into (method.md section 2).
"""

from __future__ import annotations

import calendar
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal
from functools import lru_cache
from operator import attrgetter
from typing import TypeAlias

from webapp.costing.book import Book, Id, Material, Order

#: a price-setting line: its day, its order, its place in the order
Purchase: TypeAlias = tuple[date, Id, int]
_BY_DAY = attrgetter("day", "id")


@lru_cache(maxsize=256)
def months_before(day: date, months: Decimal) -> date:
    """The same day so many months earlier; a day that month doesn't have becomes its last."""
    count = day.year * 12 + day.month - 1 - int(months)
    year, month = divmod(count, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def window(book: Book, material: Material) -> date | None:
    """The day after which purchases count for the material's basis; None where only those of its newest day do."""
    if material.quote is not None or (material.basis or book.workshop.basis) == "latest":
        return None
    return months_before(book.day, material.basis_months or book.workshop.basis_months)


def history(book: Book) -> dict[Id, list[Purchase]]:
    """All price-setting lines of each material, oldest first."""
    found: dict[Id, list[Purchase]] = {}
    for order in sorted(book.orders.values(), key=_BY_DAY):
        for material, purchase in _priced(order):
            found.setdefault(material, []).append(purchase)
    return found


def counting(book: Book) -> dict[Id, list[Purchase]]:
    """Of each material the lines that its basis looks at on the book's day, oldest first.

    Those in its window, and always all of its newest day. What was not bought up to the book's day is not in it.
    """
    opened = {key: window(book, one) for key, one in book.materials.items()}
    earliest = min((day for day in opened.values() if day is not None), default=date.max)
    found: dict[Id, list[Purchase]] = {}
    met_last = date.max
    for order in sorted(book.orders.values(), key=_BY_DAY, reverse=True):
        day = order.day
        if day > book.day:
            continue
        if day < met_last and day <= earliest and len(found) == len(opened):
            break
        for material, purchase in _priced(order):
            lines, after = found.get(material), opened[material]
            if lines is None:
                found[material] = [purchase]
                met_last = day
            elif lines[0][0] == day or (after is not None and day > after):
                lines.append(purchase)
    for lines in found.values():
        lines.sort()
    return found


def counting_with(book: Book, counted: Mapping[Id, list[Purchase]], added: Iterable[Order]) -> dict[Id, list[Purchase]]:
    """What counts once orders are added to those that were looked at; the day and the materials' bases are the same.

    What counted before holds all of its window and all of its newest day, so nothing older can come to count.
    """
    found = dict(counted)
    touched = set()
    for order in added:
        for material, purchase in _priced(order) if order.day <= book.day else ():
            found[material] = sorted((*found.get(material, ()), purchase))
            touched.add(material)
    for material in touched:
        lines, after = found[material], window(book, book.materials[material])
        newest = lines[-1][0]
        found[material] = [one for one in lines if one[0] == newest or (after is not None and one[0] > after)]
    return found


def _priced(order: Order) -> Iterator[tuple[Id, Purchase]]:
    for index, line in enumerate(order.lines):
        if not line.not_priced:
            yield line.material, (order.day, order.id, index)
