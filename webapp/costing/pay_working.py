"""The figures of break-even and pay, opened: down to each product's own sums and the monthly bills."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE, ZERO
from webapp.costing.book import Id
from webapp.costing.break_even import Needed, ProductJars, Selling, Survives
from webapp.costing.gaps import Figure, Gap, Ref, added, from_known
from webapp.costing.overhead import is_living
from webapp.costing.pay import Covering, Moved, Pay, ProductHour
from webapp.costing.price_working import working as row_working
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

AFTER, BEFORE, INCOME = "after", "before", "income"
WORDS = {AFTER: "contribution", BEFORE: "contribution before own pay", INCOME: "contribution before own pay"}
ROW = {AFTER: "contribution", BEFORE: "contribution_before_own_pay", INCOME: "contribution_before_own_pay"}
#: of more rows than these the figures of a jar are opened at the product only: nobody reads so long a sum
MOST_OPENED = 50
UNROUNDED = "Not rounded to whole jars."


class Told(NamedTuple):
    """What a sum is told of: `way` is AFTER, BEFORE or INCOME; `deep` opens the figures of a jar too."""

    known: Reckoning
    pay: Pay
    way: str
    deep: bool = True

    @property
    def covering(self) -> Covering:
        """The month by the contribution that is meant."""
        return self.pay.after if self.way == AFTER else self.pay.before

    @property
    def needed(self) -> Needed:
        """What has to be sold."""
        return self.pay.income if self.way == INCOME and self.pay.income is not None else self.covering.even


def working(known: Reckoning, pay: Pay, figure: str, way: str = AFTER) -> Working:
    """The sum behind one of FIGURES, by one of the WORDS. KeyError for another, or for an income that is not said."""
    if way not in WORDS or (way == INCOME and (pay.income is None or figure not in OF_NEEDED)):
        raise KeyError(figure)
    deep = len(pay.after.mix.selling) <= MOST_OPENED
    return FIGURES[figure](Told(known, pay, way, deep))


# --- a month as it is ------------------------------------------------------------------------------------------------


def _summed(told: Told, title: str, figure: str, amount: Callable[[Selling], Figure], result: Figure) -> Working:
    """A sum over all that is sold: jars x an amount per jar."""
    sold = told.covering.mix.selling
    steps = tuple(_jars_times(told, one, figure, amount(one), first=not n) for n, one in enumerate(sold))
    return Working(title, steps or (Step("", result, "money", "sold a month"),), result, "money")


def _jars_times(told: Told, one: Selling, figure: str, each: Figure, *, first: bool) -> Step:
    book = told.known.book
    name = f"{book.products[one.product].name}, {book.channels[one.channel].name}"
    row = told.known.row(one.product, one.channel)
    sales = Ref("product", one.product, f"sales-{one.channel}")
    inner = Working(
        name,
        (
            Step("", each, "money", "a jar", working=row_working(told.known, row, figure) if told.deep else None),
            Step("×", one.jars, "number", "jars sold a month", sales),
        ),
        each * one.jars,
        "money",
    )
    return Step("" if first else "+", inner.result, "money", name, working=inner)


def _net_sales(told: Told) -> Working:
    return _summed(told, "Net sales of a month", "net", lambda one: one.net, told.covering.mix.net_sales)


def _contribution(told: Told) -> Working:
    title = f"{WORDS[told.way].capitalize()} of a month"
    return _summed(told, title, ROW[told.way], lambda one: one.contribution, told.covering.mix.contribution)


def bills(known: Reckoning) -> Working:
    """The monthly bills, one by one."""
    living = [one for one in known.book.bills.values() if is_living(known.book, one)]
    steps = tuple(
        Step("+" if n else "", one.a_month, "money", one.name, Ref("bill", one.id)) for n, one in enumerate(living)
    ) or (Step("", ZERO, "money", "no monthly bill is typed in"),)
    return Working("Monthly bills", steps, known.overhead, "money")


def _cover(told: Told) -> Step:
    """What is to be covered, as the first line of a sum."""
    month = Step("", told.known.overhead, "money", "monthly bills", working=bills(told.known))
    if told.way != INCOME:
        return month
    wanted = told.needed.cover - told.known.overhead
    steps = (month, Step("+", wanted, "money", "wanted for yourself a month"))
    made = Working("What is to be covered", steps, told.needed.cover, "money")
    return Step("", made.result, "money", "to be covered", working=made)


def _times(told: Told) -> Working:
    """How many times the present sales: what is to be covered / what they contribute."""
    return Working("As a part of the present sales", _covered(told, ""), told.needed.times, "percent")


def _covered(told: Told, sign: str) -> tuple[Step, Step]:
    """What is to be covered / what the present sales contribute: as a sum, or as a factor of one."""
    contributed = told.covering.mix.contribution
    cover = replace(_cover(told), sign=sign)
    return cover, _over(contributed, WORDS[told.way], _contribution(told), told.needed.times)


def _over(amount: Figure, words: str, inner: Working | None, result: Figure) -> Step:
    """What is divided by; where nothing can be, the reason stands in its place."""
    if isinstance(result, Gap):
        return Step("÷", result, "money", words)
    return Step("÷", amount, "money", words, working=inner)


# --- what has to be sold ---------------------------------------------------------------------------------------------


def _jars(told: Told) -> Working:
    steps = tuple(_of_product(told, one, first=not n) for n, one in enumerate(told.needed.products))
    note = "The mix stays as it is. Each product is rounded up to whole jars, its channels together."
    steps = steps or (Step("", told.needed.jars, "number", "jars"),)
    return Working("Jars to be sold a month", steps, told.needed.jars, "number", note=note)


def _of_product(told: Told, one: ProductJars, *, first: bool) -> Step:
    name = told.known.book.products[one.product].name
    steps = (
        Step("", one.sold, "number", "jars sold a month now"),
        Step("×", told.needed.cover, "money", "to be covered a month"),
        _over(told.covering.mix.contribution, WORDS[told.way], None, told.needed.times),
        Step("=", one.exact, "number", "jars"),
        Step("+", from_known(lambda whole, exact: whole - exact, one.whole, one.exact), "number", "up to a whole jar"),
    )
    return Step("" if first else "+", one.whole, "number", name, working=Working(name, steps, one.whole, "number"))


def _part(told: Told, title: str, now: Step, result: Figure) -> Working:
    steps = (now, *_covered(told, "×"))
    return Working(title, steps, result, now.kind, note=UNROUNDED)


def _sales(told: Told) -> Working:
    return _part(told, "Net sales to be made a month", _sales_now(told), told.needed.net_sales)


def _sales_now(told: Told) -> Step:
    return Step("", told.covering.mix.net_sales, "money", "net sales of a month", working=_net_sales(told))


def _jars_now(told: Told) -> Step:
    return Step("", told.covering.mix.jars, "number", "jars sold a month")


# --- the room there is -----------------------------------------------------------------------------------------------


def _safety_jars(told: Told) -> Working:
    even = _part(told, "Jars that break even", _jars_now(told), told.needed.exact)
    steps = (_jars_now(told), Step("-", even.result, "number", "jars that break even", working=even))
    return Working("Margin of safety in jars", steps, told.covering.safety.jars, "number", note=UNROUNDED)


def _safety_sales(told: Told) -> Working:
    even = Step("-", told.needed.net_sales, "money", "net sales that break even", working=_sales(told))
    return Working("Margin of safety", (_sales_now(told), even), told.covering.safety.net_sales, "money")


def _safety_share(told: Told) -> Working:
    even = Step("-", told.needed.times, "percent", "of them break even", working=_times(told))
    steps = (Step("", ONE, "percent", "the present sales"), even)
    return Working("Margin of safety as a part of the present sales", steps, told.covering.safety.share, "percent")


def _leverage(told: Told) -> Working:
    covering, fixed = told.covering, told.known.overhead
    contribution = Step("", covering.mix.contribution, "money", WORDS[told.way], working=_contribution(told))
    month = Step("-", fixed, "money", "monthly bills", working=bills(told.known))
    left = covering.mix.left(fixed)
    left_sum = Working("Left after the monthly bills", (contribution, month), left, "money")
    steps = (contribution, _over(left, "left after the monthly bills", left_sum, covering.leverage))
    note = "One percent more sales leave so many percent more, as long as the monthly bills stay as they are."
    return Working("Operating leverage", steps, covering.leverage, "number", note=note)


# --- what an hour pays -----------------------------------------------------------------------------------------------


def _an_hour(told: Told) -> Working:
    before = told._replace(way=BEFORE)
    month = told.pay.month
    steps = (
        Step("", month.contribution, "money", WORDS[BEFORE], working=_contribution(before)),
        Step("-", month.overhead, "money", "monthly bills", working=bills(told.known)),
        _own_hours(month.own_hours, month.an_hour),
    )
    return Working("What an hour of your own pays", steps, month.an_hour, "money")


def hour_working(known: Reckoning, pay: Pay, product: Id, *, deep: bool = True) -> Working:
    """What an hour of one's own pays in one product, to the figures of a jar or (`deep`) below them.

    KeyError where none of it is sold.
    """
    one = next((each for each in pay.hours if each.product == product), None)
    if one is None:
        raise KeyError(product)
    before = Told(known, pay, BEFORE, deep)
    sold = [each for each in before.covering.mix.selling if each.product == product]
    lines = tuple(_jars_times(before, each, ROW[BEFORE], each.contribution, first=not n) for n, each in enumerate(sold))
    name = known.book.products[product].name
    contribution = Working(f"Contribution before own pay: {name}", lines, one.contribution, "money")
    steps = (
        Step("", one.contribution, "money", "contribution before own pay a month", working=contribution),
        Step("-", one.bills, "money", "its share of the monthly bills", working=_bills_of(known, pay, one)),
        _own_hours(one.own_hours, one.an_hour),
    )
    return Working(f"What an hour of your own pays: {name}", steps, one.an_hour, "money")


def _own_hours(hours: Figure, result: Figure) -> Step:
    amount = result if hours == 0 else hours
    return Step("÷", amount, "number", "own hours in these jars, of making and of selling")


def _bills_of(known: Reckoning, pay: Pay, one: ProductHour) -> Working:
    by_jars = known.book.terms.overhead == "jars"
    kind, words = ("money", "its jars' equal shares") if by_jars else ("number", "hours of making in it")
    if not known.overhead:
        return Working("Its share of the monthly bills", bills(known).steps, ZERO, "money")
    whole = added(each.weight for each in pay.hours)
    whole = one.bills if whole == 0 else whole
    steps = (
        Step("", known.overhead, "money", "monthly bills", working=bills(known)),
        Step("×", one.weight, kind, words),
        Step("÷", whole, kind, "the same of all that is sold"),
    )
    return Working("Its share of the monthly bills", steps, one.bills, "money")


# --- a price change --------------------------------------------------------------------------------------------------


def move_working(known: Reckoning, one: Moved, *, deep: bool = True) -> Working:
    """What a price change means for the jars of a row: the change / the contribution after it, below 0 for a cut.

    To the figures of a jar or (`deep`) below them.
    KeyError where there is no such share, as of a jar that contributes nothing afterwards.
    """
    if isinstance(one.outcome, Survives) and one.outcome.share is None:
        raise KeyError(one.row.product)
    row = one.row
    name = f"{known.book.products[row.product].name}, {known.book.channels[row.channel].name}"
    now = row_working(known, row, "contribution") if deep else None
    gained = Working(
        "What the change adds to a jar",
        (
            Step("", one.contribution, "money", "contribution at the other price"),
            Step("-", row.contribution, "money", "contribution now", working=now),
        ),
        one.change,
        "money",
    )
    steps = (
        Step("", one.change, "money", "that the change adds to the contribution of a jar", working=gained),
        Step("÷", one.contribution, "money", "contribution of a jar at the other price"),
    )
    share = from_known(lambda change, then: change / then, one.change, one.contribution)
    return Working(f"A price change against jars: {name}", steps, share, "percent")


OF_NEEDED = ("jars", "net_sales_needed", "times")
FIGURES: dict[str, Callable[[Told], Working]] = {
    "overhead": lambda told: bills(told.known),
    "net_sales": _net_sales,
    "contribution": _contribution,
    "jars": _jars,
    "net_sales_needed": _sales,
    "times": _times,
    "safety_jars": _safety_jars,
    "safety_net_sales": _safety_sales,
    "safety_share": _safety_share,
    "leverage": _leverage,
    "an_hour": _an_hour,
}
