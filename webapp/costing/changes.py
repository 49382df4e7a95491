"""What a change does: a frozen record that turns a book into another book, or says what is wrong with it.

A supplier order, a new wage, a swapped ingredient and a what-if are all this one mechanism. Nothing is stored here.
The faults of each kind of record are in `checks.py`; the difference of two lines is in `line.py`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date
from itertools import groupby
from typing import Any, TypeAlias

from webapp.costing import book as b
from webapp.costing import checks
from webapp.costing.book import Book, Id, PairKey
from webapp.costing.checks import Question
from webapp.costing.describing import Many, Part, Rows, Shape
from webapp.costing.limits import Fault, Reference
from webapp.costing.shapes import SHAPES
from webapp.costing.shelves import Shelf

Faults: TypeAlias = tuple[Fault, ...]
Key: TypeAlias = tuple[str, Id | PairKey]
#: what a thing of dated content keeps whatever the day
UNDATED = ("name", "note")


@dataclass(frozen=True, slots=True)
class Put:
    """Enter or change a record. A new thing has a negative id."""

    record: b.Record


@dataclass(frozen=True, slots=True)
class Retire:
    """From `day` on the thing leaves the choosers and the line; old figures keep it."""

    kind: str
    id: Id
    day: date


@dataclass(frozen=True, slots=True)
class Restore:
    """A retired thing comes back from the book's day on; that it was away until then stays."""

    kind: str
    id: Id


@dataclass(frozen=True, slots=True)
class Withdraw:
    """Take back an order, a quote, a batch; or of a day a pair's price, target or sales figure, a material's review.

    `before` is what holds again then: a book knows only the newest of such facts, so the store says which.
    """

    kind: str
    key: Id | PairKey
    since: date | None = None
    before: b.Price | b.Target | b.Sales | b.Review | None = None


Change: TypeAlias = Put | Retire | Restore | Withdraw


def apply(book: Book, change: Change) -> Book | Faults:
    """The book after `change`, or every fault of it. The book that was given is not touched."""
    placing = Placing(book)
    return placing.place((change,)) or placing.book


def apply_all(book: Book, changes: Iterable[Change]) -> Book | Faults:
    """One change after another; the first that has faults stops, and nothing of them holds."""
    placing = Placing(book)
    for together in _runs(changes):
        if faults := placing.place(together):
            return faults
    return placing.book


def questions(book: Book, changes: Sequence[Change]) -> tuple[Question, ...]:
    """What the person must be sure of before this is stored: each is answered for itself."""
    placing = Placing(book)
    asked: list[Question] = []
    for together in _runs(changes):
        for change in together:
            if isinstance(change, Put):
                asked += checks.questions_of(placing.book, change.record)
            elif isinstance(change, Retire):
                asked += checks.in_use(placing.book, change.kind, change.id)
        placing.place(together)
    return checks.told_apart([*asked, *checks.undercut_questions(book, placing.book)])


def _runs(changes: Iterable[Change]) -> Iterator[tuple[Change, ...]]:
    """Changes in their order, facts about pairs that follow one another together: thousands of prices move at once."""
    for kind, together in groupby(changes, _fact):
        if kind is None:
            yield from ((one,) for one in together)
        else:
            yield tuple(together)


def _fact(change: Change) -> type[Any] | None:
    return type(change.record) if isinstance(change, Put) and type(change.record) in b.PAIRS else None


def key_of(record: b.Record) -> Key:
    """(kind, id) of a thing, (kind, (product, channel)) of a fact about a pair, (kind, material) of one about that."""
    if type(record) in b.PAIRS:
        return b.PAIRS[type(record)][0], (record.product, record.channel)  # type: ignore[union-attr]
    if type(record) in b.ABOUT:
        return b.ABOUT[type(record)][0], record.material  # type: ignore[union-attr]
    return b.SHELVES[type(record)][0], record.id  # type: ignore[union-attr]


def affected(change: Change) -> Key:
    """Which record a change is about."""
    if isinstance(change, Put):
        return key_of(change.record)
    if isinstance(change, Withdraw):
        return change.kind, change.key
    return change.kind, change.id


# --- putting ---


def shelf_of(kind: str) -> str:
    """The name in the book of what holds the records of a kind. KeyError for no kind."""
    for names in (b.SHELVES, b.PAIRS, b.ABOUT):
        for record_kind, shelf in names.values():
            if record_kind == kind:
                return shelf
    raise KeyError(kind)


