"""Working time and what it costs: minutes of a batch, whose they are, an hour's pay (method.md section 4).

Minutes, and home currency. An own hour at a wage of 0 is an answer; without a wage it is a gap.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.book import Book, Formula, Id, Person, Product, Work
from webapp.costing.gaps import Figure, Gap, Ref, plus

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

HOUR = Decimal(60)
KG = Decimal(1000)


class PersonTime(NamedTuple):
    """Minutes of one person per jar, and what they cost."""

    person: Id
    minutes: Decimal
    labour: Figure
    own: bool


Times: TypeAlias = "tuple[PersonTime, ...] | Gap"


class TimeTotals(NamedTuple):
    """Of everybody per jar: minutes, minutes of own people, pay of own people, pay of helpers, all pay."""

    minutes: Figure
    own_minutes: Figure
    labour_own: Figure
    labour_hired: Figure
    labour: Figure


def hourly(person: Person) -> Figure:
    """What an hour of a person costs: wage x (1 + employer's extra). No wage is a gap."""
    if person.wage is None:
        return Gap(
            f"What an hour of {person.name} is worth is not known yet. Type it; 0 is an answer.",
            Ref("person", person.id, "wage-per_hour"),
        )
    return person.wage.per_hour * (HUNDRED + person.wage.extra) / HUNDRED


def time_is_said(book: Book, product: Product) -> bool:
    """Whether minutes are typed for a product, 0 too: with it, in its formulas and pre-blends or in its set."""
    things: list[Product | Formula] = [product]
    seen: set[tuple[type, Id]] = set()
    while things:
        one = things.pop()
        if any(work.per_batch is not None or work.per_kg is not None or work.per_jar is not None for work in one.work):
            return True
        if (type(one), one.id) not in seen:  # a set that holds itself is somebody else's fault
            seen.add((type(one), one.id))
            things += _inside(book, one)
    return False


def _inside(book: Book, one: Product | Formula) -> list[Product | Formula]:
    if isinstance(one, Formula):
        return [book.formulas[line.formula] for line in one.lines if line.formula in book.formulas]  # type: ignore[index]
    formulas = [book.formulas[fill.formula] for fill in one.fills if fill.formula in book.formulas]
    return [*formulas, *(book.products[each.product] for each in one.members if each.product in book.products)]


def batch_minutes(work: Work, batch: Decimal) -> Decimal:
    """Minutes of one person for a batch of so many grams: set-up, and so many per kg."""
    if not work.per_kg:
        return work.per_batch or ZERO
    return (work.per_batch or ZERO) + work.per_kg * batch / KG


def work_of_batch(ours: Sequence[Work], own: Sequence[Work]) -> Iterable[Work]:
    """The work of a batch: the formula's (`ours`), where the product has no figure of its `own` for that person."""
    for work in own:
        if work.per_batch is not None or work.per_kg is not None:
            break
    else:
        return ours
    typed = {work.person: work for work in own}
    listed = {work.person: work for work in ours}
    return [_overridden(listed.get(person), typed.get(person)) for person in {**listed, **typed}]


def _overridden(ours: Work | None, own: Work | None) -> Work:
    if own is None or ours is None:
        return own or ours  # type: ignore[return-value]  # a person is in one of the two
    per_batch = ours.per_batch if own.per_batch is None else own.per_batch
    return Work(own.person, per_batch, ours.per_kg if own.per_kg is None else own.per_kg)


def times_of(known: Reckoning, spent: Mapping[Id, Decimal], jars: Decimal) -> tuple[PersonTime, ...]:
    """Minutes spent on so many good jars as each person's time and pay per jar."""
    people, hours = known.book.people, HOUR * jars
    times = []
    for person, minutes in spent.items():
        labour: Figure = ZERO
        if minutes:
            rate = known.hourly(person)
            labour = rate if isinstance(rate, Gap) else minutes * rate / hours
        times.append(PersonTime(person, minutes / jars, labour, people[person].whose == "own"))
    return tuple(times)


def totals_of(times: Times) -> TimeTotals:
    """What the times of all come to."""
    if isinstance(times, Gap):
        return TimeTotals(times, times, times, times, times)
    minutes = own_minutes = ZERO
    labour_own: Figure = ZERO
    labour_hired: Figure = ZERO
    labour: Figure = ZERO
    for _, spent, pay, own in times:
        minutes += spent
        labour = plus(labour, pay)
        if own:
            own_minutes += spent
            labour_own = plus(labour_own, pay)
        else:
            labour_hired = plus(labour_hired, pay)
    return TimeTotals(minutes, own_minutes, labour_own, labour_hired, labour)


def joined(times: Times, others: Times, count: Decimal) -> Times:
    """The times of a set with those of `count` of one product in it."""
    if isinstance(times, Gap):
        return times
    if isinstance(others, Gap):
        return others
    together = {time.person: time for time in times}
    for person, minutes, labour, own in others:
        before = together.get(person, PersonTime(person, ZERO, ZERO, own))
        pay = labour if isinstance(labour, Gap) else labour * count
        both = before.labour if isinstance(before.labour, Gap) or isinstance(pay, Gap) else before.labour + pay
        together[person] = PersonTime(
            person, before.minutes + minutes * count, pay if isinstance(pay, Gap) else both, own
        )
    return tuple(together.values())
