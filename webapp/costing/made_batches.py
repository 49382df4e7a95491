"""Batches that were made: the weighing sheet beforehand, and what a batch really took beside what was planned.

Grams, minutes, home currency, whole jars. Both sides are costed at the prices of the book's day, so that what differs
is what was used and never what was paid: asked as of the day of the batch, it stands at the prices of then.
A batch's whole cost is borne by its good jars (method.md section 4): ingredients by the grams that each takes, minutes
by the jar.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.batches import Batch, batch_for, fill_jars, jar_grams_of
from webapp.costing.book import Book, Formula, Id, MadeBatch, Product, Weighed
from webapp.costing.formulas import line_name
from webapp.costing.gaps import Figure, Gap, Ref, added, from_known
from webapp.costing.jars import CostSheet
from webapp.costing.labour import HOUR
from webapp.costing.limits import NESTING
from webapp.costing.weighing import amounts_of, yield_of

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class SheetLine(NamedTuple):
    """A line of a weighing sheet: `grams` of a material, or of a blend that was made ahead.

    `into` names the plain blends that it is mixed into first, outermost first.
    """

    material: Id | None
    formula: Id | None
    name: str
    grams: Figure
    stage: str
    into: tuple[str, ...]


class JarMade(NamedTuple):
    """A product that a batch filled: what a good jar really took, beside its cost sheet.

    `grams` are what one takes as planned, overfill in it. `direct` is materials and labour: the packaging is the cost
    sheet's own, nobody counts lids at the bench. A gap where a jar has more fillings than this.
    """

    product: Id
    jars: Decimal
    grams: Figure
    ingredients: Figure
    minutes: Figure
    labour: Figure
    direct: Figure
    sheet: CostSheet

    @property
    def difference(self) -> Figure:
        """What a jar really cost more (less: below 0) than planned, before overhead."""
        return self.direct - self.sheet.direct


class BatchMade(NamedTuple):
    """What a batch took. `planned` and `weighed` are grams, `…_cost` what those grams cost.

    `filled` are the grams in good jars and those set aside; `lost` is what was weighed and is in none of them, what was
    left over too; `loss` and `planned_loss` are that as a fraction of what was weighed, and what the formula or the
    product reckons with, without a part-jar. `minutes` include those that made-ahead blends bring along.
    """

    record: MadeBatch
    planned: Decimal
    weighed: Decimal
    planned_cost: Figure
    cost: Figure
    filled: Figure
    lost: Figure
    loss: Figure
    planned_loss: Decimal
    minutes: Figure
    pay: Figure
    jars: tuple[JarMade, ...]


class Learnt(NamedTuple):
    """What several batches of one formula lost together, as a fraction of all that was weighed, and what it reckons."""

    batches: int
    weighed: Decimal
    lost: Decimal
    loss: Decimal
    planned_loss: Decimal


# --- before it is made ---------------------------------------------------------------------------------------------


def weighing_sheet(known: Reckoning, formula: Id, grams: Figure) -> tuple[SheetLine, ...]:
    """What to weigh for a batch of so many grams, in the formula's order.

    Plain blends are opened to what goes into them; one that is made ahead is weighed as it is. A line whose grams can't
    be worked out is a gap that says why.
    """
    return tuple(_sheet_lines(known, known.book.formulas[formula], grams, ()))


def _sheet_lines(known: Reckoning, formula: Formula, grams: Figure, into: tuple[Formula, ...]) -> Iterable[SheetLine]:
    amounts, whole = amounts_of(known.book, formula)
    for line, amount in zip(formula.lines, amounts, strict=True):
        part = from_known(lambda one, of, all_of_it: one * of / all_of_it, amount, grams, whole)
        inner = known.book.formulas[line.formula] if line.formula is not None else None
        if inner is not None and not inner.made_ahead and inner not in into and len(into) < NESTING:
            yield from _sheet_lines(known, inner, part, (*into, inner))
        else:
            names = tuple(one.name for one in into)
            yield SheetLine(line.material, line.formula, line_name(known.book, line), part, line.stage, names)


def grams_for(known: Reckoning, product: Product, jars: Decimal) -> Figure:
    """The grams to weigh in so that `jars` good jars of a product are filled, its losses and those set aside added.

    A gap for a product that isn't filled from one formula, or whose jars are not known in grams.
    """
    if len(product.fills) != 1:
        name, cure = product.name, Ref("product", product.id, "fills")
        return Gap(f"“{name}” has not one filling, so a batch is not made for it alone. Say the formula.", cure)
    fill = product.fills[0]
    formula = known.book.formulas[fill.formula]
    loss, fixed = _losses(formula, [product])
    takes = jar_grams_of(fill, formula)
    return takes * (jars + product.set_aside) * HUNDRED / (HUNDRED - loss) + fixed * HUNDRED / (HUNDRED - loss)


def usual_grams(known: Reckoning, formula: Formula, product: Product | None) -> Figure:
    """The size of a batch where none is said: the product's own, or the formula's; a gap asks for it."""
    if product is not None and len(product.fills) == 1:
        return batch_for(known, product, product.fills[0]).grams
    return known.batch(formula.id).grams


def expected_jars(known: Reckoning, product: Product, grams: Decimal) -> Figure:
    """Good jars that a batch of so many grams fills, as planned, of a product with one filling; none is a gap."""
    fill = product.fills[0]
    formula = known.book.formulas[fill.formula]
    good = yield_of(grams, *_losses(formula, [product]))
    batch = Batch(formula, grams, grams - good, good, known.batch(formula.id).work)
    return fill_jars(product, 0, batch)[1]


def _losses(formula: Formula, products: list[Product]) -> tuple[Decimal, Decimal]:
    """Percent and grams that are lost: a product's own where it alone was filled and says them."""
    own = products[0] if len(products) == 1 and len(products[0].fills) == 1 else None
    loss = formula.loss if own is None or own.loss is None else own.loss
    fixed = formula.loss_grams if own is None or own.loss_grams is None else own.loss_grams
    return loss, fixed


