"""What a jar costs: the cost sheet of a product (method.md section 4).

Money is home currency per jar of the product, minutes are per jar, and the members of a set are in every figure. Each
part of a sheet is missing on its own: packaging may be known where ingredients are not. Workings: jar_working.py.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.batches import Batch, FillSheet, batch_for, fill_sheet, work_for
from webapp.costing.book import Book, Id, Product
from webapp.costing.gaps import Figure, Gap, Ref, added
from webapp.costing.labour import (
    HOUR,
    BatchWork,
    Times,
    Worked,
    batch_work,
    joined,
    minutes_in,
    pay_in,
    time_is_said,
)
from webapp.costing.overhead import overhead_share
from webapp.costing.parts import parts_cost

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

NO_BILLS = "no monthly bills"
NO_MINUTES = "no working time"
UNPAID = "unpaid"


class CostSheet(NamedTuple):
    """What a jar costs, part by part. `marks` are words to be shown beside: NO_BILLS, NO_MINUTES, UNPAID."""

    product: Id
    fills: tuple[FillSheet, ...]
    ingredients: Figure
    packaging: Figure
    work: Worked | Times
    minutes: Figure
    labour: Figure
    overhead: Figure
    one_offs: Figure
    materials: Figure
    direct: Figure
    full: Figure
    declared_grams: Figure
    declared_ml: Decimal | None
    marks: tuple[str, ...]

    @property
    def times(self) -> Times:
        """Each person's time and pay per jar."""
        return self.work.times if isinstance(self.work, Worked) else self.work

    @property
    def own_minutes(self) -> Figure:
        """Minutes of own people per jar."""
        return minutes_in(self.times, own=True)

    @property
    def labour_own(self) -> Figure:
        """Pay of own people per jar."""
        return pay_in(self.times, own=True)

    @property
    def labour_hired(self) -> Figure:
        """Pay of helpers per jar."""
        return pay_in(self.times, own=False)

    @property
    def making_hours(self) -> Figure:
        """Hours of making per jar, everybody's."""
        return self.minutes / HOUR

    @property
    def own_hours(self) -> Figure:
        """Hours of own people per jar."""
        return self.own_minutes / HOUR

    @property
    def gap(self) -> Gap | None:
        """Why the full cost is missing."""
        return self.full if isinstance(self.full, Gap) else None


def cost_sheet(known: Reckoning, product: Product) -> CostSheet:
    """The sheet of a product. Its members must not hold the product itself: `Reckoning.sheet` sees to that."""
    sheet = own_sheet(known, product)
    return _with_members(known, product, sheet) if product.members else sheet


def own_sheet(known: Reckoning, product: Product) -> CostSheet:
    """The sheet without the products in a set."""
    batches = [batch_for(known, product, fill) for fill in product.fills]
    fills = tuple([fill_sheet(product, place, batch) for place, batch in enumerate(batches)])
    if len(fills) == 1:
        only = fills[0]
        ingredients, jars, filled = only.ingredients, only.jars, only.filled
    else:
        ingredients, jars, filled = added(fill.ingredients for fill in fills), ONE, ONE
    packaging = parts_cost(known, product.parts)
    if product.set_aside and packaging:  # parts that cost nothing cost nothing, known or not how many are set aside
        packaging = packaging * filled / jars
    work = _work(known, product, batches, fills, (jars, filled))
    minutes, labour = (work, work) if isinstance(work, Gap) else work.together()
    overhead = overhead_share(known, product, minutes)
    one_offs = sum((one.amount / one.jars for one in product.one_offs), ZERO) if product.one_offs else ZERO
    grams, volume = _declared(product, fills)
    materials = ingredients + packaging
    direct = materials + labour
    full = direct + overhead + one_offs
    return CostSheet(
        product.id, fills, ingredients, packaging, work, minutes, labour, overhead, one_offs, materials, direct, full,
        grams, volume, _marks(known, product, work, minutes),
    )  # fmt: skip


def _work(
    known: Reckoning,
    product: Product,
    batches: Sequence[Batch],
    fills: Sequence[FillSheet],
    made: tuple[Figure, Figure],
) -> Worked | Gap:
    """The work of the whole batch where there is one filling, over its jars (`made`: good, filled); else of one jar."""
    jars, filled = made
    if isinstance(jars, Gap):
        return jars
    if len(fills) == 1:
        batch = work_for(known, product, batches[0])
    else:
        batch = _work_of_a_jar(known, product, batches, fills)
    if isinstance(batch, Gap):
        return batch
    who = {*batch.minutes, *(work.person for work in product.work)}
    rates = {one: known.rates[one] for one in who}  # of nobody else: their wage is none of this jar's business
    return Worked(batch, product.work, jars, filled, rates)  # type: ignore[arg-type]  # known with the jars


