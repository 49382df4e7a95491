"""What is typed about packs: materials by their names, and the lines that the book adds where nothing is typed.

A name that may have been a slip is chosen from those that are like it; a unit may stand behind its amount.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from webapp.costing.entry import show as show_record
from webapp.costing.pack_asking import ASKING, FREIGHT, OFFER, Asking, Taken
from webapp.costing.pack_named import NAMED, asked_by_name
from webapp.costing.written_units import parted
from webapp.pages import addresses, drafts
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed, closed_up, flat

#: the field that is answered where a name may have been a slip
INSTEAD = "instead"
#: amounts of a need behind which its unit may be typed
WITH_UNIT = ("amount", "a_month")
#: what a half-entered form of this is called where it is kept
DRAFT = "packs"
Faults = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PackReading:
    """The form as it is drawn again, and what is reckoned with; None where something is wrong.

    `near` are the names that may have been meant, by line.
    """

    form: Form
    taken: Taken | None
    near: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def blank(desk: Desk, **values: Any) -> Form:
    """A form to start from; `values` are nested texts."""
    return drafts.marked(desk, DRAFT, _form(desk, Typed({}), values, ()))


def _form(desk: Desk, typed: Typed, data: Mapping[str, Any], faults: Faults) -> Form:
    snapshot = desk.snapshot
    form = Form(addresses.PACKS, ASKING, flat(data), new_token(), snapshot.epoch, str(snapshot.version), faults)
    return replace(form, draft=typed.draft, page=typed.page)


def reading(desk: Desk, typed: Typed) -> PackReading:
    """What was typed, with what the book adds in the form from then on. Nothing is stored."""
    told = asked_by_name(desk.reckoning, _as_read(closed_up(ASKING, typed.data)), desk.today, desk.notation)
    if told.asking is None or told.taken is None:
        faults = tuple((fault.field, fault.sentence) for fault in told.faults)
        return PackReading(_form(desk, typed, told.drawn, faults), None, told.near)
    drawn = _with_book(desk, told.drawn, told.asking, told.taken)
    return PackReading(_form(desk, typed, drawn, ()), told.taken)


def _as_read(data: Mapping[str, Any]) -> dict[str, Any]:
    """The lines with the name that was chosen instead of a slip, and units apart from their amounts."""
    kept = dict(data)
    for rows in NAMED:
        if isinstance(data.get(rows), list):
            kept[rows] = [_chosen(line, rows) for line in data[rows]]
    return kept


def _chosen(line: Any, rows: str) -> Any:
    if not isinstance(line, Mapping):
        return line
    own = {name: value for name, value in line.items() if name != INSTEAD}
    own |= {"material": line[INSTEAD]} if line.get(INSTEAD) else {}
    return _unit_apart(own) if rows == "needs" else own


def _unit_apart(line: dict[str, Any]) -> dict[str, Any]:
    """The line with the unit that stands behind its amounts ("12 kg") in the unit's own field."""
    apart = {name: parted(text) for name in WITH_UNIT if isinstance(text := line.get(name), str)}
    units = {unit for _, unit in apart.values() if unit} | ({line["unit"]} if line.get("unit") else set())
    if len(units) != 1:
        return line
    return {**line, "unit": units.pop(), **{name: number for name, (number, _) in apart.items()}}


def _with_book(desk: Desk, data: Mapping[str, Any], asking: Asking, found: Taken) -> dict[str, Any]:
    """What was typed and, below it, the offers and freights that were taken from the book."""
    notation = desk.notation
    offers, freights = found.typed[len(asking.offers) :], found.freights[len(asking.freights) :]
    added = {
        "offers": [
            {**show_record(OFFER, one, notation), "material": desk.book.materials[one.material].name} for one in offers
        ],
        "freights": [show_record(FREIGHT, one, notation) for one in freights],
    }
    return {**data, **{rows: [*(data.get(rows) or []), *lines] for rows, lines in added.items()}}


def named(desk: Desk, typed: Typed) -> Form:
    """The form as it was typed, nothing read: for more lines or fewer."""
    return replace(_form(desk, typed, closed_up(ASKING, typed.data), ()), token=typed.token or new_token())
