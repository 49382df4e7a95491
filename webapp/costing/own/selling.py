"""Columns of selling prices in a maker's own list of products: which channel each is for, and the prices on it.

The channel is chosen, or named in the head, or the only one of the kind that the head speaks of. A place that no
channel is called is asked.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from webapp.costing.book import Book, Id
from webapp.costing.called import Names, known
from webapp.costing.own.columns import PRODUCTS, Layout, OwnTable, role_of, words_of
from webapp.costing.own.currencies import named_so
from webapp.costing.own.price_heads import currency_said, without_besides
from webapp.costing.own.sold_heads import OTHER_PLACES, PLACES, RETAIL, WHOLESALE, without_price_words

_TO_SHOPS, _TO_USERS = ("wholesale", "consignment"), ("stall", "web shop", "marketplace")
_KINDS: Mapping[str, tuple[str, ...]] = {
    **dict.fromkeys(RETAIL, _TO_USERS),
    **dict.fromkeys(WHOLESALE, _TO_SHOPS),
    **{word: (kind,) for kind, words in PLACES.items() for word in words.split(", ")},
}
_TO = re.compile(
    r"^(?:to|for|at|in|on|auf|an|fur|bei|pour|chez|aux?|en|para|per|voor|bij)\s+(?:the\s+)?", re.IGNORECASE
)
#: words of a head that say no place
_ANYWHERE = frozenset(
    "my our your unit each ea per a one jar pot tin bottle piece pc item sell selling full end".split()
)


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
    if chosen:
        return _called(Names(known(there.values())), chosen)
    if (named := named_in(book, head)) is not None:
        return named
    kinds = _kinds(head)
    if not kinds and _is_a_place(head):
        return None
    if otherwise and not kinds:
        return _called(Names(known(there.values())), otherwise)
    fitting = [ident for ident, one in there.items() if not kinds or one.kind in kinds]
    return fitting[0] if len(fitting) == 1 else None


def named_in(book: Book, head: str) -> Id | None:
    """The channel that a head names, also in the plural, with words for a price, tax and a currency beside it.

    What speaks of another kind does not name one that is only alike: a shop's price is none to Shops.
    """
    there = {one.id: one for one in book.channels.values() if one.retired is None}
    names, kinds = Names(known(there.values())), _kinds(head)
    for said in _said(head):
        if (named := _called(names, said)) is not None:
            return named
        found = names.meant_alike(said).value
        if found and (not kinds or there[int(found)].kind in kinds):
            return int(found)
    return None


def _said(head: str) -> tuple[str, ...]:
    """What may be a name in a head: all of it, then without what a price is called, then without a currency."""
    bare = without_price_words(head)
    before, _, last = bare.rpartition(" ")
    plain = without_price_words(without_besides(_without_signs(before if named_so(last, "") else bare)))
    to = _TO.sub("", plain)
    return tuple(dict.fromkeys(one for one in (head, bare, plain, to) if one))


def _without_signs(head: str) -> str:
    return head.replace(currency_said(head), " ") if currency_said(head) else head


def _kinds(head: str) -> tuple[str, ...]:
    """The kinds of channels that a head speaks of; none where it speaks of any."""
    every = (words_of(one) for one in _said(head))
    return next((_KINDS[one] for one in every if one in _KINDS), ())


def _is_a_place(head: str) -> bool:
    """Whether a head says where something is sold that is no kind of channel: a fair, or words that nobody knows."""
    every = [words_of(one) for one in _said(head)]
    unknown = not role_of(head, PRODUCTS) and all({*one.split()} - _ANYWHERE for one in every)
    return unknown or any(one in OTHER_PLACES for one in every)


def _called(names: Names, name: str) -> Id | None:
    found = names.meant(name)
    return int(found.value) if found.value else None
