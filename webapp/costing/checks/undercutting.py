"""A new wholesale price that leaves the own stall cheaper than what the shops are then to ask on their shelf.

It may be meant: whoever says so keeps it all the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal

from webapp.costing.amounts import minor_places, plain, rounded_down, rounded_up, snap
from webapp.costing.book import Book, Channel, Id
from webapp.costing.checks.found import Question
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row

UNDERCUT = "undercut"


def raised_wholesale(before: Book, after: Book) -> tuple[Id, ...]:
    """The products of which `after` has another wholesale price than `before`, in order.

    What is entered as a whole, the product with all its prices, leaves nothing cheaper than it was.
    """
    if before.prices is after.prices:
        return ()
    amounts = {pair: price.amount for pair, price in before.prices.items()}
    moved = {pair for pair, price in after.prices.items() if amounts.get(pair) != price.amount}
    wholesale = {product for product, channel in moved if _wholesale(after.channels.get(channel))}
    return tuple(sorted(wholesale & before.products.keys()))


def _wholesale(channel: Channel | None) -> bool:
    return channel is not None and channel.kind == "wholesale"


def undercut(known: Reckoning, products: Iterable[Id]) -> Iterator[tuple[Row, Decimal, Decimal]]:
    """Every own accepted price below the recommended retail price: its row, what the buyer pays, what shops ask.

    Both in home currency, tax included.
    """
    for row in (row for product in products if product in known.book.products for row in known.rows(product)):
        if row.undercuts is not None:
            yield row, *row.undercuts


def undercut_words(known: Reckoning, products: Iterable[Id], *, kept: bool = False) -> tuple[str, ...]:
    """Sentences about these prices, before they are `kept` or afterwards.

    Each amount is rounded away from the other, so that the higher one stays it.
    """
    book, home = known.book, known.book.workshop.currency
    places, ask = minor_places(home), "are to ask" if kept else "are then to ask"
    return tuple(
        f"{book.products[row.product].name}, {book.channels[row.channel].name}: "
        f"at {plain(rounded_down(paid, places), least=places)} {home} it undercuts your stockists, "
        f"who {ask} {plain(rounded_up(snap(asked), places), least=places)} {home}."
        for row, paid, asked in undercut(known, products)
    )


def undercut_questions(before: Book, after: Book) -> tuple[Question, ...]:
    """What is asked where a new wholesale price leaves the own stall the cheaper one."""
    products = raised_wholesale(before, after)
    if not products:
        return ()
    return tuple(
        Question(UNDERCUT, "", f"{words} Keep the wholesale price all the same?")
        for words in undercut_words(Reckoning(after), products)
    )
