"""A purchase far from what its material costs now: it may be right, or a slip of a decimal sign or of a pack."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from webapp.costing import orders as landing
from webapp.costing.amounts import HUNDRED, ONE, half_up, plain, snap
from webapp.costing.book import Book, Id, Material, Order
from webapp.costing.checks.found import Question
from webapp.costing.reckoning import Reckoning
from webapp.costing.units import MASS

JUMP = "price-jump"
#: less than one over this, or more than this times what it costs now, is asked about
FAR = Decimal(2)


def jump_questions(book: Book, order: Order) -> Iterator[Question]:
    """A question for every line of `order` whose cost lies far from the material's present one.

    Lines that set no price are not asked about, nor those of a correction that cost what they cost before.
    """
    known = Reckoning(book)
    held = _as_held(known, order)
    for line in landing.landed(book, order).lines:
        material, cost = line.line.material, line.unit_cost
        if not line.sets_price or (material, cost) in held:
            continue
        before = known.material(material).unit_cost
        if isinstance(before, Decimal) and isinstance(cost, Decimal) and is_far(before, cost):
            said = _said(book, book.materials[material], before, cost)
            yield Question(JUMP, f"lines-{line.index}-price", f"{said} Is that right?")


def _as_held(known: Reckoning, order: Order) -> set[tuple[Id, object]]:
    """What the lines of this order cost as it stands in the book already."""
    if order.id not in known.book.orders:
        return set()
    return {(line.line.material, line.unit_cost) for line in known.landed(order.id).lines}


def is_far(before: Decimal, now: Decimal) -> bool:
    """Whether a cost is less than half or more than double of another. One of nothing is asked about elsewhere."""
    if before <= 0 or now <= 0:
        return False
    return snap(now * FAR) < snap(before) or snap(now) > snap(before * FAR)


def _said(book: Book, material: Material, before: Decimal, now: Decimal) -> str:
    unit = "piece" if material.by_piece else book.workshop.mass_unit
    size = ONE if material.by_piece else MASS[unit]
    if now < before:
        how = f"{plain(half_up((ONE - now / before) * HUNDRED, 1))} % less"
    else:
        how = f"{plain(half_up(now / before, 1))} times as much"
    then, here = _amount(before * size), _amount(now * size)
    than = "than" if now < before else "as"
    return (
        f"{material.name} would cost {how} {than} before: {here} instead of {then} {book.workshop.currency} per {unit}."
    )


def _amount(cost: Decimal) -> str:
    """Two decimals; small ones of a piece with more, so that four digits say something."""
    return plain(half_up(cost, 2 if cost >= ONE else 5), least=2)
