"""The figures of a row opened to their working, down to the cost sheet and the channel's settings.

Every sum repeats what prices.py reckons, step by step, from the same records; the last line is the row's own figure.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ONE, ZERO, percent
from webapp.costing.book import Channel
from webapp.costing.channels import MINUTES_AN_HOUR, PriceTerms, SellingShare
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.jar_working import working as sheet_working
from webapp.costing.prices import net_for, price_for
from webapp.costing.rows import HELD_UP, Row, recommended_by
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class _Told(NamedTuple):
    """What a sum is told about: the row, its channel's record, and where the rest comes from."""

    known: Reckoning
    row: Row
    channel: Channel

    @property
    def terms(self) -> PriceTerms:
        return self.row.terms

    def at(self, field: str = "") -> Ref:
        return Ref("channel", self.channel.id, field)

    @property
    def name(self) -> str:
        return f"{self.known.book.products[self.row.product].name}, {self.channel.name}"


def working(known: Reckoning, row: Row, figure: str) -> Working:
    """The sum behind one of FIGURES of a row. KeyError for another name."""
    return _SUMS[figure](_Told(known, row, known.book.channels[row.channel]))


# --- cost and fees -------------------------------------------------------------------------------------------------


def _cost(told: _Told) -> Working:
    chosen = told.known.book.terms.cost
    sheet = told.row.sheet
    base = sheet.full if chosen == "full" else sheet.direct
    words = "full cost of the jar" if chosen == "full" else "direct cost of the jar"
    steps = [Step("", base, "money", words, working=sheet_working(told.known, told.row.product, chosen))]
    if told.terms.times:
        steps.append(Step("+", told.terms.labour, "money", "work of selling it", working=_selling(told)))
    return Working(f"Cost of {told.name}", tuple(steps), told.row.cost, "money")


def _selling(told: _Told) -> Working:
    steps = tuple(
        Step("+" if index else "", time.labour, "money", _who(told, time), working=_selling_time(told, index))
        for index, time in enumerate(told.terms.times)
    )
    return Working("Work of selling a jar", steps, told.terms.labour, "money")


def _who(told: _Told, time: SellingShare) -> str:
    return told.known.book.people[time.person].name


def _selling_time(told: _Told, index: int) -> Working:
    time, typed = told.terms.times[index], told.channel.work[index]
    minutes: list[Step] = []
    if typed.per_order:
        per_order = typed.per_order / told.channel.jars_per_order
        minutes.append(Step("", per_order, "minutes", "for its part of an order", told.at(f"work-{index}-per_order")))
    if typed.per_day:
        a_day = from_known(lambda spent: spent - typed.per_order / told.channel.jars_per_order, time.minutes)
        words = "for its part of a selling day"
        minutes.append(Step("+" if minutes else "", a_day, "minutes", words, told.at(f"work-{index}-per_day")))
    hour = Ref("person", time.person, "wage-per_hour")
    steps = (
        *minutes,
        Step("×", told.known.hourly(time.person), "money", "an hour, with the employer's extra", hour),
        Step("÷", MINUTES_AN_HOUR, "number", "minutes in an hour"),
    )
    return Working(f"Selling time of {_who(told, time)}", steps, time.labour, "money")


def _fees(told: _Told) -> Working:
    shares = from_known(lambda net: net * told.terms.share, told.row.net)
    steps = [Step("", told.row.net, "money", "price net of sales tax", working=_net(told))]
    if told.terms.share:
        steps += [
            Step("×", told.terms.share, "percent", "shares that the channel keeps", working=_shares(told)),
            Step("=", shares, "money", "kept as shares"),
        ]
    else:
        steps = []
    steps.append(Step("+" if steps else "", told.terms.extras, "money", "costs per jar", working=_extras(told)))
    return Working(f"What selling costs: {told.name}", tuple(steps), told.row.fees, "money")


def _shares(told: _Told) -> Working:
    terms = told.terms
    steps = [
        Step("", terms.share_paid, "percent", f"of what the buyer pays{_taxed(told)}", told.at("share_paid")),
        Step("×", terms.gross, "number", "paid for 1 of the net price", told.at("tax_rate")),
        Step("+", terms.share_net, "percent", f"of the net price{_taxed(told)}", told.at("share_net")),
    ]
    return Working("Shares, of the net price", tuple(steps), terms.share, "percent")


def _taxed(told: _Told) -> str:
    book = told.known.book
    return ", with the tax on it" if told.channel.fee_tax and not book.registered_on(book.day) else ""