# --- after it was made ---------------------------------------------------------------------------------------------


def batch_made(known: Reckoning, record: MadeBatch) -> BatchMade:
    """What a batch took beside what was planned."""
    book = known.book
    weighed = sum((line.grams for line in record.lines), ZERO)
    planned = sum((line.planned for line in record.lines), ZERO)
    cost = added(line.grams * unit_cost(known, line) for line in record.lines)
    products = [book.products[one.product] for one in record.filled]
    filled = filled_grams(book, record)
    percent, fixed = _losses(book.formulas[record.formula], products)
    lost = filled if isinstance(filled, Gap) else weighed - filled
    minutes, pay = _work(known, record)
    return BatchMade(
        record,
        planned,
        weighed,
        added(line.planned * unit_cost(known, line) for line in record.lines),
        cost,
        filled,
        lost,
        lost / weighed,
        percent / HUNDRED + fixed / weighed,
        minutes,
        pay,
        _jars(known, record, cost, minutes, pay),
    )


def unit_cost(known: Reckoning, line: Weighed) -> Figure:
    """Home currency per gram of what was weighed."""
    if line.formula is not None:
        return known.formula(line.formula).good_cost
    return known.unit_costs[line.material] if line.material is not None else Gap("This line has no ingredient yet.")


def not_filled(record: MadeBatch) -> Gap:
    """Why what hangs on the jars is not known."""
    return Gap("How many jars this batch filled is not known yet. Type them.", Ref("batch", record.id, "filled"))


def is_filled_from(product: Product, formula: Id) -> bool:
    """Whether a formula is filled into a product."""
    return any(fill.formula == formula for fill in product.fills)


def jar_grams(book: Book, record: MadeBatch, product: Id) -> Figure:
    """What a jar of a product takes of this batch's formula, all fillings of it; a gap where it has none any more."""
    held, formula = book.products[product], book.formulas[record.formula]
    takes = [jar_grams_of(fill, formula) for fill in held.fills if fill.formula == formula.id]
    gone = Gap(f"“{held.name}” is not filled with “{formula.name}” any more.", Ref("product", product, "fills"))
    return added(takes) if takes else gone


