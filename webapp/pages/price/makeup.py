"""What a price is made of, as the parts of a bar: what it costs, fees, tax, and last what is yours."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from markupsafe import Markup, escape

from webapp.costing.amounts import HUNDRED, ZERO, half_up
from webapp.costing.gaps import Gap
from webapp.costing.line import Row
from webapp.pages.formats import Formats

PartOfPrice = tuple[str, str, str, Decimal]
#: parts that are told apart by a hatching as well as by their colour (templates/parts/drawings.html)
LEAST_HATCHED = 3  #: percent of the small bar; narrower, and no stroke of a hatching would be seen
HATCHED = frozenset(("packaging", "hired", "oneoffs", "fees", "stockist", "tax", "own", "loss"))
#: every part of a bar and what it is called, in its order
KEY = (
    ("ingredients", "ingredients"),
    ("packaging", "packaging"),
    ("hired", "hired work"),
    ("overhead", "overhead"),
    ("oneoffs", "one-offs"),
    ("fees", "fees"),
    ("tax", "sales tax"),
    ("own", "own pay"),
    ("left", "left"),
    ("loss", "not covered"),
)


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
    if max(price, costs) <= 0:
        return ()
    shrink = price / costs if left < 0 else Decimal(1)
    drawn = [(key, words, amount, amount * shrink) for key, words, amount in amounts if amount > 0]
    drawn.append(("left", "left", left, left) if left >= 0 else ("loss", "not covered", -left, -left))
    # More than the price where a part is below zero and so not drawn: postage that brings more than it takes.
    whole = sum((width for _, _, _, width in drawn), ZERO)
    return tuple(
        (key, words, formats.money(amount), half_up(width * HUNDRED / whole, 2)) for key, words, amount, width in drawn
    )


def small_bar(parts: Sequence[PartOfPrice], title: str) -> Markup:
    """The bar of one row of a long table; written here, since in a template a hundred of them are half of the page."""
    if not parts:
        return Markup("")
    said = escape(title + ": " + ", ".join([f"{words} {amount}" for _, words, amount, _ in parts]))
    drawn = []
    x = ZERO
    for key, _, _, width in parts:
        at = f'x="{x}%" width="{width}%" height="100%"/>'
        drawn.append(f'<rect class="part {key}" {at}')
        if key in HATCHED and width >= LEAST_HATCHED:
            drawn.append(f'<rect fill="url(#hatch-{key})" {at}')
        if key == "loss":
            drawn.append(f'<line class="price-tick" x1="{x}%" x2="{x}%" y1="-3" y2="100%"/>')
        x += width
    whole = "".join(drawn)  # keys and widths are ours; what people typed is in the title only
    return Markup(f'<svg role="img" focusable="false"><title>{said}</title>{whole}</svg>')  # noqa: S704


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
