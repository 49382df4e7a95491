"""A figure of a sum opens to a sum of its own or says where it was typed; what does neither is listed here.

Whether a sum comes to its result is asked elsewhere, and a sum that is left out altogether fails nothing there. So all
sums of the example workshop are gone through, and each step that opens to nothing has its place below: what stands on
the same page already, a unit's exact size, what is no figure of the workshop's. One more is a sum that was lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.costing.making import BUTTER, PLAIN_BUTTER, TUB, changed, fill, product, reckoned
from tests.costing.sizing import BOOK, KNOWN, D
from tests.costing.test_line import JARRED, STALL, channel, selling
from tests.costing.test_pay import figures_of
from tests.costing.test_worth_working import QUESTIONS, opened
from webapp.costing import batch_working, formula_working, jar_working, pay_working, price_working
from webapp.costing.gaps import Gap
from webapp.costing.pay import moved, pay, sold_rows
from webapp.costing.reckoning import Reckoning
from webapp.costing.weakest import weakest
from webapp.costing.weakest_working import working as why_weak
from webapp.costing.working import Step, Working

SHELVES = (BOOK.materials, BOOK.formulas, BOOK.groups, BOOK.products, BOOK.people, BOOK.channels, BOOK.bills)
NAMES = re.compile(
    "|".join(sorted((re.escape(one.name) for shelf in SHELVES for one in shelf.values()), key=len)[::-1])
)
NUMBER = re.compile(r"[0-9]+([.,][0-9]+)*")


#: no figures of the workshop's: clocks, units by their definition, lines that are counted, what is spoken of
BY_DEFINITION = {
    "Contributes per # g": {"to speak of"},
    "Contributes per # mL": {"to speak of"},
    "For an own hour": {"minutes in an hour"},
    "Price per # g": {"to speak of"},
    "Price per # mL": {"to speak of"},
    "Selling time of …": {"minutes in an hour"},
    "Share of for the broken large jars, equally": {"line", "lines"},
    "Share of freight, equally": {"line", "lines"},
    "Share of the monthly bills of …": {"minutes in an hour"},
    "Share of the monthly bills of … itself": {"minutes in an hour"},
    "What arrived of …": {
        "grams in one kg, exactly", "grams in one lb, exactly", "grams in one oz, exactly",
        "millilitres in one mL, exactly", "millilitres in one L, exactly", "millilitres in one US gallon, exactly",
        "millilitres in one imp fl oz, exactly",
    },
    "What is left for cost and fees": {"the net price"},
    "Work of …": {"minutes in an hour"},
}  # fmt: skip
#: what opens in another sum of the same page, or is a price that was accepted and stands where it was typed
SAID_BESIDE = {
    "Cost and fees": {"cost", "what selling costs"},
    "Margin": {"price net of sales tax"},
    "Margin before own pay": {"price net of sales tax"},
    "Price net of sales tax": {"suggested price"},
    "Price per # g": {"price"},
    "Price per # mL": {"price"},
    "Sales tax in the price": {"price"},
    "Share of duty, by value": {"this line's goods without tax", "those of all lines"},
    "Share of freight, by mass": {"what this line weighed as billed", "what all lines weighed"},
    "Share of freight, by value": {"this line's goods without tax", "those of all lines"},
    "Share of the order's sales tax, by value": {"this line's goods without tax", "those of all lines"},
    "Time of a batch of …, per jar": {"in what was made ahead"},
}
#: what was typed into the question, which no record keeps, and what follows from it without a step between
OF_THE_QUESTION = {
    "A jar of the other contributes, by what is sold of this one": {"jars of it sold a month", "nothing there"},
    "Comes back with the other jar": {"for a jar of it", "of its buyers take it instead"},
    "Comes with what shops take more": {"more that shops take"},
    "Fair price, though all its buyers trade up": {"up to a price that it may have"},
    "Gain of a month": {
        "cases a month", "is saved a month", "it costs a month", "jars a month", "sets a month",
    },
    "Goes with each jar of it": {"jars of it sold a month"},
    "Is saved a month, for a jar of it": {"is saved a month", "jars a month"},
    "It costs a month, for a case": {"cases a month", "it costs a month"},
    "It costs a month, for one": {"it costs a month", "jars a month"},
    "Months until it is earned back": {"is paid once"},
    "Price from which it is worth it": {"up to a price that it may have"},
    "Share of its buyers at which nothing is gained": {"a case brings less than its jars now"},
    "Taken from jars sold singly": {"for a set", "of its buyers would have bought jars singly"},
    "Taken from the other jar": {"for one", "of its buyers would have bought it instead"},
    "To be earned back a month": {"is paid once", "months until it is to be back"},
    "To be earned back a month, for a set": {"sets a month"},
    "To be earned back a month, for one": {"jars a month"},
    "What a case brings more than its jars now": {"a jar as it is now", "jars in a case"},
    "What a case contributes": {"jars in a case"},
    "…, …": {"in it", "jars sold a month"},
}  # fmt: skip
#: of a month: what is typed for it, what is sold and what a jar leaves, which stand and open in the same page's tables
OF_THE_MONTH = {
    "A price change against jars": {"contribution of a jar at the other price"},
    "Its share of the monthly bills": {"hours of making in it", "the same of all that is sold"},
    "Jars that break even": {"jars sold a month"},
    "Margin of safety as a part of the present sales": {"the present sales"},
    "Margin of safety in jars": {"jars sold a month"},
    "What an hour of your own pays": {"own hours in these jars, of making and of selling"},
    "What is to be covered": {"wanted for yourself a month"},
    "What the change adds to a jar": {"contribution at the other price"},
    "…": {
        "contribution", "contribution before own pay", "jars sold a month now", "to be covered a month",
        "up to a whole jar",
    },
}  # fmt: skip
#: why a row is among the weakest: its own parts open on its own page, and those of the others row by row
OF_THE_WEAKEST = {
    "Hired work": {"hired work in a jar", "of the price of the others"},
    "Ingredients": {"ingredients in a jar", "of the price of the others"},
    "Own pay": {"own pay in a jar", "of the price of the others"},
    "Packaging": {"packaging in a jar", "of the price of the others"},
    "Share of one-off costs": {"share of one-off costs in a jar", "of the price of the others"},
    "Share of the monthly bills": {"share of the monthly bills in a jar", "of the price of the others"},
    "What selling costs": {"what selling costs in a jar", "of the price of the others"},
    "Why it is weak": {"margin over the # others on …"},
}
#: what was typed into a record that is named as a whole: a bill, a group of parts
OF_THE_RECORD = {"Monthly bills": {"…"}, "… of …": {"in a jar", "pieces paid for one used well"}}
CLOSED = {
    f"{title}: {words}"
    for part in (BY_DEFINITION, SAID_BESIDE, OF_THE_QUESTION, OF_THE_MONTH, OF_THE_WEAKEST, OF_THE_RECORD)
    for title, several in part.items()
    for words in several
}


def nameless(words: str) -> str:
    """The same of whatever thing, and with whatever figure in it."""
    return NUMBER.sub("#", NAMES.sub("…", words).partition(":")[0])


def is_typed(step: Step) -> bool:
    """Whether it says the field where it was typed; a record as a whole is only what it is about."""
    return step.source is not None and bool(step.source.field)


def closed(sums: Iterator[Working]) -> set[str]:
    """The known steps that neither open, nor say where they were typed, nor sum up those above them."""
    found, waiting = set(), list(sums)
    while waiting:
        now = waiting.pop()
        waiting += [step.working for step in now.steps if step.working]
        found |= {
            f"{nameless(now.title)}: {nameless(step.words)}"
            for step in now.steps
            if not (step.working or is_typed(step) or step.sign == "=" or isinstance(step.amount, Gap))
        }
    return found


def rows() -> Iterator[Working]:
    for row in KNOWN.line():
        yield from (price_working.working(KNOWN, row, figure) for figure in price_working.FIGURES)
        yield price_working.made_of(KNOWN, row)


def sheets() -> Iterator[Working]:
    yield from (jar_working.working(KNOWN, one, figure) for one in BOOK.products for figure in jar_working.FIGURES)
    for one in BOOK.formulas:
        yield formula_working.working(KNOWN, one)
        yield formula_working.good_working(KNOWN, one)
        yield formula_working.out_working(KNOWN, one)
    yield from (KNOWN.material_working(one) for one in BOOK.materials)


def worth() -> Iterator[Working]:
    yield from (one for ask in QUESTIONS.values() for *_, one in opened(ask()))


def month() -> Iterator[Working]:
    found = pay(KNOWN, D(800))
    # What is before own pay has the same sums with other words.
    ways = [one for one in figures_of(found) if one[1] != pay_working.BEFORE]
    yield from (pay_working.working(KNOWN, found, *one) for one in ways)
    yield from (pay_working.hour_working(KNOWN, found, one.product) for one in found.hours[:2])
    for one in moved(KNOWN, sold_rows(KNOWN), D(5)):
        if not isinstance(one.outcome, Gap) and one.outcome.share is not None:
            yield pay_working.move_working(KNOWN, one)


def weak() -> Iterator[Working]:
    found = weakest(KNOWN, KNOWN.line(), lambda _: KNOWN)
    yield from (made for one in found.weak if (made := why_weak(KNOWN, one)) is not None)


def test_what_opens_to_nothing_is_listed_and_all_that_is_listed_is_met() -> None:
    found = {one for part in (rows, sheets, worth, month, weak) for one in closed(part())}
    assert sorted(found - CLOSED) == []
    assert sorted(CLOSED - found) == []


def within(sums: Working, title: str) -> Working:
    """The first sum of this title in a sum."""
    waiting = [sums]
    while waiting:
        now = waiting.pop()
        if now.title == title:
            return now
        waiting += [step.working for step in now.steps if step.working]
    raise AssertionError(title)


def test_the_density_as_filled_opens_though_the_formula_says_one() -> None:
    """0.9 g/mL, whipped up by half: 0.9 / 1.5 = 0.6."""
    of = reckoned(changed(PLAIN_BUTTER, density="0.9", air="50"), product(TUB, fill(BUTTER, "150", "mL")))
    found = within(batch_working.declared_working(of, TUB, "g"), "Density of Butter as filled")
    assert ([step.amount for step in found.steps], found.result) == ([D("0.9"), D("1.5")], D("0.6"))


def test_a_share_of_no_monthly_bills_opens_to_their_being_none() -> None:
    book = selling(JARRED, channel(STALL), prices=[(TUB, STALL, "6")], sales=[(TUB, STALL, "10")])
    of = Reckoning(book)
    found = within(pay_working.hour_working(of, pay(of), TUB), "Its share of the monthly bills")
    assert ([step.words for step in found.steps], found.result) == (["no monthly bill is typed in"], D(0))


def test_what_comes_out_of_a_batch_opens_where_a_fixed_part_of_it_is_lost_too() -> None:
    """1000 g less 5 % and 20 g are 930 g: 0.93 of it."""
    of = reckoned(changed(PLAIN_BUTTER, loss="5", loss_grams="20"))
    found = within(formula_working.out_working(of, BUTTER), "What comes out of a batch of Butter")
    assert [step.amount for step in found.steps] == [D(1000), D(50), D(20), D(1000)]
    assert found.result == D("0.93")
