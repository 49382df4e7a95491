"""What a maker's own sheets will be: each material, formula and product with what it would cost."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from webapp.costing.amounts import ONE
from webapp.costing.batches import FillSheet
from webapp.costing.book import Book, Id
from webapp.costing.densities import Suggestion, suggestions
from webapp.costing.formulas import out_cost
from webapp.costing.gaps import Figure, Gap
from webapp.costing.own.columns import Layout, OwnTable
from webapp.costing.own.heads import unit_alone
from webapp.costing.own.lines import FormulaRows, LineRow
from webapp.costing.own.planned import FormulaSaid, Mixing
from webapp.costing.own.prices import MaterialSaid, Plan
from webapp.costing.own.products import Offering, ProductSaid
from webapp.costing.own.rows import Wrong
from webapp.costing.reckoning import Reckoning
from webapp.costing.units import MASS, VOLUME
from webapp.costing.written_units import parted, unit_of

#: from which share of a batch on what its whole jars leave over is worth a word: they bear it
WORTH_SAYING = Decimal("0.02")
#: what a mL weighs by a price per kg that took a mL for a gram, or a fluid ounce (US, imperial) for an ounce
_TAKEN_FOR = (ONE, MASS["oz"] / VOLUME["US fl oz"], MASS["oz"] / VOLUME["imp fl oz"])
_ALIKE = Decimal("0.002")


@dataclass(frozen=True, slots=True)
class MaterialSeen:
    """A material as it will be: `cost` per gram or piece; None where something in its row is to be put right."""

    said: MaterialSaid
    cost: Figure | None


@dataclass(frozen=True, slots=True)
class FormulaSeen:
    """A formula as it will be: `cost` per gram that is left of it; None where something in it is to be put right."""

    said: FormulaSaid
    cost: Figure | None


@dataclass(frozen=True, slots=True)
class ProductSeen:
    """A product as it will be: `ingredients` and `packaging` of a jar; None where something is to be put right."""

    said: ProductSaid
    ingredients: Figure | None
    packaging: Figure | None = None
    fill: FillSheet | None = None
    """From its batch to its jars, where the whole jars of that leave more over than WORTH_SAYING."""


def seen(costs: Reckoning, plan: Plan, mixing: Mixing, wrong: frozenset[Id]) -> dict[str, Any]:
    """Materials and formulas with what they would cost, where nothing has to be put right or settled first."""
    waiting = wrong | mixing.unsettled
    return {
        "materials": tuple(
            MaterialSeen(one, None if one.material in waiting else _material_cost(costs, one.material))
            for one in plan.said
        ),
        "formulas": tuple(
            FormulaSeen(one, None if waiting & mixing.holding(one) else _formula_cost(costs, one))
            for one in mixing.said
        ),
    }


def unpriced(mixing: Mixing, offering: Offering) -> tuple[str, ...]:
    """What is new and has no price, by name: ingredients, then pieces."""
    settled = (one.name for one in mixing.unpriced.values() if one.id not in mixing.unsettled)
    return (*settled, *offering.parting.unpriced)


def weighed_in(table: OwnTable, layout: Layout, rows: FormulaRows) -> str:
    """The one unit of mass that its amounts, or the weights beside them, are written in; "" for grams or several."""
    units = {one.weight.unit if one.weight else _unit_at(table, layout, one) for one in rows.lines}
    unit = units.pop() if len(units) == 1 else ""
    return "" if unit == "g" else unit


def _unit_at(table: OwnTable, layout: Layout, line: LineRow) -> str:
    """The unit of mass of an amount, as its cell says it, else its head; "" where neither does."""
    head = table.cell(layout.heads, line.column) if layout.heads else ""
    unit = parted(table.cell(line.row, line.column))[1] or unit_of(unit_alone(head))
    return unit if unit in MASS else ""


def waiting_for(said: Sequence[MaterialSaid], wrong: Sequence[Wrong]) -> frozenset[Id]:
    """The materials in whose rows something is wrong: what they cost is known once that is put right."""
    rows = {(one.sheet, one.row) for one in wrong}
    return frozenset(one.material for one in said if (one.row.sheet, one.row.row) in rows)


def weighed_by_price(said: Sequence[MaterialSaid], names: Collection[str]) -> tuple[tuple[str, Decimal], ...]:
    """Of what is bought by volume and has no density, what one mL weighs by the sheet's own price for one kg.

    Nothing where several come to what a measure taken for its weight comes to: then that is all that they say.
    """
    found = {one.row.name: one.row.weighs for one in said if one.row.name in names and one.row.weighs}
    taken = any(all(abs(one - factor) <= _ALIKE for one in found.values()) for factor in _TAKEN_FOR)
    return () if len(found) > 1 and taken else tuple(found.items())


def bought_by_volume(said: Sequence[MaterialSaid], book: Book) -> dict[str, Suggestion | None]:
    """What is bought by volume and has no density, and the published one that would be taken; None without."""
    found: dict[str, Suggestion | None] = {}
    for one in said:
        held = book.materials.get(one.material)
        has = one.row.density is not None or (held is not None and held.density is not None)
        by_volume = one.row.unit in VOLUME or any(wrong.choice == "system" for wrong in one.row.wrong)
        if by_volume and not has:
            inci = one.row.inci or (held.inci if held else "")
            found[one.row.name] = next(iter(suggestions(one.name, inci)), None)
    return found


def product_seen(costs: Reckoning, offering: Offering, said: ProductSaid, wrong: Sequence[Wrong]) -> ProductSeen:
    """A product with what a jar's ingredients and parts would cost, where nothing of its row is to be put right."""
    row, waiting = said.row.row, offering.parting.unsettled
    if said.product not in costs.book.products or any((one.sheet, one.row) == (row.sheet, row.number) for one in wrong):
        return ProductSeen(said, None)
    sheet = costs.sheet(said.product)
    said.remarks += _other_jars(said, sheet.fills)
    unsettled = any(part.material in waiting for part in said.parts)
    fill = next((one for one in sheet.fills if _leaves_much(one)), None)
    return ProductSeen(said, sheet.ingredients, None if unsettled else sheet.packaging, fill)


def _other_jars(said: ProductSaid, fills: Sequence[FillSheet]) -> list[str]:
    """That a batch fills more or fewer jars than its sheet says, by which its minutes are shared."""
    makes, number = said.row.makes, said.row.row.told.written.number
    if makes is None:
        return []
    known = {one.filled for one in fills if isinstance(one.filled, Decimal) and one.filled != makes}
    return [f"By its row a batch makes {number(makes)} jars; here it fills {number(one)}." for one in sorted(known)]


def _leaves_much(fill: FillSheet) -> bool:
    left, batch = fill.left_grams, fill.batch_grams
    return not isinstance(left, Gap) and not isinstance(batch, Gap) and left > batch * WORTH_SAYING


def _material_cost(costs: Reckoning, ident: Id) -> Figure | None:
    return costs.material(ident).unit_cost if ident in costs.book.materials else None


def _formula_cost(costs: Reckoning, said: FormulaSaid) -> Figure | None:
    """What a gram costs: of what is left, where its sheet says that some is lost."""
    if said.formula not in costs.book.formulas:
        return None
    if said.rows.loss or said.rows.loss_grams:
        return out_cost(costs, costs.book.formulas[said.formula])
    return costs.formula(said.formula).per_gram
