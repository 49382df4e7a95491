"""Price and cost of a product over time, from the books of every day that counts.

Worked out once for a book; of the next book only those days that a change since then could have moved.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from webapp.costing.book import Book, Id
from webapp.costing.price_history import PriceOn, changes, held, leaning
from webapp.costing.reckoning import Reckoning
from webapp.store.opening import Store
from webapp.store.reading import Key
from webapp.store.snapshots import Snapshot

#: what moves no price and no cost by itself: it is told by the record that names it, by its material or pair, or not
#: reckoned with at all
_BY_THOSE_THAT_NAME_IT = frozenset(("material", "formula", "group", "product", "price", "target"))
_NEVER = frozenset(("supplier", "sales", "batch"))


class Histories(NamedTuple):
    """By channel what held from each day on; `thinned`: not all days are in it."""

    on: dict[Id, tuple[PriceOn, ...]]
    thinned: bool


@dataclass(frozen=True, slots=True)
class _Worked:
    """What was worked out at a version: by day what held, what it leans on, and the orders that it knows of."""

    version: int
    days: Mapping[date, Mapping[Id, PriceOn]]
    keys: frozenset[Key]
    orders: Mapping[Id, date]


def histories(store: Store, snapshot: Snapshot, product: Id, *channels: Id) -> Histories:
    """The history of one product on these channels, all from the books of the same days."""

    def looked_up() -> Histories:
        question = (histories, product, channels)
        known = _still_so(snapshot, snapshot.looked_up.last(question))
        past = store.books_of_days(snapshot, lambda book: leaning(Reckoning(book), product, channels))
        days = _by_day(snapshot, past.books, known, product, channels)
        if past.version == snapshot.version:  # else something was saved meanwhile, and the days are not of one version
            orders = {one.id: one.day for one in past.books[-1].orders.values()}
            snapshot.looked_up.keep(question, _Worked(snapshot.version, days, past.keys, orders))
        told = {one: changes([days[day][one] for day in sorted(days) if one in days[day]]) for one in channels}
        return Histories(told, past.thinned)

    return snapshot.once((histories, product, channels), looked_up)


def _by_day(
    snapshot: Snapshot,
    books: tuple[Book, ...],
    known: Mapping[date, Mapping[Id, PriceOn]],
    product: Id,
    channels: tuple[Id, ...],
) -> dict[date, Mapping[Id, PriceOn]]:
    """What held on each day: as it is known, today as the line has it, else taken over from the day before."""
    found: dict[date, Mapping[Id, PriceOn]] = {}
    before: Reckoning | None = None
    for book in books:
        if book.day in known:
            found[book.day] = known[book.day]
        elif book.day == snapshot.book.day:
            found[book.day] = held(snapshot.reckoning, product, channels)
        else:
            before = Reckoning(book, before)
            found[book.day] = held(before, product, channels)
    return found


def _still_so(snapshot: Snapshot, worked: _Worked | None) -> Mapping[date, Mapping[Id, PriceOn]]:
    """The days of what was worked out before that nothing moved since; an order moves no day before its own."""
    if worked is None or worked.version > snapshot.version:
        return {}
    until = date.max
    for key, version in snapshot.moved.items():
        if version > worked.version:
            until = min(until, _moves_from(snapshot.book, worked, key))
    return {day: on for day, on in worked.days.items() if day < until}


def _moves_from(book: Book, worked: _Worked, key: Key) -> date:
    """The first day on which a record that moved could have changed something; the last there is: on none."""
    kind, about = key
    if key in worked.keys:
        return date.min
    if kind == "order":
        order, was = book.orders.get(about), worked.orders.get(about)
        bought = order is not None and any(("material", line.material) in worked.keys for line in order.lines)
        return min(order.day if order and bought else date.max, was or date.max)
    if kind == "quote":
        quote = book.quotes.get(about)
        return date.max if quote is not None and ("material", quote.material) not in worked.keys else date.min
    return date.max if kind in _BY_THOSE_THAT_NAME_IT or kind in _NEVER else date.min