class Placing:
    """A book in which changes are placed one after another. What was given is not touched.

    Each shelf that something is placed on is copied once, however many changes there are: the books in between are
    seen by nobody but the checks.
    """

    def __init__(self, book: Book) -> None:
        self.book = book
        self._own: dict[str, Shelf] = {}

    def place(self, together: Sequence[Change]) -> Faults:
        """Place one change, or facts of one kind about pairs, of which none asks about another; or say their faults.

        Where there are faults nothing of them is placed.
        """
        for change in together:
            if isinstance(change, Put) and (faults := checks.faults_of(self.book, change.record)):
                return faults
        for change in together:
            if isinstance(change, Put):
                self._put(change.record)
            elif faults := self._withdraw(change) if isinstance(change, Withdraw) else self._retire(change):
                return faults
        return ()

    def _shelf(self, name: str) -> Shelf:
        if name not in self._own:
            changed: dict[str, Any] = {name: Shelf(getattr(self.book, name))}
            self._own[name] = changed[name]
            self.book = replace(self.book, **changed)
        return self._own[name]

    def _put(self, record: b.Record) -> None:
        if isinstance(record, b.Workshop):
            self.book = replace(self.book, workshop=record)
            return
        if isinstance(record, b.Terms):
            self.book = with_terms(self.book, record)
            return
        kind, key = key_of(record)
        shelf = shelf_of(kind)
        held = getattr(self.book, shelf).get(key)
        if is_ahead(record, self.book.day):
            if held is not None:
                self._shelf(shelf).take_away(key)
            return
        kept = as_it_holds(record, held, self.book.day)
        if kept is not None:
            self._shelf(shelf).place(key, kept)

    def _withdraw(self, change: Withdraw) -> Faults:
        shelf = shelf_of(change.kind)
        held = getattr(self.book, shelf).get(change.key)
        if change.since is not None and (held is None or held.since != change.since):
            return ()  # a fact that is not in force on this day: figures stay
        if held is None:
            return _GONE
        materials = self.book.materials.values() if change.kind == "quote" else ()
        if users := [one.name for one in materials if one.quote == change.key]:
            words = f"The price of {users[0]} rests on this quote. Choose another basis there first."
            return (Fault("", "in-use", words),)
        if change.before is not None:
            self._shelf(shelf).place(change.key, change.before)
        else:
            self._shelf(shelf).take_away(change.key)
        return ()

    def _retire(self, change: Retire | Restore) -> Faults:
        shelf = shelf_of(change.kind)
        held = getattr(self.book, shelf).get(change.id)
        if held is None or not hasattr(held, "retired"):
            return _GONE
        if isinstance(change, Retire) and change.day > self.book.day:
            return ()
        day = change.day if isinstance(change, Retire) else None
        self._shelf(shelf).place(change.id, replace(held, retired=day))
        return ()


_GONE = (Fault("", "not-found", "That isn't there any more. Load the page again."),)


def is_ahead(record: Any, day: date) -> bool:
    """Orders, quotes and batches have one day and no earlier state: one still to come is not in the book."""
    if isinstance(record, b.Order | b.MadeBatch):
        return record.day > day
    return isinstance(record, b.Quote) and record.since > day


def as_it_holds(record: Any, held: Any, day: date) -> Any:
    """`record` as it holds on `day` beside what held before; None where nothing of it holds yet."""
    if hasattr(record, "retired"):
        record = replace(record, retired=None if held is None else held.retired)
    for part in ("density", "wage"):
        if is_dataclass(new := getattr(record, part, None)) and not isinstance(new, type):
            record = replace(record, **{part: _newest(new, getattr(held, part, None), day)})
    if not hasattr(record, "since") or isinstance(record, b.Quote):
        return record
    if record.since <= day and (held is None or record.since >= held.since):
        return record
    if held is None:
        return None
    return replace(held, **{name: getattr(record, name) for name in UNDATED if hasattr(held, name)})


def _newest(new: Any, held: Any, day: date) -> Any:
    if new.since > day:
        return held
    return held if held is not None and held.since > new.since else new


def with_terms(book: Book, terms: b.Terms) -> Book:
    """The book with terms from their day on; those ahead are not in it."""
    if terms.since > book.day:
        return book
    entries = {entry.since: entry for entry in book.registrations}
    entries[terms.since] = b.Registration(terms.since, terms.registered)
    registrations = tuple(entries[since] for since in sorted(entries))
    in_force = terms if terms.since >= book.terms.since else book.terms
    return replace(book, terms=in_force, registrations=registrations)


def swapped(formula: b.Formula, old: Id, new: Id, since: date) -> b.Formula:
    """The formula with ingredient `new` wherever `old` stood, in the same amounts, from a day on."""
    lines = tuple(replace(line, material=new) if line.material == old else line for line in formula.lines)
    return replace(formula, lines=lines, since=since)


# --- new identities ---


def renumber(change: Change, ids: Mapping[Id, Id]) -> Change:
    """The same change with temporary (negative) ids replaced by those that were given."""
    if isinstance(change, Put):
        return Put(_renumbered(change.record, ids))
    if isinstance(change, Retire | Restore):
        return replace(change, id=ids.get(change.id, change.id))
    return change


def _renumbered(record: Any, ids: Mapping[Id, Id]) -> Any:
    shape = SHAPES[key_of(record)[0]]
    own = {
        name: ids.get(getattr(record, name), getattr(record, name))
        for name in ("id", "product", "channel", "material")
        if name in {field.name for field in fields(record)}
    }
    return replace(_inside(record, shape, ids), **own)


def _inside(record: Any, shape: Shape, ids: Mapping[Id, Id]) -> Any:
    changed: dict[str, Any] = {}
    for field in shape.fields:
        value = getattr(record, field.name)
        if value is None:
            continue
        if isinstance(field.kind, Reference):
            changed[field.name] = ids.get(value, value)
        elif isinstance(field.kind, Many):
            changed[field.name] = tuple(ids.get(one, one) for one in value)
        elif isinstance(field.kind, Part):
            changed[field.name] = _inside(value, field.kind.shape, ids)
        elif isinstance(field.kind, Rows):
            changed[field.name] = tuple(_inside(row, field.kind.shape, ids) for row in value)
    return replace(record, **changed) if changed else record
