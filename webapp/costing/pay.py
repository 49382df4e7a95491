"""Break-even and pay: what a month of the line must sell, what an hour pays, how far a price change may cost sales.

Method.md section 9. The bills count in full, also where they are left out of jars; one-offs are not in them. A row that
sells and is missing makes the sums missing, by its name. Money in home currency a month, prices per jar.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ZERO, to_minor
from webapp.costing.book import Id
from webapp.costing.break_even import Mix, Needed, Safety, Selling, Survives, leverage, mix, needed, safety, survives
from webapp.costing.gaps import Figure, Gap, added, first_gap, from_known
from webapp.costing.line import Row, named
from webapp.costing.month import Month, month
from webapp.costing.prices import fees_at, net_of

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

NO_MAKING_TIME = Gap("No working time is typed for what is sold, so the monthly bills can't be shared over products.")
NO_OWN_HOURS = Gap("No hours of your own go into it, so nothing can be said by the hour.")


class Covering(NamedTuple):
    """A month by one kind of contribution: what breaks even, the room above it, and the operating leverage."""

    mix: Mix
    even: Needed
    safety: Safety
    leverage: Figure


class ProductHour(NamedTuple):
    """What an hour of one's own pays in one product: (contribution before own pay - its share of the bills) / hours.

    The bills are shared by `weight`.
    """

    product: Id
    jars: Decimal
    contribution: Figure
    weight: Figure
    bills: Figure
    own_hours: Figure

    @property
    def an_hour(self) -> Figure:
        """Home currency an own hour; missing where no own hour goes into it."""
        if self.own_hours == 0:
            return NO_OWN_HOURS
        return (self.contribution - self.bills) / self.own_hours


class Pay(NamedTuple):
    """A month of the line: `after` with own pay as a cost, `before` without it. `income`: what has to be sold for it.

    `lacking` are the rows that sell and are missing, with their reason; `unsold` counts the products without sales.
    """

    overhead: Decimal
    after: Covering
    before: Covering
    income: Needed | None
    month: Month
    hours: tuple[ProductHour, ...]
    lacking: tuple[tuple[Row, Gap], ...]
    unsold: int


def pay(known: Reckoning, income: Decimal | None = None) -> Pay:
    """All of a month; `income` is what is wanted for oneself a month, so it is set against what is before own pay."""
    rows = sold_rows(known)
    after = _covering(known, rows, lambda row: row.contribution)
    before = _covering(known, rows, lambda row: row.contribution_before_own_pay)
    wanted = None if income is None else needed(before.mix, known.overhead + income)
    lacking = tuple((row, gap) for row in rows if (gap := _gap(row)) is not None)
    found = month(known)
    return Pay(known.overhead, after, before, wanted, found, hours(known, rows), lacking, found.totals.unsold_products)


def sold_rows(known: Reckoning) -> tuple[Row, ...]:
    """The rows of the line of which jars are sold."""
    return tuple(row for row in known.line() if row.jars_a_month)


def _gap(row: Row) -> Gap | None:
    return first_gap((row.net, row.contribution, row.own_hours))


def _covering(known: Reckoning, rows: Sequence[Row], figure: Callable[[Row], Figure]) -> Covering:
    book = known.book
    sold = mix(
        Selling(
            row.product,
            row.channel,
            row.jars_a_month or ZERO,
            named(book, row, row.net),
            named(book, row, figure(row)),
        )
        for row in rows
    )
    even = needed(sold, known.overhead)
    return Covering(sold, even, safety(sold, even), leverage(sold, known.overhead))


# --- what an hour pays -----------------------------------------------------------------------------------------------


def hours(known: Reckoning, rows: Sequence[Row]) -> tuple[ProductHour, ...]:
    """What an hour pays in each product that sells, in their order.

    The whole month's bills are shared over what is sold, so that the products together are the line: by hours of
    making, or by jars where the workshop shares its bills so.
    """
    weights = [_weight(known, row) * (row.jars_a_month or ZERO) for row in rows]
    whole = added(weights)
    found: dict[Id, list[int]] = {}
    for place, row in enumerate(rows):
        found.setdefault(row.product, []).append(place)
    return tuple(
        _product_hour(known, [rows[one] for one in places], added(weights[one] for one in places), whole)
        for places in found.values()
    )


def _weight(known: Reckoning, row: Row) -> Figure:
    """What a jar's share of the bills is measured by."""
    by_jars = known.book.terms.overhead == "jars"
    return named(known.book, row, row.sheet.overhead if by_jars else row.sheet.making_hours)


def _product_hour(known: Reckoning, rows: Sequence[Row], weight: Figure, whole: Figure) -> ProductHour:
    def over(figure: Callable[[Row], Figure]) -> Figure:
        return added(named(known.book, row, figure(row)) * (row.jars_a_month or ZERO) for row in rows)

    return ProductHour(
        rows[0].product,
        sum((row.jars_a_month or ZERO for row in rows), ZERO),
        over(lambda row: row.contribution_before_own_pay),
        weight,
        bills_share(known.overhead, weight, whole),
        over(lambda row: row.own_hours),
    )


def bills_share(overhead: Decimal, weight: Figure, whole: Figure) -> Figure:
    """Overhead x weight / whole; no bills are no share, whatever is known of the weights."""
    if not overhead:
        return ZERO
    if whole == 0:
        return NO_MAKING_TIME
    return from_known(lambda part, every: overhead * part / every, weight, whole)


# --- a price change --------------------------------------------------------------------------------------------------


class Moved(NamedTuple):
    """A row at another price: its contribution there, and how its jars may move for the month to stay as it is."""

    row: Row
    price: Figure
    contribution: Figure
    outcome: Survives | Gap

    @property
    def change(self) -> Figure:
        """What the change adds to the contribution of a jar; below 0 where it takes from it."""
        return self.contribution - self.row.contribution


def moved(known: Reckoning, rows: Sequence[Row], by: Decimal) -> tuple[Moved, ...]:
    """The rows with every marked price changed by a percentage, half-up to the minor unit; cost stays as it is."""
    return tuple(at_price(row, _changed(known, row, by)) for row in rows)


def _changed(known: Reckoning, row: Row, by: Decimal) -> Figure:
    currency = known.book.workshop.currency
    return from_known(lambda price: to_minor(price * (HUNDRED + by) / HUNDRED, currency), row.price)


def at_price(row: Row, price: Figure) -> Moved:
    """A row at another marked price: N - fees - direct cost there, and what that means for its jars."""
    net = from_known(lambda marked: net_of(marked, row.terms), price)
    fees = net if isinstance(net, Gap) else fees_at(net, row.terms)
    then = net - fees - row.direct
    gap = first_gap((row.contribution, then))
    outcome = gap or survives(row.contribution, then - row.contribution)  # type: ignore[arg-type]
    return Moved(row, price, then, outcome)
