"""What a jar costs by the size of its batch: jars are whole, so that it goes in steps.

Method.md section 4. Grams, and home currency per jar on one channel. Only this product's batch is thought of as
another: made-ahead blends in it keep their own. Sizes are whole grams.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ONE
from webapp.costing.book import Formula, Id, Product
from webapp.costing.gaps import Figure, Gap, Ref, surely
from webapp.costing.material_history import thin
from webapp.costing.mixed_books import Mixed
from webapp.costing.rows import Row

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: without a pot's size so many present batches are looked at
BATCHES = 3
#: at most so many numbers of jars are worked out
MOST_STEPS = 40
_OF_PRESENT = tuple(Decimal(halves) / 2 for halves in range(1, 2 * BATCHES + 1))


class Size(NamedTuple):
    """A batch of so many grams: the row as it would be. `fewest`: no smaller batch fills as many jars."""

    grams: Decimal
    row: Row
    fewest: bool = False

    @property
    def jars(self) -> Figure:
        """Good jars of it."""
        return self.row.sheet.fills[0].jars

    @property
    def left_grams(self) -> Figure:
        """What is paid for and fills no jar."""
        return self.row.sheet.fills[0].left_grams

    @property
    def cost(self) -> Figure:
        """What a jar costs on the channel."""
        return self.row.cost


class BatchSizes(NamedTuple):
    """The present batch, sizes for a table, and the steps of the cost, each with its cheapest and its dearest end.

    Of very many steps some are left out, the last never: as a jar more bears what every batch costs, it is cheapest.
    `most` is the largest that was looked at: the pot's where it is said (`pot`), else a few present batches.
    """

    present: Size
    sizes: tuple[Size, ...]
    steps: tuple[Size, ...]
    most: Decimal
    pot: Decimal | None

    @property
    def thinned(self) -> bool:
        """Whether some numbers of jars are left out."""
        return sum(one.fewest for one in self.steps) == MOST_STEPS

    @property
    def cheapest(self) -> Size:
        """The size at which a jar costs least, the smaller of two; the present one where no other is cheaper."""
        return min((self.present, *self.steps), key=lambda one: (_cost(one), one is not self.present, one.grams))


def _cost(one: Size) -> Decimal:
    return one.cost if isinstance(one.cost, Decimal) else Decimal("Infinity")


def batch_sizes(known: Reckoning, product: Id, channel: Id) -> BatchSizes | Gap:
    """What a jar of a product costs on a channel at other batch sizes; a gap where it has no batch of its own."""
    held = known.book.products[product]
    row = known.row(product, channel)
    if len(held.fills) != 1 or held.members:
        return Gap(f"“{held.name}” has no batch of its own: only a product with one filling has.")
    fill = row.sheet.fills[0]
    for figure in (fill.jars, fill.jar_grams, row.cost):
        if isinstance(figure, Gap):
            return figure
    formula, grams = known.book.formulas[held.fills[0].formula], surely(fill.batch_grams)
    most = max(grams, grams * BATCHES if formula.pot_grams is None else formula.pot_grams)
    present = Size(grams, row)
    asked = {half * grams for half in _OF_PRESENT} | {most}
    sizes = [_size(known, row, one) for one in sorted(asked) if one <= most and one != grams]
    table = sorted((present, *sizes), key=lambda one: one.grams)
    return BatchSizes(present, tuple(table), tuple(_steps(known, row, held, formula, most)), most, formula.pot_grams)


def resized(known: Reckoning, product: Id, grams: Decimal) -> Reckoning:
    """The same book with another batch of this one product; nothing else of it is meant to be asked."""
    held = replace(known.book.products[product], batch_grams=grams)
    book = replace(known.book, products={**known.book.products, product: held})
    return Mixed(book, known, known, ())


def _size(known: Reckoning, row: Row, grams: Decimal, *, fewest: bool = False) -> Size:
    return Size(grams, resized(known, row.product, grams).row(row.product, row.channel), fewest)


def _steps(known: Reckoning, row: Row, product: Product, formula: Formula, most: Decimal) -> Iterator[Size]:
    """From a third of the present jars on: the fewest grams for so many jars, and the most."""
    fill = row.sheet.fills[0]
    takes, filled = surely(fill.jar_grams), int(surely(fill.filled))
    for jars in _numbers(product, formula, takes, filled, most):
        first = _fewest(product, formula, takes, jars)
        found = _size(known, row, first, fewest=True)
        if found.row.sheet.fills[0].filled != jars:
            continue
        yield found
        last = min(_fewest(product, formula, takes, jars + 1) - ONE, most)
        if last > first:
            yield _size(known, row, last)


def _numbers(product: Product, formula: Formula, takes: Decimal, filled: int, most: Decimal) -> list[int]:
    """Whole jars to be filled, up to what the largest batch fills; evenly fewer where they are many, the last kept."""
    first = max(1, int(product.set_aside) + 1, filled // 3)
    loss, fixed = _losses(product, formula)
    last = int((most - most * loss / HUNDRED - fixed) / takes)
    while last >= first and _fewest(product, formula, takes, last) > most:
        last -= 1
    return thin(range(first, last + 1), MOST_STEPS)[0]


def _losses(product: Product, formula: Formula) -> tuple[Decimal, Decimal]:
    loss = formula.loss if product.loss is None else product.loss
    return loss, formula.loss_grams if product.loss_grams is None else product.loss_grams


def _fewest(product: Product, formula: Formula, takes: Decimal, jars: int) -> Decimal:
    """The fewest whole grams that fill so many jars."""
    loss, fixed = _losses(product, formula)
    exact = (takes * jars + fixed) * HUNDRED / (HUNDRED - loss)
    return exact.to_integral_value(ROUND_CEILING)


def pot_of(known: Reckoning, product: Id) -> Ref | None:
    """Where the size of its pot is typed; None where it is no product with a batch of its own."""
    fills = known.book.products[product].fills
    return Ref("formula", fills[0].formula, "pot_grams") if len(fills) == 1 else None
