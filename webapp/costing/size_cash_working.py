"""Cash of another size opened to its working: so far, what came in and went out in a month, and each part of that."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import islice

from webapp.costing.amounts import ZERO
from webapp.costing.deal_facts import Cash, Deal
from webapp.costing.first_order import bought_again
from webapp.costing.gaps import Gap
from webapp.costing.price_working import working as row_working
from webapp.costing.size_cash import Flow, borne, flows
from webapp.costing.size_facts import CandidateAnswer, SizeAnswer
from webapp.costing.working import Step, Working


def cash_working(found: SizeAnswer, place: int, month: int) -> Working:
    """Cash so far at the end of a month; month 0 is before the first jar. KeyError where there is none."""
    one = {each.place: each for each in found.candidates}[place]
    again = bought_again(one.parts)
    deal = one.trades[0].deal
    if isinstance(one.cash, Gap) or isinstance(again, Gap) or isinstance(deal, Gap) or month >= len(one.cash.months):
        raise KeyError(month)
    gone = next(islice(flows(deal, again), month, None))
    steps = [_before(one.cash, month)] if month else []
    steps += [_step(found, one, deal, again, flow) for flow in gone if flow.amount]
    if not steps:
        steps = [Step("", ZERO, "money", "nothing is paid before the first jar")]
    if steps[0].sign == "+":
        steps[0] = Step("", steps[0].amount, "money", steps[0].words, working=steps[0].working)
    title = f"Cash so far at the end of month {month}" if month else "Cash before the first jar"
    return Working(title, tuple(steps), one.cash.months[month].so_far, "money")


def _before(cash: Cash, month: int) -> Step:
    words = f"at the end of month {month - 1}" if month > 1 else "before the first jar"
    return Step("", cash.months[month - 1].so_far, "money", words)


def _step(
    found: SizeAnswer,
    one: CandidateAnswer,
    deal: Deal,
    again: Sequence[tuple[Decimal, Decimal, Decimal, Decimal]],
    flow: Flow,
) -> Step:
    opened = {"own": _own, "other": _other}.get(flow.what)
    words = {
        "one_off": "paid once to start",
        "own": "what its jars bring",
        "other": "what the other jar brings less, or more",
        "monthly": "what a month of it costs",
        "part": _part(found, one, flow),
    }[flow.what]
    inside = opened(found, one, deal, again) if opened else None
    return Step("+" if flow.amount > 0 else "-", abs(flow.amount), "money", words, working=inside)


def _part(found: SizeAnswer, one: CandidateAnswer, flow: Flow) -> str:
    """What a part is called; only those that nothing else uses are bought here."""
    bought = [part for part in one.parts if not part.used]
    if flow.what != "part" or found.known is None:
        return ""
    return f"{found.known.book.materials[bought[flow.part].material].name}, bought"


def _own(
    found: SizeAnswer, one: CandidateAnswer, deal: Deal, again: Sequence[tuple[Decimal, Decimal, Decimal, Decimal]]
) -> Working:
    inside = row_working(found.known, one.row, "contribution") if found.known is not None else None
    steps = [Step("", deal.own, "money", "one contributes", working=inside)]
    if again:
        steps.append(Step("+", borne(again), "money", "what it bears of parts that are paid for when they are bought"))
    steps.append(Step("×", deal.jars, "number", "jars a month"))
    return Working("What its jars bring in a month", tuple(steps), deal.jars * (deal.own + borne(again)), "money")


def _other(
    found: SizeAnswer, one: CandidateAnswer, deal: Deal, again: Sequence[tuple[Decimal, Decimal, Decimal, Decimal]]
) -> Working:
    del found, one, again
    steps = (
        Step("", abs(deal.each), "money", "the other contributes"),
        Step("×", deal.times, "number", "of them for one"),
        Step("×", deal.share, "percent", "of its buyers"),
        Step("×", deal.jars, "number", "jars a month"),
    )
    brings = abs(deal.jars * deal.share * deal.times * deal.each)
    return Working("What the other jar brings less, or more", steps, brings, "money")
