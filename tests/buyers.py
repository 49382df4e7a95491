"""Buyers, one by one and month by month, in fractions: what offering another size brings, found by counting.

It knows nothing of the program and of its formulas: jars are handed over, money is taken, and at the end it is counted.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction


@dataclass
class Till:
    """Money so far, and how many jars of each size were handed over."""

    money: Fraction = Fraction(0)
    small: Fraction = Fraction(0)
    big: Fraction = Fraction(0)


@dataclass
class Counter:
    """Who sells: what a jar of each size leaves once it is paid for, and what a month of the big one costs."""

    small_leaves: Fraction
    big_leaves: Fraction
    a_month: Fraction
    till: Till = field(default_factory=Till)

    def sell_small(self, jars: Fraction) -> None:
        self.till.money += self.small_leaves * jars
        self.till.small += jars

    def sell_big(self) -> None:
        self.till.money += self.big_leaves
        self.till.big += 1


def months_of(
    counter: Counter,
    buyers: int,
    who_trade_up: int,
    instead_of: Fraction,
    months: int,
    *,
    offered: bool,
    one_off: Fraction = Fraction(0),
) -> list[Fraction]:
    """The money in the till at the end of each month; the first entry is before the first jar.

    `buyers` would take the big jar each month. `who_trade_up` of them take so many small ones where it is not there;
    the others take nothing then.
    """
    if offered:
        counter.till.money -= one_off
    told = [counter.till.money]
    for _ in range(months):
        for number in range(buyers):
            if offered:
                counter.sell_big()
            elif number < who_trade_up:
                counter.sell_small(instead_of)
        if offered:
            counter.till.money -= counter.a_month
        told.append(counter.till.money)
    return told


def gained(  # noqa: PLR0917 - a case is one line of figures
    small: Fraction,
    big: Fraction,
    buyers: int,
    who_trade_up: int,
    instead_of: Fraction,
    a_month: Fraction,
    months: int = 1,
    one_off: Fraction = Fraction(0),
) -> list[Fraction]:
    """Month by month how much more is in the till where the big jar is offered than where it is not."""
    with_it = months_of(Counter(small, big, a_month), buyers, who_trade_up, instead_of, months, offered=True,
                        one_off=one_off)  # fmt: skip
    without = months_of(Counter(small, big, a_month), buyers, who_trade_up, instead_of, months, offered=False)
    return [one - other for one, other in zip(with_it, without, strict=True)]


def month_it_is_back(path: list[Fraction]) -> int | None:
    """The first month at whose end no money is lacking any more."""
    return next((month for month, money in enumerate(path) if month and money >= 0), None)


@dataclass
class Shelf:
    """Parts that are bought in whole orders: how many pieces a jar takes, how many come and what they cost."""

    a_jar: Fraction
    in_an_order: Fraction
    an_order_costs: Fraction
    lying: Fraction = Fraction(0)

    def buy(self) -> Fraction:
        """An order more; what is paid for it."""
        self.lying += self.in_an_order
        return self.an_order_costs

    def take(self) -> Fraction:
        """The pieces of one jar; what is paid for orders where too few are lying there."""
        paid = Fraction(0)
        while self.lying < self.a_jar:
            paid += self.buy()
        self.lying -= self.a_jar
        return paid


def with_shelves(  # noqa: PLR0917 - a case is one line of figures
    shelves: list[Shelf], brings: Fraction, given_up: Fraction, buyers: int, who_trade_up: int, months: int
) -> list[Fraction]:
    """The money at the end of each month; a jar brings so much before its parts, which are paid as they are bought.

    Each who trades up gives up so much; an order of each part is bought before the first jar.
    """
    money = -sum((shelf.buy() for shelf in shelves), Fraction(0))
    told = [money]
    for _ in range(months):
        for number in range(buyers):
            money += brings - sum((shelf.take() for shelf in shelves), Fraction(0))
            if number < who_trade_up:
                money -= given_up
        told.append(money)
    return told
