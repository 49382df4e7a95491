"""Working time and what it costs: minutes of a batch, whose they are, an hour's pay (method.md section 4).

Minutes, and home currency. An own hour at a wage of 0 is an answer; without a wage it is a gap.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple, TypeAlias

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.book import Book, Formula, Id, Person, Product, Work
from webapp.costing.gaps import Figure, Gap, Ref, added

HOUR = Decimal(60)
KG = Decimal(1000)


class Rate(NamedTuple):
    """What an hour of a person costs, and whether the person is the maker's own."""

    an_hour: Figure
    own: bool


class PersonTime(NamedTuple):
    """Minutes of one person per jar, and what they cost."""

    person: Id
    minutes: Decimal
    labour: Figure
    own: bool


Times: TypeAlias = tuple[PersonTime, ...] | Gap


class BatchWork(NamedTuple):
    """Minutes of each person in a batch, all of them together, and their sum x what an hour of each costs.

    `rates` are of those persons alone: the wage of anybody else is none of this batch's business.
    """

    minutes: Mapping[Id, Decimal]
    spent: Decimal
    pay: Figure
    rates: Mapping[Id, Rate]


class Worked(NamedTuple):
    """The work in a jar: a batch of `jars` good ones, and the product's own work for each of the `filled` ones.

    Whose work it is is asked for much less often than what it comes to, and is worked out then.
    """

    batch: BatchWork
    own: tuple[Work, ...]
    jars: Decimal
    filled: Decimal
    rates: Mapping[Id, Rate]

    @property
    def times(self) -> tuple[PersonTime, ...]:
        """Each person's time and pay per jar."""
        spent = dict(self.batch.minutes)
        for work in self.own:
            if work.per_jar is not None:
                spent[work.person] = spent.get(work.person, ZERO) + work.per_jar * self.filled
        return tuple(self._time(person, minutes) for person, minutes in spent.items())

    def _time(self, person: Id, minutes: Decimal) -> PersonTime:
        """No time costs nothing, whatever an hour is worth, known or not."""
        rate = self.rates[person]
        labour = minutes * rate.an_hour / (HOUR * self.jars) if minutes else ZERO
        return PersonTime(person, minutes / self.jars, labour, rate.own)

    def together(self) -> tuple[Decimal, Figure]:
        """Everybody's minutes and pay per jar, in one pass: it is asked of every product."""
        _, spent, pay, _ = self.batch
        for work in self.own:
            if work.per_jar:
                minutes = work.per_jar * self.filled
                spent += minutes
                pay += minutes * self.rates[work.person].an_hour
        return spent / self.jars, pay / (HOUR * self.jars)


def hourly(person: Person) -> Figure:
    """What an hour of a person costs: wage x (1 + employer's extra). No wage is a gap."""
    if person.wage is None:
        return Gap(
            f"What an hour of {person.name} is worth is not known yet. Type it; 0 is an answer.",
            Ref("person", person.id, "wage-per_hour"),
        )
    return person.wage.per_hour * (HUNDRED + person.wage.extra) / HUNDRED


def rates_of(book: Book) -> dict[Id, Rate]:
    """Every person's rate. A plain dict: sheets hold it, and must not hold what their book was reckoned in."""
    return {person.id: Rate(hourly(person), person.whose == "own") for person in book.people.values()}


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


def batch_work(rates: Mapping[Id, Rate], minutes: Mapping[Id, Decimal]) -> BatchWork:
    """The minutes of a batch with their sum and their pay."""
    pay: Figure = ZERO
    for person, spent in minutes.items():
        if spent:
            pay += spent * rates[person].an_hour
    return BatchWork(minutes, sum(minutes.values(), ZERO), pay, {one: rates[one] for one in minutes})


def rates_with(batch: BatchWork, own: Iterable[Work], rates: Mapping[Id, Rate]) -> Mapping[Id, Rate]:
    """The rates of all who work on a batch or on its jars; mostly those who make the batch, and then theirs."""
    found = batch.rates
    for work in own:
        if work.person not in found:
            found = {**found, work.person: rates[work.person]}
    return found


def minutes_in(times: Times, *, own: bool) -> Figure:
    """The minutes of own people, or of helpers, together."""
    return times if isinstance(times, Gap) else added(one.minutes for one in times if one.own is own)


def pay_in(times: Times, *, own: bool) -> Figure:
    """The pay of own people, or of helpers, together."""
    return times if isinstance(times, Gap) else added(one.labour for one in times if one.own is own)


def joined(times: Times, others: Times, count: Decimal) -> Times:
    """The times of a set with those of `count` of one product in it."""
    if isinstance(times, Gap):
        return times
    if isinstance(others, Gap):
        return others
    together = {time.person: time for time in times}
    for person, minutes, labour, own in others:
        before = together.get(person, PersonTime(person, ZERO, ZERO, own))
        pay = before.labour + labour * count
        together[person] = PersonTime(person, before.minutes + minutes * count, pay, own)
    return tuple(together.values())
