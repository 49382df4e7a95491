"""What a size that is thought of ties up: the first order of its parts, how long that lasts, and whether jars keep.

A new part is ordered in pieces: its least order, or what the first batch needs if that is more; up to a price break
where all of that costs less. A known one comes in the cheapest whole packs for the first batch (method.md section 10),
or where nobody's offer is known, at what it costs now. Money in home currency, freight of packs in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from webapp.costing.amounts import ONE, ZERO, snap
from webapp.costing.book import Book, Id
from webapp.costing.candidate_parts import TypedPart, typed_parts
from webapp.costing.candidates import Made
from webapp.costing.gaps import Figure, Gap, Ref, added, from_known
from webapp.costing.overhead import is_living
from webapp.costing.pack_asking import Taken, answered, taken_for
from webapp.costing.pack_facts import Plans
from webapp.costing.parts import charged_pieces, part_costs
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row
from webapp.costing.size_deals import NO_JARS
from webapp.costing.size_facts import Candidate, PartPack, Shelf, SizePart, SizeQuestion

NOT_USED = Gap("Nothing of it is used at this rate, so it lasts for good.")


class _Order(NamedTuple):
    """What is bought at once, and the next price break: from so many pieces on at so much each."""

    pieces: Figure
    cash: Figure
    after: tuple[Decimal, Decimal] | None = None
    packs: tuple[PartPack, ...] = ()
    freight: Decimal = ZERO


def first_orders(
    before: Book, known: Reckoning, made: Made, candidate: Candidate, question: SizeQuestion
) -> tuple[SizePart, ...]:
    """The jar and the lid that were asked for, and every other part that no product of the book `before` has yet."""
    charged = charged_pieces(known, made.product.id)
    # Where it can't be said how many jars there are, the gap travels as the figure of each part.
    pieces: Mapping[Id, Figure] = dict.fromkeys(made.asked, charged) if isinstance(charged, Gap) else charged
    in_use = _in_use(before)
    wanted = [one for one in pieces if one in made.asked or one not in in_use]
    typed = {made.new[one.which].id: one for one in typed_parts(candidate) if one.which in made.new}
    return tuple(
        _part(known, made, one, pieces[one], typed=typed.get(one), jars=question.jars, used=one in in_use)
        for one in wanted
    )  # fmt: skip


def _in_use(book: Book) -> frozenset[Id]:
    """What products that are there have in them."""
    return frozenset(_materials(book))


def _materials(book: Book) -> Iterator[Id]:
    for product in book.products.values():
        if is_living(book, product):
            inside = [book.groups[one.group].parts for one in product.parts if one.group is not None]
            for part in (*product.parts, *(one for parts in inside for one in parts)):
                if part.material is not None:
                    yield part.material


def _part(
    known: Reckoning,
    made: Made,
    material: Id,
    a_jar: Figure,
    *,
    typed: TypedPart | None,
    jars: Decimal | None,
    used: bool,
) -> SizePart:
    needed = a_jar * (NO_JARS if jars is None else jars)
    first = _first_jars(known, made, jars)
    batch = from_known(lambda each, many: Decimal(math.ceil(snap(each * many))), a_jar, first)
    order = _typed_order(typed, batch) if typed is not None else _packed(known, material, batch)
    price = order.cash / order.pieces
    cost = added(one.cost for one in part_costs(known, made.product) if one.material == material)
    lasts = _lasts(order.pieces, needed)
    part = SizePart(
        material, needed, order.pieces, price, order.cash, lasts, used=used, a_jar=a_jar, cost_a_jar=cost,
        batch=batch, jars=first, packs=order.packs, freight=order.freight,
    )  # fmt: skip
    if order.after is None:
        return part
    start, then = order.after
    return part._replace(
        next_from=start,
        next_price=then,
        next_cash=start * then,
        next_lasts=_lasts(start, needed),
        saves=a_jar * (price - then),
    )


def _lasts(pieces: Figure, needed: Figure) -> Figure:
    """Months until so many are used."""
    if needed == ZERO:
        return NOT_USED
    return pieces / needed


def _first_jars(known: Reckoning, made: Made, a_month: Decimal | None) -> Figure:
    """All jars of a batch; a set has none: those of a month, or one."""
    fills = known.sheet(made.product.id).fills
    return fills[0].jars if len(fills) == 1 else max(ONE, a_month or ONE)


# --- a new part


def _typed_order(typed: TypedPart, batch: Figure) -> _Order:
    """The cheapest way to at least the least order and the first batch, and the break that comes after it."""
    if isinstance(batch, Gap):
        return _Order(batch, batch)
    least = max(typed.least or ONE, batch)
    steps = [(ONE, typed.price or ZERO), *((start, then) for start, then in typed.breaks if start and then)]
    beyond = [one for one in steps if one[0] > least]
    pieces, price = min([(least, steps[-1 - len(beyond)][1]), *beyond], key=lambda way: (way[0] * way[1], way[0]))
    return _Order(pieces, pieces * price, next((one for one in beyond if one[0] > pieces), None))


# --- a known one


def _packed(known: Reckoning, material: Id, batch: Figure) -> _Order:
    """The cheapest whole packs of what the book knows; the next break is the next bigger pack that is cheaper."""
    if isinstance(batch, Gap):
        return _Order(batch, batch)
    asked = taken_for(known, material, batch)
    if not asked.offers:
        return _Order(batch, batch * known.unit_costs[material])
    found = answered(known, asked, 1)
    if not isinstance(found, Plans):
        return _Order(found, found)
    bought = found.plans[0].bought[0]
    packs = tuple(
        PartPack(Decimal(line.packs), asked.offers[line.place].quantity, line.price) for line in found.plans[0].lines
    )
    after = _next_pack(asked, bought.amount, bought.per_bought)
    return _Order(bought.amount, bought.cost, after, packs, bought.freight)


def _next_pack(asked: Taken, pieces: Decimal, price: Decimal) -> tuple[Decimal, Decimal] | None:
    bigger = [(one.quantity, one.price / one.quantity) for one in asked.offers if one.quantity > pieces]
    return next((way for way in sorted(bigger) if way[1] < price), None)


# --- together


def tied_up(parts: Sequence[SizePart]) -> Figure:
    """Cash in the first orders of parts that nothing else uses."""
    return added(one.cash for one in parts if not one.used)


def bought_again(parts: Sequence[SizePart]) -> tuple[tuple[Decimal, Decimal, Decimal, Decimal], ...] | Gap:
    """Pieces a jar, pieces of an order, cash of it and cost a jar of the same parts, for cash month by month."""
    found: list[tuple[Decimal, Decimal, Decimal, Decimal]] = []
    for one in parts:
        if one.used:
            continue
        figures = (one.a_jar, one.pieces, one.cash, one.cost_a_jar)
        for figure in figures:
            if isinstance(figure, Gap):
                return figure
        found.append(figures)  # type: ignore[arg-type]  # gaps have left above
    return tuple(found)


def shelf(known: Reckoning, row: Row, jars: Decimal | None) -> Shelf | None:
    """Whether the jars of a batch sell while they keep; None for what is not one filling of one formula."""
    product = known.book.products[row.product]
    if len(row.sheet.fills) != 1 or product.members:
        return None
    formula = known.book.formulas[product.fills[0].formula]
    made, months = row.sheet.fills[0].jars, formula.shelf_months
    if months is None:
        words = f"How many months “{formula.name}” keeps is not known yet. Type its shelf life."
        gap = Gap(words, Ref("formula", formula.id, "shelf_months"))
        return Shelf(made, None, gap, gap)
    sold: Figure = NO_JARS if jars is None else jars * months
    return Shelf(made, months, sold, from_known(lambda batch, gone: max(ZERO, batch - gone), made, sold))
