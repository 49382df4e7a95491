"""The figures of a cost sheet opened to their working, from the batch to the jar, down to order lines and settings.

Every sum repeats what jars.py reckons, step by step, from the same records; the last line is the sheet's own figure.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.batch_working import Term, Told, added, filling, jars_working
from webapp.costing.batches import FillSheet
from webapp.costing.book import Id
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.jars import own_sheet
from webapp.costing.labour import HOUR, KG, PersonTime, work_of_batch
from webapp.costing.overhead import is_living
from webapp.costing.parts import PartCost, aside_factor, part_costs
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


def working(known: Reckoning, product: Id, figure: str) -> Working:
    """The sum behind one of FIGURES of a product's sheet, per jar. KeyError for another name."""
    words, kind, own_steps = _SUMS[figure]
    record = known.book.products[product]
    told = Told(known, record, own_sheet(known, record))
    title = f"{words} of {record.name}"
    if not record.members:
        return Working(title, tuple(own_steps(told)), getattr(told.own, figure), kind)
    mine = Working(f"{title} itself", tuple(own_steps(told)), getattr(told.own, figure), kind)
    steps = (Step("", mine.result, kind, "the set itself", working=mine), *_members(told, figure, kind))
    return Working(title, steps, getattr(known.sheet(product), figure), kind)


def _members(told: Told, figure: str, kind: str) -> tuple[Step, ...]:
    """The products of a set. A set that holds itself is not opened."""
    steps = []
    for place, member in enumerate(told.product.members):
        count = member.count
        sheet = told.known.sheet(member.product)
        name = told.known.book.products[member.product].name
        each: Figure = getattr(sheet, figure)
        below = None if isinstance(each, Gap) else working(told.known, member.product, figure)
        factors = (
            Step("", each, kind, name, working=below),
            Step("×", member.count, "pieces", "in the set", told.at(f"members-{place}-count")),
        )
        amount = from_known(lambda known, times=count: known * times, each)
        steps.append(Step("+", amount, kind, name, working=Working(f"{name} in the set", factors, amount, kind)))
    return tuple(steps)


# --- from the batch ------------------------------------------------------------------------------------------------


def _ingredients(told: Told) -> list[Step]:
    fills = told.own.fills
    if len(fills) == 1:
        return filling(told, fills[0])
    return added(
        [
            (fill.ingredients, told.formula(fill).name, None, _opened(told, fill))
            for fill in fills
        ]
    )  # fmt: skip


def _opened(told: Told, fill: FillSheet) -> Working:
    title = f"Ingredients of {told.formula(fill).name} in {told.name}"
    return Working(title, tuple(filling(told, fill)), fill.ingredients, "money")


# --- packaging -----------------------------------------------------------------------------------------------------


def _packaging(told: Told) -> list[Step]:
    return added(
        [
            (part.cost, part.name, Ref("material", part.material), _part(told, part))
            for part in part_costs(told.known, told.product)
        ]
    )


def _part(told: Told, part: PartCost) -> Working:
    at = None if part.group is None else Ref("group", part.group)
    steps = [
        Step("", part.unit_cost, "unit cost", "a piece", None, told.known.material_working(part.material), "per piece"),
        Step("×", part.pieces, "pieces", "in a jar", at or told.at("parts")),
    ]
    if part.spoiled:
        paid = 1 + part.spoiled / HUNDRED
        steps.append(Step("×", paid, "percent", "pieces paid for one used well", at or told.at("parts")))
    factor = aside_factor(told.known, told.product)
    if factor != 1:
        words = "jars filled for a good one: some are set aside"
        steps.append(Step("×", factor, "number", words, told.at("set_aside")))
    return Working(f"{part.name} of {told.name}", tuple(steps), part.cost, "money")


# --- work ----------------------------------------------------------------------------------------------------------


def _minutes(told: Told, *, own: bool | None = None) -> list[Step]:
    if isinstance(told.own.times, Gap):
        return [Step("", told.own.times, "minutes", "working time")]
    return added(
        [
            (time.minutes, _who(told, time), None, _person_minutes(told, time))
            for time in told.own.times
            if own is None or time.own is own
        ],
        "minutes",
    )  # fmt: skip


def _who(told: Told, time: PersonTime) -> str:
    return told.known.book.people[time.person].name


def _person_minutes(told: Told, time: PersonTime) -> Working:
    """Minutes of one person: of each batch over its jars, then per jar."""
    terms: list[Term] = [_batch_term(told, fill, time.person) for fill in told.own.fills]
    aside = aside_factor(told.known, told.product)
    for place, work in enumerate(told.product.work):
        if work.person == time.person and work.per_jar:
            at = told.at(f"work-{place}-per_jar")
            minutes = from_known(lambda factor, each=work.per_jar: each * factor, aside)
            words = "for every jar" if aside == 1 else "for every jar, those set aside too"
            terms.append((minutes, words, at, None))
    return Working(f"Time of {_who(told, time)}", tuple(added(terms, "minutes")), time.minutes, "minutes")


def _batch_term(told: Told, fill: FillSheet, person: Id) -> Term:
    """The batch of one filling: set-up, per kg, and what its made-ahead blends bring along, over its good jars."""
    amounts = _batch_amounts(told, fill, person)
    jars = Step("÷", fill.jars, "pieces", "good jars", None, jars_working(told.known, told.product.id, fill.place))
    each = from_known(lambda jars, *spent: sum(spent, ZERO) / jars, fill.jars, *(term[0] for term in amounts))
    name = told.formula(fill).name
    steps = (*added(amounts, "minutes"), jars)
    return each, f"of a batch of {name}", None, Working(f"Time of a batch of {name}, per jar", steps, each, "minutes")


