"""The product line: every row of it, what the rows add up to, the headroom of an ingredient, and the wage it pays.

Method.md section 6. Money is in the home currency, margins and targets are fractions.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE, ZERO, percent
from webapp.costing.book import Book
from webapp.costing.channels import SellingShare
from webapp.costing.gaps import Figure, Gap, added, first_gap, from_known
from webapp.costing.labour import PersonTime
from webapp.costing.line_rows import product_rows, row
from webapp.costing.prices import wage_for
from webapp.costing.rows import BELOW_FLOOR, HELD_UP, SUGGESTED, Row

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

__all__ = [
    "BELOW_FLOOR",
    "HELD_UP",
    "SUGGESTED",
    "Row",
    "Totals",
    "headroom",
    "known_totals",
    "left_out",
    "line",
    "named",
    "product_rows",
    "row",
    "totals",
    "wage",
]


def line(known: Reckoning) -> tuple[Row, ...]:
    """Every product not retired on every channel where it is sold, by name and then by channel."""
    book = known.book
    living = [one for one in book.products.values() if one.retired is None or one.retired > book.day]
    living.sort(key=lambda product: (product.name.casefold(), product.id))
    return tuple(one for product in living for one in known.rows(product.id))


def headroom(one: Row, grams: Decimal) -> Figure:
    """(N (1 - m) - fees - C) / grams: how much dearer a gram of an ingredient may get before the target is missed.

    `grams` are those charged per jar (jars.charged_grams). Below zero: the target is missed already.
    """
    if not grams:
        return Gap("There is none of it in this product.")
    return from_known(lambda net, profit: (profit - one.target * net) / grams, one.net, one.profit)


def wage(book: Book, one: Row) -> Figure:
    """The hourly wage, one for all own hours, at which the row just reaches its target; show it rounded down.

    Each own person's employer's extra stays as it is. It can be asked before any own wage is typed in.
    """
    parts = wage_parts(book, one)
    gap = first_gap(parts)
    return gap or wage_for(*parts)  # type: ignore[arg-type]  # no gap among them


def wage_parts(book: Book, one: Row) -> tuple[Figure, Figure, Figure]:
    """What the jar may cost at most, what it costs without own pay, and own minutes with the extra on them."""
    sheet, terms = one.sheet, one.terms
    if isinstance(sheet.times, Gap):
        return sheet.times, sheet.times, sheet.times
    whole = (sheet.overhead, sheet.one_offs) if book.terms.cost == "full" else ()
    without_own = added((sheet.materials, sheet.labour_hired, *whole, terms.labour_hired))
    times: tuple[PersonTime | SellingShare, ...] = (*sheet.times, *terms.times)
    weighted = added(_weighted_minutes(book, time) for time in times if time.own)
    return one.highest_cost, without_own, weighted


def _weighted_minutes(book: Book, time: PersonTime | SellingShare) -> Figure:
    """Minutes of one person, with the employer's extra on their wage."""
    wage_now = book.people[time.person].wage
    factor = ONE if wage_now is None else ONE + percent(wage_now.extra)
    return from_known(lambda spent: spent * factor, time.minutes)


class Totals(NamedTuple):
    """What rows add up to a month. `sold` and `unsold` count rows, `unsold_products` products without any sale.

    `suggested` counts those that sell without an accepted price: they stand in it at the suggested one.
    """

    weighted_margin: Figure
    net_sales: Figure
    profit: Figure
    lost_a_month: Figure
    jars: Decimal
    sold: int
    unsold: int
    unsold_products: int
    suggested: int


def totals(book: Book, rows: Iterable[Row]) -> Totals:
    """The weighted margin of the rows that sell, and the rest of a month. A sold row that is missing is named."""
    listed = tuple(rows)
    sold = [one for one in listed if one.jars_a_month]
    jars = [one.jars_a_month or ZERO for one in sold]
    net_sales = _month(book, sold, [one.net for one in sold])
    profit = _month(book, sold, [one.profit for one in sold])
    lost = _lost(book, sold)
    return Totals(
        _weighted(net_sales, profit),
        net_sales,
        profit,
        lost,
        sum(jars, ZERO),
        len(sold),
        len(listed) - len(sold),
        len({one.product for one in listed} - {one.product for one in sold}),
        sum(not one.accepted for one in sold),
    )


def left_out(rows: Iterable[Row]) -> list[tuple[Row, Gap]]:
    """The rows that sell and whose net sales or profit are missing, with the reason: the month's totals lack them."""
    sold = ((one, first_gap((one.net, one.profit))) for one in rows if one.jars_a_month)
    return [(one, gap) for one, gap in sold if gap is not None]


def known_totals(book: Book, rows: Iterable[Row]) -> Totals:
    """The totals without the rows that `left_out` names: they stand beside those names, never in place of the whole."""
    listed = tuple(rows)
    lacking = {(one.product, one.channel) for one, _ in left_out(listed)}
    return totals(book, [one for one in listed if (one.product, one.channel) not in lacking])


def _month(book: Book, sold: Sequence[Row], figures: Sequence[Figure]) -> Figure:
    total = ZERO
    for one, figure in zip(sold, figures, strict=True):
        if isinstance(figure, Gap):
            return named(book, one, figure)
        total += figure * (one.jars_a_month or ZERO)
    return total


def _lost(book: Book, sold: Sequence[Row]) -> Figure:
    total = ZERO
    for one in sold:
        lost = one.lost_a_month
        if isinstance(lost, Gap):
            return named(book, one, lost)
        if lost is not ZERO:
            total += lost
    return total


def named(book: Book, one: Row, figure: Figure) -> Figure:
    """The figure of a row; where it is missing its reason says of which product and channel."""
    if not isinstance(figure, Gap):
        return figure
    where = f"{book.products[one.product].name}, {book.channels[one.channel].name}"
    return Gap(f"{where}: {figure.reason}", figure.cure)


def _weighted(net_sales: Figure, profit: Figure) -> Figure:
    if net_sales == 0:
        return Gap("Nothing is sold at a price yet. Type how many jars are sold a month.")
    gap = first_gap((profit, net_sales))
    return gap or profit / net_sales
