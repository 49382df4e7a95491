"""What a supplier's invoice says: goods after the discount, and the tax kept apart (method.md section 1).

Every amount here is rounded once, half-up, to the minor unit of its currency.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import HUNDRED, ZERO, half_up, percent, to_minor
from webapp.costing.book import Book, Order, OrderLine
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.limits import MONEY


class Taxed(NamedTuple):
    """An invoice amount with its tax kept apart. `tax_cost` is the part of the tax that is not reclaimed."""

    typed: Decimal
    net: Decimal
    tax: Decimal
    tax_cost: Decimal

    @property
    def cost(self) -> Decimal:
        return self.net + self.tax_cost

    @property
    def gross(self) -> Decimal:
        return self.net + self.tax


def goods_before_rounding(line: OrderLine) -> Decimal | None:
    """Packs x price less the discount, or the typed total, which wins; None where neither was typed."""
    if line.total is not None:
        return line.total
    if line.price is None:
        return None
    full = line.packs * line.price
    return full - discount(line, full) if line.discount else full


def bought_again(line: OrderLine) -> OrderLine:
    """The line as it would be ordered once more: without what was true of one delivery only.

    A line total becomes the price of a pack, where that comes out in the places that are typed: a price typed over it
    then counts, and a total left beside it would not let it.
    """
    again = replace(line, arrived=None, not_priced="")
    if line.total is None:
        return again
    each = half_up(line.total / line.packs, MONEY.places)
    return replace(again, price=each, discount=None, total=None) if each * line.packs == line.total else again


def discount(line: OrderLine, full: Decimal) -> Decimal:
    """What is taken off the whole line, `full` being packs x price; not rounded."""
    return DISCOUNTS[line.discount_in](full, line.discount or ZERO)


def _money_off(full: Decimal, discount: Decimal) -> Decimal:
    del full
    return discount


def _percent_off(full: Decimal, discount: Decimal) -> Decimal:
    return full * percent(discount)


DISCOUNTS: dict[str, Callable[[Decimal, Decimal], Decimal]] = {"money": _money_off, "percent": _percent_off}


def goods(book: Book, order: Order, index: int) -> Figure:
    """Goods of line `index` in the order's currency, rounded once, after the discount.

    A gap where no price was typed, or where the discount is more than the goods cost.
    """
    line = order.lines[index]
    amount = goods_before_rounding(line)
    if amount is None:
        return line_gap(book, order, index, "has no price. Type its price per pack or the line total.", "price")
    if amount < ZERO:
        words = "costs less than nothing after its discount. Lower the discount."
        return line_gap(book, order, index, words, "discount")
    return to_minor(amount, order.currency)


def line_gap(book: Book, order: Order, index: int, words: str, field: str) -> Gap:
    """A gap that names the material and the order's day, cured at `field` of line `index`."""
    name = book.materials[order.lines[index].material].name
    return Gap(f"On the order of {order.day}, {name} {words}", Ref("order", order.id, f"lines-{index}-{field}"))


def taxed(amount: Decimal, rate: Decimal, included: bool, currency: str, reclaimed: bool) -> Taxed:
    """`amount` with its tax at `rate` percent kept apart, the tax being an invoice amount of its own."""
    if included:
        tax = to_minor(amount * rate / (HUNDRED + rate), currency)
        return Taxed(amount, amount - tax, tax, ZERO if reclaimed else tax)
    tax = to_minor(amount * percent(rate), currency) if rate else ZERO
    return Taxed(amount, amount, tax, ZERO if reclaimed else tax)
