"""What is asked about packs with materials by their names: read alike from a form and from JSON.

A name is found as in an order; a part of it is enough where only one material has it. What is only similar is offered.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from webapp.costing.amounts import JSON_NOTATION, Notation
from webapp.costing.called import Meant, Names, known, or_meant
from webapp.costing.entry import read
from webapp.costing.limits import Fault
from webapp.costing.pack_asking import ASKING, Asking, Taken, taken

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning

#: the lines in which a material is typed by its name
NAMED = ("needs", "offers")


@dataclass(frozen=True, slots=True)
class AskedByName:
    """What was asked and what the book adds, None where something is wrong; and the lines as they are drawn again.

    `near` are the names that may have been meant, by line.
    """

    asking: Asking | None
    taken: Taken | None
    drawn: dict[str, Any]
    faults: tuple[Fault, ...] = ()
    near: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Lines:
    """The same lines under the materials' own names and by their numbers, and what no name fits."""

    drawn: dict[str, Any]
    numbered: dict[str, Any]
    faults: list[Fault]
    near: dict[str, tuple[str, ...]]


def asked_by_name(reckoning: Reckoning, data: Any, today: date, notation: Notation = JSON_NOTATION) -> AskedByName:
    """The question in `data` (nested texts; in JSON a material may be its number too), read and answered for."""
    lines = _numbered(Names(known(reckoning.book.materials.values())), data if isinstance(data, Mapping) else {})
    entry = read(ASKING, lines.numbered if isinstance(data, Mapping) else data, notation, today=today)
    found: Any = entry.faults if entry.record is None else taken(reckoning, entry.record)
    others = () if isinstance(found, Taken) else tuple(found)
    at = {fault.field for fault in lines.faults}
    faults = (*lines.faults, *(one for one in others if one.field not in at))
    return AskedByName(entry.record, None if faults else found, lines.drawn, faults, lines.near)


def _numbered(names: Names, data: Mapping[str, Any]) -> _Lines:
    told = _Lines(dict(data), dict(data), [], {})
    for rows in NAMED:
        lines = data.get(rows)
        if isinstance(lines, list):
            each = [_line(names, line, f"{rows}-{place}", told) for place, line in enumerate(lines)]
            told.drawn[rows], told.numbered[rows] = [one for one, _ in each], [one for _, one in each]
    return told


def _line(names: Names, line: Any, at: str, told: _Lines) -> tuple[Any, Any]:
    """One line as it is drawn again, under the material's own name, and as it is read."""
    text = line.get("material") if isinstance(line, Mapping) else None
    if not isinstance(text, str):
        return line, line
    meant = names.meant_in_part(text.strip())
    if text.strip() and not meant.value:
        told.faults.append(Fault(f"{at}-material", "reference", _not_found(text.strip(), meant)))
        told.near[at] = meant.near
    shown = names.name_of(meant.value) if meant.value else text
    return {**line, "material": shown}, {**line, "material": meant.value}


def _not_found(text: str, meant: Meant) -> str:
    if meant.several:
        return f"More than one material is called that. Choose one: {' or '.join(meant.near)}."
    return f"{text} is not in the book.{or_meant(meant.near)}"
