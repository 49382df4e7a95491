"""What is typed about packs: materials by their names, and the lines that the book adds where nothing is typed.

A name is found as in an order; a part of it is enough where only one material has it. What is only similar is offered.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from webapp.costing.called import Meant, Names, or_meant
from webapp.costing.entry import read
from webapp.costing.entry import show as show_record
from webapp.costing.pack_asking import ASKING, FREIGHT, OFFER, Asking, Taken, taken
from webapp.costing.written_units import parted
from webapp.pages import addresses, drafts
from webapp.pages.buy.last_time import names_of
from webapp.pages.done import new_token
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed, closed_up, flat

#: the lines in which a material is typed by its name
NAMED = ("needs", "offers")
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


@dataclass(frozen=True, slots=True)
class _Named:
    """The lines as they are drawn again, the same with the number of every material, and what no name fits."""

    drawn: dict[str, Any]
    numbered: dict[str, Any]
    faults: Faults
    near: dict[str, tuple[str, ...]]


def blank(desk: Desk, **values: Any) -> Form:
    """A form to start from; `values` are nested texts."""
    return drafts.marked(desk, DRAFT, _form(desk, Typed({}), values, ()))


def _form(desk: Desk, typed: Typed, data: Mapping[str, Any], faults: Faults) -> Form:
    snapshot = desk.snapshot
    form = Form(addresses.PACKS, ASKING, flat(data), new_token(), snapshot.epoch, str(snapshot.version), faults)
    return replace(form, draft=typed.draft, page=typed.page)


def reading(desk: Desk, typed: Typed) -> PackReading:
    """What was typed, with what the book adds in the form from then on. Nothing is stored."""
    told = _numbered(names_of(desk), closed_up(ASKING, typed.data))
    entry = read(ASKING, told.numbered, desk.notation, today=desk.today)
    found: Any = entry.faults if entry.record is None else taken(desk.reckoning, entry.record)
    if told.faults or not isinstance(found, Taken):
        others = () if isinstance(found, Taken) else tuple((one.field, one.sentence) for one in found)
        at = {path for path, _ in told.faults}
        faults = (*told.faults, *(one for one in others if one[0] not in at))
        return PackReading(_form(desk, typed, told.drawn, faults), None, told.near)
    return PackReading(_form(desk, typed, _with_book(desk, told.drawn, entry.record, found), ()), found)


def _numbered(names: Names, data: Mapping[str, Any]) -> _Named:
    told = _Named(dict(data), dict(data), (), {})
    faults: list[tuple[str, str]] = []
    for rows in NAMED:
        lines = data.get(rows)
        if not isinstance(lines, list):
            continue
        each = [_line(names, line, f"{rows}-{place}", faults, told.near) for place, line in enumerate(lines)]
        told.drawn[rows] = [drawn for drawn, _ in each]
        told.numbered[rows] = [numbered for _, numbered in each]
    return replace(told, faults=tuple(faults))


def _line(
    names: Names, line: Any, at: str, faults: list[tuple[str, str]], near: dict[str, tuple[str, ...]]
) -> tuple[Any, Any]:
    """One line as it is drawn again, under the material's own name, and as it is read."""
    if not isinstance(line, Mapping):
        return line, line
    own = {name: value for name, value in line.items() if name != INSTEAD}
    if at.startswith("needs"):
        own = _unit_apart(own)
    text = str(line.get(INSTEAD) or line.get("material") or "").strip()
    meant = names.meant_in_part(text)
    value = meant.value
    if text and not value:
        faults.append((f"{at}-material", _not_found(text, meant)))
        near[at] = meant.near
    shown = names.name_of(value) if value else own.get("material")
    return ({**own, "material": shown} if "material" in own else own), {**own, "material": value}


def _unit_apart(line: dict[str, Any]) -> dict[str, Any]:
    """The line with the unit that stands behind its amounts ("12 kg") in the unit's own field."""
    apart = {name: parted(text) for name in WITH_UNIT if isinstance(text := line.get(name), str)}
    units = {unit for _, unit in apart.values() if unit} | ({line["unit"]} if line.get("unit") else set())
    if len(units) != 1:
        return line
    return {**line, "unit": units.pop(), **{name: number for name, (number, _) in apart.items()}}


def _not_found(text: str, meant: Meant) -> str:
    if meant.several:
        return f"More than one material is called that. Choose one: {' or '.join(meant.near)}."
    return f"{text} is not in the book.{or_meant(meant.near)}"


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
