"""What selling on a channel costs, opened to its working: the channel's shares, orders, pitch and selling time.

Money is in the home currency and per jar. Every sum repeats what channels.py reckons, from the same records.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ONE, ZERO, percent
from webapp.costing.book import Channel
from webapp.costing.channels import MINUTES_AN_HOUR, PriceTerms, SellingShare
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.jar_working import working as sheet_working
from webapp.costing.rows import Row
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


class Told(NamedTuple):
    """What a sum is told about: the row, its channel's record, and where the rest comes from."""

    known: Reckoning
    row: Row
    channel: Channel

    @property
    def terms(self) -> PriceTerms:
        """The channel as the price formula wants it."""
        return self.row.terms

    def at(self, field: str = "") -> Ref:
        """The channel, at one of its fields."""
        return Ref("channel", self.channel.id, field)

    @property
    def name(self) -> str:
        """Product and channel, for a title."""
        return f"{self.known.book.products[self.row.product].name}, {self.channel.name}"


def cost_sum(told: Told) -> Working:
    """The cost on this channel: of the jar, full or direct as chosen, and of selling it."""
    chosen = told.known.book.terms.cost
    sheet = told.row.sheet
    base = sheet.full if chosen == "full" else sheet.direct
    words = "full cost of the jar" if chosen == "full" else "direct cost of the jar"
    steps = [Step("", base, "money", words, working=sheet_working(told.known, told.row.product, chosen))]
    if told.terms.times:
        steps.append(Step("+", told.terms.labour, "money", "work of selling it", working=selling_sum(told)))
    return Working(f"Cost of {told.name}", tuple(steps), told.row.cost, "money")


def selling_sum(told: Told, *, own: bool | None = None) -> Working:
    """What everybody's selling time costs per jar; only own people's, or only helpers', where that is asked."""
    terms = told.terms
    asked = [(place, time) for place, time in enumerate(terms.times) if own is None or time.own is own]
    steps = tuple(
        Step("+" if index else "", time.labour, "money", who(told, time), working=_selling_time(told, place))
        for index, (place, time) in enumerate(asked)
    )
    result = {None: terms.labour, True: terms.labour_own, False: terms.labour_hired}[own]
    return Working("Work of selling a jar", steps, result, "money")


def selling_minutes_sum(told: Told) -> Working:
    """The minutes that own people spend on selling a jar."""
    mine = [(place, time) for place, time in enumerate(told.terms.times) if time.own]
    steps = tuple(
        Step("+" if index else "", time.minutes, "minutes", who(told, time), working=_minutes(told, place))
        for index, (place, time) in enumerate(mine)
    )
    return Working("Own time of selling a jar", steps, told.terms.own_minutes, "minutes")


def who(told: Told, time: SellingShare) -> str:
    """The name of whoever sells."""
    return told.known.book.people[time.person].name


def _selling_time(told: Told, index: int) -> Working:
    time = told.terms.times[index]
    hour = Ref("person", time.person, "wage-per_hour")
    steps = (
        Step("", time.minutes, "minutes", "selling time", working=_minutes(told, index)),
        Step("×", told.known.hourly(time.person), "money", "an hour, with the employer's extra", hour),
        Step("÷", MINUTES_AN_HOUR, "number", "minutes in an hour"),
    )
    return Working(f"Selling time of {who(told, time)}", steps, time.labour, "money")


def _minutes(told: Told, index: int) -> Working:
    time, typed = told.terms.times[index], told.channel.work[index]
    jars_per_order = told.channel.jars_per_order
    minutes: list[Step] = []
    if typed.per_order:
        order = (
            Step("", typed.per_order, "minutes", "for an order", told.at(f"work-{index}-per_order")),
            Step("÷", jars_per_order, "pieces", "jars in a usual order", told.at("jars_per_order")),
        )
        of_order = typed.per_order / jars_per_order
        below = Working("A jar's part of an order", order, of_order, "minutes")
        minutes.append(Step("", of_order, "minutes", "for its part of an order", working=below))
    if typed.per_day:
        a_day = from_known(lambda spent: spent - typed.per_order / jars_per_order, time.minutes)
        jars: Figure = a_day if isinstance(a_day, Gap) else told.channel.jars_a_day or ZERO
        day = (
            Step("", typed.per_day * MINUTES_AN_HOUR, "minutes", "of a selling day", told.at(f"work-{index}-per_day")),
            Step("÷", jars, "pieces", "jars sold on such a day", told.at("jars_a_day")),
        )
        below = Working("A jar's part of a selling day", day, a_day, "minutes")
        words = "for its part of a selling day"
        minutes.append(Step("+" if minutes else "", a_day, "minutes", words, working=below))
    return Working(f"Minutes of {who(told, time)}", tuple(minutes), time.minutes, "minutes")


def shares_sum(told: Told) -> Working:
    """Both shares that the channel keeps, as one share of the net price."""
    terms = told.terms
    steps = [
        Step("", terms.share_paid, "percent", f"of what the buyer pays{tax_on_fees(told)}", told.at("share_paid")),
        Step("×", terms.gross, "number", "paid for 1 of the net price", told.at("tax_rate")),
        Step("+", terms.share_net, "percent", f"of the net price{tax_on_fees(told)}", told.at("share_net")),
    ]
    return Working("Shares, of the net price", tuple(steps), terms.share, "percent")


def tax_on_fees(told: Told) -> str:
    """Words for the tax on what a channel charges, where it is not reclaimed; else none."""
    book = told.known.book
    return ", with the tax on it" if told.channel.fee_tax and not book.registered_on(book.day) else ""


def extras_sum(told: Told) -> Working:
    """What a jar costs there beside the shares: its part of an order, and of a pitch."""
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


def _pitch(told: Told, a_jar: Figure) -> Working:
    jars: Figure = a_jar if isinstance(a_jar, Gap) else told.channel.jars_a_day or ZERO
    steps = (
        Step("", told.channel.pitch, "money", "pitch of a selling day", told.at("pitch")),
        Step("÷", jars, "pieces", "jars sold on such a day", told.at("jars_a_day")),
    )
    return Working("A jar's part of the pitch", steps, a_jar, "money")


def _per_order(told: Told) -> Working:
    channel, terms = told.channel, told.terms
    charged = channel.postage_charged
    fee_factor = ONE if not tax_on_fees(told) else ONE + percent(channel.fee_tax)
    steps = [Step("", channel.fee * fee_factor, "money", f"fee per order{tax_on_fees(told)}", told.at("fee"))]
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


def rate_words(terms: PriceTerms) -> str:
    """The rate of sales tax in percent, as text."""
    return format((terms.rate * HUNDRED).normalize(), "f")