def _batch_amounts(told: Told, fill: FillSheet, person: Id) -> list[Term]:
    record, batch = told.formula(fill), fill.batch_grams
    work = work_of_batch(record.work, told.product.work) if len(told.own.fills) == 1 else record.work
    at = Ref("formula", record.id, "work")
    terms: list[Term] = []
    for one in work:
        if one.person == person:
            by_mass = from_known(lambda grams, each=one.per_kg or ZERO: each * grams / KG, batch)
            terms += [(one.per_batch or ZERO, "for a batch", at, None), (by_mass, "by the kg", at, None)]
    carried = told.known.formula(fill.formula).carried
    for who, minutes in () if isinstance(carried, Gap) else carried:
        if who == person:
            ahead = from_known(lambda grams, each=minutes: each * grams, batch)
            terms.append((ahead, "in what was made ahead", None, None))
    return [term for term in terms if term[0]]


def _pay(told: Told, *, own: bool | None) -> list[Step]:
    """Pay of everybody, of own people or of helpers: minutes x what an hour costs / 60."""
    if isinstance(told.own.times, Gap):
        return [Step("", told.own.times, "money", "working time")]
    return added(
        [
            (time.labour, _who(told, time), Ref("person", time.person), _paid(told, time))
            for time in told.own.times
            if own is None or time.own is own
        ]
    )


def _paid(told: Told, time: PersonTime) -> Working:
    wage = Ref("person", time.person, "wage-per_hour")
    steps: tuple[Step, ...] = (Step("", time.minutes, "minutes", "working time", None, _person_minutes(told, time)),)
    if time.minutes:  # no time costs nothing, whatever an hour is worth, known or not
        steps += (
            Step("×", told.known.hourly(time.person), "money", "an hour, with the employer's extra", wage),
            Step("÷", HOUR, "number", "minutes in an hour"),
        )
    return Working(f"Work of {_who(told, time)}", steps, time.labour, "money")


# --- overhead, one-offs, sums --------------------------------------------------------------------------------------


def _overhead(told: Told) -> list[Step]:
    terms, known = told.known.book.terms, told.known
    at = Ref("terms", terms.id, "overhead")
    if terms.overhead == "left out":
        return [Step("", ZERO, "money", "left out of the jars, as chosen", at)]
    month = Step("", known.overhead, "money", "monthly bills", None, _bills(told))
    if not known.overhead:
        return [month]
    if terms.overhead == "jars":
        if told.product.members:
            return [Step("", ZERO, "money", "a set bears only the shares of what is in it", at)]
        jars: Figure = known.overhead_a_jar if terms.planned_jars is None else terms.planned_jars
        return [month, Step("÷", jars, "pieces", "jars planned a month", Ref("terms", terms.id, "planned_jars"))]
    hours = told.own.overhead if terms.making_hours is None else terms.making_hours
    minutes = Working(f"Time of {told.name}", tuple(_minutes(told)), told.own.minutes, "minutes")
    return [
        month,
        Step("×", told.own.minutes, "minutes", "of making", None, minutes),
        Step("÷", HOUR, "number", "minutes in an hour"),
        Step("÷", hours, "number", "hours of making planned a month", Ref("terms", terms.id, "making_hours"), unit="h"),
    ]


def _bills(told: Told) -> Working:
    book = told.known.book
    terms: list[Term] = [
        (bill.a_month, bill.name, Ref("bill", bill.id, "a_month"), None)
        for bill in book.bills.values()
        if is_living(book, bill)
    ]
    return Working("Monthly bills", tuple(added(terms)), told.known.overhead, "money")


def _one_offs(told: Told) -> list[Step]:
    terms: list[Term] = []
    for place, one in enumerate(told.product.one_offs):
        each = one.amount / one.jars
        steps = (
            Step("", one.amount, "money", one.name, told.at(f"one_offs-{place}-amount")),
            Step("÷", one.jars, "pieces", "jars it serves", told.at(f"one_offs-{place}-jars")),
        )
        terms.append((each, one.name, None, Working(one.name, steps, each, "money")))
    return added(terms)


def _sum(*figures: str) -> Callable[[Told], list[Step]]:
    """A figure that is the sum of other figures of the sheet, each opened in its turn."""

    def steps(told: Told) -> list[Step]:
        return added([(getattr(told.own, name), _WORDS[name], None, _below(told, name)) for name in figures])

    return steps


def _below(told: Told, figure: str) -> Working:
    words, kind, own_steps = _SUMS[figure]
    return Working(f"{words} of {told.name}", tuple(own_steps(told)), getattr(told.own, figure), kind)


#: figure of a sheet -> its name, how it is shown, and the steps to it
_SUMS: dict[str, tuple[str, str, Callable[[Told], list[Step]]]] = {
    "ingredients": ("Ingredients", "money", _ingredients),
    "packaging": ("Packaging", "money", _packaging),
    "minutes": ("Working time", "minutes", _minutes),
    "own_minutes": ("Own working time", "minutes", partial(_minutes, own=True)),
    "labour_own": ("Own work", "money", partial(_pay, own=True)),
    "labour_hired": ("Helpers' work", "money", partial(_pay, own=False)),
    "labour": ("Work", "money", partial(_pay, own=None)),
    "overhead": ("Share of the monthly bills", "money", _overhead),
    "one_offs": ("Share of one-off costs", "money", _one_offs),
    "materials": ("Materials", "money", _sum("ingredients", "packaging")),
    "direct": ("Direct cost", "money", _sum("ingredients", "packaging", "labour")),
    "full": ("Full cost", "money", _sum("ingredients", "packaging", "labour", "overhead", "one_offs")),
}
_WORDS = {figure: words[:1].lower() + words[1:] for figure, (words, _, _) in _SUMS.items()}
#: what can be opened
FIGURES = tuple(_SUMS)
