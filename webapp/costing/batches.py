"""From a batch to whole jars: what is lost, what a jar takes, how many good jars there are (method.md section 4).

Grams, millilitres, whole jars as Decimals. The cost of all grams of a batch is borne by its good jars.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ZERO, half_up, plain, snap, whole
from webapp.costing.book import Fill, Formula, Id, Product
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.weighing import finished_density

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class FillSheet(NamedTuple):
    """One filling from batch to jars, the one at `place` from 0; `ingredients` in home currency per good jar.

    `filled` are the whole jars out of the yield, `jars` those left after setting aside; `left_grams` is the part-jar
    that is paid for and not filled. `density` is the finished one and `declared_ml` a figure only where the label
    declares a volume.
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
    left_grams: Figure
    ingredients: Figure
    declared_grams: Figure
    declared_ml: Decimal | None


def fill_sheet(known: Reckoning, product: Product, place: int) -> FillSheet:
    """A filling costed as if it filled the batch. The product's own batch and loss win where it has one filling."""
    fill = product.fills[place]
    formula = known.book.formulas[fill.formula]
    cost = known.formula(fill.formula)
    batch, percent, fixed = cost.batch_grams, formula.loss, formula.loss_grams
    if len(product.fills) == 1:
        batch = batch if product.batch_grams is None else product.batch_grams
        percent = percent if product.loss is None else product.loss
        fixed = fixed if product.loss_grams is None else product.loss_grams
    takes = fill.declared + fill.overfill
    density: Figure | None = None
    volume, declared, jar_grams = None, fill.declared, takes
    if fill.unit == "mL":
        density, volume = finished_density(formula), fill.declared
        declared, jar_grams = _by_density(volume, density), _by_density(takes, density)  # type: ignore[assignment]
    if isinstance(batch, Gap):
        gaps = (batch,) * 4
        return FillSheet(place, formula.id, *gaps[:3], jar_grams, density, *gaps, declared, volume)
    loss = batch * percent / HUNDRED + fixed
    good = batch - loss
    filled = _filled(formula, fill, good)
    jars = _good_jars(product, formula, filled, good, jar_grams)
    ingredients: Figure = jars
    if not isinstance(jars, Gap):
        total = cost.cost
        ingredients = total if isinstance(total, Gap) else total * batch / (cost.whole * jars)  # type: ignore[operator]
    left = jar_grams if isinstance(filled, Gap) else max(ZERO, good - filled * jar_grams)
    return FillSheet(
        place, formula.id, batch, loss, good, jar_grams, density, filled, jars, left, ingredients, declared, volume
    )  # fmt: skip


def _by_density(millilitres: Decimal, density: Figure) -> Figure:
    return density if isinstance(density, Gap) else millilitres * density


def _filled(formula: Formula, fill: Fill, good: Decimal) -> Figure:
    """Whole jars out of the good grams; by volume multiplied through, so that an exact fit is not lost."""
    takes = fill.declared + fill.overfill
    if good <= 0:
        return ZERO
    if fill.unit != "mL":
        return Decimal(whole(good / takes))
    if formula.density is None:
        return finished_density(formula)
    return Decimal(whole(good * (HUNDRED + formula.air) / (takes * formula.density * HUNDRED)))


def _good_jars(product: Product, formula: Formula, filled: Figure, good: Decimal, jar_grams: Figure) -> Figure:
    """The jars filled, those set aside taken off; none left is a gap that says what to change."""
    if isinstance(filled, Gap):
        return filled
    aside = product.set_aside if len(product.fills) == 1 else ZERO
    jars = filled - aside if aside else filled
    if jars >= 1:
        return jars
    if filled >= 1:
        return Gap(
            f"No jar of “{product.name}” is left: a batch fills {plain(filled)} and {plain(aside)} are set aside. "
            "Set fewer aside or make a bigger batch.",
            Ref("product", product.id, "set_aside"),
        )
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
