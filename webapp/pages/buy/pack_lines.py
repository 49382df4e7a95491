"""What is typed about packs: materials by their names, and the lines that the book adds where nothing is typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from webapp.costing.called import Names, or_meant
from webapp.costing.entry import read
from webapp.costing.entry import show as show_record
from webapp.costing.pack_asking import ASKING, FREIGHT, OFFER, Asking, Taken, taken
from webapp.pages import addresses
from webapp.pages.buy.last_time import names_of
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed, closed_up, flat

#: the lines in which a material is typed by its name
NAMED = ("needs", "offers")
Faults = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class PackReading:
    """The form as it is drawn again, and what is reckoned with; None where something is wrong."""

    form: Form
    taken: Taken | None


def blank(desk: Desk, **values: Any) -> Form:
    """A form to start from; `values` are nested texts."""
    return _form(desk, values, ())


def _form(desk: Desk, data: Mapping[str, Any], faults: Faults) -> Form:
    snapshot = desk.snapshot
    return Form(addresses.PACKS, ASKING, flat(data), new_token(), snapshot.epoch, str(snapshot.version), faults)


def reading(desk: Desk, typed: Typed) -> PackReading:
    """What was typed, with what the book adds in the form from then on. Nothing is stored."""
    data = closed_up(ASKING, typed.data)
    numbered, unknown = _numbered(names_of(desk), data)
    entry = read(ASKING, numbered, desk.notation, today=desk.today)
    found: Any = entry.faults if entry.record is None else taken(desk.reckoning, entry.record)
    if unknown or not isinstance(found, Taken):
        others = () if isinstance(found, Taken) else tuple((one.field, one.sentence) for one in found)
        at = {field for field, _ in unknown}
        return PackReading(_form(desk, data, (*unknown, *(one for one in others if one[0] not in at))), None)
    return PackReading(_form(desk, _with_book(desk, data, entry.record, found), ()), found)


def _numbered(names: Names, data: Mapping[str, Any]) -> tuple[dict[str, Any], Faults]:
    """The same with the number of every material in place of its name, and the names that nothing has."""
    found, faults = dict(data), []
    for rows in NAMED:
        lines = data.get(rows)
        if not isinstance(lines, list):
            continue
        kept = []
        for place, line in enumerate(lines):
            text = str(line.get("material") or "").strip() if isinstance(line, Mapping) else ""
            meant = names.meant(text)
            if text and not meant.value:
                faults.append((f"{rows}-{place}-material", _not_found(text, meant.several, meant.near)))
            kept.append({**line, "material": meant.value} if isinstance(line, Mapping) else line)
        found[rows] = kept
    return found, tuple(faults)


def _not_found(text: str, several: bool, near: Sequence[str]) -> str:
    if several:
        return f"More than one material is called that. Type its own name: {' or '.join(near)}."
    return f"{text} is not in the book.{or_meant(near)}"


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
    return replace(_form(desk, closed_up(ASKING, typed.data), ()), token=typed.token or new_token())
