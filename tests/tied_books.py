"""Books with exact ties: a batch that fits its jars to the gram, a price that lands on its ending, a margin on target.

A round little book is drawn, reckoned in fractions, and one cost paid once is set so that the sum comes out even,
though thirds and sevenths go into it. Found by working backwards; a draw that cannot be made even is thrown away.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from random import Random
from typing import NamedTuple

from tests.agreement import typed
from tests.reckoning import Line
from tests.reckoning_buying import Gap
from tests.small_books import Maker
from webapp.costing import book as b

D = Decimal
SMOOTH = (1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 15, 16, 18, 20, 21, 24, 25, 30, 36, 40, 45, 48, 50, 60, 70, 75, 80, 90)
LOSSES = ("0", "10", "20", "25", "40", "50", "4", "30", "2")


class Tied(NamedTuple):
    """The book, its product and channel, and what must come out: price, jars, margin."""

    book: b.Book
    product: int
    channel: int
    price: Fraction
    jars: int


class Round(Maker):
    """Draws the round numbers that people type."""

    def number_of(self, low: int, high: int, places: int) -> D:
        del places
        return D(self.one([one for one in SMOOTH if low <= one <= high] or [max(low, 1)]))

    def money(self, high: int, currency: str = "") -> D:
        del currency
        return self.number_of(1, high, 0) / (self.one((1, 2)) if self.places else 1)

    def unit(self) -> str:
        return self.one(("kg", "kg", "g"))


def tied(rng: Random) -> Tied | None:
    """One book with ties in it; None where this draw has no even solution."""
    maker = Round(rng)
    book = maker.book()
    single = [one for one in book.products.values() if len(one.fills) == 1 and not one.members and not one.retired]
    channels = [one for one in book.channels.values() if one.kind != "wholesale" and not one.retired]
    if not single or not channels:
        return None
    product, channel = rng.choice(single), rng.choice(channels)
    fitted = _fitted(rng, book, replace(product, channels=(channel.id,), one_offs=()))
    if fitted is None:
        return None
    product, jars = fitted
    target = b.Target(product.id, channel.id, book.day, D(rng.choice((25, 30, 40, 45, 50, "33.3333"))))
    pair = (product.id, channel.id)
    book = replace(
        book,
        terms=replace(book.terms, cost="full"),
        products={**book.products, product.id: product},
        targets={pair: target},
        prices={},
    )
    return _evened(book, product, channel, jars)


def _fitted(rng: Random, book: b.Book, product: b.Product) -> tuple[b.Product, int] | None:
    """The product with a batch that fills whole jars and leaves nothing, with the jars left to sell."""
    fill, line = product.fills[0], Line(typed(book), book.day)
    takes = Fraction(fill.declared + fill.overfill)
    if fill.unit == "mL":
        try:
            takes *= line.finished_density(fill.formula)
        except Gap:
            return None
    for _ in range(30):
        filled, loss, fixed = rng.randint(3, 60), D(rng.choice(LOSSES)), D(rng.choice((0, 0, 5, 10)))
        batch = _as_decimal((takes * filled + Fraction(fixed)) / (1 - Fraction(loss) / 100), 6)
        if batch is not None:
            return replace(product, batch_grams=batch, loss=loss, loss_grams=fixed), filled - int(product.set_aside)
    return None


def _evened(book: b.Book, product: b.Product, channel: b.Channel, jars: int) -> Tied | None:
    """The book with a cost paid once that makes the price at the target land on an ending."""
    line = Line(typed(book), book.day)
    try:
        price = line.suggested(product.id, channel.id)
        target, selling = line.target(product.id, channel.id), line.selling(channel.id)
        at_target = line.marked(channel.id, line.net_at(product.id, channel.id, target))
        if at_target == price:
            price = line.up_to_ending(channel.id, price + Fraction(1, 1000))
        lacking = line.net(channel.id, price - at_target) * (1 - target - selling.share)
    except Gap:
        return None
    served = lacking.denominator
    while served % 10 == 0 and served > 10**4:
        served //= 10
    amount = _as_decimal(lacking * served, 4)
    if amount is None or served > 10**6 or not 0 < amount < 10**7:
        return None
    even = replace(product, one_offs=(b.OneOff("Plate", amount, D(served)),))
    accepted = _as_decimal(price, 4)
    if accepted is None:
        return None
    pair = (product.id, channel.id)
    prices = {pair: b.Price(*pair, book.day, accepted)}
    return Tied(replace(book, products={**book.products, product.id: even}, prices=prices), *pair, price, jars)


def _as_decimal(value: Fraction, places: int) -> D | None:
    """The same number as a decimal of at most so many places; None where there is none."""
    scaled = value * 10**places
    return D(scaled.numerator).scaleb(-places) if scaled.denominator == 1 else None
