"""From a batch to whole jars: what is lost, what a jar takes, how many good jars there are (method.md section 4).

Grams, millilitres, whole jars as Decimals. The cost of all grams of a batch is borne by its good jars. How many those
are and the work in them no price of a material moves, so they are apart from what the ingredients cost.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ONE, ZERO, half_up, plain, snap, whole_number
from webapp.costing.book import Fill, Formula, Id, Product, Work
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.labour import BatchWork, batch_minutes, batch_work, work_of_batch
from webapp.costing.weighing import batch_of, finished_density

if TYPE_CHECKING:
    from webapp.costing.formulas import FormulaCost
    from webapp.costing.reckoning import Reckoning


class Batch(NamedTuple):
    """A batch of a formula before it is filled; most products of a formula share one. No price is in it.

    In `work` is what its made-ahead blends bring along.
    """

    formula: Formula
    grams: Figure
    loss: Figure
    good: Figure
    work: BatchWork | Gap


class FillSheet(NamedTuple):
    """One filling from batch to jars, the one at `place` from 0; `ingredients` in home currency per good jar.

    `filled` are the whole jars out of the yield, `jars` those left after setting aside. `density` is the finished one
    and `declared_ml` a figure only where the label declares a volume.
    """

    place: int
    formula: Id
    batch_grams: Figure
    loss_grams: Figure
    yield_grams: Figure
    jar_grams: Figure
    density: Figure | None
    filled: Figure
    jars: Figure
    ingredients: Figure
    declared_grams: Figure
    declared_ml: Decimal | None

    @property
    def left_grams(self) -> Figure:
        """The part-jar that is paid for and not filled."""
        left = self.yield_grams - self.jar_grams * self.filled
        return left if isinstance(left, Gap) else max(ZERO, left)


# --- the batch -----------------------------------------------------------------------------------------------------


def own_batch(known: Reckoning, formula: Formula) -> Batch:
    """The batch as the formula says it."""
    return _batch(known, formula, batch_of(formula), formula.loss, formula.loss_grams)


def batch_for(known: Reckoning, product: Product, fill: Fill) -> Batch:
    """The batch that a filling comes from. The product's own size and loss win where it has one filling."""
    if len(product.fills) > 1 or (product.batch_grams is product.loss is product.loss_grams is None):
        return known.batch(fill.formula)
    formula, grams = known.book.formulas[fill.formula], product.batch_grams
    loss = formula.loss if product.loss is None else product.loss
    fixed = formula.loss_grams if product.loss_grams is None else product.loss_grams
    return _batch(known, formula, batch_of(formula) if grams is None else grams, loss, fixed)


def _batch(known: Reckoning, formula: Formula, grams: Figure, percent: Decimal, fixed: Decimal) -> Batch:
    """`percent` of it is lost, and `fixed` grams every time."""
    if isinstance(grams, Gap):
        return Batch(formula, grams, grams, grams, grams)
    loss = grams * percent / HUNDRED + fixed
    return Batch(formula, grams, loss, grams - loss, _work(known, formula, formula.work, grams))


def _work(known: Reckoning, formula: Formula, work: Iterable[Work], grams: Decimal) -> BatchWork | Gap:
    """What that work comes to in a batch of so many grams, with that of its made-ahead blends."""
    carried = known.formula(formula.id).carried
    if isinstance(carried, Gap):
        return carried
    spent: dict[Id, Decimal] = {}
    for one in work:
        spent[one.person] = spent.get(one.person, ZERO) + batch_minutes(one, grams)
    for person, each in carried:
        spent[person] = spent.get(person, ZERO) + each * grams
    return batch_work(known.rates, spent)


def work_for(known: Reckoning, product: Product, batch: Batch) -> BatchWork | Gap:
    """The work of a batch; figures of the product's own win where it has one filling."""
    ours = batch.formula.work
    work = work_of_batch(ours, product.work) if len(product.fills) == 1 and product.work else ours
    if work is ours or isinstance(batch.grams, Gap):
        return batch.work
    return _work(known, batch.formula, work, batch.grams)


# --- its jars ------------------------------------------------------------------------------------------------------


def fill_jars(product: Product, place: int, batch: Batch) -> tuple[Figure, Figure]:
    """Whole jars filled out of the batch, as if the filling at `place` took all of it, and the good ones of them."""
    fill, good = product.fills[place], batch.good
    if isinstance(good, Gap):
        return good, good
    filled = _filled(batch.formula, fill, fill.declared + fill.overfill, good)
    return filled, _good_jars(product, fill, batch.formula, filled, good)


def ingredients_of(batch: Batch, jars: Figure, cost: FormulaCost) -> Figure:
    """What all grams of the batch cost, by its good jars; divided once."""
    return jars if isinstance(jars, Gap) else cost.cost * batch.grams / (cost.whole * jars)


def declared_of(fill: Fill, formula: Formula) -> tuple[Figure, Decimal | None]:
    """What the label declares: in grams, and in millilitres where it is sold by volume."""
    if fill.unit != "mL":
        return fill.declared, None
    return fill.declared * finished_density(formula), fill.declared


def jar_grams_of(fill: Fill, formula: Formula) -> Figure:
    """The grams that a jar takes, overfill in it."""
    takes = fill.declared + fill.overfill
    return takes * finished_density(formula) if fill.unit == "mL" else takes


def fill_sheet(product: Product, place: int, batch: Batch, cost: FormulaCost) -> FillSheet:
    """A filling costed as if it filled the batch, with all that is shown of it."""
    fill, formula = product.fills[place], batch.formula
    filled, jars = fill_jars(product, place, batch)
    density = finished_density(formula) if fill.unit == "mL" else None
    return FillSheet(
        place, formula.id, batch.grams, batch.loss, batch.good, jar_grams_of(fill, formula), density, filled, jars,
        ingredients_of(batch, jars, cost), *declared_of(fill, formula),
    )  # fmt: skip


def _filled(formula: Formula, fill: Fill, takes: Decimal, good: Decimal) -> Figure:
    """Whole jars out of the good grams; by volume multiplied through, so that an exact fit is not lost."""
    if good <= ZERO:
        return ZERO
    if fill.unit != "mL":
        return whole_number(good / takes)
    if formula.density is None:
        return finished_density(formula)
    return whole_number(good * (HUNDRED + formula.air) / (takes * formula.density * HUNDRED))


def _good_jars(product: Product, fill: Fill, formula: Formula, filled: Figure, good: Decimal) -> Figure:
    """The jars filled, those set aside taken off; none left is a gap that says what to change."""
    if isinstance(filled, Gap):
        return filled
    aside = product.set_aside if len(product.fills) == 1 else ZERO
    jars = filled - aside if aside else filled
    if jars >= ONE:
        return jars
    if filled >= ONE:
        return Gap(
            f"No jar of “{product.name}” is left: a batch fills {plain(filled)} and {plain(aside)} are set aside. "
            "Set fewer aside or make a bigger batch.",
            Ref("product", product.id, "set_aside"),
        )
    jar_grams = jar_grams_of(fill, formula)
    takes = "" if isinstance(jar_grams, Gap) else f" and a jar takes {_shown(jar_grams)} g"
    return Gap(
        f"A batch of “{formula.name}” fills no jar of “{product.name}”: {_shown(max(ZERO, good))} g come out{takes}. "
        "Make a bigger batch, lose less or fill a smaller jar.",
        Ref("formula", formula.id, "batch_grams")
        if product.batch_grams is None
        else Ref("product", product.id, "batch_grams"),
    )


def _shown(amount: Decimal) -> str:
    return plain(half_up(snap(amount), 6))
