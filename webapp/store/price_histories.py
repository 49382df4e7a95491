"""Price and cost of a product over time, from the books of every day that counts, worked out once for a book."""

from __future__ import annotations

from typing import NamedTuple

from webapp.costing.book import Id
from webapp.costing.price_history import PriceOn, leaning, price_histories
from webapp.costing.reckoning import Reckoning
from webapp.store.opening import Store
from webapp.store.snapshots import Snapshot


class Histories(NamedTuple):
    """By channel what held from each day on; `thinned`: not all days are in it."""

    on: dict[Id, tuple[PriceOn, ...]]
    thinned: bool


def histories(store: Store, snapshot: Snapshot, product: Id, *channels: Id) -> Histories:
    """The history of one product on these channels, all from the books of the same days."""

    def looked_up() -> Histories:
        books, thinned = store.books_of_days(snapshot, lambda book: leaning(Reckoning(book), product, channels))
        return Histories(price_histories(books, product, channels), thinned)

    return snapshot.once((histories, product, channels), looked_up)
