"""Exchange: home money for one unit of a foreign currency, however it was typed (method.md section 1).

A rate is kept as one division not yet done, so that nothing is rounded on the way.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from webapp.costing.amounts import ONE, Ratio
from webapp.costing.book import Book, Exchange
from webapp.costing.gaps import Figure, Gap, Ref

WHOLE = Ratio(ONE)


def exchanged(book: Book, currency: str, exchange: Exchange | None, total: Figure, cure: Ref) -> Ratio | Gap:
    """Home money for one unit of `currency`; `total` is all that was paid in it, for a rate by the amount paid."""
    if currency == book.workshop.currency:
        return WHOLE
    if exchange is None:
        home = book.workshop.currency
        return Gap(f"How much {home} one {currency} was is not known yet. Type the exchange rate.", cure)
    return EXCHANGES[exchange.way](exchange.amount, total, cure)


def _home_per_unit(amount: Decimal, total: Figure, cure: Ref) -> Ratio | Gap:
    del total, cure
    return Ratio(amount)


def _units_per_home(amount: Decimal, total: Figure, cure: Ref) -> Ratio | Gap:
    del total
    return Ratio(ONE, amount) if amount else Gap("The exchange rate is 0. Type the rate.", cure)


def _paid(amount: Decimal, total: Figure, cure: Ref) -> Ratio | Gap:
    if isinstance(total, Gap):
        return total
    if total <= 0:
        return Gap(
            "Nothing on this order is to pay in its own currency, so the amount paid can't be spread over it. "
            "Type the exchange rate instead.",
            cure,
        )
    return Ratio(amount, total)


#: how the exchange was typed -> home money for one unit
EXCHANGES: dict[str, Callable[[Decimal, Figure, Ref], Ratio | Gap]] = {
    "home per unit": _home_per_unit,
    "units per home": _units_per_home,
    "paid": _paid,
}
