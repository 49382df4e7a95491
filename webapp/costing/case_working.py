"""A case for shops opened to its working: its price, what it brings more than its jars now, and its lowest price."""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO, percent
from webapp.costing.case_price import jars_in_case
from webapp.costing.gaps import Gap
from webapp.costing.jar_working import working as sheet_working
from webapp.costing.price_working import working as row_working
from webapp.costing.reckoning import Reckoning
from webapp.costing.size_facts import CaseAnswer, SizeQuestion
from webapp.costing.working import Step, Working, come_to


def case_working(known: Reckoning, found: CaseAnswer, jars: Decimal) -> Working:
    """How much of a case's contribution its jars bring now: what a case brings more than that is the deal's own."""
    own = found.deal if isinstance(found.deal, Gap) else found.deal.own
    steps = (
        Step(
            "",
            found.cased.contribution,
            "money",
            "a jar in a case",
            working=row_working(known, found.cased, "contribution"),
        ),
        Step("-", found.row.contribution, "money", "a jar by itself"),
        Step("×", jars, "pieces", "jars in a case"),
    )
    return Working("What a case brings more than its jars now", steps, own, "money")


def price_working(known: Reckoning, found: CaseAnswer, question: SizeQuestion) -> Working | None:
    """The price of a case by the discount, half-up to the smallest coin; None where it was typed."""
    if question.case_price is not None:
        return None
    now = found.row
    opened = None if now.accepted else row_working(known, now, "suggested")
    steps = [
        Step("", now.price, "money", "a jar by itself", working=opened),
        Step("×", jars_in_case(known.book, question), "pieces", "jars in a case"),
        Step("×", ONE - percent(question.discount or ZERO), "percent", "left by the discount"),
    ]
    exact = come_to(steps)
    steps += [Step("=", exact, "money", "before it is rounded")]
    steps += [Step("+", found.case_price - exact, "money", "to the smallest coin")]
    return Working("Price of a case", tuple(steps), found.case_price, "money")


def jar_working(known: Reckoning, found: CaseAnswer, question: SizeQuestion) -> Working:
    """What a jar comes to in a case."""
    of_case = price_working(known, found, question)
    steps = (
        Step("", found.case_price, "money", "price of a case", working=of_case),
        Step("÷", jars_in_case(known.book, question), "pieces", "jars in a case"),
    )
    return Working("Price of a jar in a case", steps, found.price, "money")


def lowest_case_working(known: Reckoning, found: CaseAnswer, jars: Decimal) -> Working:
    """The price of a case at which its jars contribute what they do now, before it is moved up to the smallest coin."""
    now, cased = found.row, found.cased
    terms = cased.terms
    left = ONE - terms.share
    direct = sheet_working(known, cased.product, "direct")
    steps = [
        Step("", now.contribution, "money", "a jar now", working=row_working(known, now, "contribution")),
        Step("+", cased.sheet.direct, "money", "direct cost of the jar", working=direct),
        Step("+", terms.labour, "money", "work of selling it in a case"),
        Step("+", terms.extras, "money", "what the channel costs a jar in a case"),
        Step("÷", left, "percent", "what its shares leave of the price"),
    ]
    if terms.marked != ONE:
        steps.append(Step("×", terms.marked, "number", "tax that is in the price"))
    steps.append(Step("×", jars, "pieces", "jars in a case"))
    note = "Rounded up to the smallest coin."
    return Working("Lowest price of a case", tuple(steps), found.lowest, "money", note=note)
