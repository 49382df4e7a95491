"""What a file would change, as its page shows it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from webapp.costing.changes import Put
from webapp.costing.difference import MovedRow, moved_rows
from webapp.costing.gaps import Figure
from webapp.costing.reckoning import Reckoning
from webapp.exchange.book_cells import RowFault
from webapp.exchange.book_changes import Changed, called, differences
from webapp.exchange.book_words import SHEETS
from webapp.importing import Looked
from webapp.pages.rendering import Desk

MOST_FAULTS, MOST_CHANGED, MOST_MOVED = 100, 50, 20


@dataclass(frozen=True, slots=True)
class ChangedThing:
    """A thing that is there and becomes another, field by field."""

    kind: str
    name: str
    fields: tuple[Changed, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """A product on a channel whose cost or margin becomes another; nothing before where it is new."""

    product: str
    channel: str
    cost_before: Figure | None
    cost: Figure
    margin_before: Figure | None
    margin: Figure


@dataclass(frozen=True, slots=True)
class ImportView:
    """The whole page of a file: counts (sheet, new, changed), what changes, what is wrong, what moves."""

    name: str
    counts: tuple[tuple[str, int, int], ...]
    same: int
    changed: tuple[ChangedThing, ...]
    more_changed: int
    faults: tuple[RowFault, ...]
    more_faults: int
    doubts: tuple[RowFault, ...]
    more_doubts: int
    remarks: tuple[str, ...]
    moved: tuple[Moved, ...]
    more_moved: int
    asks_sign: bool

    @property
    def good(self) -> bool:
        """Whether it can be imported."""
        return not self.faults

    @property
    def nothing(self) -> bool:
        """Whether there is nothing to import."""
        return self.good and not self.counts


def view_of(desk: Desk, name: str, looked: Looked, remarks: tuple[str, ...], *, asks_sign: bool) -> ImportView:
    """The view of what was looked at; long lists are cut, and how much is left is said."""
    changed = tuple(_changed(looked))
    moved = () if looked.faults or not looked.back.changes else _moved(desk, looked)
    counts = tuple((SHEETS[kind][0], new, other) for kind, (new, other) in looked.counts.items())
    return ImportView(
        name,
        () if looked.faults else counts,
        looked.back.same,
        changed[:MOST_CHANGED],
        len(changed[MOST_CHANGED:]),
        looked.faults[:MOST_FAULTS],
        len(looked.faults[MOST_FAULTS:]),
        looked.doubts[:MOST_FAULTS],
        len(looked.doubts[MOST_FAULTS:]),
        remarks,
        tuple(_row(one, looked) for one in moved[:MOST_MOVED]),
        len(moved[MOST_MOVED:]),
        asks_sign,
    )


def _changed(looked: Looked) -> Iterator[ChangedThing]:
    if looked.faults:
        return
    for one in looked.back.arrived:
        if one.before is not None or not isinstance(one.change, Put):
            found = tuple(differences(looked.back, one, looked.held))
            yield ChangedThing(SHEETS[one.version.kind][0], called(looked.back, one), found)


def _moved(desk: Desk, looked: Looked) -> tuple[MovedRow, ...]:
    before = desk.reckoning
    before.line()  # what is known can be carried over
    return moved_rows(before, Reckoning(looked.after, before))


def _row(one: MovedRow, looked: Looked) -> Moved:
    now, was = one.after, one.before
    return Moved(
        looked.after.products[now.product].name,
        looked.after.channels[now.channel].name,
        was.cost if was else None,
        now.cost,
        was.margin if was else None,
        now.margin,
    )
