"""Prices opened to their working: net of tax, suggested, recommended to shops, the floor, and the cost that they allow.

Money is in the home currency and per jar. Every sum repeats what prices.py reckons, step by step.
"""

from __future__ import annotations

from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO, plain
from webapp.costing.book import Channel
from webapp.costing.channel_working import Told, cost_sum, extras_sum, rate_words, shares_sum
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.prices import net_for, price_for
from webapp.costing.rows import HELD_UP, recommended_by
from webapp.costing.working import Step, Working


def net_sum(told: Told, *, deep: bool = True) -> Working:
    """The price, accepted or suggested, net of sales tax; not `deep` where the same sum opens the price already."""
    row, terms = told.row, told.terms
    source = Ref("product", row.product, f"price-{row.channel}")
    if row.accepted:
        first = Step("", row.price, "money", "accepted price", source)
    else:
        first = Step("", row.price, "money", "suggested price", working=suggested_sum(told) if deep else None)
    steps = [first]
    if terms.tax == "in":
        steps.append(Step("÷", terms.marked, "number", f"sales tax in it, {rate_words(terms)} %", told.at("tax_rate")))
    return Working(f"Price net of sales tax: {told.name}", tuple(steps), row.net, "money")


def before_ending(told: Told, target: Decimal) -> list[Step]:
    """From the cost to the marked price that leaves `target`; its last step is that price."""
    row, terms = told.row, told.terms
    net: Figure = row.cost if isinstance(row.cost, Gap) else net_for(row.cost, target, terms)
    tag: Figure = row.cost if isinstance(row.cost, Gap) else price_for(row.cost, target, terms)
    steps = [
        Step("", row.cost, "money", "cost", working=cost_sum(told)),
        Step("+", terms.extras, "money", "what selling costs per jar", working=extras_sum(told)),
        Step(
            "÷", ONE - target - terms.share, "percent", "of the net price left for them", working=left_sum(told, target)
        ),
    ]
    if terms.tax == "in":
        steps.append(Step("=", net, "money", "price net of sales tax"))
        steps.append(Step("×", terms.marked, "number", f"sales tax in it, {rate_words(terms)} %", told.at("tax_rate")))
    steps.append(Step("=", tag, "money", "price before its ending" if target else "price that leaves nothing"))
    return steps


def left_sum(told: Told, target: Decimal) -> Working:
    """Which part of the net price is left for cost and fees beside the target."""
    steps = [Step("", ONE, "percent", "the net price")]
    if target:
        steps.append(Step("-", target, "percent", "target margin", _target_source(told)))
    steps.append(Step("-", told.terms.share, "percent", "shares that the channel keeps", working=shares_sum(told)))
    return Working("What is left for cost and fees", tuple(steps), ONE - target - told.terms.share, "percent")


def _target_source(told: Told) -> Ref:
    own = told.known.book.targets.get((told.row.product, told.row.channel))
    if own is not None and own.margin is not None:
        return Ref("product", told.row.product, f"target-{told.row.channel}")
    return Ref("terms", told.known.book.terms.id, "target") if told.channel.target is None else told.at("target")


def suggested_sum(told: Told) -> Working:
    """From the cost to the suggested price, its target and a stockist's price heeded."""
    row, terms = told.row, told.terms
    steps = before_ending(told, row.target)
    note = moved_up(told.channel)
    recommended = row.recommended_retail
    if terms.retail and recommended is not None:
        words = "recommended retail price of the stockists"
        steps.append(Step("", recommended, "money", words, working=_highest_recommended(told)))
        if terms.tax == "added":
            steps.append(
                Step("÷", terms.gross, "number", f"sales tax added to it, {rate_words(terms)} %", told.at("tax_rate"))
            )
        if HELD_UP in row.marks:
            note = f"The recommended retail price is the higher one, so that stockists are not undercut. {note}"
    return Working(f"Suggested price: {told.name}", tuple(steps), row.suggested, "money", note=note)


def moved_up(channel: Channel) -> str:
    """Which prices are allowed on the channel, as a sentence about the last move of a suggestion."""
    if endings := channel.endings.split():
        return f"Moved up to the next price that ends in {' or '.join(endings)}, as chosen for this channel."
    if channel.step is not None:
        return f"Moved up to the next step of {plain(channel.step)}, as chosen for this channel."
    return "Rounded up to the smallest coin: no endings, such as .50, are chosen for this channel."


def recommended_sum(told: Told) -> Working:
    """The recommended retail price, from the wholesale price that it follows from: of several the highest."""
    return _highest_recommended(told) or Working(f"No stockists: {told.name}", (), ZERO, "money")


def _highest_recommended(told: Told) -> Working | None:
    """The working of the wholesale row that the recommended retail price comes from."""
    for other in told.known.rows(told.row.product):
        if not other.terms.retail and recommended_by(other) == told.row.recommended_retail:
            return _recommended_by(Told(told.known, other, told.known.book.channels[other.channel]))
    return None


def _recommended_by(told: Told) -> Working:
    terms = told.terms
    steps = [Step("", told.row.net, "money", "wholesale price net of tax", working=net_sum(told))]
    if terms.stockist_tax:
        taxed = ONE + terms.stockist_tax
        steps.append(Step("×", taxed, "number", "tax inside the shop's shelf price", told.at("stockist_tax")))
    left = ONE - terms.stockist_margin
    steps.append(Step("÷", left, "percent", "left by the shop's own margin", told.at("stockist_margin")))
    return Working(f"Recommended retail price: {told.name}", tuple(steps), recommended_by(told.row), "money")


def floor_sum(told: Told) -> Working:
    """From the cost to the lowest price without a loss."""
    steps = tuple(before_ending(told, ZERO))
    note = "Rounded up: below it the jar costs more than it brings."
    return Working(f"Lowest price without a loss: {told.name}", steps, told.row.floor, "money", note=note)


def highest_cost_sum(told: Told) -> Working:
    """What the jar may cost at most on this channel, at its price, for its target to be reached."""
    row, terms = told.row, told.terms
    share = ONE - row.target - terms.share
    steps = (
        Step("", row.net, "money", "price net of sales tax", working=net_sum(told)),
        Step("×", share, "percent", "of it left for cost and fees", working=left_sum(told, row.target)),
        Step("-", terms.extras, "money", "what selling costs per jar", working=extras_sum(told)),
    )
    note = "Shown rounded down beside the price, so that the target is still reached."
    return Working(
        f"Highest cost for the target: {told.name}",
        steps,
        row.highest_cost,
        "number",
        told.known.book.workshop.currency,
        note,
    )
