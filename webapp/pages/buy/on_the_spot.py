"""A material or a supplier made on the spot, inside the form of an order or a quote: one save keeps all or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from webapp.costing import book as b
from webapp.costing.buying_shapes import DENSITY, MATERIAL, ORDER, SUPPLIER
from webapp.costing.called import Meant, nature_of, or_meant
from webapp.costing.changes import Put
from webapp.costing.checks import faults_of
from webapp.costing.describing import Rows, Shape
from webapp.costing.entry import is_spare, read
from webapp.costing.limits import name_key
from webapp.costing.units import VOLUME
from webapp.pages.buy.instead import NEW_KIND, meant_instead
from webapp.pages.buy.last_time import kind_by_unit, names_of
from webapp.pages.buy.since import first_bought
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed

NEW_SUPPLIER = -1000
#: of a line that is bought by volume: what 1 mL weighs, how warm, and who says so
DENSITY_OF, DENSITY_AT, DENSITY_FROM = "density", "density_at", "density_from"
LINES: Rows = ORDER.field("lines").kind  # type: ignore[assignment]  # its lines are rows
OWN = (NEW_KIND, DENSITY_OF, DENSITY_AT, DENSITY_FROM)
#: beside an order's own fields: the tax that a press puts on all lines (pages/buy/settling.py)
FOR_ALL = ALL_RATE, ALL_INCLUDED = "all_tax_rate", "all_tax_included"


@dataclass(frozen=True, slots=True)
class Prepared:
    """The form as the order's own fields, what is to be made with it, and the texts and faults of what is made."""

    typed: Typed
    puts: tuple[Put, ...] = ()
    names: Mapping[str, str] = field(default_factory=dict)
    """What a material is called in the form, by the number that the record has: a new one's as it was typed."""
    extras: Mapping[tuple[str, str], str] = field(default_factory=dict)
    """What was typed of a material beside the order's own fields, by its number and the name of the field."""
    supplier: str = ""
    for_all: Mapping[str, str] = field(default_factory=dict)
    """What was typed for all lines at once, and put on none of them yet."""
    faults: tuple[tuple[str, str], ...] = ()
    readable: bool = True
    """Whether every new thing could be read. A name that is taken is refused when it is stored, not here: the same
    form sent twice finds its own names there, and gets its first answer."""

    def shown(self, form: Form) -> Form:
        """The form as it was typed: materials by their names, new things in it, and their faults."""
        texts = dict(form.texts)
        for at, text in form.texts.items():
            if at.endswith("-material"):
                texts[at] = self.names.get(text, text)
                texts |= {f"{at.removesuffix('material')}{name}": self.extras.get((text, name), "") for name in OWN}
        if texts.get("supplier", "").startswith("-"):
            texts["supplier"] = ""
        texts |= {"new_supplier": self.supplier, **self.for_all}
        elsewhere = ("", "name", "supplier") if self.supplier else ("", "name")
        faults = tuple((at, words) for at, words in form.faults if at not in elsewhere)
        other = tuple((at, words) for at, words in form.faults if not at)
        return replace(form, texts=texts, faults=(*self.faults, *faults, *other))


def as_it_is(desk: Desk) -> Prepared:
    """Nothing new: for a form that nobody has typed into."""
    return Prepared(Typed({}), names={str(one.id): one.name for one in desk.book.materials.values()})


def prepared(desk: Desk, typed: Typed) -> Prepared:
    """Take what is not in the book yet out of the form of an order or a quote, and make it."""
    data = dict(typed.data)
    making = _Making(desk, _text(data.get("day")))
    name = _text(data.pop("new_supplier", ""))
    for_all = {one: _text(data.pop(one)) for one in FOR_ALL if one in data}
    if name:
        given = {"name": name, "currency": _text(data.get("currency")) or desk.book.workshop.currency}
        data["supplier"] = str(NEW_SUPPLIER)
        making.make(SUPPLIER, given, NEW_SUPPLIER, "new_supplier")
    if isinstance(data.get("lines"), list):
        data["lines"] = making.lines(data["lines"])
    return Prepared(
        replace(typed, data=data),
        tuple(making.puts),
        {**as_it_is(desk).names, **making.names},
        making.extras,
        name,
        for_all,
        tuple(making.faults),
        making.readable,
    )


def at_the_first(form: Form, words: str) -> Form:
    """The form with the fault of a missing supplier at the field where the first one is named."""
    faults = (("new_supplier", words) if at == "supplier" else (at, said) for at, said in form.faults)
    return replace(form, faults=tuple(faults))