def _work_of_a_jar(
    known: Reckoning, product: Product, batches: Sequence[Batch], fills: Sequence[FillSheet]
) -> BatchWork | Gap:
    """Each filling's batch over its own jars; without a filling there is no batch to have minutes."""
    spent: dict[Id, Decimal] = {}
    for batch, fill in zip(batches, fills, strict=True):
        for figure in (batch.grams, fill.jars, batch.work):
            if isinstance(figure, Gap):
                return figure
        for person, minutes in batch.work.minutes.items():  # type: ignore[union-attr]  # gaps have left above
            spent[person] = spent.get(person, ZERO) + minutes / fill.jars  # type: ignore[assignment]
    if not fills and any(work.per_batch or work.per_kg for work in product.work):
        return Gap(
            f"“{product.name}” has no batch of its own. Type its working time per jar.",
            Ref("product", product.id, "work"),
        )
    return batch_work(known.rates, spent)


def _declared(product: Product, fills: tuple[FillSheet, ...]) -> tuple[Figure, Decimal | None]:
    """Declared grams, and millilitres where everything is declared by volume."""
    if len(fills) == 1:
        return fills[0].declared_grams, fills[0].declared_ml
    if not fills:
        nothing = f"“{product.name}” has no filling, so there is nothing to reckon per 100 g."
        return Gap(nothing, Ref("product", product.id, "fills")), None
    volumes = [fill.declared_ml for fill in fills if fill.declared_ml is not None]
    volume = sum(volumes, ZERO) if len(volumes) == len(fills) else None
    return added(fill.declared_grams for fill in fills), volume


def _marks(known: Reckoning, product: Product, work: Worked | Gap, minutes: Figure) -> tuple[str, ...]:
    marks = known.sheet_marks
    if isinstance(work, Gap):
        return marks
    if not minutes:
        return marks if time_is_said(known.book, product) else (*marks, NO_MINUTES)
    if known.unpaid and any(time.person in known.unpaid and time.minutes for time in work.times):
        return (*marks, UNPAID)
    return marks


def marks_of_all(book: Book, overhead: Decimal) -> tuple[str, ...]:
    """Words that stand beside every sheet of the book."""
    return (NO_BILLS,) if not overhead and book.terms.overhead != "left out" else ()


# --- sets ----------------------------------------------------------------------------------------------------------

_ADDED = ("ingredients", "packaging", "minutes", "labour", "overhead", "one_offs", "materials", "direct", "full")


def _with_members(known: Reckoning, product: Product, own: CostSheet) -> CostSheet:
    """A set: its own sheet and those of the products in it, each as often as it is in it."""
    figures: dict[str, Any] = {name: getattr(own, name) for name in _ADDED}
    times = own.times
    grams, volume = (own.declared_grams, own.declared_ml) if own.fills else (ZERO, ZERO)
    marks = dict.fromkeys(mark for mark in own.marks if mark != NO_MINUTES)
    for member in product.members:
        sheet = known.sheet(member.product)
        for name in _ADDED:
            figures[name] += getattr(sheet, name) * member.count
        times = joined(times, sheet.times, member.count)
        grams += sheet.declared_grams * member.count
        volume = None if volume is None or sheet.declared_ml is None else volume + sheet.declared_ml * member.count
        marks |= dict.fromkeys(sheet.marks)
    return own._replace(**figures, work=times, declared_grams=grams, declared_ml=volume, marks=tuple(marks))


def without_cost(product: Product, gap: Gap) -> CostSheet:
    """The sheet of a product that cannot be worked out at all: every figure is `gap`."""
    return CostSheet(product.id, (), gap, gap, gap, gap, gap, gap, gap, gap, gap, gap, gap, None, ())


# --- asked for by others -------------------------------------------------------------------------------------------


def charged_grams(known: Reckoning, product: Id) -> Mapping[Id, Decimal] | Gap:
    """Grams of each ingredient that a good jar pays for, losses in it, members included. For headroom."""
    sheet = known.sheet(product)
    if isinstance(sheet.ingredients, Gap) and not sheet.fills:
        return sheet.ingredients
    charged: dict[Id, Decimal] = {}
    for fill in sheet.fills:
        leaves, batch, jars = known.leaves(fill.formula), fill.batch_grams, fill.jars
        for figure in (leaves, batch, jars):
            if isinstance(figure, Gap):
                return figure
        for material, share in leaves.items():  # type: ignore[union-attr]  # gaps have left above
            charged[material] = charged.get(material, ZERO) + share * batch / jars  # type: ignore[assignment]
    for member in known.book.products[product].members:
        inner = charged_grams(known, member.product)
        if isinstance(inner, Gap):
            return inner
        for material, grams in inner.items():
            charged[material] = charged.get(material, ZERO) + grams * member.count
    return charged
