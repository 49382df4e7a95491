"""Whether another size is worth it, opened to its working: down to what each jar contributes (method.md section 8).

Every sum repeats what worth.py reckons, step by step; its result is the answer's own figure. Jars of a case as they are
sold now are not opened: their sums stand in the line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE, ZERO, percent
from webapp.costing.candidate_prices import ITSELF
from webapp.costing.case_price import jars_in_case
from webapp.costing.channel_working import Told as Sold
from webapp.costing.channel_working import extras_sum, rate_words, selling_sum
from webapp.costing.gaps import Figure, Gap, added, first_gap, surely
from webapp.costing.jar_working import working as sheet_working
from webapp.costing.price_working import working as row_working
from webapp.costing.rows import Row
from webapp.costing.size_deals import NO_JARS, NO_SHARE, NO_TAKERS, asked_of
from webapp.costing.size_facts import CandidateAnswer, SizeAnswer, SizeQuestion, Trade
from webapp.costing.suggestion_working import left_sum, moved_up
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: what one of them is called in each question, and many
NAMES = {
    "size": ("one", "jars"),
    "set": ("a set", "sets"),
    "drop": ("a jar of it", "jars"),
    "case": ("a case", "cases"),
}
ELSEWHERE = {
    "size": "taken from the other jar",
    "set": "taken from jars sold singly",
    "drop": "comes back with the other jar",
    "case": "comes with what shops take more",
}
SHARES = {
    "size": "of its buyers would have bought it instead",
    "set": "of its buyers would have bought jars singly",
    "drop": "of its buyers take it instead",
    "case": "more that shops take",
}
A_MONTH = {"drop": "is saved a month"}
COSTS = "it costs a month"


class Told(NamedTuple):
    """What a sum is told of: `own` is what one brings by itself, or what goes with it where a size is dropped.

    `other` is what goes or comes elsewhere for one that trades up, with its sum; `sold` where a price is asked.
    """

    question: SizeQuestion
    own: Step
    other: Step
    times: Figure
    jars: Figure
    results: Mapping[str, Figure]
    sold: Sold | None = None

    @property
    def ask(self) -> str:
        """What is asked."""
        return self.question.ask

    @property
    def loses(self) -> bool:
        """Whether what trades up is lost elsewhere; else it is won."""
        return self.ask in ("size", "set")

    @property
    def share(self) -> Figure:
        """Of its buyers, as a fraction; nobody takes another where none is named."""
        if self.ask == "drop" and self.question.other is None:
            return ZERO
        if self.question.share is None:
            return NO_TAKERS if self.ask == "drop" else NO_SHARE
        return percent(self.question.share)


def working(answer: SizeAnswer, figure: str, place: int = 0, trade: int = 0) -> Working:
    """The sum behind one of FIGURES: of a candidate by its place and of one of its trades, or of a drop or a case.

    KeyError for another figure, for a candidate or trade that is not there, and for a price where none is asked.
    """
    told = _TOLD[answer.question.ask](answer, place, trade)
    if figure not in told.results:
        raise KeyError(figure)
    return FIGURES[figure](told)


# --- what a figure is told of ----------------------------------------------------------------------------------------


def _of_candidate(answer: SizeAnswer, place: int, trade: int) -> Told:
    one, known = {each.place: each for each in answer.candidates}[place], surely(answer.known)
    question = asked_of(answer.question, place)
    chosen = dict(enumerate(one.trades))[trade]
    name = f"{known.book.products[one.product.id].name} contributes"
    own = Step("", one.row.contribution, "money", name, working=row_working(known, one.row, "contribution"))
    if question.formula is not None and place == 0:
        own = Step("", ITSELF, "money", name)
    return Told(
        question,
        own,
        _beside(answer, known),
        chosen.times,
        NO_JARS if not question.jars else question.jars,
        _of_trade(one, chosen, counted=trade == 0),
        Sold(known, one.row, known.book.channels[one.row.channel]),
    )


def _of_trade(one: CandidateAnswer, chosen: Trade, *, counted: bool) -> dict[str, Figure]:
    """The price from which it is worth it is that of the trade that is counted on."""
    found = {name: getattr(chosen, name) for name in ("gain", "break_even_share", "months", "fair_price")}
    if counted:
        found["worth_from"] = one.verdict if isinstance(one.verdict, Gap) else one.verdict.worth_from
    return found


def _beside(answer: SizeAnswer, known: Reckoning) -> Step:
    """What the present jar contributes, or all that is in a set together."""
    question, channel = answer.question, answer.question.channel or 0
    if question.ask == "set":
        pairs = tuple((known.row(one.product, channel), one.count) for one in question.members)
        steps = _often(known, pairs, "in it")
        together = Working("What is in it contributes", steps, added(step.amount for step in steps), "money")
        return Step("", together.result, "money", "what is in it contributes", working=together)
    product = answer.candidates[0].product.id if question.formula is not None else question.product or 0
    sums = row_working(known, known.row(product, channel), "contribution")
    return Step("", sums.result, "money", f"{known.book.products[product].name} contributes", working=sums)


def _often(known: Reckoning, pairs: Iterable[tuple[Row, Figure]], words: str) -> tuple[Step, ...]:
    """The contribution of rows, each so often."""
    steps: list[Step] = []
    for row, often in pairs:
        name = f"{known.book.products[row.product].name}, {known.book.channels[row.channel].name}"
        jar = Step("", row.contribution, "money", "a jar", working=row_working(known, row, "contribution"))
        inner = Working(name, (jar, Step("×", often, "number", words)), row.contribution * often, "money")
        steps.append(Step("+" if steps else "", inner.result, "money", name, working=inner))
    return tuple(steps)


def _of_drop(answer: SizeAnswer, place: int, trade: int) -> Told:
    del place, trade
    question, known, drop = answer.question, surely(answer.known), surely(answer.drop)
    there = {row.channel: row for row in drop.taken}
    sold = tuple((row, row.jars_a_month or ZERO) for row in drop.rows)
    jars: Figure = added(often for _, often in sold) if sold else drop.lost
    taken = tuple((there[row.channel], often) for row, often in sold if row.channel in there)
    return Told(
        question,
        _by_sales(known, sold, jars, "goes with each jar of it"),
        _by_sales(known, taken, jars, "a jar of the other contributes, by what is sold of this one"),
        drop.deal if isinstance(drop.deal, Gap) else drop.deal.times,
        jars if question.jars is None else question.jars or NO_JARS,
        {"gain": drop.gain, "break_even_share": drop.break_even_share, "months": drop.months},
    )


def _by_sales(known: Reckoning, pairs: tuple[tuple[Row, Figure], ...], jars: Figure, words: str) -> Step:
    """The contribution of a jar over several channels, each by what is sold there."""
    steps = _often(known, pairs, "jars sold a month") or (Step("", ZERO, "money", "nothing there"),)
    whole = added(step.amount for step in steps)
    steps = (*steps, Step("=", whole, "money", "together"), Step("÷", jars, "number", "jars of it sold a month"))
    return Step("", whole / jars, "money", words, working=_sum(words.capitalize(), steps, whole / jars))


def _of_case(answer: SizeAnswer, place: int, trade: int) -> Told:
    del place, trade
    question, known, case = answer.question, surely(answer.known), surely(answer.case)
    n, then = jars_in_case(known.book, question), case.cased.contribution
    jar = Step("", then, "money", "a jar in a case", working=row_working(known, case.cased, "contribution"))
    now = Step("-", case.row.contribution, "money", "a jar as it is now")
    jars = Step("×", n, "number", "jars in a case")
    more = _sum("What a case brings more than its jars now", (jar, now, jars), (then - case.row.contribution) * n)
    whole = _sum("What a case contributes", (jar, jars), then * n)
    return Told(
        question,
        Step("", more.result, "money", "a case brings more than its jars now", working=more),
        Step("", whole.result, "money", "a case contributes", working=whole),
        ONE,
        NO_JARS if not question.jars else question.jars,
        {"gain": case.gain, "break_even_share": case.break_even_share},
    )


_TOLD: dict[str, Callable[[SizeAnswer, int, int], Told]] = {
    "size": _of_candidate,
    "set": _of_candidate,
    "drop": _of_drop,
    "case": _of_case,
}


# --- the parts of a sum ----------------------------------------------------------------------------------------------


def _sum(title: str, steps: Sequence[Step], result: Figure, note: str = "", kind: str = "money") -> Working:
    """A sum; where its result is missing and none of its steps is, the reason stands in the last of them."""
    told = tuple(steps)
    if isinstance(result, Gap) and first_gap(step.amount for step in told) is None:
        told = (*told[:-1], replace(told[-1], amount=result, working=None))
    return Working(title, told, result, kind, note=note)


def _elsewhere(told: Told, sign: str, share: Figure = ONE) -> Step:
    """What goes or comes elsewhere with one; where only a share of the buyers trades up, with one of them all."""
    steps = [told.other]
    if told.ask != "case":
        steps.append(Step("×", told.times, "number", f"for {NAMES[told.ask][0]}"))
    if share is not ONE:
        steps.append(Step("×", share, "percent", SHARES[told.ask]))
    words, result = ELSEWHERE[told.ask], told.other.amount * told.times * share
    return Step(sign, result, "money", words, working=_sum(words.capitalize(), steps, result))


def _each(told: Told, sign: str, amount: Step) -> Step:
    """What is for a month, for one of them."""
    one, many = NAMES[told.ask]
    by_jars = Step("÷", told.jars, "number", f"{many} a month")
    result, words = amount.amount / told.jars, f"{amount.words}, for {one}"
    return Step(sign, result, "money", words, working=_sum(words.capitalize(), (amount, by_jars), result))


def _monthly(told: Told, sign: str) -> list[Step]:
    """What a month costs or saves, for one of them; nothing where that is nothing."""
    monthly = told.question.monthly
    return [_each(told, sign, Step("", monthly, "money", A_MONTH.get(told.ask, COSTS)))] if monthly else []


def _earned_back(told: Told) -> list[Step]:
    """What is to be earned back, for one of them."""
    question = told.question
    if not question.one_off:
        return []
    paid = Step("", question.one_off, "money", "is paid once")
    within = Step("÷", question.within, "number", "months until it is to be back")
    due = _sum("To be earned back a month", (paid, within), question.one_off / question.within)
    return [_each(told, "+", Step("", due.result, "money", "to be earned back a month", working=due))]


# --- a month ---------------------------------------------------------------------------------------------------------


def _gain(told: Told) -> Working:
    """What one brings in all, times the jars, less what a month costs."""
    elsewhere = _elsewhere(told, "-" if told.loses else "+", told.share)
    steps = [told.own, elsewhere]
    if told.ask == "drop":
        steps = [replace(elsewhere, sign=""), replace(told.own, sign="-")]
    first, second = (step.amount for step in steps)
    one, many = NAMES[told.ask]
    jars = ZERO if told.question.jars == ZERO else told.jars
    steps += [
        Step("=", first + second if steps[1].sign == "+" else first - second, "money", f"gained with {one}"),
        Step("×", jars, "number", f"{many} a month"),
    ]
    if told.question.monthly:
        sign = "+" if told.ask == "drop" else "-"
        steps.append(Step(sign, told.question.monthly, "money", A_MONTH.get(told.ask, COSTS)))
    return _sum("Gain of a month", steps, told.results["gain"])


def _break_even_share(told: Told) -> Working:
    """What one brings after its part of the month, over what goes elsewhere; of a case what it brings less than now."""
    own = told.own
    if told.ask == "case":
        own = replace(own, amount=ZERO - own.amount, words="a case brings less than its jars now", working=None)
    steps = [own, *_monthly(told, "+" if told.ask == "case" else "-"), _elsewhere(told, "÷")]
    title = "Share of its buyers at which nothing is gained"
    return _sum(title, steps, told.results["break_even_share"], kind="percent")


def _months(told: Told) -> Working:
    sums = _gain(told)
    steps = (
        Step("", told.question.one_off, "money", "is paid once"),
        Step("÷", sums.result, "money", "gained a month", working=sums),
    )
    return _sum("Months until it is earned back", steps, told.results["months"], kind="number")


# --- its price -------------------------------------------------------------------------------------------------------


def _price(told: Told, title: str, more: list[Step], result: Figure, note: str = "") -> Working:
    """From what it costs, and what it has to bring besides, to the price: by the channel's shares, tax and endings."""
    sold = surely(told.sold)
    terms, sheet = sold.terms, sold.row.sheet
    direct = sheet_working(sold.known, sold.row.product, "direct")
    steps = [Step("", sheet.direct, "money", "direct cost of the jar", working=direct)]
    if terms.times:
        steps.append(Step("+", terms.labour, "money", "work of selling it", working=selling_sum(sold)))
    steps += [Step("+", terms.extras, "money", "what selling costs per jar", working=extras_sum(sold)), *more]
    left, covered = ONE - terms.share, added(step.amount for step in steps)
    gap = result if isinstance(result, Gap) else left
    steps.append(
        Step("÷", left if left > ZERO else gap, "percent", "of the net price left", working=left_sum(sold, ZERO))
    )
    if terms.tax == "in":
        taxed = f"sales tax in it, {rate_words(terms)} %"
        steps.append(Step("×", terms.marked, "number", taxed, sold.at("tax_rate")))
    exact = covered / left * terms.marked if left > ZERO else gap
    steps.append(Step("=", exact, "money", "price before its ending"))
    steps.append(Step("+", result - exact, "money", "up to a price that it may have"))
    return _sum(f"{title}: {sold.name}", steps, result, f"{note}{moved_up(sold.channel)}")


def _fair_price(told: Told) -> Working:
    """A jar that contributes nothing gives nothing up."""
    taken = _elsewhere(told, "+")
    gives = not isinstance(taken.amount, Gap) and taken.amount <= ZERO
    more = [*([] if gives else [taken]), *_monthly(told, "+")]
    return _price(told, "Fair price, though all its buyers trade up", more, told.results["fair_price"])


def _worth_from(told: Told) -> Working:
    more = [_elsewhere(told, "+", told.share), *_monthly(told, "+"), *_earned_back(told)]
    note = "" if told.question.one_off else "Something has to be gained: what leaves just nothing is not enough. "
    return _price(told, "Price from which it is worth it", more, told.results["worth_from"], note)


FIGURES: dict[str, Callable[[Told], Working]] = {
    "gain": _gain,
    "break_even_share": _break_even_share,
    "months": _months,
    "fair_price": _fair_price,
    "worth_from": _worth_from,
}
