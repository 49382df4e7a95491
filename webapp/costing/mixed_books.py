"""Books between then and now: the book of then with some kinds of facts taken over from the book of now.

What materials cost is no fact of its own but follows from orders, quotes and the day, so it is taken over apart, one
material at a time. Only one product on one channel is asked of such a book: its marked price is held where it was.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from webapp.costing.basis import MaterialCost
from webapp.costing.book import Bill, Book, Formula, Id, PairKey, Person, Price
from webapp.costing.carrying import keep
from webapp.costing.gaps import Gap
from webapp.costing.leaning import uses
from webapp.costing.overhead import is_living
from webapp.costing.reckoning import Reckoning
from webapp.costing.working import Working


class Mixed(Reckoning):
    """Answers about a book in which materials cost what `now` says, and those of `as_then` what `then` says."""

    def __init__(self, book: Book, then: Reckoning, now: Reckoning, as_then: Iterable[Id]) -> None:
        super().__init__(book)
        self._costed = dict.fromkeys(as_then, then)
        self._else = now

    def material(self, material: Id) -> MaterialCost:
        """What the material costs in the book that it is taken from."""
        kept = self.kept.materials.get(material)
        return kept or keep(self.kept.materials, material, self._source(material).material(material))

    def material_working(self, material: Id) -> Working:
        """How that cost came about there."""
        return self._source(material).material_working(material)

    def _source(self, material: Id) -> Reckoning:
        return self._costed.get(material, self._else)


def leaned_on(known: Reckoning, product: Id, kind: str) -> frozenset[Id]:
    """The records of a kind that a product's costs lean on."""
    return frozenset(one for found, one in uses(known, ("product", product)) if found == kind)


def costed_then(then: Reckoning, now: Reckoning, product: Id) -> frozenset[Id]:
    """The materials of the product, as it was or is, that had a cost then."""
    inside = leaned_on(then, product, "material") | leaned_on(now, product, "material")
    held = inside & then.book.materials.keys()
    return frozenset(one for one in held if not isinstance(then.material(one).unit_cost, Gap))


def beginning(then: Book, now: Book, pair: PairKey, price: Price) -> Book:
    """The book of then with what was not there yet, which nothing of then leans on, and with the one price held.

    Who had no wage yet has that of now; a bill that had ended is out, one that ended since then still counts.
    """
    return replace(
        then,
        people={**now.people, **{one.id: _paid(one, now.people.get(one.id)) for one in then.people.values()}},
        bills=_running(then),
        materials={**now.materials, **then.materials},
        suppliers={**then.suppliers, **now.suppliers},
        orders={**then.orders, **now.orders},
        quotes={**then.quotes, **now.quotes},
        formulas={**now.formulas, **then.formulas},
        groups={**now.groups, **then.groups},
        products={**now.products, **then.products},
        channels={**now.channels, **then.channels},
        prices={pair: price},
    )


def _paid(person: Person, now: Person | None) -> Person:
    return replace(person, wage=now.wage) if person.wage is None and now is not None else person


def _running(book: Book) -> Mapping[Id, Bill]:
    return {one.id: replace(one, retired=None) for one in book.bills.values() if is_living(book, one)}


# --- one kind after another ------------------------------------------------------------------------------------------


def formulas(mixed: Book, now: Book) -> Book:
    """What goes into formulas, and what turns its millilitres and drops into grams."""
    taken = {one.id: _lines_of(one, mixed.formulas.get(one.id)) for one in now.formulas.values()}
    return replace(mixed, formulas={**mixed.formulas, **taken}, materials={**mixed.materials, **now.materials})


def _lines_of(now: Formula, was: Formula | None) -> Formula:
    return now if was is None else replace(was, lines=now.lines, way=now.way)


def jars(mixed: Book, now: Book) -> Book:
    """Batches, losses, minutes and densities of formulas; fillings, parts, members, one-offs of products."""
    return replace(
        mixed,
        formulas={**mixed.formulas, **now.formulas},
        groups={**mixed.groups, **now.groups},
        products={**mixed.products, **now.products},
    )


def wages(mixed: Book, now: Book) -> Book:
    """What an hour of everybody costs, and whose it is."""
    return replace(mixed, people={**mixed.people, **now.people})


def overhead(mixed: Book, now: Book) -> Book:
    """The month's bills, how they are shared, and whether they count as cost."""
    terms = now.terms
    shared = replace(
        mixed.terms,
        cost=terms.cost,
        overhead=terms.overhead,
        making_hours=terms.making_hours,
        planned_jars=terms.planned_jars,
    )
    return replace(mixed, bills=_running(now), terms=shared)


def selling(mixed: Book, now: Book) -> Book:
    """What channels keep and cost, sales tax, and the day with what depends on it."""
    return replace(
        mixed,
        day=now.day,
        workshop=now.workshop,
        terms=now.terms,
        registrations=now.registrations,
        channels={**mixed.channels, **now.channels},
    )


Taken = Callable[[Book, Book], Book]
