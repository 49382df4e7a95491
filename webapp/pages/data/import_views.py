"""What a file would change, as its page shows it; and noted as texts between its being looked at and its page."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

from webapp.costing.changes import Put
from webapp.costing.difference import MovedRow, moved_rows
from webapp.costing.gaps import Figure, Gap, Ref
from webapp.costing.reckoning import Reckoning
from webapp.exchange.book_cells import RowFault
from webapp.exchange.book_changes import Changed, called, differences
from webapp.exchange.book_sheets import main_sheet
from webapp.exchange.book_words import SHEETS
from webapp.importing import Looked

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


def view_of(before: Reckoning, name: str, looked: Looked, remarks: tuple[str, ...], *, asks_sign: bool) -> ImportView:
    """The view of what was looked at; long lists are cut, and how much is left is said. `before` is of its book."""
    changed = tuple(_changed(looked))
    moved = () if looked.faults or not looked.back.changes else _moved(before, looked)
    counts = tuple((main_sheet(kind).title, new, other) for kind, (new, other) in looked.counts.items())
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


def _moved(before: Reckoning, looked: Looked) -> tuple[MovedRow, ...]:
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


# --- noted


def noted(view: ImportView) -> dict[str, Any]:
    """A view as it is noted: amounts are left to be written as texts."""
    return asdict(view)


def seen(told: Mapping[str, Any]) -> ImportView:
    """The view that was noted."""
    rows: dict[str, tuple[Any, ...]] = {
        "counts": tuple(map(tuple, told["counts"])),
        "changed": tuple(_changed_thing(one) for one in told["changed"]),
        "faults": tuple(RowFault(**one) for one in told["faults"]),
        "doubts": tuple(RowFault(**one) for one in told["doubts"]),
        "remarks": tuple(told["remarks"]),
        "moved": tuple(_moved_row(one) for one in told["moved"]),
    }
    return ImportView(**{**told, **rows})


def _changed_thing(told: Mapping[str, Any]) -> ChangedThing:
    return ChangedThing(told["kind"], told["name"], tuple(Changed(**one) for one in told["fields"]))


def _moved_row(told: Mapping[str, Any]) -> Moved:
    return Moved(**{name: one if name in ("product", "channel") else _figure(one) for name, one in told.items()})


def _figure(told: Any) -> Any:
    if isinstance(told, Mapping):
        return Gap(told["reason"], Ref(**told["cure"]) if told["cure"] else None)
    return None if told is None else Decimal(told)