def _extras(told: _Told) -> Working:
    channel, terms = told.channel, told.terms
    steps = [
        Step("", terms.per_order, "money", "costs of an order", working=_per_order(told)),
        Step("÷", channel.jars_per_order, "pieces", "jars in a usual order", told.at("jars_per_order")),
    ]
    if channel.pitch:
        a_jar = from_known(lambda extras: extras - terms.per_order / channel.jars_per_order, terms.extras)
        steps += [
            Step("=", terms.per_order / channel.jars_per_order, "money", "a jar's part of an order"),
            Step("+", a_jar, "money", "a jar's part of the pitch", working=_pitch(told, a_jar)),
        ]
    return Working("What selling costs per jar beside the shares", tuple(steps), terms.extras, "money")


def _pitch(told: _Told, a_jar: Figure) -> Working:
    jars: Figure = a_jar if isinstance(a_jar, Gap) else told.channel.jars_a_day or ZERO
    steps = (
        Step("", told.channel.pitch, "money", "pitch of a selling day", told.at("pitch")),
        Step("÷", jars, "pieces", "jars sold on such a day", told.at("jars_a_day")),
    )
    return Working("A jar's part of the pitch", steps, a_jar, "money")


def _per_order(told: _Told) -> Working:
    channel, terms = told.channel, told.terms
    charged = channel.postage_charged
    fee_factor = ONE if not _taxed(told) else ONE + percent(channel.fee_tax)
    steps = [Step("", channel.fee * fee_factor, "money", f"fee per order{_taxed(told)}", told.at("fee"))]
    steps.append(Step("+", channel.carton, "money", "carton", told.at("carton")))
    steps.append(Step("+", channel.postage, "money", "postage that is paid", told.at("postage")))
    if charged:
        net = charged / terms.gross
        kept = terms.share_paid * charged + terms.share_net * net
        steps += [
            Step("-", net, "money", "postage that the buyer is charged, net of tax", told.at("postage_charged")),
            Step("+", kept, "money", "shares that the channel keeps of it", told.at("share_paid")),
        ]
    return Working("Costs of one order", tuple(steps), terms.per_order, "money")


# --- prices --------------------------------------------------------------------------------------------------------


def _net(told: _Told) -> Working:
    row, terms = told.row, told.terms
    source = Ref("product", row.product, f"price-{row.channel}")
    if row.accepted:
        first = Step("", row.price, "money", "accepted price", source)
    else:
        first = Step("", row.price, "money", "suggested price", working=_suggested(told))
    steps = [first]
    if terms.tax == "in":
        steps.append(Step("÷", terms.marked, "number", f"sales tax in it, {_rate(terms)} %", told.at("tax_rate")))
    return Working(f"Price net of sales tax: {told.name}", tuple(steps), row.net, "money")


def _rate(terms: PriceTerms) -> str:
    return format((terms.rate * HUNDRED).normalize(), "f")


def _before_ending(told: _Told, target: Decimal) -> list[Step]:
    """From the cost to the marked price that leaves `target`; its last step is that price."""
    row, terms = told.row, told.terms
    net: Figure = row.cost if isinstance(row.cost, Gap) else net_for(row.cost, target, terms)
    tag: Figure = row.cost if isinstance(row.cost, Gap) else price_for(row.cost, target, terms)
    steps = [
        Step("", row.cost, "money", "cost", working=_cost(told)),
        Step("+", terms.extras, "money", "what selling costs per jar", working=_extras(told)),
        Step("÷", ONE - target - terms.share, "percent", "of the net price left for them", working=_left(told, target)),
    ]
    if terms.tax == "in":
        steps.append(Step("=", net, "money", "price net of sales tax"))
        steps.append(Step("×", terms.marked, "number", f"sales tax in it, {_rate(terms)} %", told.at("tax_rate")))
    steps.append(Step("=", tag, "money", "price before its ending" if target else "price that leaves nothing"))
    return steps


def _left(told: _Told, target: Decimal) -> Working:
    steps = [Step("", ONE, "percent", "the net price")]
    if target:
        steps.append(Step("-", target, "percent", "target margin", _target_source(told)))
    steps.append(Step("-", told.terms.share, "percent", "shares that the channel keeps", working=_shares(told)))
    return Working("What is left for cost and fees", tuple(steps), ONE - target - told.terms.share, "percent")


def _target_source(told: _Told) -> Ref:
    own = told.known.book.targets.get((told.row.product, told.row.channel))
    if own is not None and own.margin is not None:
        return Ref("product", told.row.product, f"target-{told.row.channel}")
    return Ref("terms", told.known.book.terms.id, "target") if told.channel.target is None else told.at("target")


