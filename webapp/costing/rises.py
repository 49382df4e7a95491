"""How far each thing that a jar pays for may rise before its target is missed, and which is the tightest.

Method.md section 6, for one product on one channel: ingredients, packaging, wages, fees. The method speaks of one at a
time: all others stay as they are. Money is in home currency, shares are fractions of what they are taken from, a rise
is of the cost itself: per gram or piece, per hour of a person before the employer's extra, per order, per selling day.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import HUNDRED, ONE, ZERO, percent, snap
from webapp.costing.book import Channel, Id
from webapp.costing.channels import MINUTES_AN_HOUR, SellingShare
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.jars import charged_grams
from webapp.costing.labour import PersonTime
from webapp.costing.parts import charged_pieces
from webapp.costing.price_working import working as row_working
from webapp.costing.rows import Row
from webapp.costing.working import Step, Working

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

MATERIAL, PERSON, FEE = "material", "person", "fee"
#: the fees of a channel, as its record names them, and what they are called
FEES = {
    "share_paid": "share of what the buyer pays",
    "share_net": "share of the price net of tax",
    "fee": "fee per order",
    "pitch": "pitch per selling day",
}
SHARES = ("share_paid", "share_net")


class Rise(NamedTuple):
    """One thing: what it is now, how much higher it may be, and by how much of itself that is.

    `thing` is the number of the material, the person or the channel; `field` names the fee. `each` is what a jar pays
    for one more of it: grams or pieces, hours with the employer's extra on them, what a fee comes to.
    """

    kind: str
    thing: Id
    field: str
    now: Figure
    each: Figure
    may_rise: Figure

    @property
    def share(self) -> Figure | None:
        """The rise as a fraction of what it is now; None where it is nothing now."""
        return None if self.now == ZERO else from_known(lambda rise, now: rise / now, self.may_rise, self.now)

    @property
    def highest(self) -> Figure:
        """What it may be at most."""
        return from_known(lambda now, rise: now + rise, self.now, self.may_rise)


def spare(row: Row) -> Figure:
    """What a jar may still cost more until its target is missed; below zero it is missed already."""
    return from_known(lambda profit, net: profit - row.target * net, row.profit, row.net)


def rises(known: Reckoning, row: Row) -> tuple[Rise, ...]:
    """Every rise, the tightest by its share first (where the target is missed, the least fall that would do).

    What is nothing now, and what is not known, comes last.
    """
    found = [*_materials(known, row), *_people(known, row), *_fees(known, row)]
    return tuple(sorted(found, key=_tightest))


def _tightest(one: Rise) -> tuple[int, Decimal]:
    share = one.share
    return (1, ZERO) if share is None else (2, ZERO) if isinstance(share, Gap) else (0, abs(snap(share)))


def _rise(row: Row, what: tuple[str, Id, str], now: Figure, each: Figure) -> Rise | None:
    """None where a jar pays nothing for it."""
    if each == ZERO:
        return None
    return Rise(*what, now, each, from_known(lambda room, paid: room / paid, spare(row), each))


def _known(found: Iterator[Rise | None]) -> list[Rise]:
    return [one for one in found if one is not None]


# --- what is bought ---


def _materials(known: Reckoning, row: Row) -> list[Rise]:
    """Ingredients by the gram and packaging by the piece; a thing that is both, by both together."""
    charged: dict[Id, Decimal] = {}
    for found in (charged_grams(known, row.product), charged_pieces(known, row.product)):
        for material, amount in {} if isinstance(found, Gap) else found.items():
            charged[material] = charged.get(material, ZERO) + amount
    return _known(
        _rise(row, (MATERIAL, material, ""), known.material(material).unit_cost, amount)
        for material, amount in charged.items()
    )


# --- who works ---


def _people(known: Reckoning, row: Row) -> list[Rise]:
    """A wage an hour, of making and selling; in the overhead nothing of it is."""
    minutes: dict[Id, Figure] = {}
    making = () if isinstance(row.sheet.times, Gap) else row.sheet.times
    times: tuple[PersonTime | SellingShare, ...] = (*making, *row.terms.times)
    for time in times:
        before = minutes.get(time.person, ZERO)
        minutes[time.person] = from_known(lambda one, other: one + other, before, time.minutes)
    return _known(_of_person(known, row, person, spent) for person, spent in minutes.items())


def _of_person(known: Reckoning, row: Row, person: Id, minutes: Figure) -> Rise | None:
    wage = known.book.people[person].wage
    if wage is None:
        return None
    hours = from_known(lambda spent: spent * (HUNDRED + wage.extra) / (HUNDRED * MINUTES_AN_HOUR), minutes)
    return _rise(row, (PERSON, person, ""), wage.per_hour, hours)


# --- what selling takes ---


def _fees(known: Reckoning, row: Row) -> list[Rise]:
    channel = known.book.channels[row.channel]
    return _known(
        _rise(row, (FEE, channel.id, field), percent(now) if field in SHARES else now, each(known, row, channel))
        for field, each in _EACH.items()
        for now in (getattr(channel, field),)
    )


def _taxed(known: Reckoning, channel: Channel) -> Decimal:
    """What one of a fee costs with the tax on it, which is a cost unless it is reclaimed."""
    return ONE if known.book.registered_on(known.book.day) else ONE + percent(channel.fee_tax)


def _share_paid(known: Reckoning, row: Row, channel: Channel) -> Figure:
    """All that the buyer pays for the jar, postage in it."""
    taxed, gross = _taxed(known, channel), row.terms.gross
    postage = channel.postage_charged / channel.jars_per_order
    return from_known(lambda net: (net * gross + postage) * taxed, row.net)


def _share_net(known: Reckoning, row: Row, channel: Channel) -> Figure:
    taxed, postage = _taxed(known, channel), channel.postage_charged / channel.jars_per_order / row.terms.gross
    return from_known(lambda net: (net + postage) * taxed, row.net)


def _fee(known: Reckoning, row: Row, channel: Channel) -> Figure:
    del row
    return _taxed(known, channel) / channel.jars_per_order


def _pitch(known: Reckoning, row: Row, channel: Channel) -> Figure:
    """A pitch is typed as it is paid; where a channel has none and no day is said, it costs a jar nothing."""
    del known, row
    if channel.jars_a_day is None:
        return (
            ZERO
            if not channel.pitch
            else Gap("Say how many jars are sold on a selling day.", Ref("channel", channel.id, "jars_a_day"))
        )
    return ONE / channel.jars_a_day


_EACH: Mapping[str, Callable[[Reckoning, Row, Channel], Figure]] = {
    "share_paid": _share_paid,
    "share_net": _share_net,
    "fee": _fee,
    "pitch": _pitch,
}


# --- opened ---


def name_of(known: Reckoning, one: Rise) -> str:
    """What it is called."""
    book = known.book
    if one.kind == MATERIAL:
        return book.materials[one.thing].name
    if one.kind == PERSON:
        person = book.people[one.thing]
        return f"an hour of {person.name}, {'own' if person.whose == 'own' else 'hired'}"
    return FEES[one.field]


def working(known: Reckoning, row: Row, one: Rise) -> Working:
    """The sum behind one rise: what is left above the target, over what a jar pays for one more of it."""
    kind, unit, paid_kind, paid = _written(known, one)
    at = (
        Ref("product", row.product)
        if one.kind == MATERIAL
        else Ref(one.kind if one.kind == PERSON else "channel", one.thing)
    )
    steps = (
        Step("", spare(row), "money", "that a jar may still cost more", working=spare_working(known, row)),
        Step("÷", one.each, paid_kind, paid, at),
    )
    title = f"How far it may rise: {name_of(known, one)}"
    note = "Everything else stays as it is. Below zero, the target is missed already."
    return Working(title, steps, one.may_rise, kind, unit=unit, note=note)


def spare_working(known: Reckoning, row: Row) -> Working:
    """What a jar may still cost more: what is left of it less what the target keeps."""
    kept = from_known(lambda net: row.target * net, row.net)
    net = row_working(known, row, "net")
    target = (
        Step("", row.net, "money", "price net of sales tax", working=net),
        Step("×", row.target, "percent", "target margin", Ref("product", row.product, f"target-{row.channel}")),
    )
    steps = (
        Step("", row.profit, "money", "left of a jar", working=row_working(known, row, "profit")),
        Step(
            "-", kept, "money", "that the target keeps", working=Working("What the target keeps", target, kept, "money")
        ),
    )
    return Working("What a jar may still cost more", steps, spare(row), "money")


def _written(known: Reckoning, one: Rise) -> tuple[str, str, str, str]:
    """How the rise and what it is divided by are written: kind and unit of the one, kind and words of the other."""
    if one.kind == MATERIAL:
        material = known.book.materials[one.thing]
        in_pieces = material.by_piece
        words = f"of {material.name} that a jar pays for, losses in it"
        return "unit cost", "per piece" if in_pieces else "per g", "pieces" if in_pieces else "g", words
    if one.kind == PERSON:
        return "money", "per hour", "number", "hours in a jar, with the employer's extra on each"
    if one.field in SHARES:
        return "percent", "", "money", "that the share is taken of, a jar, with the tax on it where that is a cost"
    return "money", "", "number", "of it that a jar bears"
