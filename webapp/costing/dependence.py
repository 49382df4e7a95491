"""What depends on the price of a material: formulas, products, prices, and the share of a jar's cost that hangs on it.

Shares are fractions of the full cost of a jar (method.md section 4); losses, spoiled pieces and sets are in it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ZERO
from webapp.costing.book import Id
from webapp.costing.gaps import Figure, Gap
from webapp.costing.jars import charged_grams
from webapp.costing.leaning import uses
from webapp.costing.overhead import is_living
from webapp.costing.parts import part_costs

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class Dependence(NamedTuple):
    """What depends on one material. `formulas` and `products` by name; `prices` are rows of the line.

    `share` is the largest part that it is of the full cost of a jar, in the product `most`; both None where no product
    that is sold has it, and a gap where none of those costs is known.
    """

    material: Id
    formulas: tuple[Id, ...]
    products: tuple[Id, ...]
    prices: int
    share: Figure | None = None
    most: Id | None = None


def dependents(known: Reckoning, materials: Iterable[Id]) -> dict[Id, Dependence]:
    """What depends on each of the materials, of all that is not put away."""
    prices = Counter(row.product for row in known.line())
    shares = {product: shares_of(known, product) for product in prices}
    used = {kind: _used(known, kind) for kind in ("formula", "product")}
    return {one: _dependence(one, used, prices, shares) for one in materials}


def _used(known: Reckoning, kind: str) -> dict[Id, frozenset[tuple[str, Id]]]:
    held = known.book.formulas if kind == "formula" else known.book.products
    living = (one for one in held.values() if is_living(known.book, one))
    named = sorted(living, key=lambda one: (one.name.casefold(), one.id))
    return {one.id: uses(known, (kind, one.id)) for one in named}


def _dependence(
    material: Id,
    used: Mapping[str, Mapping[Id, frozenset[tuple[str, Id]]]],
    prices: Mapping[Id, int],
    shares: Mapping[Id, Mapping[Id, Decimal] | Gap],
) -> Dependence:
    formulas, products = (
        tuple(one for one, keys in used[kind].items() if ("material", material) in keys)
        for kind in ("formula", "product")
    )
    found = Dependence(material, formulas, products, sum(prices.get(one, 0) for one in products))
    best: Dependence = found
    for product in products:
        share = shares.get(product)
        if isinstance(share, Gap):
            best = best if best.share is not None else found._replace(share=share, most=product)
        elif share is not None and _is_more(share.get(material, ZERO), best.share):
            best = found._replace(share=share.get(material, ZERO), most=product)
    return best


def _is_more(share: Decimal, than: Figure | None) -> bool:
    return not isinstance(than, Decimal) or share > than


def rests_on_old(known: Reckoning, product: Id) -> bool:
    """Whether the product's cost rests on a material whose price is older than the workshop's limit, or undated."""
    inside = (key for kind, key in uses(known, ("product", product)) if kind == "material")
    return any(known.material(one).stale for one in inside)


def shares_of(known: Reckoning, product: Id) -> Mapping[Id, Decimal] | Gap:
    """What each material is of the full cost of a jar of the product; the gap of that cost where it is not known."""
    full = known.sheet(product).full
    if isinstance(full, Gap):
        return full
    costs = charged_costs(known, product)
    if isinstance(costs, Gap) or not full:
        return costs if isinstance(costs, Gap) else {}
    return {material: cost / full for material, cost in costs.items()}


def charged_costs(known: Reckoning, product: Id) -> Mapping[Id, Decimal] | Gap:
    """What a good jar pays for each ingredient and piece, in home currency; together the sheet's materials."""
    grams = charged_grams(known, product)
    if isinstance(grams, Gap):
        return grams
    found: dict[Id, Decimal] = {}
    for material, charged in grams.items():
        cost = known.unit_costs[material]
        if isinstance(cost, Gap):
            return cost
        found[material] = charged * cost
    return _with_pieces(known, product, found)


def _with_pieces(known: Reckoning, product: Id, found: dict[Id, Decimal]) -> Mapping[Id, Decimal] | Gap:
    for material, cost in _pieces(known, product):
        if isinstance(cost, Gap):
            return cost
        found[material] = found.get(material, ZERO) + cost
    return found


def _pieces(known: Reckoning, product: Id) -> Iterable[tuple[Id, Figure]]:
    held = known.book.products[product]
    for part in part_costs(known, held):
        yield part.material, part.cost
    for member in held.members:
        for material, cost in _pieces(known, member.product):
            yield material, cost if isinstance(cost, Gap) else cost * member.count
