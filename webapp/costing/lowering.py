"""What would lower the cost of a product on a channel: changes that the book itself offers, each worked out as one.

Less overfill, fewer jars set aside, a bigger batch up to the pot's capacity, a cheaper pack of what was bought or
quoted, a jar of the same capacity that is in the book already. Each is a function from book to book (method.md section
7), with all else as it is; together they do not add up. Money is in home currency.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE, ZERO, half_up, snap
from webapp.costing.batch_sizes import batch_sizes
from webapp.costing.book import Book, Formula, Id, Material, Part, PartGroup, Product, Quote
from webapp.costing.changes import Put, apply_all
from webapp.costing.difference import moved_rows
from webapp.costing.gaps import Figure, Gap, Ref, surely
from webapp.costing.leaning import uses
from webapp.costing.limits import MONEY
from webapp.costing.material_history import Offer, offers
from webapp.costing.overhead import is_living
from webapp.costing.price_working import working as row_working
from webapp.costing.quantities import usable
from webapp.costing.reckoning import Reckoning
from webapp.costing.renewing import valid_until
from webapp.costing.rows import Row
from webapp.costing.tax_in_cost import TaxChange, TaxSide, tax_change, tax_sides
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from collections.abc import Iterable

OVERFILL, ASIDE, BATCH, PACK, PART = "overfill", "set aside", "batch", "cheaper pack", "other jar"


class Lowering(NamedTuple):
    """One change that lowers the cost: of `thing` from `now` to `then`, `kind` says what it is.

    `thing` is the product's number, the formula's of a batch, the material's of a pack or part; `other` the material in
    a part's place, `offer` the pack that is cheaper (`tax`: tax is in what it cost then and would not be today, or the
    other way about), `holder` the group that a part is in. `gain` is what a jar costs
    less, `month` that of all jars that are sold of whatever it touches; a gap where none of these sales is known.
    """

    kind: str
    thing: Id
    now: Decimal
    then: Decimal
    changes: tuple[Put, ...]
    other: Id | None = None
    offer: Offer | None = None
    holder: Id | None = None
    gain: Decimal = ZERO
    month: Figure = ZERO
    after: tuple[Reckoning, Row] | None = None
    tax: TaxChange | None = None


def lowerings(known: Reckoning, row: Row) -> tuple[Lowering, ...]:
    """Every change that lowers what this row costs, what gains most a jar first; none where its cost is not known."""
    if isinstance(row.cost, Gap):
        return ()
    product = known.book.products[row.product]
    found = [worked for one in _thought_of(known, row, product) if (worked := _worked(known, row, one)) is not None]
    return tuple(sorted(found, key=lambda one: -snap(one.gain)))


def _thought_of(known: Reckoning, row: Row, product: Product) -> Iterator[Lowering]:
    yield from _overfills(known.book, product)
    yield from _set_aside(known.book, product)
    yield from _batches(known, row, product)
    for material in sorted(one for kind, one in uses(known, ("product", product.id)) if kind == "material"):
        yield from _packs(known, known.book.materials[material])
    yield from _parts(known, product)


def _worked(known: Reckoning, row: Row, one: Lowering) -> Lowering | None:
    """The change worked out; None where it can't be made, is not known or gains nothing."""
    book = apply_all(known.book, one.changes)
    if not isinstance(book, Book):
        return None
    after = Reckoning(book, known)
    then = after.row(row.product, row.channel)
    gain = row.cost - then.cost
    if isinstance(gain, Gap) or snap(gain) <= ZERO:
        return None
    return one._replace(gain=gain, month=_month(known, after), after=(after, then))


def _month(known: Reckoning, after: Reckoning) -> Figure:
    """What it gains a month over all rows that it moves and that sell."""
    moved = [pair for pair in moved_rows(known, after) if pair.before is not None and pair.after.jars_a_month]
    if not moved:
        return Gap("How many jars are sold a month is not known yet. Type it in.")
    total: Figure = ZERO
    for pair in moved:
        before = pair.before.cost if pair.before else ZERO
        total += (before - pair.after.cost) * (pair.after.jars_a_month or ZERO)
    return total


# --- the jar and its batch ---


def _overfills(book: Book, product: Product) -> Iterator[Lowering]:
    """All of the overfill, or one gram or millilitre of it; of several fillings all, and the largest is told."""
    most = max((fill.overfill for fill in product.fills), default=ZERO)
    steps = (ZERO,) if len(product.fills) > 1 else (ZERO, most - ONE)
    for then in dict.fromkeys(steps) if most > ZERO else ():
        if then >= ZERO:
            fills = tuple(replace(fill, overfill=min(fill.overfill, then)) for fill in product.fills)
            changed = replace(product, since=book.day, fills=fills)
            yield Lowering(OVERFILL, product.id, most, then, (Put(changed),))


