"""How much of each material is used: in a month by the jars that are sold, and in batches that are planned.

Grams of an ingredient, losses and pre-blends in it; pieces of everything else, spoiled ones in it.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ZERO, snap
from webapp.costing.book import Id, Product
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.jars import charged_grams
from webapp.costing.overhead import is_living
from webapp.costing.pack_facts import NO_SHELF
from webapp.costing.parts import aside_factor, part_costs
from webapp.costing.weighing import batch_of

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class Use(NamedTuple):
    """What is used of a material in a month, and what of it each product uses.

    `unsold` are products with it in them of which nobody has said how many jars are sold: they are not in it.
    """

    a_month: Figure
    of: tuple[tuple[Id, Decimal], ...]
    unsold: tuple[Id, ...]


def use(known: Reckoning, material: Id) -> Use:
    """Jars sold a month x what a jar pays for, over all products that have the material in them.

    A gap where no jar of any of them is known to be sold, or where a product that sells cannot be worked out.
    """
    jars: list[tuple[Id, Decimal]] = []
    unsold: list[Id] = []
    gap: Gap | None = None
    for product in sorted(known.book.products.values(), key=lambda one: one.id):
        if not is_living(known.book, product):
            continue
        sold, charged = jars_a_month(known, product), charged_of(known, product, material)
        if isinstance(charged, Gap):
            gap = gap or (Gap(f"{product.name}: {charged.reason}", charged.cure) if sold else None)
        elif charged and sold:
            jars.append((product.id, sold * charged))
        elif charged:
            unsold.append(product.id)
    if gap is None and not jars:
        gap = _nothing_sold(known, material, unsold)
    return Use(gap or sum((amount for _, amount in jars), ZERO), tuple(jars), tuple(unsold))


def _nothing_sold(known: Reckoning, material: Id, unsold: list[Id]) -> Gap:
    name = known.book.materials[material].name
    if not unsold:
        return Gap(f"{name} is in no product that is sold. Type how much of it is used in a month.")
    first = known.book.products[unsold[0]]
    words = f"How many jars of {first.name} are sold a month is not known yet. Type it there, or type the use here."
    return Gap(words, Ref("product", first.id))


def jars_a_month(known: Reckoning, product: Product) -> Decimal:
    """Jars of a product that are known to be sold in a month, over all channels where it is sold."""
    sales = known.book.sales
    there = [sales.get((product.id, terms.channel)) for terms in known.sold_on(product)]
    return sum((one.jars for one in there if one is not None and one.jars is not None), ZERO)


def charged_of(known: Reckoning, product: Product, material: Id) -> Figure:
    """Grams or pieces of a material that a good jar of the product pays for."""
    if known.book.materials[material].by_piece:
        return _pieces(known, product, material)
    if not product.fills and not product.members:
        return ZERO
    grams = charged_grams(known, product.id)
    return grams if isinstance(grams, Gap) else grams.get(material, ZERO)


def _pieces(known: Reckoning, product: Product, material: Id) -> Figure:
    own = [one for one in part_costs(known, product) if one.material == material]
    total = sum((one.pieces * (HUNDRED + one.spoiled) / HUNDRED for one in own), ZERO)
    factor = aside_factor(known, product) if own else ZERO
    if isinstance(factor, Gap):
        return factor
    total *= factor
    for member in product.members:
        inner = charged_of(known, known.book.products[member.product], material)
        if isinstance(inner, Gap):
            return inner
        total += inner * member.count
    return total


def keeps(known: Reckoning, material: Id) -> Figure | None:
    """How many months a material keeps; None for what does not spoil."""
    held = known.book.materials[material]
    if held.shelf_months is not None:
        return held.shelf_months
    return None if held.by_piece else Gap(NO_SHELF.reason, Ref("material", material, "shelf_months"))


def planned(known: Reckoning, formula: Id, batches: Decimal) -> Mapping[Id, Decimal] | Gap:
    """Grams of each material that so many batches of a formula take, through every pre-blend; snapped."""
    batch, leaves = batch_of(known.book.formulas[formula]), known.leaves(formula)
    if isinstance(batch, Gap):
        return batch
    if isinstance(leaves, Gap):
        return leaves
    return {material: snap(share * batch * batches) for material, share in leaves.items() if share}
