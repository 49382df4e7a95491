"""What a price is made of, as the parts of a bar: what it costs, fees, tax, and last what is yours."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import HUNDRED, ZERO, half_up
from webapp.costing.gaps import Gap
from webapp.costing.line import Row
from webapp.pages.formats import Formats

PartOfPrice = tuple[str, str, str, Decimal]


def parts(formats: Formats, row: Row) -> tuple[PartOfPrice, ...]:
    """(key, words, amount, width in percent of the bar) of every part; empty while a figure is missing.

    Where the costs are more than the price, the bar is as long as the costs: each is drawn as far as the price pays for
    it, and what it doesn't pay stands beyond as the loss. Selling labour stands with its owner's pay.
    """
    amounts = _amounts(row)
    if amounts is None or isinstance(row.price, Gap):
        return ()
    price = row.price
    costs = sum((amount for _, _, amount in amounts), ZERO)
    left = price - costs
    whole = max(price, costs)
    if whole <= 0:
        return ()
    shrink = price / costs if left < 0 else Decimal(1)
    drawn = [(key, words, amount, amount * shrink) for key, words, amount in amounts if amount > 0]
    drawn.append(("left", "left", left, left) if left >= 0 else ("loss", "not covered", -left, -left))
    return tuple(
        (key, words, formats.money(amount), half_up(width * HUNDRED / whole, 2)) for key, words, amount, width in drawn
    )


def _amounts(row: Row) -> list[tuple[str, str, Decimal]] | None:
    """The costs in the price, own pay last: what is yours stands together."""
    sheet, terms = row.sheet, row.terms
    tax = ZERO if isinstance(row.price, Gap) or isinstance(row.net, Gap) else row.price - row.net
    found = (
        ("ingredients", "ingredients", sheet.ingredients),
        ("packaging", "packaging", sheet.packaging),
        ("hired", "hired work", _plus(sheet.labour_hired, terms.labour_hired)),
        ("overhead", "overhead", sheet.overhead),
        ("oneoffs", "one-offs", sheet.one_offs),
        ("fees", "fees", row.fees),
        ("tax", "sales tax", tax),
        ("own", "own pay", row.own_pay),
    )
    known = [(key, words, amount) for key, words, amount in found if isinstance(amount, Decimal)]
    return known if len(known) == len(found) and not isinstance(row.net, Gap) else None


def _plus(first: Decimal | Gap, second: Decimal | Gap) -> Decimal | Gap:
    if isinstance(first, Gap):
        return first
    return second if isinstance(second, Gap) else first + second