def _suggested(told: _Told) -> Working:
    row, terms = told.row, told.terms
    steps = _before_ending(told, row.target)
    note = "Moved up to the next ending of this channel."
    recommended = row.recommended_retail
    if terms.retail and recommended is not None:
        words = "recommended retail price of the stockists"
        steps.append(Step("", recommended, "money", words, working=_highest_recommended(told)))
        if terms.tax == "added":
            steps.append(
                Step("÷", terms.gross, "number", f"sales tax added to it, {_rate(terms)} %", told.at("tax_rate"))
            )
        if HELD_UP in row.marks:
            note = f"The recommended retail price is the higher one, so that stockists are not undercut. {note}"
    return Working(f"Suggested price: {told.name}", tuple(steps), row.suggested, "money", note=note)


def _highest_recommended(told: _Told) -> Working | None:
    """The working of the wholesale row that the recommended retail price comes from."""
    for other in told.known.rows(told.row.product):
        if not other.terms.retail and recommended_by(other) == told.row.recommended_retail:
            return _recommended(_Told(told.known, other, told.known.book.channels[other.channel]))
    return None


def _recommended(told: _Told) -> Working:
    terms = told.terms
    if terms.retail:
        return _highest_recommended(told) or Working(f"No stockists: {told.name}", (), ZERO, "money")
    steps = [Step("", told.row.net, "money", "wholesale price net of tax", working=_net(told))]
    if terms.stockist_tax:
        taxed = ONE + terms.stockist_tax
        steps.append(Step("×", taxed, "number", "tax inside the shop's shelf price", told.at("stockist_tax")))
    left = ONE - terms.stockist_margin
    steps.append(Step("÷", left, "percent", "left by the shop's own margin", told.at("stockist_margin")))
    return Working(f"Recommended retail price: {told.name}", tuple(steps), recommended_by(told.row), "money")


def _floor(told: _Told) -> Working:
    steps = tuple(_before_ending(told, ZERO))
    note = "Rounded up: below it the jar costs more than it brings."
    return Working(f"Lowest price without a loss: {told.name}", steps, told.row.floor, "money", note=note)


# --- what is left --------------------------------------------------------------------------------------------------


def _profit_steps(told: _Told) -> tuple[Step, ...]:
    row = told.row
    return (
        Step("", row.net, "money", "price net of sales tax", working=_net(told)),
        Step("-", row.fees, "money", "what selling costs", working=_fees(told)),
        Step("-", row.cost, "money", "cost", working=_cost(told)),
    )


def _margin(told: _Told) -> Working:
    row = told.row
    steps = (
        *_profit_steps(told),
        Step("=", row.profit, "money", "left of a jar"),
        Step("÷", row.net, "money", "price net of sales tax"),
    )
    return Working(f"Margin: {told.name}", steps, row.margin, "percent")


def _profit(told: _Told) -> Working:
    return Working(f"Left of a jar: {told.name}", _profit_steps(told), told.row.profit, "money")


def _contribution_steps(told: _Told) -> tuple[Step, ...]:
    row = told.row
    direct = sheet_working(told.known, row.product, "direct")
    steps = [
        Step("", row.net, "money", "price net of sales tax", working=_net(told)),
        Step("-", row.fees, "money", "what selling costs", working=_fees(told)),
        Step("-", row.sheet.direct, "money", "direct cost of the jar", working=direct),
    ]
    if told.terms.times:
        steps.append(Step("-", told.terms.labour, "money", "work of selling it", working=_selling(told)))
    return tuple(steps)


def _contribution(told: _Told) -> Working:
    return Working(f"Contribution: {told.name}", _contribution_steps(told), told.row.contribution, "money")


def _before_own_pay(told: _Told) -> Working:
    row = told.row
    steps = (
        *_contribution_steps(told),
        Step("=", row.contribution, "money", "contribution"),
        Step("+", row.own_pay, "money", "own pay in it"),
    )
    title = f"Contribution before own pay: {told.name}"
    return Working(title, steps, row.contribution_before_own_pay, "money")


def _per_labour_hour(told: _Told) -> Working:
    row = told.row
    before = _before_own_pay(told)
    steps = (
        Step("", row.contribution_before_own_pay, "money", "contribution before own pay", working=before),
        Step("÷", from_known(lambda hours: hours * MINUTES_AN_HOUR, row.own_hours), "minutes", "own work in a jar"),
        Step("×", MINUTES_AN_HOUR, "number", "minutes in an hour"),
    )
    return Working(f"For an own hour: {told.name}", steps, row.per_labour_hour, "money", unit="per hour")


_SUMS: dict[str, Callable[[_Told], Working]] = {
    "cost": _cost,
    "fees": _fees,
    "net": _net,
    "suggested": _suggested,
    "recommended_retail": _recommended,
    "floor": _floor,
    "profit": _profit,
    "margin": _margin,
    "contribution": _contribution,
    "contribution_before_own_pay": _before_own_pay,
    "per_labour_hour": _per_labour_hour,
}
#: the figures of a row that can be opened
FIGURES: tuple[str, ...] = tuple(_SUMS)
