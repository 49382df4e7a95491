"""What can be wrong with a channel or a price."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from webapp.costing import book as b
from webapp.costing.amounts import ONE, ZERO, percent
from webapp.costing.book import Book
from webapp.costing.checks.found import Found, Question, minor_unit, name_taken, people_once
from webapp.costing.endings import Unusable, read_endings
from webapp.costing.limits import Fault


def channel(book: Book, channel: b.Channel) -> Found:
    """A channel: its endings, the days it shares out, and shares that leave something."""
    yield from name_taken(book.channels, channel)
    yield from people_once(channel.work, "work")
    yield from _endings(book, channel)
    days = channel.pitch or any(entry.per_day for entry in channel.work)
    if days and channel.jars_a_day is None:
        yield Fault("jars_a_day", "required", "Type how many jars you sell on such a day, to share its cost.")
    paid = percent(channel.share_paid) * (ONE + (percent(channel.tax_rate) if channel.tax != "none" else ZERO))
    if paid + percent(channel.share_net) >= ONE:
        yield Fault("share_paid", "number-range", "The shares take the whole price. Make them smaller.")


def channel_questions(book: Book, channel: b.Channel) -> Iterator[Question]:
    """A shop on consignment that keeps nothing: its share was forgotten, or else every price there is too low."""
    del book
    if channel.kind == "consignment" and not channel.share_paid and not channel.share_net:
        yield Question(
            "consignment-share",
            "share_paid",
            "A shop on consignment keeps a share of each jar it sells: of the price on its shelf, as the buyer pays it,"
            " or of the price without tax. Nothing is typed for either. Is a share of 0 right?",
        )


def _endings(book: Book, channel: b.Channel) -> Found:
    read = read_endings(channel.endings, channel.step, book.workshop.currency)
    if isinstance(read, Unusable):
        yield Fault(read.field, "endings", read.sentence)
    elif channel.endings and channel.step is not None:
        yield Fault("step", "choice", "Choose endings or a step, not both.")


def price(book: Book, price: b.Price) -> Found:
    """A price that can be paid in the currency."""
    yield from minor_unit(price.amount, book.workshop.currency, "amount")


def price_questions(book: Book, price: b.Price) -> Iterator[Question]:
    """A price of nothing."""
    if price.amount == ZERO:
        name = book.products[price.product].name
        words = f"{name} would be given away. Is a price of 0 right?"
        yield Question("zero-price", "amount", words, pair=(price.product, price.channel))


def nothing(book: Book, record: Any) -> Found:
    """What has no faults of its own beside its references."""
    del book, record
    return iter(())
