"""What a jar costs: the cost sheet of a product (method.md section 4).

Money is home currency per jar of the product, minutes are per jar, and the members of a set are in every figure. Each
part of a sheet is missing on its own: packaging may be known where ingredients are not. Workings: jar_working.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.batches import FillSheet, fill_sheet
from webapp.costing.book import Id, Product
from webapp.costing.gaps import Figure, Gap, Ref, plus
from webapp.costing.labour import HOUR, Times, batch_minutes, joined, time_is_said, times_of, totals_of, work_of_batch
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
    times: Times
    minutes: Figure
    own_minutes: Figure
    labour_own: Figure
    labour_hired: Figure
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
    def making_hours(self) -> Figure:
        """Hours of making per jar, everybody's."""
        return self.minutes if isinstance(self.minutes, Gap) else self.minutes / HOUR

    @property
    def own_hours(self) -> Figure:
        """Hours of own people per jar."""
        return self.own_minutes if isinstance(self.own_minutes, Gap) else self.own_minutes / HOUR

    @property
    def gap(self) -> Gap | None:
        """Why the full cost is missing."""
        return self.full if isinstance(self.full, Gap) else None


class _Made(NamedTuple):
    """Good jars and jars filled of one batch; 1 and 1 where there is not exactly one filling."""

    jars: Decimal
    filled: Decimal


def cost_sheet(known: Reckoning, product: Product) -> CostSheet:
    """The sheet of a product. Its members must not hold the product itself: `Reckoning.sheet` sees to that."""
    sheet = own_sheet(known, product)
    return _with_members(known, product, sheet) if product.members else sheet


def own_sheet(known: Reckoning, product: Product) -> CostSheet:
    """The sheet without the products in a set."""
    count = len(product.fills)
    fills = tuple([fill_sheet(known, product, place) for place in range(count)])
    made: _Made | Gap = _Made(ONE, ONE)
    if count == 1:
        jars, filled = fills[0].jars, fills[0].filled
        made = jars if isinstance(jars, Gap) else _Made(jars, filled)  # type: ignore[arg-type]  # known with the jars
    ingredients = fills[0].ingredients if count == 1 else total(fill.ingredients for fill in fills)
    packaging = _packaging(known, product, made)
    times: Times = made if isinstance(made, Gap) else _times(known, product, fills, made)
    minutes, own_minutes, labour_own, labour_hired, labour = totals_of(times)
    overhead = overhead_share(known, product, minutes)
    one_offs = sum((one.amount / one.jars for one in product.one_offs), ZERO) if product.one_offs else ZERO
    grams, volume = _declared(product, fills)
    materials = plus(ingredients, packaging)
    direct = plus(materials, labour)
    full = plus(plus(direct, overhead), one_offs)
    return CostSheet(
        product.id, fills, ingredients, packaging, times, minutes, own_minutes, labour_own, labour_hired, labour,
        overhead, one_offs, materials, direct, full, grams, volume, _marks(known, product, minutes, times),
    )  # fmt: skip


def total(figures: Iterable[Figure]) -> Figure:
    """All figures added, or the first gap among them."""
    added: Figure = ZERO
    for figure in figures:
        added = plus(added, figure)
    return added


def _packaging(known: Reckoning, product: Product, made: _Made | Gap) -> Figure:
    """The parts of every jar that is filled, borne by the good ones: only jars set aside make a difference."""
    cost = parts_cost(known, product.parts)
    if not product.set_aside or isinstance(cost, Gap) or not cost:
        return cost
    return made if isinstance(made, Gap) else cost * made.filled / made.jars


def _times(known: Reckoning, product: Product, fills: tuple[FillSheet, ...], made: _Made) -> Times:
    """Minutes of each person: of the whole batch where there is one filling, divided by its jars; else per jar."""
    spent: dict[Id, Decimal] = {}
    for fill in fills:
        gap = _add_batch(known, product, fill, spent)
        if gap is not None:
            return gap
    for work in product.work:
        if work.per_jar is not None:
            spent[work.person] = spent.get(work.person, ZERO) + work.per_jar * made.filled
        if not fills and (work.per_batch or work.per_kg):
            return Gap(
                f"“{product.name}” has no batch of its own. Type its working time per jar.",
                Ref("product", product.id, "work"),
            )
    return times_of(known, spent, made.jars)


