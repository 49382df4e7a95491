"""Why the margin of a product on a channel moved between two days: one kind of fact after another, as steps.

Method.md section 7: formula; batch and jar; material prices by name; wage; overhead; fees and tax; own price. A step
is the difference of two books, so that the steps add up exactly to the whole move and none is left over. The order
matters: what two kinds do together falls to the later one (a price rise counts on the grams of now). With one kind
moved alone, the days turned round give the same step with the other sign; with several only the whole does.

Money is in home currency and for one jar, margins are fractions.
"""

from __future__ import annotations

import decimal
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from webapp.costing import mixed_books
from webapp.costing.amounts import PRECISION, snap
from webapp.costing.book import Book, Id, PairKey, Price
from webapp.costing.gaps import Gap, surely
from webapp.costing.mixed_books import Mixed, Taken, beginning, costed_then, leaned_on
from webapp.costing.reckoning import Reckoning
from webapp.costing.rows import Row

FORMULA, JAR, MATERIAL, WAGE = "formula", "batch and jar", "material price", "wage"
OVERHEAD, SELLING, PRICE = "overhead", "fees and tax", "own price"
#: in this order they are taken over; the prices of materials come after batch and jar
KINDS = (FORMULA, JAR, MATERIAL, WAGE, OVERHEAD, SELLING, PRICE)
_BEFORE: tuple[tuple[str, Taken], ...] = ((FORMULA, mixed_books.formulas), (JAR, mixed_books.jars))
_AFTER: tuple[tuple[str, Taken], ...] = (
    (WAGE, mixed_books.wages),
    (OVERHEAD, mixed_books.overhead),
    (SELLING, mixed_books.selling),
)
#: figures have so many digits; the difference of two of them, written out in full, has no more than this
_EXACT = decimal.Context(prec=4 * PRECISION)


class Side(NamedTuple):
    """The row as one book has it, and the answers about that book."""

    known: Reckoning
    row: Row

    @property
    def profit(self) -> Decimal:
        """What is left of a jar, known wherever a side stands."""
        return surely(self.row.profit)

    @property
    def margin(self) -> Decimal:
        """The margin, known wherever a side stands."""
        return surely(self.row.margin)


class Cause(NamedTuple):
    """One kind of fact that was taken over; of MATERIAL the one whose price it was."""

    kind: str
    material: Id | None = None


class Move(NamedTuple):
    """One step. It has more than one cause only where the book between them could not be worked out."""

    causes: tuple[Cause, ...]
    before: Side
    after: Side

    @property
    def profit(self) -> Decimal:
        """What a jar leaves more for it, below zero less; not rounded."""
        return _EXACT.subtract(self.after.profit, self.before.profit)

    @property
    def margin(self) -> Decimal:
        """How far the margin moved, as a fraction; not rounded."""
        return _EXACT.subtract(self.after.margin, self.before.margin)


class Waterfall(NamedTuple):
    """From `then` to `now`, step by step. `priced_as_now`: materials that had no cost then, counted at that of now."""

    product: Id
    channel: Id
    since: date
    then: Side
    now: Side
    moves: tuple[Move, ...]
    priced_as_now: tuple[Id, ...]

    @property
    def whole(self) -> Move:
        """The whole move; the moves add up to it exactly, in money and in margin."""
        return Move((), self.then, self.now)


def waterfall(then: Reckoning, now: Reckoning, product: Id, channel: Id) -> Waterfall | Gap:
    """Why the margin is another one now than then; a gap where one of the two is not known.

    KeyError where product or channel is not in the book of now.
    """
    last = Side(now, now.row(product, channel))
    for shelf, one in ((then.book.products, product), (then.book.channels, channel)):
        if one not in shelf:
            return Gap("It was not there yet on that day. Choose a later one.")
    first = Side(then, then.row(product, channel))
    for side in (first, last):
        if isinstance(side.row.margin, Gap):
            return side.row.margin
    # As it was first: the margin of then is known, so nothing of then leans on what had no cost.
    as_then = costed_then(then, now, product)
    fresh = leaned_on(now, product, "material") - as_then
    moves = tuple(_moves(first, [*_sides(first, last, as_then), (Cause(PRICE), last)]))
    return Waterfall(product, channel, then.book.day, first, last, moves, _by_name(now.book, fresh))


def usual_day(book: Book, pair: PairKey, changed: Sequence[date]) -> date | None:
    """Where nobody names a day: when the price was accepted, else the last day before the book's on which it changed.

    `changed` are the days on which anything of it changed, oldest first; None where there is none before.
    """
    accepted = book.prices.get(pair)
    if accepted is not None and accepted.since < book.day:
        return accepted.since
    return next((day for day in reversed(changed) if day < book.day), None)


def _sides(first: Side, last: Side, as_then: frozenset[Id]) -> Iterator[tuple[Cause, Side]]:
    """The row after each kind was taken over, its own price the last and not among them."""
    then, now = first.known, last.known
    pair = (first.row.product, first.row.channel)
    book = beginning(then.book, now.book, pair, Price(*pair, then.book.day, surely(first.row.price)))

    def side(mixed: Book) -> Side:
        known = Mixed(mixed, then, now, as_then)
        return Side(known, known.row(*pair))

    for kind, taken in _BEFORE:
        book = taken(book, now.book)
        yield Cause(kind), side(book)
    inside = leaned_on(now, pair[0], "material") & as_then
    for material in _by_name(now.book, inside):
        if then.material(material).unit_cost != now.material(material).unit_cost:
            as_then -= {material}
            yield Cause(MATERIAL, material), side(book)
    for kind, taken in _AFTER:
        book = taken(book, now.book)
        yield Cause(kind), side(book)


def _moves(first: Side, sides: list[tuple[Cause, Side]]) -> Iterator[Move]:
    """What moved nothing is left out; a book that can't be worked out is passed over, its cause joined to the next."""
    before, waiting = first, []
    *between, last = sides
    moved: list[tuple[tuple[Cause, ...], Side]] = []
    for cause, after in between:
        waiting.append(cause)
        if isinstance(after.row.margin, Gap):
            continue
        if _differs(before, after):
            moved.append((tuple(waiting), after))
            before = after
        waiting = []
    cause, after = last
    if _differs(before, after):
        moved.append(((*waiting, cause), after))
    before = first
    for place, (causes, side) in enumerate(moved):
        # What differs by less than is ever shown is no step of its own; the last one ends where now stands.
        end = after if place == len(moved) - 1 else side
        yield Move(causes, before, end)
        before = end


def _differs(one: Side, other: Side) -> bool:
    return snap(one.profit) != snap(other.profit) or snap(one.margin) != snap(other.margin)


def _by_name(book: Book, materials: frozenset[Id]) -> tuple[Id, ...]:
    return tuple(sorted(materials, key=lambda one: (book.materials[one].name.casefold(), one)))
