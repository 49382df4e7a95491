"""What selling on a channel costs, worked out once per channel (method.md section 5).

Shares and rates are fractions here (0.2 is 20 %), money is in the home currency, times are minutes per jar.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from webapp.costing.amounts import ONE, ZERO, Ratio, minor_places, percent
from webapp.costing.book import Book, Channel, Id
from webapp.costing.endings import Endings, Unusable, every_minor_unit, read_endings
from webapp.costing.gaps import Figure, Gap, Ref, added, from_known
from webapp.costing.labour import hourly

MINUTES_AN_HOUR = Decimal(60)
EVERY_CENT = every_minor_unit("EUR")


@dataclass(frozen=True, slots=True)
class SellingShare:
    """One person's selling time in a jar: minutes, and what they cost; `own` is the maker's and not a helper's."""

    person: Id
    minutes: Figure
    labour: Figure
    own: bool


@dataclass(frozen=True, slots=True)
class PriceTerms:
    """A channel as the price formula wants it. With nothing said it costs nothing and knows no tax.

    `share_paid` (of what the buyer pays) and `share_net` (of the price net of tax) hold the tax on them unless it
    is reclaimed; `share` is both as one share of the net price. `per_order` and `extras` (e, per jar) are money.
    """

    channel: Id = 0
    kind: str = "stall"
    tax: str = "none"
    rate: Decimal = ZERO
    share_paid: Decimal = ZERO
    share_net: Decimal = ZERO
    per_order: Decimal = ZERO
    extras: Figure = ZERO
    times: tuple[SellingShare, ...] = ()
    labour_own: Figure = ZERO
    labour_hired: Figure = ZERO
    labour: Figure = ZERO
    own_minutes: Figure = ZERO
    endings: Endings | Gap = EVERY_CENT
    places: int = 2
    target: Decimal = ZERO
    stockist_margin: Decimal = ZERO
    stockist_tax: Decimal = ZERO
    # Derived once, because every jar of the line asks for them.
    gross: Decimal = field(init=False)  # what the buyer pays for 1 net of tax
    marked: Decimal = field(init=False)  # what the price tag says for 1 net of tax
    share: Decimal = field(init=False)
    left: Decimal = field(init=False)  # of 1 net of tax, for cost and the channel's own costs, at the channel's target
    retail: bool = field(init=False)  # whether the consumer pays this price: not at wholesale, but on consignment
    shelf: Ratio = field(init=False)  # what the recommended retail price is for 1 net of tax

    def __post_init__(self) -> None:
        """A rate counts only where a tax is charged."""
        keep = object.__setattr__
        keep(self, "rate", ZERO if self.tax == "none" else self.rate)
        keep(self, "gross", ONE + self.rate)
        keep(self, "marked", self.gross if self.tax == "in" else ONE)
        keep(self, "share", self.share_net + self.share_paid * self.gross)
        keep(self, "left", ONE - self.target - self.share)
        keep(self, "retail", self.kind != "wholesale")
        keep(self, "shelf", Ratio(ONE + self.stockist_tax, ONE - self.stockist_margin))


def all_terms(book: Book) -> dict[Id, PriceTerms]:
    """The terms of every channel of the book, retired ones too."""
    return {channel.id: channel_terms(book, channel) for channel in book.channels.values()}


def channel_terms(book: Book, channel: Channel) -> PriceTerms:
    """What `channel` keeps and costs on the book's day. A pitch or selling day without "jars a day" is a gap."""
    # Tax on what the channel charges is a cost unless the maker reclaims it on the day that is asked about.
    taxed = ONE if book.registered_on(book.day) else ONE + percent(channel.fee_tax)
    share_paid, share_net = percent(channel.share_paid) * taxed, percent(channel.share_net) * taxed
    rate = ZERO if channel.tax == "none" else percent(channel.tax_rate)
    per_order = _per_order(channel, taxed, share_paid, share_net, ONE + rate)
    times = _times(book, channel)
    target = book.terms.target if channel.target is None else channel.target
    return PriceTerms(
        channel=channel.id,
        kind=channel.kind,
        tax=channel.tax,
        rate=rate,
        share_paid=share_paid,
        share_net=share_net,
        per_order=per_order,
        extras=_extras(channel, per_order),
        times=times,
        labour=added(time.labour for time in times),
        labour_hired=added(time.labour for time in times if not time.own),
        labour_own=added(time.labour for time in times if time.own),
        own_minutes=added(time.minutes for time in times if time.own),
        endings=_endings(channel, book.workshop.currency),
        places=minor_places(book.workshop.currency),
        target=percent(target),
        stockist_margin=percent(channel.stockist_margin),
        stockist_tax=percent(channel.stockist_tax),
    )


def _per_order(channel: Channel, taxed: Decimal, share_paid: Decimal, share_net: Decimal, gross: Decimal) -> Decimal:
    """k: what one order costs beyond its shares; below zero where the buyer pays more postage than it takes."""
    charged = channel.postage_charged
    sent = channel.fee * taxed + channel.carton + channel.postage
    return sent + share_paid * charged - (ONE - share_net) * charged / gross


def _extras(channel: Channel, per_order: Decimal) -> Figure:
    per_jar = per_order / channel.jars_per_order
    if not channel.pitch:
        return per_jar
    jars = _jars_a_day(channel)
    return jars if isinstance(jars, Gap) else per_jar + channel.pitch / jars


def _jars_a_day(channel: Channel) -> Figure:
    if channel.jars_a_day is None:
        return Gap(
            f"A selling day on {channel.name} costs a pitch or hours. Say how many jars are sold on such a day.",
            Ref("channel", channel.id, "jars_a_day"),
        )
    return channel.jars_a_day


def _times(book: Book, channel: Channel) -> tuple[SellingShare, ...]:
    shares = []
    for time in channel.work:
        minutes: Figure = time.per_order / channel.jars_per_order
        if time.per_day:
            a_day = from_known(lambda jars, hours=time.per_day: hours * MINUTES_AN_HOUR / jars, _jars_a_day(channel))
            minutes = added((minutes, a_day))
        person = book.people[time.person]
        labour = from_known(lambda spent, rate: spent * rate / MINUTES_AN_HOUR, minutes, hourly(person))
        shares.append(SellingShare(time.person, minutes, labour, person.whose == "own"))
    return tuple(shares)


def _endings(channel: Channel, currency: str) -> Endings | Gap:
    read = read_endings(channel.endings, channel.step, currency)
    if isinstance(read, Unusable):
        return Gap(f"{channel.name}: {read.sentence}", Ref("channel", channel.id, read.field))
    return read
