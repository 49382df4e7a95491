"""What a jar costs: the cost sheet of a product (method.md section 4).

Money is home currency per jar of the product, minutes are per jar, and the members of a set are in every figure. Each
part of a sheet is missing on its own: packaging may be known where ingredients are not. Workings: jar_working.py.

A sheet is in two halves. What is made, by whom and with which bills (`Made`) no price of a material moves, so it is
kept when one does; what the materials cost is a few sums. Each filling with all that is shown of it is worked out when
asked, by the functions that these sums use.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.batches import (
    Batch,
    FillSheet,
    batch_for,
    declared_of,
    fill_jars,
    fill_sheet,
    ingredients_of,
    work_for,
)
from webapp.costing.book import Book, Id, Product
from webapp.costing.formulas import FormulaCost
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
    rates_with,
    time_is_said,
)
from webapp.costing.overhead import overhead_share
from webapp.costing.parts import parts_cost

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

NO_BILLS = "no monthly bills"
NO_MINUTES = "no working time"
UNPAID = "unpaid"


class Made(NamedTuple):
    """What a jar is, without its materials: no price of one moves anything here.

    `batches` by filling. With one filling `jars` are the good ones of its batch and `filled` all of them, else a jar is
    looked at alone and both are 1. The members of a set are in the figures of its sheet's, not in its own.
    """

    product: Product
    batches: tuple[Batch, ...]
    jars: Figure
    filled: Figure
    work: Worked | Times
    minutes: Figure
    labour: Figure
    overhead: Figure
    one_offs: Figure
    declared_grams: Figure
    declared_ml: Decimal | None
    marks: tuple[str, ...]


class _Sums(NamedTuple):
    """What a sheet keeps; all else follows from it."""

    product: Id
    ingredients: Figure
    packaging: Figure
    materials: Figure
    direct: Figure
    full: Figure
    made: Made
    costs: tuple[FormulaCost, ...]


class CostSheet(_Sums):
    """What a jar costs, part by part. `marks` are words to be shown beside: NO_BILLS, NO_MINUTES, UNPAID."""

    @cached_property
    def _fills(self) -> tuple[FillSheet, ...]:
        made = self.made
        return tuple(
            [
                fill_sheet(made.product, place, *of)
                for place, of in enumerate(zip(made.batches, self.costs, strict=True))
            ]
        )

    @property
    def fills(self) -> tuple[FillSheet, ...]:
        """Each filling from its batch to its jars."""
        return self._fills

    @property
    def work(self) -> Worked | Times:
        """The work in a jar: as it is in its batch, or each person's time."""
        return self.made.work

    @property
    def minutes(self) -> Figure:
        """Everybody's minutes per jar."""
        return self.made.minutes

    @property
    def labour(self) -> Figure:
        """Everybody's pay per jar."""
        return self.made.labour

    @property
    def overhead(self) -> Figure:
        """What a jar bears of the month's bills."""
        return self.made.overhead

    @property
    def one_offs(self) -> Figure:
        """What a jar bears of one-off costs."""
        return self.made.one_offs

    @property
    def declared_grams(self) -> Figure:
        """Grams that its labels declare."""
        return self.made.declared_grams

    @property
    def declared_ml(self) -> Decimal | None:
        """Millilitres that its labels declare, where all of it is sold by volume."""
        return self.made.declared_ml

    @property
    def marks(self) -> tuple[str, ...]:
        """Words to be shown beside."""
        return self.made.marks

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
    was = known.kept.outdated_sheets.get(product.id)
    made = made_of(known, product) if was is None or product.members else was.made
    costs = tuple([known.formula(fill.formula) for fill in product.fills])
    if len(costs) == 1:
        ingredients = ingredients_of(made.batches[0], made.jars, costs[0])
    else:
        jars = _jars_by_filling(product, made.batches)
        ingredients = added(ingredients_of(*of) for of in zip(made.batches, jars, costs, strict=True))
    if was is None or product.members or product.id not in known.kept.same_parts:
        packaging = _packaging(known, product, made)
    else:
        packaging = was.packaging
    materials = ingredients + packaging
    direct = materials + made.labour
    full = direct + made.overhead + made.one_offs
    return CostSheet(product.id, ingredients, packaging, materials, direct, full, made, costs)


def _packaging(known: Reckoning, product: Product, made: Made) -> Figure:
    """The parts of a jar and of its share of those set aside."""
    packaging = parts_cost(known, product.parts)
    if not product.set_aside or not packaging:
        return packaging  # parts that cost nothing cost nothing, known or not how many are set aside
    return packaging * made.filled / made.jars


