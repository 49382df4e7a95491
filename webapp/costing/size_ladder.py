"""The size ladder: every size of a formula on a channel, from the smallest, with price and cost per 100 declared.

The ladder should fall: a bigger jar that is dearer per 100 than the size before it is told, and one whose price per 100
falls faster than its cost does. What a stockist has of a jar is theirs to judge; it is shown and not judged.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from types import MappingProxyType

from webapp.costing.amounts import ONE, ZERO, snap
from webapp.costing.book import Book, Id, Product
from webapp.costing.gaps import Figure, Gap, from_known
from webapp.costing.overhead import is_living
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row, per_hundred
from webapp.costing.size_facts import CandidateAnswer, Rung, SizeAnswer

#: the front of a shelf that a shop's share is spoken of for, in cm
SHELF = Decimal(10)
FIRST = Gap("It is the smallest size, so there is none before it to fall from.")
NO_PRICE = Gap("The size before it costs nothing per 100, so nothing falls from there.")


def ladders(
    known: Reckoning,
    formula: Id,
    places: Mapping[Id, int],
    rows: Sequence[Row],
    widths: Mapping[Id, Decimal] = MappingProxyType({}),
) -> dict[Id, tuple[Rung, ...]]:
    """By channel, where candidates are sold: `places` are theirs by product, `rows` theirs on the channel asked about.

    `known` has the candidates in its book. `widths` in cm by product, where they are typed.
    """
    sizes = [one for one in known.book.products.values() if _is_size(known.book, one, formula)]
    own = {(row.product, row.channel): row for row in rows}
    by_channel: dict[Id, list[Row]] = {}
    for size in sizes:
        for row in known.rows(size.id):
            by_channel.setdefault(row.channel, []).append(own.get((row.product, row.channel), row))
    return {
        channel: _ladder(there, places, widths)
        for channel, there in sorted(by_channel.items())
        if any(row.product in places for row in there)
    }


def others_sold(answer: SizeAnswer, one: CandidateAnswer) -> tuple[Row, ...]:
    """Other sizes of which jars are sold on the candidate's channel: what they would lose to it is in no sum.

    Of a formula that is not sold yet there are none but the sizes that are asked about.
    """
    if answer.question.formula is not None:
        return ()
    rows = (rung.row for rung in answer.ladders.get(one.row.channel, ()) if rung.candidate is None)
    return tuple(row for row in rows if row.jars_a_month and row.product != answer.question.product)


def _is_size(book: Book, product: Product, formula: Id) -> bool:
    """Whether a product that is there is this formula in a jar, and nothing else."""
    return (
        is_living(book, product)
        and not product.members
        and len(product.fills) == 1
        and product.fills[0].formula == formula
    )


def _ladder(rows: Sequence[Row], places: Mapping[Id, int], widths: Mapping[Id, Decimal]) -> tuple[Rung, ...]:
    """By volume where every size is declared by volume, else by mass; what has no mass stands last."""
    unit = "mL" if all(row.sheet.declared_ml is not None for row in rows) else "g"
    rungs: list[Rung] = []
    for row in sorted(rows, key=lambda one: _place(one, unit, places)):
        rung = _rung(row, unit, places.get(row.product), rungs[-1] if rungs else None)
        width = widths.get(row.product)
        rungs.append(rung._replace(width=width, shelf=shelf_share(rung.stockist, width)))
    return tuple(rungs)


def _place(row: Row, unit: str, places: Mapping[Id, int]) -> tuple[bool, Decimal, bool, Id]:
    declared = _declared(row, unit)
    known = isinstance(declared, Decimal)
    return not known, declared if isinstance(declared, Decimal) else ZERO, row.product in places, abs(row.product)


def _declared(row: Row, unit: str) -> Figure:
    volume = row.sheet.declared_ml
    return volume if unit == "mL" and volume is not None else row.sheet.declared_grams


def _rung(row: Row, unit: str, candidate: int | None, before: Rung | None) -> Rung:
    declared = _declared(row, unit)
    price, cost = per_hundred(row.price, declared), per_hundred(row.cost, declared)
    price_fall = _fall(price, FIRST if before is None else before.price_100)
    cost_fall = _fall(cost, FIRST if before is None else before.cost_100)
    dearer = isinstance(price_fall, Decimal) and snap(price_fall) < ZERO
    faster = not dearer and _above(price_fall, ZERO) and _above(price_fall, cost_fall)
    return Rung(
        row, candidate, declared, price, cost, price_fall, cost_fall, dearer, faster, stockist_share(row), unit=unit
    )  # fmt: skip


def _fall(now: Figure, before: Figure) -> Figure:
    """By which share of the size before it something is less; below zero: more."""
    if isinstance(before, Decimal) and before <= ZERO:
        return NO_PRICE
    return from_known(lambda was, then: ONE - then / was, before, now)


def _above(one: Figure, other: Figure) -> bool:
    return isinstance(one, Decimal) and isinstance(other, Decimal) and snap(one) > snap(other)


def shelf_share(stockist: Figure | None, width: Decimal | None) -> Figure | None:
    """What a shop has of the jars that stand side by side on SHELF cm of the front of a shelf, once they are sold.

    None where no width is typed, or no shop sells it.
    """
    return None if stockist is None or width is None else stockist / width * SHELF


def stockist_share(row: Row) -> Figure | None:
    """What a shop has of a jar that it sells at the recommended retail price: that net of its tax, less what it pays.

    None where the jar is not sold to a shop, or by a shop on consignment, which keeps its share instead.
    """
    if row.terms.retail or row.recommended_retail is None:
        return None
    return row.recommended_retail / (ONE + row.terms.stockist_tax) - row.net
