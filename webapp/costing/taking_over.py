"""Very many changes taken over at once, as from a file: the book after them, and what in it does not fit.

One change after another copies a shelf for each, and asks of each whether it fits before the next is known. Here all
are placed, each as `changes.apply` would place it, and the whole is looked at afterwards.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

from webapp.costing import book as b
from webapp.costing import checks
from webapp.costing.book import Book, Id
from webapp.costing.changes import Put, Restore, Retire, as_it_holds, is_ahead, key_of, shelf_of, with_terms
from webapp.costing.limits import NESTING, Fault

Arriving: TypeAlias = Put | Retire | Restore
#: faults that a book may come to have though each of its records was right when it was entered: something else moved
#: since. A file that has them is not refused for it: they are told, and the person says that it is so.
MOVED_ON: dict[type[Any], frozenset[str]] = {
    b.Order: frozenset(("unit", "mass-missing")),
    b.Quote: frozenset(("unit",)),
    b.Product: frozenset(("all-lost", "no-jar")),
}


@dataclass(frozen=True, slots=True)
class Unfit:
    """A fault of the change at `place`. `doubtful`: it may be so all the same (`MOVED_ON`)."""

    place: int
    fault: Fault
    doubtful: bool


def taken_over(book: Book, changes: Iterable[Arriving]) -> Book:
    """The book after `changes`, in any order of what refers to what. Nothing is checked."""
    shelves: dict[str, dict[Any, Any]] = {}

    def shelf(kind: str) -> dict[Any, Any]:
        name = shelf_of(kind)
        if name not in shelves:
            shelves[name] = dict(getattr(book, name))
        return shelves[name]

    for change in changes:
        if isinstance(change, Put) and isinstance(change.record, b.Workshop):
            book = replace(book, workshop=change.record)
        elif isinstance(change, Put) and isinstance(change.record, b.Terms):
            book = with_terms(book, change.record)
        elif isinstance(change, Put):
            kind, key = key_of(change.record)
            _place(shelf(kind), key, change.record, book)
        else:
            _put_away(shelf(change.kind), change, book)
    placed: dict[str, Any] = shelves
    return replace(book, **placed)


def _place(held: dict[Any, Any], key: Any, record: Any, book: Book) -> None:
    kept = None if is_ahead(record, book.day) else as_it_holds(record, held.get(key), book.day)
    if kept is not None:
        held[key] = kept
    elif is_ahead(record, book.day):
        held.pop(key, None)


def _put_away(held: dict[Any, Any], change: Retire | Restore, book: Book) -> None:
    if change.id not in held or (isinstance(change, Retire) and change.day > book.day):
        return
    held[change.id] = replace(held[change.id], retired=change.day if isinstance(change, Retire) else None)


def unfit(
    before: Book, after: Book, changes: Sequence[Arriving], looked: Callable[[int], object] = lambda _: None
) -> Iterator[Unfit]:
    """What of `changes`, which led from one book to the other, does not fit. `looked` is told how many were seen."""
    yield from _nesting(after, changes)
    for place, change in enumerate(changes):
        looked(place)
        if isinstance(change, Put):
            may_be = MOVED_ON.get(type(change.record), frozenset())
            for fault in checks.faults_of(_near(before, after, change.record), change.record):
                yield Unfit(place, fault, fault.code in may_be)


def _near(before: Book, after: Book, record: Any) -> Book:
    """As much of a book as a check of `record` looks at, with `record` as it was before.

    Names are told apart where they are read, and chains are looked at all together, so that of things of its own kind
    only those are left that it names.
    """
    if isinstance(record, b.Workshop):
        return before
    if not hasattr(record, "name"):
        return after
    shelf = shelf_of(key_of(record)[0])
    held = getattr(before, shelf).get(record.id)
    near: dict[Id, Any] = {} if held is None else {record.id: held}
    if isinstance(record, b.Formula):
        near |= _cut(after.formulas, (line.formula for line in record.lines), "lines")
    elif isinstance(record, b.Product):
        near |= _cut(after.products, (member.product for member in record.members), "members")
    only: dict[str, Any] = {shelf: near}
    return replace(after, **only)


def _cut(things: Mapping[Id, Any], named: Iterable[Id | None], field: str) -> dict[Id, Any]:
    nothing: dict[str, Any] = {field: ()}
    return {one: replace(things[one], **nothing) for one in named if one is not None and one in things}


def _nesting(after: Book, changes: Sequence[Arriving]) -> Iterator[Unfit]:
    """What contains itself, or is nested too deep, said at the change that it is about."""
    formulas = {
        one.id: [line.formula for line in one.lines if line.formula is not None] for one in after.formulas.values()
    }
    products = {one.id: [member.product for member in one.members] for one in after.products.values()}
    for kind, inner, things in (("formula", formulas, after.formulas), ("product", products, after.products)):
        wrong = _too_deep(inner)
        if wrong is None:
            continue
        one, loops = wrong
        name = things[one].name
        sentence = (
            f"{name} would contain itself. Take out one of its lines."
            if loops
            else f"{name} would be nested deeper than {NESTING}. Join some of them into one."
        )
        at = (place for place, change in enumerate(changes) if _is_of(change, kind, one))
        yield Unfit(next(at, -1), Fault("name", "cycle" if loops else "too-deep", sentence), doubtful=False)


def _is_of(change: Arriving, kind: str, one: Id) -> bool:
    return isinstance(change, Put) and key_of(change.record) == (kind, one)


def _too_deep(inner: Mapping[Id, list[Id]]) -> tuple[Id, bool] | None:
    """The first thing that contains itself (true) or is nested too deep (false). Without recursion: a file may lie."""
    depth: dict[Id, int] = {}
    for start in inner:
        trail, on_trail = [start], {start}
        while trail:
            one = trail[-1]
            missing = [other for other in inner.get(one, ()) if other not in depth]
            if one in depth or not missing:
                depth.setdefault(one, 1 + max((depth[other] for other in inner.get(one, ())), default=0))
                if depth[one] > NESTING:
                    return one, False
                on_trail.discard(trail.pop())
            elif missing[0] in on_trail:
                return missing[0], True
            else:
                trail.append(missing[0])
                on_trail.add(missing[0])
    return None
