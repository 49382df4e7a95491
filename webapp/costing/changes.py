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
    if isinstance(change, Put):
        return checks.faults_of(book, change.record) or _put(book, change.record)
    if isinstance(change, Withdraw):
        return _withdraw(book, change)
    return _retire(book, change)


def apply_all(book: Book, changes: Iterable[Change]) -> Book | Faults:
    """One change after another; the first that has faults stops, and nothing of them holds."""
    for together in _runs(changes):
        after = _apply_run(book, together)
        if not isinstance(after, Book):
            return after
        book = after
    return book


def questions(book: Book, changes: Sequence[Change]) -> tuple[Question, ...]:
    """What the person must be sure of before this is stored: each is answered for itself."""
    before = book
    asked: list[Question] = []
    for together in _runs(changes):
        for change in together:
            if isinstance(change, Put):
                asked += checks.questions_of(book, change.record)
            elif isinstance(change, Retire):
                asked += checks.in_use(book, change.kind, change.id)
        after = _apply_run(book, together)
        book = after if isinstance(after, Book) else book
    return checks.told_apart([*asked, *checks.undercut_questions(before, book)])


def _runs(changes: Iterable[Change]) -> Iterator[tuple[Change, ...]]:
    """Changes in their order, facts about pairs that follow one another together: thousands of prices move at once."""
    for kind, together in groupby(changes, _fact):
        if kind is None:
            yield from ((one,) for one in together)
        else:
            yield tuple(together)


def _fact(change: Change) -> type[Any] | None:
    return type(change.record) if isinstance(change, Put) and type(change.record) in b.PAIRS else None


def _apply_run(book: Book, together: Sequence[Change]) -> Book | Faults:
    """One change, or facts of one kind about pairs: none of them asks about another, so they are placed at once."""
    if len(together) == 1:
        return apply(book, together[0])
    records: list[Any] = [change.record for change in together if isinstance(change, Put)]
    shelf = b.PAIRS[type(records[0])][1]
    held = dict(getattr(book, shelf))
    for record in records:
        if faults := checks.faults_of(book, record):
            return faults
        key = (record.product, record.channel)
        kept = as_it_holds(record, held.get(key), book.day)
        if kept is not None:
            held[key] = kept
    return _shelved(book, shelf, held)


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


def _shelved(book: Book, shelf: str, records: dict[Any, Any]) -> Book:
    changed: dict[str, Any] = {shelf: records}
    return replace(book, **changed)


def _placed(book: Book, shelf: str, key: Any, record: Any) -> Book:
    return _shelved(book, shelf, {**getattr(book, shelf), key: record})


def _put(book: Book, record: b.Record) -> Book:
    if isinstance(record, b.Workshop):
        return replace(book, workshop=record)
    if isinstance(record, b.Terms):
        return with_terms(book, record)
    kind, key = key_of(record)
    shelf = shelf_of(kind)
    held = getattr(book, shelf).get(key)
    if is_ahead(record, book.day):
        return book if held is None else _without(book, shelf, key)
    kept = as_it_holds(record, held, book.day)
    return book if kept is None else _placed(book, shelf, key, kept)


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


# --- retiring and withdrawing ---


def _without(book: Book, shelf: str, key: Any) -> Book:
    return _shelved(book, shelf, {one: kept for one, kept in getattr(book, shelf).items() if one != key})


def _withdraw(book: Book, change: Withdraw) -> Book | Faults:
    shelf = shelf_of(change.kind)
    held = getattr(book, shelf).get(change.key)
    if change.since is not None and (held is None or held.since != change.since):
        return book  # a fact that is not in force on this day: figures stay
    if held is None:
        return (Fault("", "not-found", "That isn't there any more. Load the page again."),)
    if change.kind == "quote":
        users = [m.name for m in book.materials.values() if m.quote == change.key]
        if users:
            return (
                Fault(
                    "",
                    "in-use",
                    f"The price of {users[0]} rests on this quote. Choose another basis there first.",
                ),
            )
    if change.before is not None:
        return _placed(book, shelf, change.key, change.before)
    return _without(book, shelf, change.key)


def _retire(book: Book, change: Retire | Restore) -> Book | Faults:
    shelf = shelf_of(change.kind)
    held = getattr(book, shelf).get(change.id)
    if held is None or not hasattr(held, "retired"):
        return (Fault("", "not-found", "That isn't there any more. Load the page again."),)
    if isinstance(change, Retire) and change.day > book.day:
        return book
    day = change.day if isinstance(change, Retire) else None
    return _placed(book, shelf, change.id, replace(held, retired=day))


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
