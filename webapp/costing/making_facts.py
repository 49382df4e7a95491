"""Facts of making: formulas, parts, and what a product is made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from webapp.costing.workshop_facts import ZERO, Id


@dataclass(frozen=True, slots=True)
class Work:
    """Minutes of one person. On a product None takes the formula's minutes; on a formula None is none."""

    person: Id
    per_batch: Decimal | None = None
    per_kg: Decimal | None = None
    per_jar: Decimal | None = None  # products only


@dataclass(frozen=True, slots=True)
class FormulaLine:
    """A material or another formula. `amount` in `unit`; `rest` (q.s.) takes what is left of 100 %."""

    material: Id | None = None
    formula: Id | None = None
    amount: Decimal | None = None
    unit: str = "percent"  # percent | g | mL | drops | part
    rest: bool = False
    stage: str = ""


@dataclass(frozen=True, slots=True)
class Formula:
    """How something is made: lines, one way of writing, the batch, its losses and its minutes."""

    id: Id
    name: str
    since: date
    lines: tuple[FormulaLine, ...]
    way: str = "percent"  # percent | grams | parts
    batch_grams: Decimal | None = None
    loss: Decimal = ZERO  # percent of the batch
    loss_grams: Decimal = ZERO  # fixed, per batch
    work: tuple[Work, ...] = ()
    made_ahead: bool = False
    density: Decimal | None = None  # of the melt, g/mL
    air: Decimal = ZERO  # percent whipped in, by volume
    shelf_months: Decimal | None = None
    note: str = ""
    retired: date | None = None
    pot_grams: Decimal | None = None  # the largest batch that the pot takes; None: not said


@dataclass(frozen=True, slots=True)
class Part:
    """Pieces of a material, or one use of a group of parts; `spoiled` per 100 used well."""

    material: Id | None = None
    group: Id | None = None
    pieces: Decimal = Decimal(1)
    spoiled: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class PartGroup:
    """Parts that go together (jar, lid, label, seal), so that one change serves all sizes."""

    id: Id
    name: str
    since: date
    parts: tuple[Part, ...]
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Fill:
    """What goes in: `declared` + `overfill`, both in `unit` (g or mL)."""

    formula: Id
    declared: Decimal
    unit: str = "g"
    overfill: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Member:
    """Another product inside a gift set."""

    product: Id
    count: Decimal = Decimal(1)


@dataclass(frozen=True, slots=True)
class OneOff:
    """A cost paid once (a mould, a label plate), in home currency, and the jars it is meant to serve."""

    name: str
    amount: Decimal
    jars: Decimal


@dataclass(frozen=True, slots=True)
class Product:
    """What is sold: fillings, parts, other products, minutes, and what it changes of the formula's batch."""

    id: Id
    name: str
    since: date
    fills: tuple[Fill, ...] = ()
    parts: tuple[Part, ...] = ()
    members: tuple[Member, ...] = ()
    work: tuple[Work, ...] = ()
    one_offs: tuple[OneOff, ...] = ()
    batch_grams: Decimal | None = None  # None: the formula's
    loss: Decimal | None = None
    loss_grams: Decimal | None = None
    set_aside: Decimal = ZERO  # whole jars of a batch: tester, kept sample
    channels: tuple[Id, ...] = ()  # where it is sold; none named: on every channel
    case_jars: Decimal | None = None  # whole jars in a case, as shops buy it; None: by the jar
    note: str = ""
    retired: date | None = None


@dataclass(frozen=True, slots=True)
class Weighed:
    """A line of a batch that was made: grams as planned (0: it was on no plan) and as weighed."""

    material: Id | None = None
    formula: Id | None = None
    planned: Decimal = ZERO
    grams: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Filled:
    """Good jars of a product that a batch filled; those set aside are not counted."""

    product: Id
    jars: Decimal


@dataclass(frozen=True, slots=True)
class Spent:
    """Minutes of one person at a batch, all of it: making, filling, cleaning."""

    person: Id
    minutes: Decimal


@dataclass(frozen=True, slots=True)
class MadeBatch:
    """A batch as it was made on a day. It moves no price: it is looked at beside what was planned."""

    id: Id
    day: date
    formula: Id
    lines: tuple[Weighed, ...]
    filled: tuple[Filled, ...] = ()
    spent: tuple[Spent, ...] = ()
    note: str = ""
