"""The figures of a batch that was made, opened: what was weighed at its price, what was lost, what a jar took of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import TYPE_CHECKING

from webapp.costing.book import Formula, Material, Weighed
from webapp.costing.gaps import Figure, Ref, added
from webapp.costing.jar_working import working as sheet_working
from webapp.costing.labour import HOUR
from webapp.costing.made_batches import (
    BatchMade,
    JarMade,
    aside_of,
    batch_made,
    carried_minutes,
    carried_pay,
    unit_cost,
)
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: what of a batch opens, and of each jar that it filled
FIGURES = ("planned_cost", "cost", "lost", "loss", "minutes", "pay")
JAR_FIGURES = ("ingredients", "minutes", "labour", "direct", "difference")


def working(known: Reckoning, batch: int, figure: str) -> Working:
    """The sum behind one of FIGURES, or of JAR_FIGURES as "jars-PLACE-NAME". KeyError for any other name."""
    made = batch_made(known, known.book.batches[batch])
    prefix, _, rest = figure.partition("-")
    if prefix != "jars":
        return _OF_BATCH[figure](known, made)
    place, _, name = rest.partition("-")
    if not (place.isascii() and place.isdigit() and int(place) < len(made.jars)):
        raise KeyError(figure)
    return _OF_JAR[name](known, made, int(place))


# --- the batch -----------------------------------------------------------------------------------------------------


def _cost(known: Reckoning, made: BatchMade) -> Working:
    lines = [(line, line.grams) for line in made.record.lines]
    return Working("What was weighed, at its price", tuple(_lines(known, lines)), made.cost, "money")


def _planned_cost(known: Reckoning, made: BatchMade) -> Working:
    lines = [(line, line.planned) for line in made.record.lines]
    return Working("What was planned, at its price", tuple(_lines(known, lines)), made.planned_cost, "money")


def _lines(known: Reckoning, lines: Iterable[tuple[Weighed, Decimal]]) -> Iterable[Step]:
    for place, (line, grams) in enumerate(lines):
        thing = _thing(known, line)
        each = unit_cost(known, line)
        steps = (
            Step("", grams, "g", thing.name),
            Step("×", each, "unit cost", "a gram", _source(line)),
        )
        amount = each * grams
        yield Step(
            "+" if place else "", amount, "money", thing.name, working=Working(thing.name, steps, amount, "money")
        )


def _thing(known: Reckoning, line: Weighed) -> Formula | Material:
    if line.formula is not None:
        return known.book.formulas[line.formula]
    return known.book.materials[line.material]  # type: ignore[index]  # a line names one of the two


def _source(line: Weighed) -> Ref:
    return Ref("formula", line.formula) if line.formula is not None else Ref("material", line.material or 0)


def _lost(known: Reckoning, made: BatchMade) -> Working:
    record, book = made.record, known.book
    steps = [Step("", made.weighed, "g", "weighed in", Ref("batch", record.id, "lines"))]
    for place, one in enumerate(made.jars):
        jars = one.jars + aside_of(book, record, one.product)
        name = book.products[one.product].name
        words = name if jars == one.jars else f"{name}, with those set aside"
        taken = one.grams * jars
        inner = (
            Step("", jars, "pieces", "jars", Ref("batch", record.id, f"filled-{place}-jars")),
            Step("×", one.grams, "g", "in a jar, as planned", Ref("product", one.product, "fills")),
        )
        steps.append(Step("-", taken, "g", words, working=Working(words, inner, taken, "g")))
    if not record.filled:
        steps.append(Step("-", made.filled, "g", "in the jars"))
    return Working("Weighed in and in no jar", tuple(steps), made.lost, "g")


def _loss(known: Reckoning, made: BatchMade) -> Working:
    steps = (
        Step("", made.lost, "g", "weighed in and in no jar", working=_lost(known, made)),
        Step("÷", made.weighed, "g", "weighed in", Ref("batch", made.record.id, "lines")),
    )
    return Working("Lost or left over", steps, made.loss, "percent")


def _minutes(known: Reckoning, made: BatchMade) -> Working:
    record = made.record
    steps = [
        Step(
            "+" if place else "",
            one.minutes,
            "minutes",
            known.book.people[one.person].name,
            Ref("batch", record.id, f"spent-{place}-minutes"),
        )
        for place, one in enumerate(record.spent)
    ]
    carried = carried_minutes(known, record)
    if not steps:
        return Working("Minutes at this batch", (Step("", made.minutes, "minutes", "of all"),), made.minutes, "minutes")
    if carried:
        steps.append(Step("+", carried, "minutes", "spent on what was made ahead"))
    return Working("Minutes at this batch", tuple(steps), made.minutes, "minutes")


def _pay(known: Reckoning, made: BatchMade) -> Working:
    record = made.record
    steps = []
    for place, one in enumerate(record.spent):
        name, hour = known.book.people[one.person].name, known.hourly(one.person)
        amount = hour * one.minutes / HOUR
        inner = (
            Step("", one.minutes, "minutes", name, Ref("batch", record.id, f"spent-{place}-minutes")),
            Step("÷", HOUR, "number", "minutes in an hour"),
            Step("×", hour, "money", "an hour", Ref("person", one.person, "wage-per_hour")),
        )
        steps.append(Step("+" if place else "", amount, "money", name, working=Working(name, inner, amount, "money")))
    carried = carried_pay(known, record)
    if not steps:
        return Working("Labour at this batch", (Step("", made.pay, "money", "of all"),), made.pay, "money")
    if carried:
        steps.append(Step("+", carried, "money", "spent on what was made ahead"))
    return Working("Labour at this batch", tuple(steps), made.pay, "money")


# --- a jar of it ---------------------------------------------------------------------------------------------------


def _jar_ingredients(known: Reckoning, made: BatchMade, place: int) -> Working:
    one = made.jars[place]
    in_good = added(each.grams * each.jars for each in made.jars)
    steps = (
        Step("", made.cost, "money", "what was weighed", working=_cost(known, made)),
        Step("×", one.grams, "g", "in a jar, as planned", Ref("product", one.product, "fills")),
        Step("÷", in_good, "g", "in all good jars", Ref("batch", made.record.id, "filled")),
    )
    return Working(f"Ingredients in a jar: {_name(known, one)}", steps, one.ingredients, "money")


def _by_jars(made: BatchMade, amount: Figure, kind: str, words: str, inner: Working) -> tuple[Step, ...]:
    count = sum((each.jars for each in made.jars), Decimal(0))
    return (
        Step("", amount, kind, words, working=inner),
        Step("÷", count, "pieces", "good jars", Ref("batch", made.record.id, "filled")),
    )


def _jar_minutes(known: Reckoning, made: BatchMade, place: int) -> Working:
    one = made.jars[place]
    steps = _by_jars(made, made.minutes, "minutes", "at the batch", _minutes(known, made))
    return Working(f"Minutes a jar: {_name(known, one)}", steps, one.minutes, "minutes")


def _jar_labour(known: Reckoning, made: BatchMade, place: int) -> Working:
    one = made.jars[place]
    steps = _by_jars(made, made.pay, "money", "labour at the batch", _pay(known, made))
    return Working(f"Labour a jar: {_name(known, one)}", steps, one.labour, "money")


def _jar_direct(known: Reckoning, made: BatchMade, place: int) -> Working:
    one = made.jars[place]
    title = f"Materials and labour a jar: {_name(known, one)}"
    if len(known.book.products[one.product].fills) != 1:
        return Working(title, (Step("", one.direct, "money", "by this batch alone"),), one.direct, "money")
    packed = sheet_working(known, one.product, "packaging")
    steps = (
        Step("", one.ingredients, "money", "ingredients", working=_jar_ingredients(known, made, place)),
        Step("+", one.sheet.packaging, "money", "packaging, as planned", working=packed),
        Step("+", one.labour, "money", "labour", working=_jar_labour(known, made, place)),
    )
    return Working(title, steps, one.direct, "money")


def _jar_difference(known: Reckoning, made: BatchMade, place: int) -> Working:
    one = made.jars[place]
    planned = sheet_working(known, one.product, "direct")
    steps = (
        Step("", one.direct, "money", "as it was made", working=_jar_direct(known, made, place)),
        Step("-", one.sheet.direct, "money", "as planned", working=planned),
    )
    return Working(f"More a jar than planned: {_name(known, one)}", steps, one.difference, "money")


def _name(known: Reckoning, one: JarMade) -> str:
    return known.book.products[one.product].name


_OF_BATCH: dict[str, Callable[[Reckoning, BatchMade], Working]] = {
    "planned_cost": _planned_cost,
    "cost": _cost,
    "lost": _lost,
    "loss": _loss,
    "minutes": _minutes,
    "pay": _pay,
}
_OF_JAR: dict[str, Callable[[Reckoning, BatchMade, int], Working]] = {
    "ingredients": _jar_ingredients,
    "minutes": _jar_minutes,
    "labour": _jar_labour,
    "direct": _jar_direct,
    "difference": _jar_difference,
}
