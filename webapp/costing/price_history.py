"""Price and cost of a product on a channel over time, so that one sees its margin open or close.

Asked of the books of several days. Each says what held on its day by what is known now; money is in home currency
and for one jar.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

from webapp.costing.book import WORKSHOP_ID, Book, Id
from webapp.costing.gaps import Figure, added
from webapp.costing.leaning import Key, uses

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


@dataclass(frozen=True, slots=True)
class PriceOn:
    """A product on a channel from `day` on: its marked price (`accepted`, or only suggested) and what it must bear.

    `net` is the price without tax, `outlay` cost and fees together: what lies between them is left. `margin` is that
    as a fraction of `net`. `quoted`: whether a quote counts for something in it.
    """

    day: date
    price: Figure
    accepted: bool
    net: Figure
    outlay: Figure
    margin: Figure
    quoted: bool


def leaning(known: Reckoning, product: Id, channels: Iterable[Id]) -> frozenset[Key]:
    """Every record that the product's costs and prices on these channels come from, but for orders and quotes."""
    book = known.book
    if product not in book.products:
        return frozenset({("product", product)})
    own: set[Key] = {("workshop", WORKSHOP_ID), ("terms", WORKSHOP_ID), *(("bill", bill) for bill in book.bills)}
    # What shops sell at decides what is suggested everywhere else.
    to_shops = [one for one, terms in known.terms.items() if not terms.retail]
    for channel in {*channels, *to_shops}:
        own |= {("channel", channel), ("price", (product, channel)), ("target", (product, channel))}  # type: ignore[arg-type]
        held = book.channels.get(channel)
        own |= {("person", work.person) for work in held.work} if held else set()
    return uses(known, ("product", product)) | own


def quoted_in(known: Reckoning, product: Id) -> tuple[Id, ...]:
    """The materials in a product for which a quote counts: nothing was bought at that price."""
    if not known.names_quotes:
        return ()
    inside = sorted(key for kind, key in uses(known, ("product", product)) if kind == "material")
    return tuple(one for one in inside if known.material(one).quote is not None)


def held(known: Reckoning, product: Id, channels: Iterable[Id]) -> dict[Id, PriceOn]:
    """What holds on the book's day, by channel; without those on which it can't be sold, as not all are there yet."""
    return {channel: _on(known, product, channel) for channel in channels if _sold(known.book, product, channel)}


def changes(days: Sequence[PriceOn]) -> tuple[PriceOn, ...]:
    """Of what held on several days, oldest first, those on which something in it changed."""
    kept = [after for before, after in pairwise(days) if replace(before, day=after.day) != after]
    return (*days[:1], *kept)


def _sold(book: Book, product: Id, channel: Id) -> bool:
    return product in book.products and channel in book.channels


def _on(known: Reckoning, product: Id, channel: Id) -> PriceOn:
    row = known.row(product, channel)
    outlay, quoted = added((row.cost, row.fees)), bool(quoted_in(known, product))
    return PriceOn(known.book.day, row.price, row.accepted, row.net, outlay, row.margin, quoted)
