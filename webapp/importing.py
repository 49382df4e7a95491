"""A file of a whole book beside the data: what it would change, and taking it over as one change.

The store knows no files and the files know no store: here they meet, for pages, the JSON interface and the command.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Any

from webapp.costing.amounts import JSON_NOTATION, Notation
from webapp.costing.book import Book
from webapp.costing.changes import Put
from webapp.costing.everything import Everything
from webapp.costing.limits import name_key
from webapp.costing.taking_over import Arriving, Unfit, taken_over, unfit
from webapp.errors import Fault, Unprocessable
from webapp.exchange.book_back import Back, at_row, back
from webapp.exchange.book_beside import renumbered
from webapp.exchange.book_cells import RowFault
from webapp.exchange.book_rows import Document, document_of
from webapp.exchange.book_sheets import SIZE_NOTE, WHAT_IF
from webapp.store.backups import BEFORE_IMPORT
from webapp.store.opening import Store
from webapp.store.writing import UNCHANGED, Intent, Saved

#: said between steps: what is done now, how much of how much; raises where the person wants it to stop
Step = Callable[[str, int, int], None]
#: after so many changes it is said how far it is
OFTEN = 50


@dataclass(frozen=True, slots=True)
class Looked:
    """What a file would change: the changes, the books before and after, what is wrong and what is doubtful."""

    back: Back
    held: Everything
    before: Book
    after: Book
    faults: tuple[RowFault, ...]
    doubts: tuple[RowFault, ...]
    epoch: str
    version: int

    @property
    def new(self) -> int:
        """How many things, or days from which something holds, are new."""
        return sum(_is_new(one.change, one.before) for one in self.back.arrived)

    @property
    def counts(self) -> dict[str, tuple[int, int]]:
        """By kind: new, changed."""
        new: Counter[str] = Counter()
        changed: Counter[str] = Counter()
        for arrived in self.back.arrived:
            (new if _is_new(arrived.change, arrived.before) else changed)[arrived.version.kind] += 1
        held = {name_key(one.name) for one in self.held.beside.what_ifs}
        for one in self.back.beside.what_ifs:
            (changed if name_key(one.name) in held else new)[WHAT_IF] += 1
        new[SIZE_NOTE] = len(self.back.beside.notes)
        return {
            kind: (new[kind], changed[kind]) for kind in dict.fromkeys((*new, *changed)) if new[kind] + changed[kind]
        }


def _is_new(change: Arriving, before: Any) -> bool:
    return isinstance(change, Put) and before is None


def exported(store: Store, today: date) -> Document:
    """Everything that the store holds."""
    return document_of(store.everything(), today)


def look(
    store: Store, document: Document, today: date, notation: Notation = JSON_NOTATION, step: Step | None = None
) -> Looked:
    """What `document` would change. Nothing is stored."""
    snapshot = store.snapshot(today)
    held = store.everything()
    step = step or (lambda *_: None)
    found = back(document, held, today, notation, lambda done: step("Reading the rows.", done, document.rows))
    faults = list(found.faults)
    doubts: list[RowFault] = []
    after = snapshot.book
    if not faults:
        after = taken_over(snapshot.book, found.changes)
        for one in _unfit(snapshot.book, after, found.changes, step):
            version = found.arrived[one.place].version
            (doubts if one.doubtful else faults).append(
                at_row(version, one.fault.field, one.fault.sentence, doubtful=one.doubtful)
            )
    return Looked(found, held, snapshot.book, after, tuple(faults), tuple(doubts), snapshot.epoch, snapshot.version)


def _unfit(before: Book, after: Book, changes: Sequence[Arriving], step: Step) -> Iterator[Unfit]:
    """What of the changes does not fit, saying how far it is on its way."""
    words, many = "Looking whether all fits together.", len(changes)

    def looked(done: int) -> None:
        if done % OFTEN == 0:
            step(words, done, many)

    yield from unfit(before, after, changes, looked)


def take(store: Store, looked: Looked, intent: Intent, today: date) -> Saved:
    """Store all of it as one change, after a copy of the data was made. Unprocessable where it can't be."""
    if looked.faults:
        raise Unprocessable([_fault(one) for one in looked.faults])
    if looked.back.is_nothing:
        return Saved(looked.version, UNCHANGED)
    made = store.back_up(BEFORE_IMPORT, today)
    intent = replace(intent, why=f"{intent.why} (the backup before it: {made.name})".strip())
    kept = looked.back.beside
    check = partial(_again, looked=looked)
    return store.take_over(looked.back.changes, intent, today, check, lambda ids: renumbered(kept, ids))


def _again(book: Book, looked: Looked) -> None:
    """Look once more where something else was saved meanwhile."""
    if book is looked.before:
        return
    changes = looked.back.changes
    wrong = [one for one in unfit(book, taken_over(book, changes), changes) if not one.doubtful]
    if wrong:
        raise Unprocessable([Fault(one.fault.field, one.fault.code, one.fault.sentence) for one in wrong])


def _fault(one: RowFault) -> Fault:
    return Fault(f"{one.sheet}-{one.row}", "row", f"{one.column}: {one.sentence}" if one.column else one.sentence)
