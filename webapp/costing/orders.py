"""Landed cost: from what a supplier order says to what each of its lines cost, in home currency (method.md section 1).

Every amount of an invoice is rounded once, to its currency's minor unit; each charge is shared out on its own with its
unreclaimed tax, so that the lines add up to the order exactly. What can't be worked out is a gap; nothing is raised.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ZERO, Ratio, to_minor
from webapp.costing.book import Book, Id, Order, OrderLine
from webapp.costing.charges import WEIGHTS, LandedCharge, Lines, Share, charge, shared_out, shares_of
from webapp.costing.gaps import Figure, Gap, Ref, added
from webapp.costing.invoices import Taxed, goods, line_gap, taxed
from webapp.costing.quantities import mass, usable
from webapp.costing.rates import WHOLE, exchanged


class LandedLine(NamedTuple):
    """One line worked out.

    `goods` as typed, `net`, `tax`, `tax_cost` (not reclaimed) in the order's `currency`; `landed` in home currency;
    `quantity` arrived usable, in grams or pieces; `unit_cost` per gram or piece. `home` is `landed` undivided,
    `exact` the unit cost undivided.
    """

    order: Id
    day: date
    index: int  # type: ignore[assignment]  # in place of the method of tuples, which nobody asks for here
    line: OrderLine
    currency: str
    goods: Figure
    net: Figure
    tax: Figure
    tax_cost: Figure
    shares: tuple[Share, ...]
    home: Ratio | Gap
    landed: Figure
    quantity: Figure
    exact: Ratio | Gap
    unit_cost: Figure

    @property
    def sets_price(self) -> bool:
        """Whether it counts for what its material costs; samples, replacements and the like do not."""
        return not self.line.not_priced


@dataclass(frozen=True, slots=True)
class Landed:
    """An order worked out.

    `goods` (net), `tax` and `total` (tax included) are what the invoice should say, in the order's currency;
    `home_total` is what all lines cost together, landed, in home currency, reclaimed tax left out. `tax_shared` is the
    lump sum of tax as far as it is a cost, `rate` home money for one unit of the order's currency, `difference` the
    typed invoice total less `total`.
    """

    order: Order
    lines: tuple[LandedLine, ...]
    charges: tuple[LandedCharge, ...]
    goods: Figure
    tax: Figure
    total: Figure
    tax_shared: Decimal
    rate: Ratio | Gap
    home_total: Figure
    difference: Decimal | None


@dataclass(frozen=True, slots=True)
class Invoice:
    """What the lines of one order are landed from: everything about it that is not about one line alone."""

    order: Order
    billed: tuple[Taxed | Gap, ...]
    charges: tuple[LandedCharge, ...]
    tax_shared: Decimal
    tax_shares: tuple[Figure, ...]
    tax_lump: Decimal
    rate: Ratio | Gap

    @property
    def total(self) -> Figure:
        """What the invoice should say, tax included, in the order's currency."""
        return _total(self.billed, self.charges, self.tax_lump)


def invoice(book: Book, order: Order) -> Invoice:
    """An order's charges shared out and its rate found; tax is reclaimed if registered on the order's day."""
    reclaimed = book.registered_on(order.day)
    billed = tuple([_billed(book, order, index, reclaimed) for index in range(len(order.lines))])
    charges = tuple([charge(book, order, index, billed, reclaimed) for index in range(len(order.charges))])
    lump = to_minor(order.tax_total or ZERO, order.currency)
    tax_shared = ZERO if reclaimed else lump
    weights = WEIGHTS["value"](book, order, billed) if tax_shared else (ZERO,) * len(billed)
    tax_shares = shared_out(tax_shared, weights, order.currency)
    total = ZERO if order.exchange is None else _total(billed, charges, lump)  # asked for only by a rate
    rate = exchanged(book, order.currency, order.exchange, total, Ref("order", order.id, "exchange-amount"))
    return Invoice(order, billed, charges, tax_shared, tax_shares, lump, rate)


def landed(book: Book, order: Order) -> Landed:
    """Every line of `order` with its landed and unit cost."""
    return landed_from(book, invoice(book, order))


def landed_from(book: Book, known: Invoice) -> Landed:
    """The same from an invoice that was worked out before, on this book."""
    order, charges, total = known.order, known.charges, known.total
    lines = tuple([landed_line(book, known, index) for index in range(len(order.lines))])
    return Landed(
        order=order,
        lines=lines,
        charges=charges,
        goods=added(line.net for line in lines),
        tax=added([*(line.tax for line in lines), *(one.tax for one in _invoiced(charges)), known.tax_lump]),
        total=total,
        tax_shared=known.tax_shared,
        rate=known.rate,
        home_total=_home_total(known),
        difference=_difference(order, total),
    )