def _set_aside(book: Book, product: Product) -> Iterator[Lowering]:
    """None at all, or one fewer; whole jars, so that one fewer is never below none."""
    for then in dict.fromkeys((ZERO, product.set_aside - ONE)) if product.set_aside else ():
        changed = replace(product, since=book.day, set_aside=then)
        yield Lowering(ASIDE, product.id, product.set_aside, then, (Put(changed),))


def _batches(known: Reckoning, row: Row, product: Product) -> Iterator[Lowering]:
    """The cheapest size that the pot takes, where that is said; of the product where it has a size of its own."""
    sizes = batch_sizes(known, row.product, row.channel)
    if isinstance(sizes, Gap) or sizes.pot is None:
        return
    best = sizes.cheapest.grams
    if best > sizes.pot or best == sizes.present.grams:
        return
    formula = known.book.formulas[product.fills[0].formula]
    holder: Product | Formula = formula if product.batch_grams is None else product
    changed = replace(holder, since=known.book.day, batch_grams=best)
    yield Lowering(BATCH, formula.id, sizes.present.grams, best, (Put(changed),), holder=holder.id)


# --- what is bought ---


def _packs(known: Reckoning, material: Material) -> Iterator[Lowering]:
    """The cheapest that was bought or is quoted, where it costs less than what counts now."""
    now = known.material(material.id).unit_cost
    known_offers = [one for one in offers(known, material.id) if isinstance(one.unit_cost, Decimal)]
    if not known_offers or isinstance(now, Gap):
        return
    best = known_offers[0]
    cost = best.unit_cost
    if isinstance(cost, Gap) or snap(cost) >= snap(now) or best.counts:
        return
    changes = _taking(known.book, material, best, cost)
    if changes:
        yield Lowering(PACK, material.id, now, cost, changes, offer=best, tax=_tax(known, material, best))


def _tax(known: Reckoning, material: Material, offer: Offer) -> TaxChange | None:
    """Whether today it would cost another amount for its tax alone."""
    book = known.book
    sides = tax_sides(known, (place for place in known.purchases(material.id) if place[0] == offer.order))
    return tax_change(book, (*sides, TaxSide(book.day, book.registered_on(book.day), taxed=False)))


def _taking(book: Book, material: Material, offer: Offer, cost: Decimal) -> tuple[Put, ...]:
    """A quote is chosen; what was bought is taken for what it would cost again: a quote, half-up to four decimals."""
    if offer.quote is not None:
        return (Put(replace(material, quote=offer.quote)),)
    quantity = usable(material, offer.size, offer.unit, Ref("material", material.id, "density"))
    if isinstance(quantity, Gap) or (price := half_up(cost * quantity, MONEY.places)) > MONEY.high or not price:
        return ()
    number, currency = min((*book.quotes, 0)) - 1, book.workshop.currency
    made = Quote(
        number, material.id, offer.supplier, book.day, valid_until(book), offer.size, offer.unit, price, currency
    )  # fmt: skip
    return Put(made), Put(replace(material, quote=made.id))


def _parts(known: Reckoning, product: Product) -> Iterator[Lowering]:
    """Another jar that holds the same, for each jar of the product, in the product or in the group that it is in."""
    groups = [known.book.groups[part.group] for part in product.parts if part.group is not None]
    holders: list[Product | PartGroup] = [product, *{one.id: one for one in groups}.values()]
    for holder in holders:
        for material in dict.fromkeys(part.material for part in holder.parts if part.material is not None):
            for other in _like(known.book, known.book.materials[material]):
                now, then = known.material(material).unit_cost, known.material(other.id).unit_cost
                if isinstance(now, Decimal) and isinstance(then, Decimal) and then < now:
                    changed = replace(holder, since=known.book.day, parts=_instead(holder.parts, material, other.id))
                    at = holder.id if isinstance(holder, PartGroup) else None
                    yield Lowering(PART, material, now, then, (Put(changed),), other=other.id, holder=at)


def _like(book: Book, jar: Material) -> Iterator[Material]:
    """Packaging that holds as much to the brim; of what holds nothing it is not known what it is."""
    for other in book.materials.values() if jar.holds_ml else ():
        if other.id != jar.id and other.kind == jar.kind and other.holds_ml == jar.holds_ml and is_living(book, other):
            yield other


def _instead(parts: Iterable[Part], old: Id, new: Id) -> tuple[Part, ...]:
    return tuple(replace(part, material=new) if part.material == old else part for part in parts)


# --- opened ---


def working(known: Reckoning, row: Row, one: Lowering) -> Working:
    """What a jar costs now less what it would cost; each opens to its own sum."""
    after, then = surely(one.after)
    steps = (
        Step("", row.cost, "money", "a jar costs now", working=row_working(known, row, "cost")),
        Step("-", then.cost, "money", "it would cost", working=row_working(after, then, "cost")),
    )
    return Working("What a jar costs less", steps, one.gain, "money")
