"""Materials, formulas and products of a maker's own sheets with what they would cost, before anything is saved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from webapp.costing.book import Id
from webapp.costing.gaps import Figure
from webapp.costing.own_planned import FormulaSaid, Mixing
from webapp.costing.own_prices import MaterialSaid, Plan
from webapp.costing.own_products import Offering, ProductSaid
from webapp.costing.own_rows import Wrong
from webapp.costing.reckoning import Reckoning


@dataclass(frozen=True, slots=True)
class MaterialSeen:
    """A material as it will be: `cost` per gram or piece; None where something in its row is to be put right."""

    said: MaterialSaid
    cost: Figure | None


@dataclass(frozen=True, slots=True)
class FormulaSeen:
    """A formula as it will be: `cost` per gram; None where something in it is to be put right."""

    said: FormulaSaid
    cost: Figure | None


@dataclass(frozen=True, slots=True)
class ProductSeen:
    """A product as it will be: `ingredients` and `packaging` of a jar; None where something is to be put right."""

    said: ProductSaid
    ingredients: Figure | None
    packaging: Figure | None = None


def seen_in(costs: Reckoning, plan: Plan, mixing: Mixing, wrong: Sequence[Wrong]) -> dict[str, Any]:
    """Materials and formulas with what they would cost, where nothing has to be put right or settled first."""
    waiting = _waiting(plan.said, wrong) | mixing.unsettled
    return {
        "materials": tuple(
            MaterialSeen(one, None if one.material in waiting else _material_cost(costs, one.material))
            for one in plan.said
        ),
        "formulas": tuple(
            FormulaSeen(one, None if waiting & mixing.holding(one) else _formula_cost(costs, one.formula))
            for one in mixing.said
        ),
    }


def _waiting(said: Sequence[MaterialSaid], wrong: Sequence[Wrong]) -> frozenset[Id]:
    """The materials in whose rows something is wrong: what they cost is known once that is put right."""
    rows = {(one.sheet, one.row) for one in wrong}
    return frozenset(one.material for one in said if (one.row.sheet, one.row.row) in rows)


def _material_cost(costs: Reckoning, ident: Id) -> Figure | None:
    return costs.material(ident).unit_cost if ident in costs.book.materials else None


def _formula_cost(costs: Reckoning, ident: Id) -> Figure | None:
    return costs.formula(ident).per_gram if ident in costs.book.formulas else None


def product_seen(costs: Reckoning, offering: Offering, said: ProductSaid, wrong: Sequence[Wrong]) -> ProductSeen:
    """A product with what a jar's ingredients and parts would cost, where nothing of its row is to be put right."""
    row, waiting = said.row.row, offering.parting.unsettled
    if said.product not in costs.book.products or any((one.sheet, one.row) == (row.sheet, row.number) for one in wrong):
        return ProductSeen(said, None)
    sheet = costs.sheet(said.product)
    unsettled = any(part.material in waiting for part in said.parts)
    return ProductSeen(said, sheet.ingredients, None if unsettled else sheet.packaging)
