"""The lines of a formula as they are typed: an ingredient or a formula by any of its names.

An ingredient that is not in the book yet is made on the spot, where that is ticked; and so is who makes it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from webapp.costing.buying_shapes import MATERIAL
from webapp.costing.called import Known, Meant, Names, known, nature_of, or_meant
from webapp.costing.changes import Put
from webapp.costing.checks import faults_of
from webapp.costing.describing import Rows
from webapp.costing.entry import is_spare, read
from webapp.costing.limits import name_key
from webapp.costing.making_shapes import FORMULA
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed
from webapp.pages.working_time import Hired, hired

NEW = "new"
LINES: Rows = FORMULA.field("lines").kind  # type: ignore[assignment]  # its lines are rows
#: the button of a name that may have been meant: in which line, which of the names
MEANT = re.compile(r"lines-(0|[1-9][0-9]{0,2})-meant-([0-9])", re.ASCII)
Faults = tuple[tuple[str, str], ...]


def names_of(desk: Desk, own: int = 0) -> Names:
    """What a line can hold. A formula of an ingredient's name says so; what can't be in it is not offered."""
    materials, formulas = desk.book.materials, desk.book.formulas
    things = [
        replace(one, hidden=one.hidden or materials[_number(one)].by_piece)
        for one in known(materials.values(), "material")
    ]
    taken = {name_key(one.name) for one in things}
    for one in known(formulas.values(), "formula"):
        name = f"{one.name} (formula)" if name_key(one.name) in taken else one.name
        things.append(replace(one, name=name, hidden=one.hidden or _number(one) == own))
    return Names(tuple(things))


def meant_in(names: Names, text: str, new: bool) -> Meant:
    """What a line's text means; where it is ticked as `new`, a part of another name is not taken for that."""
    return names.meant(text) if new else names.meant_in_part(text)


def _number(one: Known) -> int:
    return int(one.value.partition(":")[2])


@dataclass(frozen=True, slots=True)
class Written:
    """The form as the formula's own fields, and the ingredients and people to be made with it."""

    typed: Typed
    puts: tuple[Put, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    """What each thing is called in the form, by its kind and number."""
    faults: Faults = ()
    staff: Hired | None = None

    def shown(self, form: Form) -> Form:
        """The form as it was typed: every line's thing by its name, in one field."""
        form = self.staff.shown(form) if self.staff else form
        texts = {at: text for at, text in form.texts.items() if not _names_a_thing(at)}
        for at, text in form.texts.items():
            if _names_a_thing(at) and text:
                row, _, kind = at.rpartition("-")
                texts[f"{row}-material"] = self.names.get(f"{kind}:{text}", text)
                if text.startswith("-"):
                    texts[f"{row}-{NEW}"] = "yes" if self._made(text) else ""
        theirs = tuple((at.replace("-formula", "-material"), words) for at, words in form.faults)
        mine = {at for at, _ in self.faults}
        return replace(form, texts=texts, faults=(*self.faults, *(one for one in theirs if one[0] not in mine)))

    def _made(self, number: str) -> bool:
        return any(str(put.record.id) == number for put in self.puts)  # type: ignore[union-attr]


def _names_a_thing(at: str) -> bool:
    return at.startswith("lines-") and at.endswith(("-material", "-formula"))


def written(desk: Desk, typed: Typed, own: int = 0) -> Written:
    """Take the names out of the lines of a form, and make what is new and ticked as such."""
    names = names_of(desk, own)
    making = _Making(desk, names)
    staff = hired(desk, typed)
    typed, lines = staff.typed, typed.data.get("lines")
    if isinstance(lines, list):
        kept = [line for line in lines if isinstance(line, Mapping) and not is_spare(line, LINES)]
        lines = [making.line(line, f"lines-{number}") for number, line in enumerate(kept)]
        typed = replace(typed, data={**typed.data, "lines": lines})
    called = {**_called(names), **making.names}
    faults = (*making.faults, *staff.faults)
    return Written(typed, (*staff.puts, *making.puts), called, faults, replace(staff, faults=()))


def taken(desk: Desk, typed: Typed, own: int = 0) -> Typed:
    """The form with the name that was meant in the line where it was pressed."""
    pressed, lines = MEANT.fullmatch(typed.more), typed.data.get("lines")
    if pressed is None or not isinstance(lines, list) or int(pressed[1]) >= len(lines):
        return typed
    row, place = int(pressed[1]), int(pressed[2])
    line = lines[row] if isinstance(lines[row], Mapping) else {}
    near = names_of(desk, own).meant_in_part(_text(line.get("material"))).near
    if place >= len(near):
        return typed
    kept = [{**line, "material": near[place]} if number == row else one for number, one in enumerate(lines)]
    return replace(typed, data={**typed.data, "lines": kept})


def as_it_is(desk: Desk, own: int = 0) -> Written:
    """Nothing new: for a form that nobody has typed into."""
    return Written(Typed({}), names=_called(names_of(desk, own)))


def _called(names: Names) -> dict[str, str]:
    return {one.value: one.name for one in names.all}


class _Making:
    """The new ingredients of one form while it is read."""

    def __init__(self, desk: Desk, known_names: Names) -> None:
        self.desk = desk
        self.known = known_names
        self.puts: list[Put] = []
        self.faults: list[tuple[str, str]] = []
        self.made: dict[str, str] = {}
        self.names: dict[str, str] = {}

    def line(self, line: Mapping[str, Any], at: str) -> dict[str, Any]:
        """A line with its thing by its number."""
        own = {key: value for key, value in line.items() if key not in ("material", NEW)}
        name = _text(line.get("material"))
        found = meant_in(self.known, name, _text(line.get(NEW)) == "yes")
        if not name:
            return own
        if found.value:
            kind, _, number = found.value.partition(":")
            return {**own, kind: number}
        key = name_key(name)
        if key not in self.made:
            self.made[key] = str(-2 - len(self.made))
            self.names[f"material:{self.made[key]}"] = name
            self._make(name, int(self.made[key]), at, _text(line.get(NEW)) == "yes", found)
        return {**own, "material": self.made[key]}

    def _make(self, name: str, ident: int, at: str, wanted: bool, found: Meant) -> None:
        given = {"name": name, "nature": nature_of(name)}
        entry = read(MATERIAL, given, self.desk.notation, today=self.desk.today, given={"id": ident})
        faults = entry.faults or faults_of(self.desk.book, entry.record)
        if faults:
            self.faults.append((f"{at}-material", faults[0].sentence))
        elif found.several:
            words = f"More than one thing is called that. Type its own name: {' or '.join(found.near)}."
            self.faults.append((f"{at}-material", words))
        elif not wanted:
            words = f"{name} is not in the book yet.{or_meant(found.near)} If it is new, tick that it is to be made."
            self.faults.append((f"{at}-material", words))
        else:
            self.puts.append(Put(entry.record))


def _text(typed: Any) -> str:
    return typed.strip() if isinstance(typed, str) else ""
