"""Which products of the line are weakest by their margin against its target, and what it is that makes each so.

Two things are told apart. Where a price reached its target when it was accepted, what has moved since is the cause;
else the part that takes more of its price than it does in the others. Shares are fractions of the price net of tax, so
that one and all shares are the margin: a cause is a term of a sum, never a guess. Money is in the home currency.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from webapp.costing.amounts import ONE, ZERO, snap
from webapp.costing.book import Book, Id
from webapp.costing.dependence import charged_costs
from webapp.costing.gaps import Figure, Gap, surely
from webapp.costing.rows import Row

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: what a margin bears, as it is named on a cost sheet
PARTS = ("ingredients", "packaging", "labour_own", "labour_hired", "overhead", "one_offs", "fees")
#: why a row is weak
MOVED = "moved since"  # it reached its target when its price was accepted; this part took most of that away
TARGET_ROSE = "target raised"  # it reached the target of that day, and no part takes more than then
SHARE = "larger share"  # this part takes more of its price than in the others, by more than any other part
TARGET = "higher target"  # no part takes more than in the others
ALONE = "largest part"  # there is nothing to compare it with
MANY = 3
#: so many others on the same channel are a company to be compared with; fewer, and it is the whole line
COMPANY = 2

Shares = Mapping[str, Decimal]
Past = Callable[[date], "Reckoning"]


class Others(NamedTuple):
    """What a row is compared with: shares of the net price over all of `rows`, each counted by its jars a month.

    Where none of them sells, one jar of each. `channel` is None where it is the rest of the whole line.
    """

    shares: Shares
    target: Decimal
    rows: int
    channel: Id | None
    by_jars: bool

    @property
    def margin(self) -> Decimal:
        """What is left of the net price over all of them."""
        return ONE - sum(self.shares.values(), ZERO)


class Cause(NamedTuple):
    """What makes a row weak. `own` is its part's share now, `other` that of the day or of the others.

    `every`: each part of it takes more than in the others, so that the price is low rather than one part high.
    `material` is what the part (or its rise) is made of most, with its cost (or rise) in a jar.
    """

    kind: str
    part: str = ""
    own: Decimal = ZERO
    other: Decimal = ZERO
    every: bool = False
    material: Id | None = None
    amount: Decimal = ZERO


class Weak(NamedTuple):
    """One of the weakest: its row now and as it was when its price was accepted, the others, and the cause."""

    row: Row
    distance: Decimal
    shares: Shares
    since: date
    then: Row | None
    then_shares: Shares | None
    others: Others | None
    cause: Cause

    @property
    def short_then(self) -> Decimal | None:
        """By how much it missed its target already on the day when its price was accepted; None where it did not."""
        distance = self.then.distance if self.then is not None else None
        return -distance if isinstance(distance, Decimal) and distance < ZERO else None


class Ranking(NamedTuple):
    """The weakest, the weakest first, and how many rows have no say in it: without accepted price, or not known."""

    weak: tuple[Weak, ...]
    unpriced: int
    unknown: int


def weakest(known: Reckoning, rows: Sequence[Row], past: Past, many: int = MANY) -> Ranking:
    """The `many` products of `rows` that are furthest below their target, or nearest above it; each at its worst row.

    Their shares are held against those of the whole line, whichever part of it `rows` are. A row without an accepted
    price stands at the suggested one, which moves with its cost: it is never weak. `past` gives the answers about the
    book of an earlier day.
    """
    priced = [row for row in rows if row.accepted]
    fit = [row for row in priced if row.gap is None]
    company = [row for row in known.line() if row.accepted and row.gap is None]
    ordered = sorted(((surely(row.distance), row) for row in fit), key=lambda pair: pair[0])
    worst: dict[Id, tuple[Decimal, Row]] = {}
    for distance, row in ordered:
        worst.setdefault(row.product, (distance, row))
    found = [_weak(known, row, distance, company, past) for distance, row in list(worst.values())[:many]]
    return Ranking(tuple(found), len(rows) - len(priced), len(priced) - len(fit))


def shares_of(book: Book, row: Row) -> Shares | Gap:
    """What each of PARTS takes of a row's price net of tax; together with its margin they are 1.

    Overhead and one-offs only where the workshop counts them as cost.
    """
    if isinstance(row.margin, Gap):
        return row.margin
    return _known_shares(book, row)


def _known_shares(book: Book, row: Row) -> Shares:
    net = surely(row.net)
    return {part: amount / net for part, amount in amounts_of(book, row).items()}


def amounts_of(book: Book, row: Row) -> dict[str, Decimal]:
    """What each of PARTS costs in a jar, of a row whose margin is known."""
    sheet, terms = row.sheet, row.terms
    full = book.terms.cost == "full"
    found: tuple[Figure, ...] = (
        sheet.ingredients,
        sheet.packaging,
        sheet.labour_own + terms.labour_own,
        sheet.labour_hired + terms.labour_hired,
        sheet.overhead if full else ZERO,
        sheet.one_offs if full else ZERO,
        row.fees,
    )
    return {part: surely(figure) for part, figure in zip(PARTS, found, strict=True)}


# --- the others ------------------------------------------------------------------------------------------------------


def _others(known: Reckoning, row: Row, company: Sequence[Row]) -> Others | None:
    near = [one for one in company if one.channel == row.channel and one is not row]
    if len(near) >= COMPANY:
        return others(known.book, near, row.channel)
    rest = [one for one in company if one is not row]
    return others(known.book, rest, None) if rest else None


def others(book: Book, rows: Sequence[Row], channel: Id | None) -> Others:
    """What each part takes of the net price over all of these rows, whose margins are known."""
    selling = [row for row in rows if row.jars_a_month]
    counted = [(row, row.jars_a_month or ONE) for row in selling or rows]
    net = target = ZERO
    spent = dict.fromkeys(PARTS, ZERO)
    for row, jars in counted:
        sold = surely(row.net) * jars
        net, target = net + sold, target + row.target * sold
        for part, amount in amounts_of(book, row).items():
            spent[part] += amount * jars
    shares = {part: amount / net for part, amount in spent.items()}
    return Others(shares, target / net, len(counted), channel, bool(selling))


# --- the cause -------------------------------------------------------------------------------------------------------


def _weak(known: Reckoning, row: Row, distance: Decimal, company: Sequence[Row], past: Past) -> Weak:
    shares = _known_shares(known.book, row)
    since = known.book.prices[row.product, row.channel].since
    before = past(since) if since < known.book.day else known
    then, then_shares = _then(before, row)
    others_now = _others(known, row, company)
    if then is not None and then_shares is not None and then.reaches and row.reaches is False:
        cause = _moved(known, before, row, shares, then_shares)
    else:
        cause = _larger(known, row, shares, others_now)
    return Weak(row, distance, shares, since, then, then_shares, others_now, cause)


def _then(before: Reckoning, row: Row) -> tuple[Row | None, Shares | None]:
    """The row on the day its price was accepted; None where product or channel was entered later than it holds."""
    if row.product not in before.book.products or row.channel not in before.book.channels:
        return None, None
    then = before.row(row.product, row.channel)
    shares = shares_of(before.book, then)
    return (None, None) if isinstance(shares, Gap) else (then, shares)


def _most(more: Mapping[str, Decimal]) -> tuple[str, Decimal]:
    """The part that has most, of several the one that stands first on a cost sheet."""
    part = max(PARTS, key=lambda one: more[one])
    return part, snap(more[part])


def _moved(known: Reckoning, before: Reckoning, row: Row, shares: Shares, then: Shares) -> Cause:
    part, rise = _most({part: shares[part] - then[part] for part in PARTS})
    if rise <= ZERO:
        return Cause(TARGET_ROSE)
    # Where a margin is known, so is what a jar pays for.
    now, was = surely(charged_costs(known, row.product)), surely(charged_costs(before, row.product))
    risen = {one: now.get(one, ZERO) - was.get(one, ZERO) for one in {*now, *was}}
    return Cause(MOVED, part, shares[part], then[part], False, *_made_of(known.book, part, risen))


def _larger(known: Reckoning, row: Row, shares: Shares, compared: Others | None) -> Cause:
    costs = surely(charged_costs(known, row.product))
    if compared is None:
        part, _ = _most(shares)
        return Cause(ALONE, part, shares[part], ZERO, False, *_made_of(known.book, part, costs))
    more = {part: shares[part] - compared.shares[part] for part in PARTS}
    part, excess = _most(more)
    if excess <= ZERO:
        return Cause(TARGET, own=row.target, other=compared.target)
    every = sum(one > ZERO for one in more.values()) > 1 and all(snap(one) >= ZERO for one in more.values())
    return Cause(SHARE, part, shares[part], compared.shares[part], every, *_made_of(known.book, part, costs))


def _made_of(book: Book, part: str, amounts: Mapping[Id, Decimal]) -> tuple[Id | None, Decimal]:
    """The material that has most of it, above nothing; None for a part that is no material."""
    if part not in ("ingredients", "packaging"):
        return None, ZERO
    held = book.materials
    fit: Iterable[tuple[Decimal, Id]] = (
        (amount, -one) for one, amount in amounts.items() if one in held and held[one].by_piece == (part == "packaging")
    )
    amount, number = max(fit, default=(ZERO, 0))
    return (-number, amount) if snap(amount) > ZERO else (None, ZERO)
