"""Facts of selling: channels, and prices, targets and sales of a product on a channel."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from webapp.costing.workshop_facts import ZERO, Id


@dataclass(frozen=True, slots=True)
class SellingTime:
    """Minutes per order and hours per selling day of one person."""

    person: Id
    per_order: Decimal = ZERO  # minutes
    per_day: Decimal = ZERO  # hours


@dataclass(frozen=True, slots=True)
class Channel:
    """Where jars are sold, and what selling there costs. Money in home currency, shares in percent."""

    id: Id
    name: str
    since: date
    kind: str = "stall"  # stall | web shop | marketplace | wholesale | consignment
    tax: str = "none"  # in | added | none
    tax_rate: Decimal = ZERO
    share_paid: Decimal = ZERO  # of what the buyer pays
    share_net: Decimal = ZERO  # of the price net of tax
    fee: Decimal = ZERO  # per order
    fee_tax: Decimal = ZERO  # tax on the shares and the fee; a cost unless reclaimed
    jars_per_order: Decimal = Decimal(1)
    carton: Decimal = ZERO
    postage: Decimal = ZERO  # what she pays
    postage_charged: Decimal = ZERO  # what the buyer is charged, tax included
    pitch: Decimal = ZERO  # per selling day
    jars_a_day: Decimal | None = None
    work: tuple[SellingTime, ...] = ()
    endings: str = ""  # e.g. ".00 .50 .95 .99"; empty with no step: every minor unit
    step: Decimal | None = None
    target: Decimal | None = None
    stockist_margin: Decimal = Decimal(50)  # wholesale: the shop's own margin
    stockist_tax: Decimal = ZERO  # wholesale: the tax inside the shop's shelf price
    least_order: Decimal | None = None  # the least that is delivered there, net of tax
    list_terms: str = ""  # what a price list says below: payment, delivery, how long it holds
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Price:
    """The accepted price of a product on a channel from a day on, with why, and what was suggested then."""

    product: Id
    channel: Id
    since: date
    amount: Decimal
    why: str = ""
    floor: Decimal | None = None
    suggested: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Target:
    """A target margin of one product on one channel (percent); None takes the channel's."""

    product: Id
    channel: Id
    since: date
    margin: Decimal | None


@dataclass(frozen=True, slots=True)
class Sales:
    """Jars sold a month of one product on one channel; None: not known."""

    product: Id
    channel: Id
    since: date
    jars: Decimal | None