def _add_batch(known: Reckoning, product: Product, fill: FillSheet, spent: dict[Id, Decimal]) -> Gap | None:
    """Add the minutes of one filling's batch, with those its made-ahead blends bring along."""
    batch, jars, carried = fill.batch_grams, fill.jars, known.formula(fill.formula).carried
    if isinstance(batch, Gap):
        return batch
    if isinstance(jars, Gap):
        return jars
    if isinstance(carried, Gap):
        return carried
    alone = len(product.fills) == 1
    work = known.book.formulas[fill.formula].work
    for one in work_of_batch(work, product.work) if alone and product.work else work:
        minutes = batch_minutes(one, batch)
        spent[one.person] = spent.get(one.person, ZERO) + (minutes if alone else minutes / jars)
    for person, each in carried:
        spent[person] = spent.get(person, ZERO) + (each * batch if alone else each * batch / jars)
    return None


def _declared(product: Product, fills: tuple[FillSheet, ...]) -> tuple[Figure, Decimal | None]:
    """Declared grams, and millilitres where everything is declared by volume."""
    if len(fills) == 1:
        return fills[0].declared_grams, fills[0].declared_ml
    if not fills:
        nothing = f"“{product.name}” has no filling, so there is nothing to reckon per 100 g."
        return Gap(nothing, Ref("product", product.id, "fills")), None
    volumes = [fill.declared_ml for fill in fills if fill.declared_ml is not None]
    volume = sum(volumes, ZERO) if len(volumes) == len(fills) else None
    return total(fill.declared_grams for fill in fills), volume


def _marks(known: Reckoning, product: Product, minutes: Figure, times: Times) -> tuple[str, ...]:
    marks: tuple[str, ...] = ()
    if not known.overhead and known.book.terms.overhead != "left out":
        marks = (NO_BILLS,)
    if isinstance(times, Gap):
        return marks
    if not minutes:
        return marks if time_is_said(known.book, product) else (*marks, NO_MINUTES)
    for time in times:
        if time.own and time.minutes and not time.labour:
            return (*marks, UNPAID)
    return marks


# --- sets ----------------------------------------------------------------------------------------------------------

_ADDED = (
    "ingredients", "packaging", "minutes", "own_minutes", "labour_own", "labour_hired", "labour", "overhead",
    "one_offs", "materials", "direct", "full",
)  # fmt: skip


def _with_members(known: Reckoning, product: Product, own: CostSheet) -> CostSheet:
    """A set: its own sheet and those of the products in it, each as often as it is in it."""
    figures: dict[str, Any] = {name: getattr(own, name) for name in _ADDED}
    times = own.times
    grams, volume = (own.declared_grams, own.declared_ml) if own.fills else (ZERO, ZERO)
    marks = dict.fromkeys(mark for mark in own.marks if mark != NO_MINUTES)
    for member in product.members:
        sheet = known.sheet(member.product)
        for name in _ADDED:
            figures[name] = plus(figures[name], _counted(getattr(sheet, name), member.count))
        times = joined(times, sheet.times, member.count)
        grams = plus(grams, _counted(sheet.declared_grams, member.count))
        volume = None if volume is None or sheet.declared_ml is None else volume + sheet.declared_ml * member.count
        marks |= dict.fromkeys(sheet.marks)
    return own._replace(**figures, times=times, declared_grams=grams, declared_ml=volume, marks=tuple(marks))


def _counted(figure: Figure, count: Decimal) -> Figure:
    return figure if isinstance(figure, Gap) else figure * count


def without_cost(product: Product, gap: Gap) -> CostSheet:
    """The sheet of a product that cannot be worked out at all: every figure is `gap`."""
    return CostSheet(
        product.id, (), gap, gap, gap, gap, gap, gap, gap, gap, gap, gap, gap, gap, gap, gap, None, ()
    )  # fmt: skip


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
            charged[material] = charged.get(material, ZERO) + share * batch / jars  # type: ignore[operator]
    for member in known.book.products[product].members:
        inner = charged_grams(known, member.product)
        if isinstance(inner, Gap):
            return inner
        for material, grams in inner.items():
            charged[material] = charged.get(material, ZERO) + grams * member.count
    return charged