def made_of(known: Reckoning, product: Product) -> Made:
    """The half of a product's own sheet that no price of a material moves."""
    batches = tuple([batch_for(known, product, fill) for fill in product.fills])
    filled, jars = fill_jars(product, 0, batches[0]) if len(batches) == 1 else (ONE, ONE)
    work = _work(known, product, batches, (jars, filled))
    minutes, labour = (work, work) if isinstance(work, Gap) else work.together()
    overhead = overhead_share(known, product, minutes)
    one_offs = sum((one.amount / one.jars for one in product.one_offs), ZERO) if product.one_offs else ZERO
    return Made(
        product, batches, jars, filled, work, minutes, labour, overhead, one_offs, *_declared(product, batches),
        _marks(known, product, work, minutes),
    )  # fmt: skip


def _jars_by_filling(product: Product, batches: Sequence[Batch]) -> list[Figure]:
    return [fill_jars(product, place, batch)[1] for place, batch in enumerate(batches)]


def _work(known: Reckoning, product: Product, batches: Sequence[Batch], made: tuple[Figure, Figure]) -> Worked | Gap:
    """The work of the whole batch where there is one filling, over its jars (`made`: good, filled); else of one jar."""
    jars, filled = made
    if isinstance(jars, Gap):
        return jars
    batch = work_for(known, product, batches[0]) if len(batches) == 1 else _work_of_a_jar(known, product, batches)
    if isinstance(batch, Gap):
        return batch
    rates = rates_with(batch, product.work, known.rates)
    return Worked(batch, product.work, jars, filled, rates)  # type: ignore[arg-type]  # known with the jars


def _work_of_a_jar(known: Reckoning, product: Product, batches: Sequence[Batch]) -> BatchWork | Gap:
    """Each filling's batch over its own jars; without a filling there is no batch to have minutes."""
    spent: dict[Id, Decimal] = {}
    for batch, jars in zip(batches, _jars_by_filling(product, batches), strict=True):
        for figure in (batch.grams, jars, batch.work):
            if isinstance(figure, Gap):
                return figure
        for person, minutes in batch.work.minutes.items():  # type: ignore[union-attr]  # gaps have left above
            spent[person] = spent.get(person, ZERO) + minutes / jars  # type: ignore[assignment]
    if not batches and any(work.per_batch or work.per_kg for work in product.work):
        return Gap(
            f"“{product.name}” has no batch of its own. Type its working time per jar.",
            Ref("product", product.id, "work"),
        )
    return batch_work(known.rates, spent)


def _declared(product: Product, batches: Sequence[Batch]) -> tuple[Figure, Decimal | None]:
    """Declared grams, and millilitres where everything is declared by volume."""
    if len(batches) == 1:
        return declared_of(product.fills[0], batches[0].formula)
    if not batches:
        nothing = f"“{product.name}” has no filling, so there is nothing to reckon per 100 g."
        return Gap(nothing, Ref("product", product.id, "fills")), None
    declared = [declared_of(fill, batch.formula) for fill, batch in zip(product.fills, batches, strict=True)]
    volumes = [volume for _, volume in declared if volume is not None]
    return added(grams for grams, _ in declared), sum(volumes, ZERO) if len(volumes) == len(declared) else None


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

_MONEY = ("ingredients", "packaging", "materials", "direct", "full")
_MAKING = ("minutes", "labour", "overhead", "one_offs")


def _with_members(known: Reckoning, product: Product, own: CostSheet) -> CostSheet:
    """A set: its own sheet and those of the products in it, each as often as it is in it."""
    money: dict[str, Any] = {name: getattr(own, name) for name in _MONEY}
    making: dict[str, Any] = {name: getattr(own, name) for name in _MAKING}
    times = own.times
    grams, volume = (own.declared_grams, own.declared_ml) if product.fills else (ZERO, ZERO)
    marks = dict.fromkeys(mark for mark in own.marks if mark != NO_MINUTES)
    for member in product.members:
        sheet = known.sheet(member.product)
        for figures in (money, making):
            figures |= {name: figure + getattr(sheet, name) * member.count for name, figure in figures.items()}
        times = joined(times, sheet.times, member.count)
        grams += sheet.declared_grams * member.count
        volume = None if volume is None or sheet.declared_ml is None else volume + sheet.declared_ml * member.count
        marks |= dict.fromkeys(sheet.marks)
    made = own.made._replace(
        **making, work=times, declared_grams=grams, declared_ml=volume, marks=tuple(marks)
    )  # fmt: skip
    return own._replace(**money, made=made)


def without_cost(product: Product, gap: Gap) -> CostSheet:
    """The sheet of a product that cannot be worked out at all: every figure is `gap`."""
    made = Made(product, (), gap, gap, gap, gap, gap, gap, gap, gap, None, ())
    return CostSheet(product.id, gap, gap, gap, gap, gap, made, ())


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
