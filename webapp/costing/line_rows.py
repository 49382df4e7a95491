"""The rows of a product, on every channel where it is sold: made from nothing, or at another cost.

Home currency. A price that is accepted stays what it is when a cost moves, and so does all that only the price decides.
"""

from __future__ import annotations

from functools import reduce
from typing import TYPE_CHECKING

from webapp.costing.amounts import percent
from webapp.costing.book import Book, Id, Product
from webapp.costing.channels import PriceTerms
from webapp.costing.gaps import Figure, Gap
from webapp.costing.jars import CostSheet
from webapp.costing.rows import Row, left_of, outcome, recommended_at, suggestion

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


def product_rows(known: Reckoning, product: Product) -> list[Row]:
    """The rows of one product, on every channel where it is sold, by channel; all with one recommended retail price."""
    sheet, cost = _sheet_and_cost(known, product.id)
    outdated = known.kept.outdated_rows.get(product.id, ())
    if outdated and all(one.accepted for one in outdated):
        return [_at_another_cost(one, sheet, cost) for one in outdated]
    book, terms = known.book, known.sold_on(product)
    whole = [None if one.retail else _row(book, sheet, cost, one, None) for one in terms]
    asked = [one.recommended_retail for one in whole if one is not None]
    recommended = reduce(_higher, asked, None)
    return [
        _row(book, sheet, cost, one, recommended) if sold is None else _with_recommended(sold, recommended)
        for one, sold in zip(terms, whole, strict=True)
    ]


def _at_another_cost(was: Row, sheet: CostSheet, base: Figure) -> Row:
    """The row at the cost of another sheet of its product: a price that is accepted stays, and what follows from it."""
    cost = base + was.terms.labour
    profit, left = left_of(was.net, cost, was.fees)
    return Row(
        was.product, was.channel, was.price, was.accepted, was.recommended_retail, cost, was.net, was.fees, profit,
        left, was.target, was.jars_a_month, sheet, was.terms,
    )  # fmt: skip


def _with_recommended(wholesale: Row, recommended: Figure | None) -> Row:
    """The same row where it is the one that recommends, as a product's only wholesale row is."""
    if wholesale.recommended_retail is recommended:
        return wholesale
    return wholesale._replace(recommended_retail=recommended)


def row(known: Reckoning, product: Id, channel: Id) -> Row:
    """The row of one product on one channel; also on a retired one, and where it is not sold (yet)."""
    sold = known.rows(product)
    for one in sold:
        if one.channel == channel:
            return one
    sheet, cost = _sheet_and_cost(known, product)
    return _row(known.book, sheet, cost, known.terms[channel], sold[0].recommended_retail if sold else None)


def _sheet_and_cost(known: Reckoning, product: Id) -> tuple[CostSheet, Figure]:
    sheet = known.sheet(product)
    return sheet, sheet.full if known.book.terms.cost == "full" else sheet.direct


def _higher(one: Figure | None, other: Figure | None) -> Figure | None:
    """The higher of two recommended retail prices; one that is missing makes the highest missing."""
    if one is None or isinstance(other, Gap):
        return other
    return one if isinstance(one, Gap) or other is None else max(one, other)


def _row(book: Book, sheet: CostSheet, base: Figure, terms: PriceTerms, recommended: Figure | None) -> Row:
    key = (sheet.product, terms.channel)
    cost = base + terms.labour
    own_target = book.targets.get(key)
    target = terms.target if own_target is None or own_target.margin is None else percent(own_target.margin)
    fact = book.prices.get(key)
    if fact is None:
        price, _ = suggestion(cost, target, terms, recommended if terms.retail else None)
    else:
        price = fact.amount
    net, fees, profit, left = outcome(price, cost, terms)
    sales = book.sales.get(key)
    return Row(
        *key, price, fact is not None, recommended if terms.retail else recommended_at(net, terms), cost, net, fees,
        profit, left, target, None if sales is None else sales.jars, sheet, terms,
    )  # fmt: skip