def aside_of(book: Book, record: MadeBatch, product: Id) -> Decimal:
    """Jars set aside of this batch beside the good ones: as the product says, where it alone was filled."""
    alone = len(record.filled) == 1 and len(book.products[product].fills) == 1
    return book.products[product].set_aside if alone else ZERO


def filled_grams(book: Book, record: MadeBatch) -> Figure:
    """Grams in the jars of a batch as planned, those set aside too; a gap where it is not said which were filled."""
    if not record.filled:
        return not_filled(record)
    return added(
        jar_grams(book, record, one.product) * (one.jars + aside_of(book, record, one.product)) for one in record.filled
    )


def carried_minutes(known: Reckoning, record: MadeBatch) -> Figure:
    """Minutes that the made-ahead blends among its lines bring along."""
    return added(_carried(known, line)[0] for line in record.lines)


def carried_pay(known: Reckoning, record: MadeBatch) -> Figure:
    """What those minutes cost."""
    return added(_carried(known, line)[1] for line in record.lines)


def _carried(known: Reckoning, line: Weighed) -> tuple[Figure, Figure]:
    if line.formula is None:
        return ZERO, ZERO
    brought = known.formula(line.formula).minutes
    if isinstance(brought, Gap):
        return brought, brought
    minutes = added(each * line.grams for _, each in brought)
    return minutes, added(each * line.grams * known.rates[person].an_hour / HOUR for person, each in brought if each)


def _work(known: Reckoning, record: MadeBatch) -> tuple[Figure, Figure]:
    """Minutes and pay of all who worked; nobody named is not nobody: it is not known."""
    if not record.spent:
        gap = Gap("How long this batch took is not known yet. Type the minutes.", Ref("batch", record.id, "spent"))
        return gap, gap
    minutes = sum((one.minutes for one in record.spent), ZERO)
    pay = added(one.minutes * known.rates[one.person].an_hour / HOUR for one in record.spent if one.minutes)
    return minutes + carried_minutes(known, record), pay + carried_pay(known, record)


def _jars(known: Reckoning, record: MadeBatch, cost: Figure, minutes: Figure, pay: Figure) -> tuple[JarMade, ...]:
    grams = [jar_grams(known.book, record, one.product) for one in record.filled]
    in_good = added(each * one.jars for each, one in zip(grams, record.filled, strict=True))
    count = sum((one.jars for one in record.filled), ZERO)
    found = []
    for each, one in zip(grams, record.filled, strict=True):
        sheet = known.sheet(one.product)
        ingredients = cost * each / in_good
        labour = pay / count
        direct = _several(known, one.product) or ingredients + sheet.packaging + labour
        found.append(JarMade(one.product, one.jars, each, ingredients, minutes / count, labour, direct, sheet))
    return tuple(found)


def _several(known: Reckoning, product: Id) -> Gap | None:
    """Why one batch alone doesn't say what a jar with more in it took."""
    held = known.book.products[product]
    if len(held.fills) == 1:
        return None
    words = f"“{held.name}” has several fillings, so one batch alone doesn't say what a jar of it took."
    return Gap(words, Ref("product", product, "fills"))


# --- over several --------------------------------------------------------------------------------------------------


def batches_of(book: Book, formula: Id) -> tuple[MadeBatch, ...]:
    """The batches of a formula, the newest first."""
    found = [one for one in book.batches.values() if one.formula == formula]
    return tuple(sorted(found, key=lambda one: (one.day, one.id), reverse=True))


def learnt(known: Reckoning, formula: Id, most: int = 12) -> Learnt | None:
    """What the newest batches of a formula lost together, at most so many; None where none of them is known."""
    made = [batch_made(known, one) for one in batches_of(known.book, formula)[:most]]
    told = [(one, one.lost) for one in made if isinstance(one.lost, Decimal)]
    if not told:
        return None
    weighed = sum((one.weighed for one, _ in told), ZERO)
    lost = sum((each for _, each in told), ZERO)
    planned = sum((one.planned_loss * one.weighed for one, _ in told), ZERO)
    return Learnt(len(told), weighed, lost, lost / weighed, planned / weighed)
