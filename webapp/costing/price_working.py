"""The figures of a row opened to their working, down to the cost sheet and the channel's settings.

Every sum repeats what prices.py and rows.py reckon, step by step, from the same records; the last line is the row's own
figure. What the channel costs is opened in channel_working.py, prices in suggestion_working.py.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from webapp.costing.amounts import HUNDRED, ZERO
from webapp.costing.batch_working import declared_working
from webapp.costing.channel_working import Told, cost_sum, extras_sum, selling_minutes_sum, selling_sum, shares_sum
from webapp.costing.channels import MINUTES_AN_HOUR
from webapp.costing.gaps import Figure, Ref, from_known
from webapp.costing.jar_working import working as sheet_working
from webapp.costing.rows import Row
from webapp.costing.suggestion_working import floor_sum, highest_cost_sum, net_sum, recommended_sum, suggested_sum
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: the figures by what a jar declares; by volume only where it is declared so
PER_HUNDRED = ("per_100_g", "per_100_ml", "price_per_100_g", "price_per_100_ml")


def working(known: Reckoning, row: Row, figure: str) -> Working:
    """The sum behind one of FIGURES of a row. KeyError for another name."""
    return _SUMS[figure](Told(known, row, known.book.channels[row.channel]))


def _fees(told: Told, *, deep: bool = True) -> Working:
    """Not `deep` where the same sum opens the price already: else one working holds the whole cost several times."""
    shares = from_known(lambda net: net * told.terms.share, told.row.net)
    steps = [Step("", told.row.net, "money", "price net of sales tax", working=net_sum(told, deep=deep))]
    if told.terms.share:
        steps += [
            Step("×", told.terms.share, "percent", "shares that the channel keeps", working=shares_sum(told)),
            Step("=", shares, "money", "kept as shares"),
        ]
    else:
        steps = []
    steps.append(Step("+" if steps else "", told.terms.extras, "money", "costs per jar", working=extras_sum(told)))
    return Working(f"What selling costs: {told.name}", tuple(steps), told.row.fees, "money")


def _profit_steps(told: Told) -> tuple[Step, ...]:
    row = told.row
    return (
        Step("", row.net, "money", "price net of sales tax", working=net_sum(told)),
        Step("-", row.fees, "money", "what selling costs", working=_fees(told, deep=False)),
        Step("-", row.cost, "money", "cost", working=cost_sum(told)),
    )


def _margin(told: Told) -> Working:
    row = told.row
    steps = (
        *_profit_steps(told),
        Step("=", row.profit, "money", "left of a jar"),
        Step("÷", row.net, "money", "price net of sales tax"),
    )
    return Working(f"Margin: {told.name}", steps, row.margin, "percent")


def _profit(told: Told) -> Working:
    return Working(f"Left of a jar: {told.name}", _profit_steps(told), told.row.profit, "money")


def _contribution_steps(told: Told) -> tuple[Step, ...]:
    row = told.row
    direct = sheet_working(told.known, row.product, "direct")
    steps = [
        Step("", row.net, "money", "price net of sales tax", working=net_sum(told)),
        Step("-", row.fees, "money", "what selling costs", working=_fees(told, deep=False)),
        Step("-", row.sheet.direct, "money", "direct cost of the jar", working=direct),
    ]
    if told.terms.times:
        steps.append(Step("-", told.terms.labour, "money", "work of selling it", working=selling_sum(told)))
    return tuple(steps)


def _contribution(told: Told) -> Working:
    return Working(f"Contribution: {told.name}", _contribution_steps(told), told.row.contribution, "money")


def _own_pay(told: Told) -> Working:
    row = told.row
    making = sheet_working(told.known, row.product, "labour_own")
    steps = [Step("", row.sheet.labour_own, "money", "own work of making it", working=making)]
    if told.terms.times:
        steps.append(
            Step("+", told.terms.labour_own, "money", "own work of selling it", working=selling_sum(told, own=True))
        )
    return Working(f"Own pay: {told.name}", tuple(steps), row.own_pay, "money")


def _before_own_pay(told: Told) -> Working:
    row = told.row
    steps = (
        *_contribution_steps(told),
        Step("=", row.contribution, "money", "contribution"),
        Step("+", row.own_pay, "money", "own pay in it", working=_own_pay(told)),
    )
    title = f"Contribution before own pay: {told.name}"
    return Working(title, steps, row.contribution_before_own_pay, "money")


def _margin_before_own_pay(told: Told) -> Working:
    row = told.row
    before = from_known(lambda left, pay: left + pay, row.profit, row.own_pay)
    steps = (
        Step("", row.profit, "money", "left of a jar", working=_profit(told)),
        Step("+", row.own_pay, "money", "own pay in it", working=_own_pay(told)),
        Step("=", before, "money", "left before own pay"),
        Step("÷", row.net, "money", "price net of sales tax"),
    )
    return Working(f"Margin before own pay: {told.name}", steps, row.margin_before_own_pay, "percent")


def _markup(told: Told) -> Working:
    row = told.row
    spent = from_known(lambda cost, fees: cost + fees, row.cost, row.fees)
    both = (
        Step("", row.cost, "money", "cost"),
        Step("+", row.fees, "money", "what selling costs"),
    )
    steps = (
        Step("", row.profit, "money", "left of a jar", working=_profit(told)),
        Step("÷", spent, "money", "all that was spent", working=Working("Cost and fees", both, spent, "money")),
    )
    return Working(f"Markup on cost and fees: {told.name}", steps, row.markup, "percent")


# --- per hour, per 100 ---------------------------------------------------------------------------------------------


def _per_labour_hour(told: Told) -> Working:
    row = told.row
    minutes = from_known(lambda hours: hours * MINUTES_AN_HOUR, row.own_hours)
    steps = (
        Step(
            "", row.contribution_before_own_pay, "money", "contribution before own pay", working=_before_own_pay(told)
        ),
        Step("÷", minutes, "minutes", "own work in a jar", working=_own_minutes(told, minutes)),
        Step("×", MINUTES_AN_HOUR, "number", "minutes in an hour"),
    )
    return Working(f"For an own hour: {told.name}", steps, row.per_labour_hour, "money", unit="per hour")


def _own_minutes(told: Told, minutes: Figure) -> Working:
    sheet = told.row.sheet
    making = sheet_working(told.known, told.row.product, "own_minutes")
    steps = [Step("", sheet.own_minutes, "minutes", "of making it", working=making)]
    if told.terms.times:
        steps.append(Step("+", told.terms.own_minutes, "minutes", "of selling it", working=selling_minutes_sum(told)))
    return Working(f"Own work in a jar: {told.name}", tuple(steps), minutes, "minutes")


def _per_hundred(told: Told, figure: str) -> Working:
    """Of what a jar leaves or of its price, by the grams or millilitres that it declares."""
    row = told.row
    of_price, by_volume = figure.startswith("price"), figure.endswith("ml")
    if of_price:
        first = Step("", row.price, "money", "price", working=_price(told))
    else:
        first = Step("", row.contribution, "money", "contributed by a jar", working=_contribution(told))
    unit = "mL" if by_volume else "g"
    declared: Figure = (row.sheet.declared_ml or ZERO) if by_volume else row.sheet.declared_grams
    below = declared_working(told.known, row.product, unit)
    steps = (first, Step("÷", declared, unit, "declared", working=below), Step("×", HUNDRED, unit, "to speak of"))
    result: Figure | None = getattr(row, figure)
    if result is None:
        return Working(f"Not sold by volume: {told.name}", (), ZERO, "money")
    words = "Price" if of_price else "Contributes"
    return Working(f"{words} per 100 {unit}: {told.name}", steps, result, "money", unit=f"per 100 {unit}")


def _price(told: Told) -> Working | None:
    """A price that is accepted was typed; one that is not is the suggested one."""
    return None if told.row.accepted else suggested_sum(told)


# --- what a price is made of ---------------------------------------------------------------------------------------


def made_of(known: Reckoning, row: Row) -> Working:
    """What stays of a marked price when everything is paid: the parts of its bar one by one, overhead always in it."""
    told = Told(known, row, known.book.channels[row.channel])
    sheet, terms = row.sheet, row.terms
    tax = from_known(lambda price, net: price - net, row.price, row.net)
    hired = from_known(lambda making, selling: making + selling, sheet.labour_hired, terms.labour_hired)
    marked = Ref("product", row.product, f"price-{row.channel}") if row.accepted else None
    steps = [Step("", row.price, "money", "price", marked, _price(told))]
    steps += [
        Step("-", getattr(sheet, figure), "money", words, working=sheet_working(known, row.product, figure))
        for figure, words in (("ingredients", "ingredients"), ("packaging", "packaging"))
    ]
    steps.append(Step("-", hired, "money", "hired work", working=_hired(told, hired)))
    steps += [
        Step("-", getattr(sheet, figure), "money", words, working=sheet_working(known, row.product, figure))
        for figure, words in (("overhead", "share of the monthly bills"), ("one_offs", "share of one-off costs"))
    ]
    steps += [
        Step("-", row.fees, "money", "what selling costs", working=_fees(told, deep=False)),
        Step("-", tax, "money", "sales tax in it", working=_tax(told, tax)),
        Step("-", row.own_pay, "money", "own pay", working=_own_pay(told)),
    ]
    paid = from_known(lambda *amounts: sum(amounts, ZERO), *(step.amount for step in steps[1:]))
    left = from_known(lambda price, costs: price - costs, row.price, paid)
    kept = tuple(step for step in steps if step.amount != 0)
    return Working(
        f"What the price is made of: {told.name}",
        kept,
        left,
        "money",
        note="What is left over, or below zero the loss.",
    )


def _hired(told: Told, hired: Figure) -> Working:
    making = sheet_working(told.known, told.row.product, "labour_hired")
    steps = [Step("", told.row.sheet.labour_hired, "money", "hired work of making it", working=making)]
    if told.terms.times:
        below = selling_sum(told, own=False)
        steps.append(Step("+", told.terms.labour_hired, "money", "hired work of selling it", working=below))
    return Working(f"Hired work: {told.name}", tuple(steps), hired, "money")


def _tax(told: Told, tax: Figure) -> Working:
    steps = (
        Step("", told.row.price, "money", "price"),
        Step("-", told.row.net, "money", "price net of sales tax", working=net_sum(told, deep=False)),
    )
    return Working(f"Sales tax in the price: {told.name}", steps, tax, "money")


_SUMS: dict[str, Callable[[Told], Working]] = {
    "cost": cost_sum,
    "fees": _fees,
    "net": net_sum,
    "suggested": suggested_sum,
    "recommended_retail": recommended_sum,
    "floor": floor_sum,
    "highest_cost": highest_cost_sum,
    "profit": _profit,
    "margin": _margin,
    "margin_before_own_pay": _margin_before_own_pay,
    "markup": _markup,
    "own_pay": _own_pay,
    "contribution": _contribution,
    "contribution_before_own_pay": _before_own_pay,
    "per_labour_hour": _per_labour_hour,
    **{figure: partial(_per_hundred, figure=figure) for figure in PER_HUNDRED},
}
#: the figures of a row that can be opened
FIGURES: tuple[str, ...] = tuple(_SUMS)
