"""Packaging: the pieces of a jar, parts that go together, spoiled pieces paid for (method.md section 4).

Home currency. Spoiled pieces are counted per 100 used well, so they are added: 4 spoiled is 104 pieces paid per 100.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ONE, ZERO
from webapp.costing.book import Id, Part, Product
from webapp.costing.gaps import Figure, Gap, from_known

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class PartCost(NamedTuple):
    """One part of a jar, groups opened: pieces, spoiled per 100, unit cost, and its cost per good jar."""

    material: Id
    group: Id | None
    name: str
    pieces: Decimal
    spoiled: Decimal
    unit_cost: Figure
    cost: Figure


def parts_cost(known: Reckoning, parts: tuple[Part, ...]) -> Figure:
    """What the parts of one jar cost: pieces x unit cost x (1 + spoiled per 100 used well)."""
    total: Figure = ZERO
    for part in parts:
        if part.material is not None:
            each = known.unit_costs[part.material]
        elif part.group is not None:
            each = known.group(part.group)
        else:
            each = Gap("One of the parts is not chosen yet. Choose it.")
        total += each * (part.pieces * (HUNDRED + part.spoiled))  # the short amounts first: a cost has 50 digits
    return total / HUNDRED


def aside_factor(known: Reckoning, product: Product) -> Figure:
    """Jars filled per good jar: above 1 where some of the batch are set aside."""
    if not product.set_aside or len(product.fills) != 1:
        return ONE
    made = known.sheet(product.id).made
    return from_known(lambda filled, jars: filled / jars, made.filled, made.jars)


def part_costs(known: Reckoning, product: Product) -> tuple[PartCost, ...]:
    """The product's own parts as charged to a good jar; those of its members are in their own sheets."""
    factor = aside_factor(known, product)
    opened: list[PartCost] = []
    for part in product.parts:
        if part.material is not None:
            opened.append(_part_cost(known, part.material, None, (part,), factor))
        elif part.group is not None:
            inside = known.book.groups[part.group].parts
            opened += [
                _part_cost(known, one.material, part.group, (one, part), factor)
                for one in inside
                if one.material is not None
            ]
    return tuple(opened)


def _part_cost(known: Reckoning, material: Id, group: Id | None, uses: tuple[Part, ...], factor: Figure) -> PartCost:
    """Pieces and spoilage of a part, and of the use of its group, multiplied."""
    pieces = paid = ONE
    for use in uses:
        pieces *= use.pieces
        paid = paid * (HUNDRED + use.spoiled) / HUNDRED
    each = known.material(material).unit_cost
    cost = from_known(lambda unit_cost, aside: pieces * unit_cost * paid * aside, each, factor)
    name = known.book.materials[material].name
    return PartCost(material, group, name, pieces, (paid - ONE) * HUNDRED, each, cost)


def charged_pieces(known: Reckoning, product: Id) -> Mapping[Id, Decimal] | Gap:
    """Pieces of each material that a good jar pays for: spoiled ones, jars set aside and members included."""
    charged: dict[Id, Decimal] = {}
    held = known.book.products[product]
    factor = aside_factor(known, held)
    if isinstance(factor, Gap):
        return factor
    for part in part_costs(known, held):
        paid = part.pieces * (HUNDRED + part.spoiled) * factor / HUNDRED
        charged[part.material] = charged.get(part.material, ZERO) + paid
    for member in held.members:
        inner = charged_pieces(known, member.product)
        if isinstance(inner, Gap):
            return inner
        for material, pieces in inner.items():
            charged[material] = charged.get(material, ZERO) + pieces * member.count
    return charged