def _billed(book: Book, order: Order, index: int, reclaimed: bool) -> Taxed | Gap:
    amount = goods(book, order, index)
    if isinstance(amount, Gap):
        return amount
    line = order.lines[index]
    return taxed(amount, line.tax_rate, line.tax_included, order.currency, reclaimed)


# --- the whole order -----------------------------------------------------------------------------------------------


def _invoiced(charges: Sequence[LandedCharge]) -> list[LandedCharge]:
    """Charges in the order's currency: those stand on the supplier's invoice."""
    return [one for one in charges if not one.at_home]


def _total(lines: Lines, charges: Sequence[LandedCharge], lump: Decimal) -> Figure:
    amounts = [one if isinstance(one, Gap) else one.gross for one in lines]
    return added([*amounts, *(one.net + one.tax for one in _invoiced(charges)), lump])


def _home_total(invoice: Invoice) -> Figure:
    costs = [one if isinstance(one, Gap) else one.cost for one in invoice.billed]
    abroad = added([*costs, *(one.shared for one in _invoiced(invoice.charges)), invoice.tax_shared])
    at_home = sum((one.shared for one in invoice.charges if one.at_home), ZERO)
    cost = _in_home(abroad, at_home, invoice.rate)
    return cost if isinstance(cost, Gap) else cost.value


def _in_home(abroad: Figure, at_home: Figure, rate: Ratio | Gap) -> Ratio | Gap:
    if isinstance(abroad, Gap):
        return abroad
    if isinstance(at_home, Gap):
        return at_home
    if rate is WHOLE or isinstance(rate, Gap):
        return Ratio(abroad + at_home) if rate is WHOLE else rate
    return Ratio(abroad * rate.over + at_home * rate.under, rate.under)


def _difference(order: Order, total: Figure) -> Decimal | None:
    if order.invoice_total is None or isinstance(total, Gap):
        return None
    return to_minor(order.invoice_total, order.currency) - total


# --- one line ------------------------------------------------------------------------------------------------------


def landed_line(book: Book, invoice: Invoice, index: int) -> LandedLine:
    """One line of an order alone, with its share of every charge."""
    order, billed = invoice.order, invoice.billed[index]
    shares = shares_of(order, invoice.charges, invoice.tax_shares, index)
    home = _home_cost(book, invoice, index, shares)
    quantity = _quantity(book, order, index)
    exact = _unit_cost(home, quantity)
    typed, net, tax, tax_cost = (billed,) * 4 if isinstance(billed, Gap) else billed
    landed = home if isinstance(home, Gap) else home.value
    unit_cost = exact if isinstance(exact, Gap) else exact.value
    return LandedLine(
        order.id, order.day, index, order.lines[index], order.currency, typed, net, tax, tax_cost, shares, home, landed,
        quantity, exact, unit_cost,
    )  # fmt: skip


def _home_cost(book: Book, invoice: Invoice, index: int, shares: Sequence[Share]) -> Ratio | Gap:
    billed = invoice.billed[index]
    if isinstance(billed, Gap):
        return billed
    abroad: Figure = billed.cost
    at_home: Figure = ZERO
    for share in shares:
        if share.at_home:
            at_home += share.amount
        else:
            abroad += share.amount
    cost = _in_home(abroad, at_home, invoice.rate)
    if isinstance(cost, Ratio) and cost.over < ZERO:
        words = "costs less than nothing after discounts and credits. Lower them."
        return line_gap(book, invoice.order, index, words, "price")
    return cost


def _quantity(book: Book, order: Order, index: int) -> Figure:
    line = order.lines[index]
    amount = line.packs * line.size if line.arrived is None else line.arrived
    if amount <= ZERO:
        return line_gap(book, order, index, "did not arrive usable. Type what arrived.", "arrived")
    material = book.materials[line.material]
    if not material.by_piece:
        return mass(material, amount, line.unit)
    return usable(material, amount, line.unit, Ref("order", order.id, f"lines-{index}-unit"))


def _unit_cost(home: Ratio | Gap, quantity: Figure) -> Ratio | Gap:
    if isinstance(home, Gap):
        return home
    return quantity if isinstance(quantity, Gap) else home.per(quantity)
