"""What is named by a record that holds on a day holds on that day too, as it was first written down.

A jar may be dated earlier than the formula that fills it, as where a maker writes down afterwards what she has long
made. That is known by now, so it counts: otherwise the jar's figures of these days would be about nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from webapp.costing.book import Book, MadeBatch
from webapp.costing.leaning import SHELVES_OF, named_by
from webapp.store.aspects import Identity
from webapp.store.reading import Key

#: the record of a thing as it was first written down
First = Callable[[str, Identity], Any]


def reaching_back(book: Book, first: First, before: Book | None = None, moved: Iterable[Key] = ()) -> Book:
    """`book` with all that its records name. Made from `before`, where all of it was, only what `moved` is looked at.

    Where something is gone, or had reached back, records that did not move may name it: then all are looked at.
    """
    held = {kind: getattr(book, shelf) for kind, shelf in SHELVES_OF.items()}
    own = {kind: _begun(shelf, book.day) for kind, shelf in held.items()}
    some = None if before is None else [key for key in moved if key[0] in {*SHELVES_OF, "batch"}]
    if (
        before is None
        or some is None
        or any(own[kind] is not held[kind] for kind in own)
        or any(_is_gone(book, before, key) for key in some)
    ):
        some = None
    wanted = [key for record in _looked_at(book, own, some) for key in _named_by(record) if key[0] in SHELVES_OF]
    added: dict[str, dict[Identity, Any]] = {kind: {} for kind in SHELVES_OF}
    while wanted:
        kind, one = wanted.pop()
        if one not in own[kind] and one not in added[kind]:
            found = first(kind, one)
            added[kind][one] = held[kind][one] if held[kind].get(one) == found else found
            wanted.extend(key for key in _named_by(found) if key[0] in SHELVES_OF)
    whole = {kind: dict(sorted({**own[kind], **more}.items())) if more else own[kind] for kind, more in added.items()}
    changed: dict[str, Any] = {
        shelf: whole[kind] for kind, shelf in SHELVES_OF.items() if whole[kind] is not held[kind]
    }
    return replace(book, **changed) if changed else book


def _begun(shelf: Mapping[Identity, Any], day: date) -> Mapping[Identity, Any]:
    """Without what reached back; the same mapping where nothing did."""
    early = {one for one, record in shelf.items() if record.since > day}
    return {one: record for one, record in shelf.items() if one not in early} if early else shelf


def _is_gone(book: Book, before: Book, key: Key) -> bool:
    kind, one = key
    return (
        kind in SHELVES_OF and one in getattr(before, SHELVES_OF[kind]) and one not in getattr(book, SHELVES_OF[kind])
    )


def _looked_at(book: Book, own: Mapping[str, Mapping[Identity, Any]], some: Sequence[Key] | None) -> Iterator[Any]:
    """The records that may name something: those of some keys, or all; a batch of a later day is not there yet."""
    shelves = {**own, "batch": {one: made for one, made in book.batches.items() if made.day <= book.day}}
    if some is not None:
        yield from (shelves[kind][one] for kind, one in some if one in shelves[kind])
        return
    for shelf in shelves.values():
        yield from shelf.values()


def _named_by(record: Any) -> Iterable[Key]:
    if not isinstance(record, MadeBatch):
        return named_by(record)
    made = ("formula", record.formula), *(("product", one.product) for one in record.filled)
    return (*made, *(("formula", one.formula) for one in record.lines if one.formula is not None))