class _Making:
    """The new things of one form while it is read."""

    def __init__(self, desk: Desk, day: str) -> None:
        self.desk = desk
        self.day = day
        self.known = names_of(desk)
        self.puts: list[Put] = []
        self.faults: list[tuple[str, str]] = []
        self.readable = True
        self.made: dict[str, str] = {}
        self.names: dict[str, str] = {}
        self.extras: dict[tuple[str, str], str] = {}
        self.weighed: set[b.Id] = set()

    def lines(self, lines: list[Any]) -> list[Any]:
        """The lines with every material by its number, new ones by a temporary one; blank lines are left out."""
        kept: list[Any] = []
        for line in lines:
            if isinstance(line, Mapping) and not is_spare(line, LINES):
                kept.append(self._line(line, f"lines-{len(kept)}"))
        return kept

    def _line(self, line: Mapping[str, Any], at: str) -> dict[str, Any]:
        instead = meant_instead(_text(line.get(NEW_KIND)))
        if instead:
            line = {**line, NEW_KIND: "", **({"material": instead} if self.known.meant(instead).value else {})}
        own = {key: value for key, value in line.items() if key not in OWN}
        name = _text(line.get("material"))
        found = self.known.meant(name)
        if not name or found.value:
            if found.value:
                self._keep(found.value, line)
                self._weigh(int(found.value), line, at)
            return {**own, "material": found.value}
        key = name_key(name)
        if key not in self.made:
            ident = -2 - len(self.made)
            self.made[key] = str(ident)
            self.names[str(ident)] = name
            self._material(line, ident, at, found)
        return {**own, "material": self.made[key]}

    def _material(self, line: Mapping[str, Any], ident: int, at: str, found: Meant) -> None:
        """A new material, if it was said what it is; else it counts for the sum only."""
        name, kind = self.names[str(ident)], _text(line.get(NEW_KIND))
        self._keep(str(ident), line)
        before = len(self.faults)
        likely = kind_by_unit(_text(line.get("unit"))) or "ingredient"
        given = {"name": name, "kind": kind or likely, "nature": nature_of(name) if kind == "ingredient" else ""}
        density = self._density(line, at) if kind in ("", "ingredient") else None
        self.make(MATERIAL, given, ident, f"{at}-material", density)
        if found.several:
            words = f"More than one material is called that. Type its own name: {' or '.join(found.near)}."
        elif not kind and found.near:
            words = f"{name} is not in the book yet.{or_meant(found.near)} If it is new, say below what it is."
        elif not kind:
            words = f"{name} is not in the book yet. Say what it is, and it is made with this order."
        else:
            return
        if len(self.faults) == before:
            self.readable = False
            self.faults.append((f"{at}-material" if found.near else f"{at}-{NEW_KIND}", words))

    def _keep(self, number: str, line: Mapping[str, Any]) -> None:
        for name in OWN:
            self.extras[number, name] = _text(line.get(name)) or self.extras.get((number, name), "")

    def _weigh(self, ident: int, line: Mapping[str, Any], at: str) -> None:
        """A first density of a material that is in the book already."""
        material = self.desk.book.materials[ident]
        density = self._density(line, at) if material.density is None and not material.by_piece else None
        if density is not None and ident not in self.weighed:
            self.weighed.add(ident)
            since = min(density.since, first_bought(self.desk, ident) or density.since)
            self.puts.append(Put(replace(material, density=replace(density, since=since))))

    def _density(self, line: Mapping[str, Any], at: str) -> b.Density | None:
        """The density typed in a line, from the order's day on. Where the unit is no volume nobody sees the field."""
        names = {"value": DENSITY_OF, "temperature": DENSITY_AT, "source": DENSITY_FROM}
        told = {part: _text(line.get(name)) for part, name in names.items()}
        if not any(told.values()) or _text(line.get("unit")) not in VOLUME:
            return None
        given = {"since": self.day} | told
        entry = read(DENSITY, given, self.desk.notation, today=self.desk.today)
        found = [fault for fault in entry.faults if fault.field in names]  # its day is the order's, and refused there
        self.faults.extend((f"{at}-{names[fault.field]}", fault.sentence) for fault in found)
        self.readable = self.readable and not entry.faults
        density: b.Density | None = entry.record
        return density

    def make(self, shape: Shape, given: dict[str, str], ident: int, at: str, density: b.Density | None = None) -> None:
        """One new thing, or its faults at the field where its name was typed."""
        entry = read(shape, given, self.desk.notation, today=self.desk.today, given={"id": ident})
        found = entry.faults or faults_of(self.desk.book, entry.record)
        self.faults.extend((at, fault.sentence) for fault in found)
        if entry.record is None:
            self.readable = False
        else:
            self.puts.append(Put(entry.record if density is None else replace(entry.record, density=density)))


def _text(typed: Any) -> str:
    return typed.strip() if isinstance(typed, str) else ""


def book_with(desk: Desk, puts: tuple[Put, ...]) -> b.Book:
    """The book with the new things in it, for reckoning before anything is stored."""
    book = desk.book
    for put in puts:
        shelf = "materials" if isinstance(put.record, b.Material) else "suppliers"
        changed: dict[str, Any] = {shelf: {**getattr(book, shelf), put.record.id: put.record}}  # type: ignore[union-attr]
        book = replace(book, **changed)
    return book
