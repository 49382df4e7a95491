"""Columns of selling prices in a maker's own list of products: which channel each is for, and the prices on it.

The channel is chosen, or named in the head, or the only one of the kind that the head speaks of.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from webapp.costing.book import Book, Id
from webapp.costing.called import Names, known
from webapp.costing.own.columns import PRODUCTS, Layout, OwnTable, words_of
from webapp.costing.own.sold_heads import PLACES, RETAIL, WHOLESALE

_PRICE = ("price", "prices", "preis", "prix", "precio", "prezzo", "prijs")
_TO_SHOPS, _TO_USERS = ("wholesale", "consignment"), ("stall", "web shop", "marketplace")
_KINDS: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(RETAIL, _TO_USERS),
    **dict.fromkeys(WHOLESALE, _TO_SHOPS),
    **{word: (kind,) for kind, words in PLACES.items() for word in words.split(", ")},
}


@dataclass(frozen=True, slots=True)
class PriceColumn:
    """A column of prices: its head, and the channel that they are for; None where that has to be said."""

    sheet: int
    column: int
    head: str
    channel: Id | None

    @property
    def mark(self) -> str:
        """The column, as a choice of its channel is sent."""
        return sold_mark(self.sheet, self.column)

    @property
    def choice(self) -> str:
        """The choice that says its channel."""
        return f"sold-{self.mark}"


def sold_mark(sheet: int, column: int) -> str:
    """A column of prices as a word that a field's name may hold."""
    return f"s{sheet}_c{column}"


def price_columns(
    book: Book, sheets: Iterable[tuple[int, OwnTable, Layout]], chosen: Mapping[str, str], channel: str
) -> tuple[PriceColumn, ...]:
    """The columns of prices in all sheets of products. `channel` is meant where a head does not say another."""
    places = [
        (number, table, layout, place)
        for number, table, layout in sheets
        if layout.holds == PRODUCTS
        for place in layout.places("price")
    ]
    found = []
    for number, table, layout, place in places:
        head = table.cell(layout.heads, place)
        name = chosen.get(sold_mark(number, place), "") or (channel if len(places) == 1 else "")
        found.append(PriceColumn(number, place, head, _meant(book, head, name, channel)))
    return tuple(found)


def _meant(book: Book, head: str, chosen: str, otherwise: str) -> Id | None:
    there = {one.id: one for one in book.channels.values() if one.retired is None}
    names = Names(known(there.values()))
    if chosen:
        return _called(names, chosen)
    said = " ".join(word for word in head.split() if word.casefold().strip("()") not in _PRICE)
    if (named := _called(names, said)) is not None:
        return named
    kinds = _KINDS.get(words_of(head), ())
    if otherwise and not kinds:
        return _called(names, otherwise)
    fitting = [ident for ident, one in there.items() if not kinds or one.kind in kinds]
    return fitting[0] if len(fitting) == 1 else None


def _called(names: Names, name: str) -> Id | None:
    found = names.meant(name)
    return int(found.value) if found.value else None
