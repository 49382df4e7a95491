"""Who works, said where the minutes are typed: somebody new made on the spot, a wage asked where it is missing.

One save keeps the person, the wage and what the minutes are of, or nothing. Minutes, and home currency an hour.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from webapp.costing.book import Id, Person
from webapp.costing.changes import Put
from webapp.costing.checks import faults_of
from webapp.costing.entry import Entry, read
from webapp.costing.limits import Fault, name_key
from webapp.costing.workshop_shapes import PERSON
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed

ROWS = "work"
#: what the chooser of a line sends for somebody who is not in the book yet
NEW = "new"
#: of a line beside the record's own fields: the name of somebody new, whose time it is, what an hour is worth
NAME, WHOSE, WAGE = "new_person", "new_whose", "new_wage"
OWN = (NAME, WHOSE, WAGE)
FIELDS = {"name": NAME, "whose": WHOSE, "wage-per_hour": WAGE}
FIRST_NEW = -2000
UNNAMED = "Type who it is; your own name will do."


@dataclass(frozen=True, slots=True)
class Worker:
    """Somebody as the chooser of a line offers them."""

    value: str
    name: str
    unpaid: bool
    """Whether what an hour is worth is not known yet, so that the line asks for it."""


@dataclass(frozen=True, slots=True)
class Hired:
    """The form with every person by number, the people to be made or paid with it, and what was typed of them."""

    typed: Typed
    puts: tuple[Put, ...] = ()
    extras: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """What was typed of a line's person beside the record's own fields, by the number that stands for the person."""
    faults: tuple[tuple[str, str], ...] = ()

    def shown(self, form: Form) -> Form:
        """The form as it was typed: somebody new by name again, and the faults at their fields."""
        texts = dict(form.texts)
        for at, text in form.texts.items():
            if at.startswith(f"{ROWS}-") and at.endswith("-person"):
                row = at.removesuffix("-person")
                texts |= {f"{row}-{name}": said for name, said in self.extras.get(text, {}).items()}
                texts[at] = NEW if text.startswith("-") else text
        mine = {at for at, _ in self.faults}
        return replace(form, texts=texts, faults=(*self.faults, *(one for one in form.faults if one[0] not in mine)))


def workers(desk: Desk, *chosen: int) -> tuple[Worker, ...]:
    """Who works, as a chooser offers them; who works no more only where `chosen` already."""
    people = desk.book.people
    return tuple(
        Worker(value, name, people[int(value)].wage is None) for value, name in desk.options("person", *chosen)
    )


def begun(desk: Desk, form: Form) -> Form:
    """The form with the only one who works in its first line, where nobody is in one yet."""
    found = desk.options("person")
    if len(found) != 1 or form.typed_rows(ROWS):
        return form
    return replace(form, texts={**form.texts, f"{ROWS}-0-person": found[0][0]})


def hired(desk: Desk, typed: Typed) -> Hired:
    """Take whoever is new, and every wage that was missing, out of a form's lines of working time."""
    lines = typed.data.get(ROWS)
    if not isinstance(lines, list):
        return Hired(typed)
    making = _Hiring(desk)
    kept: list[Any] = []
    for line in lines:
        if isinstance(line, Mapping) and not _says_nothing(desk, line):
            kept.append(making.line(line, len(kept)))
    data = {**typed.data, ROWS: kept}
    return Hired(replace(typed, data=data), tuple(making.puts.values()), making.extras, tuple(making.faults))


def _says_nothing(desk: Desk, line: Mapping[str, Any]) -> bool:
    """Whether a line holds no more than what stood there before anybody typed: the only one who works, or nobody."""
    typed = {name for name, text in line.items() if name not in ("person", WHOSE) and _text(text)}
    person, known = _text(line.get("person")), desk.options("person")
    return not typed and (person in ("", NEW) or (len(known) == 1 and person == known[0][0]))


class _Hiring:
    """The people of one form while it is read."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.by_name = {name_key(one.name): one for one in desk.things("person")}
        self.puts: dict[str, Put] = {}
        self.made: dict[str, str] = {}
        self.extras: dict[str, dict[str, str]] = {}
        self.faults: list[tuple[str, str]] = []

    def line(self, line: Mapping[str, Any], index: int) -> dict[str, Any]:
        """The line at `index` with its person by number."""
        at = f"{ROWS}-{index}"
        own = {key: value for key, value in line.items() if key not in OWN}
        person = _text(line.get("person"))
        if person not in ("", NEW):
            self._pay(person, _text(line.get(WAGE)), at)
            return own
        name = _text(line.get(NAME))
        known = self.by_name.get(name_key(name)) if name else None
        if known is not None:  # the same form sent twice finds its own person there
            self._pay(str(known.id), _text(line.get(WAGE)), at)
            return {**own, "person": str(known.id)}
        return {**own, "person": self._new(name, line, at, str(FIRST_NEW + 1 + index))}

    def _new(self, name: str, line: Mapping[str, Any], at: str, unnamed: str) -> str:
        """The number that stands for somebody new; the same name in two lines is one person."""
        key = name_key(name)
        number = self.made.setdefault(key, str(FIRST_NEW - len(self.made))) if name else unnamed
        said = {one: _text(line.get(one)) for one in OWN}
        self.extras[number] = {one: said[one] or self.extras.get(number, {}).get(one, "") for one in OWN}
        if number not in self.puts:
            self._make(number, at)
        return number

    def _make(self, number: str, at: str) -> None:
        said = self.extras[number]
        given: dict[str, Any] = {"name": said[NAME], "whose": said[WHOSE] or "own", "wage": self._wage(said[WAGE])}
        entry = read(PERSON, given, self.desk.notation, today=self.desk.today, given={"id": int(number)})
        if not said[NAME]:
            self.faults.append((f"{at}-{NAME}", UNNAMED))
            self._tell([fault for fault in entry.faults if fault.field != "name"], at)
        elif self._right(entry, at):
            self.puts[number] = Put(entry.record)

    def _pay(self, number: str, wage: str, at: str) -> None:
        """A first wage of somebody who is in the book already; one that is known is not touched from here."""
        person = self.desk.book.people.get(_number(number))
        if person is None or person.wage is not None or not wage:
            return
        self.extras[number] = {WAGE: wage}
        given = {"name": person.name, "wage": self._wage(wage)}
        entry = read(PERSON, given, self.desk.notation, today=self.desk.today, given={"id": person.id})
        if self._right(entry, at, person):
            self.puts[number] = Put(replace(person, wage=entry.record.wage))

    def _wage(self, text: str) -> dict[str, str]:
        return {"per_hour": text, "since": self.desk.today.isoformat()} if text else {}

    def _right(self, entry: Entry, at: str, person: Person | None = None) -> bool:
        """Whether a person could be read; else every fault at the field of the line where it was typed."""
        found = entry.faults or (faults_of(self.desk.book, entry.record) if person is None else ())
        self._tell(found, at)
        return not found

    def _tell(self, found: Iterable[Fault], at: str) -> None:
        self.faults.extend((f"{at}-{FIELDS.get(fault.field, NAME)}", fault.sentence) for fault in found)


def _number(text: str) -> Id:
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 9 else 0


def _text(typed: Any) -> str:
    return typed.strip() if isinstance(typed, str) else ""
