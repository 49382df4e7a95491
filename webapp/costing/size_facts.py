"""What is asked about another size of a jar, and what is answered: another jar or a set, one less, or a case for shops.

Money is in home currency, shares and margins of an answer are fractions, those of a question are percent as typed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ZERO
from webapp.costing.book import Id, Member, Product
from webapp.costing.changes import Put
from webapp.costing.deal_facts import Cash, Deal, Grid, Spans, Verdict
from webapp.costing.gaps import Figure, Gap
from webapp.costing.rows import Row

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: what can be asked: another size, a size less, a set of several jars, a case for shops
ASKS = ("size", "drop", "set", "case")
#: how many jars one of the candidate takes the place of: the same grams, a jar a visit, or so many
REPLACED = ("grams", "visit", "number")
#: where a candidate's price comes from: typed; the target; the present price per 100 g less a discount; the present
#: contribution per own hour
PRICE_WAYS = ("target", "typed", "per 100", "hour")


@dataclass(frozen=True, slots=True)
class Candidate:
    """A size that is thought of. What is None is as the present jar has it.

    `jar` and `lid` are known materials, or new ones typed on the spot (`…_name` and the price of a piece, the least
    that is sold at once in pieces, and up to two price breaks: from so many pieces on, all of them cost that).
    `…_instead` is the part of the present jar that it takes the place of; None: it comes in addition, but a jar takes
    the place of the only part that holds something. `minutes` a jar are those of all hands together. `jars` a month and
    `share` (percent) are what is expected of this one, with their own ends; None: as the question says. `width` in cm
    is what it takes of the front of a shelf.
    """

    name: str = ""
    declared: Decimal | None = None
    unit: str = "g"
    overfill: Decimal | None = None
    jar: Id | None = None
    jar_instead: Id | None = None
    jar_name: str = ""
    jar_price: Decimal | None = None
    jar_least: Decimal | None = None
    jar_from: Decimal | None = None
    jar_then: Decimal | None = None
    jar_from_2: Decimal | None = None
    jar_then_2: Decimal | None = None
    lid: Id | None = None
    lid_instead: Id | None = None
    lid_name: str = ""
    lid_price: Decimal | None = None
    lid_least: Decimal | None = None
    lid_from: Decimal | None = None
    lid_then: Decimal | None = None
    lid_from_2: Decimal | None = None
    lid_then_2: Decimal | None = None
    minutes: Decimal | None = None
    way: str = "target"
    price: Decimal | None = None
    discount: Decimal | None = None
    jars: Decimal | None = None
    jars_low: Decimal | None = None
    jars_high: Decimal | None = None
    share: Decimal | None = None
    share_low: Decimal | None = None
    share_high: Decimal | None = None
    width: Decimal | None = None


@dataclass(frozen=True, slots=True)
class SizeQuestion:
    """What is asked, on one channel. Low and high that are None are as the likely one; shares are percent.

    size: `product` (or `formula`, whose first candidate is then the jar that the others are set beside) and
    `candidates`; `width` in cm is the present jar's. set: `members` go into one candidate. drop: `product` goes, some
    of its buyers take `other`; on the channel, or on all where it is sold; `jars` of it a month, None: as many as are
    sold now. case: `product` for shops, `case_jars` of it at `case_price` or `discount`; `jars` are cases a month,
    `share` how many more jars a shop sells so, `number` and `replaced` don't count.
    """

    ask: str = "size"
    product: Id | None = None
    formula: Id | None = None
    channel: Id | None = None
    other: Id | None = None
    candidates: tuple[Candidate, ...] = ()
    members: tuple[Member, ...] = ()
    replaced: str = "grams"
    number: Decimal | None = None
    jars: Decimal | None = None
    jars_low: Decimal | None = None
    jars_high: Decimal | None = None
    share: Decimal | None = None
    share_low: Decimal | None = None
    share_high: Decimal | None = None
    monthly: Decimal = ZERO
    monthly_low: Decimal | None = None
    monthly_high: Decimal | None = None
    one_off: Decimal = ZERO
    within: Decimal = Decimal(12)
    case_jars: Decimal | None = None
    case_price: Decimal | None = None
    discount: Decimal | None = None
    width: Decimal | None = None


class Trade(NamedTuple):
    """One answer to how many jars one candidate takes the place of: method.md section 8 at the likely point."""

    replaced: str
    times: Figure
    deal: Deal | Gap
    gain: Figure
    break_even_share: Figure  # as it comes out, also below 0 and above 1; a gap where no share limits it or is enough
    months: Figure
    fair_price: Figure


class PartPack(NamedTuple):
    """So many packs of `pieces` at `price` each."""

    packs: Decimal
    pieces: Decimal
    price: Decimal


class SizePart(NamedTuple):
    """A part of a candidate as it is bought: what its least order means in months and cash.

    `needed` pieces a month at the likely rate; `pieces` and `cash` are of the order looked at, `lasts` its months.
    `batch` pieces are for the `jars` that are made first. `packs` (and their `freight`) of what comes in packs.
    `next_*`: the next price break: pieces, price of a piece, months it lasts, cash, and what a jar saves by it.
    """

    material: Id
    needed: Figure
    pieces: Figure
    price: Figure
    cash: Figure
    lasts: Figure
    next_from: Decimal | None = None
    next_price: Decimal | None = None
    next_cash: Figure | None = None
    next_lasts: Figure | None = None
    saves: Figure | None = None
    used: bool = False  # other products have it in them already, so its first order is not counted as tied up
    a_jar: Figure = ZERO  # pieces that a jar pays for, spoiled ones and jars set aside in it
    cost_a_jar: Figure = ZERO  # what of a jar's cost it is
    batch: Figure = ZERO
    jars: Figure = ZERO
    packs: tuple[PartPack, ...] = ()
    freight: Decimal = ZERO


class Shelf(NamedTuple):
    """What a batch makes, sold within the months that it keeps: `unsold` jars of it would not be. None: not known."""

    batch_jars: Figure
    months: Decimal | None
    sold: Figure
    unsold: Figure


class Rung(NamedTuple):
    """A size on the ladder of one channel, from the smallest: a product that is there, or a candidate.

    `price_100` and `cost_100` per 100 g (or mL) declared. `dearer`: more per 100 g than the size before it.
    `falls_faster`: from the size before its price per 100 g falls by more percent than its cost does.
    """

    row: Row
    candidate: int | None
    declared: Figure
    price_100: Figure
    cost_100: Figure
    price_fall: Figure  # as a share of the size before, a gap for the first
    cost_fall: Figure
    dearer: bool
    falls_faster: bool
    stockist: Figure | None  # what a shop has of a jar at the recommended retail price; None on other channels
    shelf: Figure | None = None  # the same for 10 cm of the front of a shelf; None where no width is typed
    width: Decimal | None = None  # of the jar, in cm
    unit: str = "g"  # of `declared`, and what the 100 are of: mL where every size on the ladder is declared by volume


class CandidateAnswer(NamedTuple):
    """A candidate worked out: what would be put into the book for it, its rows there, and what it comes to."""

    place: int
    product: Product
    changes: tuple[Put, ...]
    row: Row  # on the channel that is asked about
    price_way: str
    price: Figure
    trades: tuple[Trade, ...]  # the one that is counted on first
    spans: Spans | Gap
    grid: Grid | Gap
    verdict: Verdict | Gap
    parts: tuple[SizePart, ...]
    tied_up: Figure
    shelf: Shelf | None
    cash: Cash | Gap
    remarks: tuple[str, ...]  # codes of what else is to be said: "more-than-sold", "below-target", "undercuts"…


class DropAnswer(NamedTuple):
    """A size less: `rows` where jars of it are sold, `taken` the rows on which its buyers would take another.

    `lost` a month at no trade-up, `regained` if all of them took the other; `stays` is its share of the monthly bills,
    which others bear then. The deal's `jars` are those sold now, `own` is below zero where they contribute.
    """

    rows: tuple[Row, ...]
    taken: tuple[Row, ...]
    lost: Figure
    regained: Figure
    stays: Figure
    deal: Deal | Gap
    gain: Figure
    break_even_share: Figure
    months: Figure
    spans: Spans | Gap
    grid: Grid | Gap
    verdict: Verdict | Gap
    inside: tuple[Id, ...] = ()  # living sets that have it in them: they go too, or need another jar


class CaseAnswer(NamedTuple):
    """A case for shops: the row by the jar as it is, and as it would be with a case in an order.

    `price` is of a jar in a case, `case_price` of the case; `lowest` is the price of a case at which a case brings what
    its jars bring now. The deal's `own` is what a case brings more (or less) than its jars now, `each` what a case more
    brings, `share` how many more are sold.
    """

    row: Row
    cased: Row
    price: Figure
    case_price: Figure
    lowest: Figure
    deal: Deal | Gap
    gain: Figure
    break_even_share: Figure
    spans: Spans | Gap
    grid: Grid | Gap
    verdict: Verdict | Gap


class SizeAnswer(NamedTuple):
    """What was asked, answered: candidates of a size or a set with `ladders` by channel, or a drop, or a case."""

    question: SizeQuestion
    candidates: tuple[CandidateAnswer, ...] = ()
    ladders: Mapping[Id, tuple[Rung, ...]] = MappingProxyType({})
    drop: DropAnswer | None = None
    case: CaseAnswer | None = None
    known: Reckoning | None = None  # of the book with all candidates in it (or the case), for workings
