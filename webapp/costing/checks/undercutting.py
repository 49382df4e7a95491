"""A new price, for shops or of one's own, that leaves the own stall cheaper than what shops are to ask on their shelf.

It may be meant: whoever says so keeps it all the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import TypeAlias

from webapp.costing.amounts import minor_places, plain, rounded_down, rounded_up, snap
from webapp.costing.book import Book, Id
from webapp.costing.checks.found import Question
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row

UNDERCUT = "undercut"
Pair: TypeAlias = tuple[Id, Id]
#: an own price below what stockists ask: its row, what the buyer pays, what they ask
Undercut: TypeAlias = tuple[Row, Decimal, Decimal]


def moved_prices(before: Book, after: Book) -> tuple[Pair, ...]:
    """The pairs of which `after` has another price than `before`, in order.

    What is entered as a whole, the product with all its prices, leaves nothing cheaper than it was.
    """
    if before.prices is after.prices:
        return ()
    amounts = {pair: price.amount for pair, price in before.prices.items()}
    moved = (pair for pair, price in after.prices.items() if amounts.get(pair) != price.amount)
    return tuple(sorted(pair for pair in moved if pair[0] in before.products and pair[1] in after.channels))


def _for_shops(book: Book, channel: Id) -> bool:
    return channel in book.channels and book.channels[channel].kind == "wholesale"


def _raised(before: Book, after: Book, pair: Pair) -> bool:
    """Whether a price is above the one that was accepted before."""
    was = before.prices.get(pair)
    return was is not None and was.amount < after.prices[pair].amount


def undercut(known: Reckoning, products: Iterable[Id]) -> Iterator[Undercut]:
    """Every own accepted price below the recommended retail price: its row, what the buyer pays, what shops ask.

    Both in home currency, tax included.
    """
    for row in (row for product in products if product in known.book.products for row in known.rows(product)):
        if row.undercuts is not None:
            yield row, *row.undercuts


def undercut_words(known: Reckoning, products: Iterable[Id], *, kept: bool = False) -> tuple[str, ...]:
    """Sentences about these prices, before they are `kept` or afterwards."""
    return tuple(_said(known, *found, kept=kept) for found in undercut(known, products))


def _said(known: Reckoning, row: Row, paid: Decimal, asked: Decimal, *, kept: bool = False) -> str:
    """One of them in words. Each amount is rounded away from the other, so that the higher one stays it."""
    book, home = known.book, known.book.workshop.currency
    places, ask = minor_places(home), "are to ask" if kept else "are then to ask"
    return (
        f"{book.products[row.product].name}, {book.channels[row.channel].name}: "
        f"at {plain(rounded_down(paid, places), least=places)} {home} it undercuts your stockists, "
        f"who {ask} {plain(rounded_up(snap(asked), places), least=places)} {home}."
    )


def undercut_questions(before: Book, after: Book) -> tuple[Question, ...]:
    """What is asked where a new wholesale price, or a new price of one's own, leaves the own stall the cheaper one.

    A wholesale price answers for every own price that is then below, and is asked about once. An own price is asked
    about unless it is raised, where a price for shops is accepted: one that is only suggested was told to nobody.
    """
    moved = moved_prices(before, after)
    wholesale = {pair[0]: pair for pair in moved if _for_shops(after, pair[1])}
    supplied = {product for product, channel in after.prices if _for_shops(after, channel)} if moved else set()
    own = {pair for pair in moved if pair[0] in supplied - wholesale.keys() and not _raised(before, after, pair)}
    if not wholesale and not own:
        return ()
    known = Reckoning(after)
    found = list(undercut(known, sorted({*wholesale, *(product for product, _ in own)})))
    for_shops = [(pair, [one for one in found if one[0].product == product]) for product, pair in wholesale.items()]
    by_itself = [((one[0].product, one[0].channel), [one]) for one in found]
    return (
        *(_question(known, pair, those, "the wholesale price") for pair, those in for_shops if those),
        *(_question(known, pair, those, "this price") for pair, those in by_itself if pair in own),
    )


def _question(known: Reckoning, pair: Pair, found: Sequence[Undercut], keep: str) -> Question:
    words = _said(known, *found[0]) if len(found) == 1 else _said_together(known, found)
    return Question(UNDERCUT, "", f"{words} Keep {keep} all the same?", pair=pair)


def _said_together(known: Reckoning, found: Sequence[Undercut]) -> str:
    """Several own prices of one product, all below the same shelf price."""
    book, home = known.book, known.book.workshop.currency
    places = minor_places(home)
    prices = [
        f"{plain(rounded_down(paid, places), least=places)} {home} at {book.channels[row.channel].name}"
        for row, paid, _ in found
    ]
    row, _, asked = found[0]
    return (
        f"{book.products[row.product].name}: stockists are then to ask "
        f"{plain(rounded_up(snap(asked), places), least=places)} {home}, and your own prices undercut them: "
        f"{', '.join(prices[:-1])} and {prices[-1]}."
    )
