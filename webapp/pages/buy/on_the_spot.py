"""A material or a supplier made on the spot, inside the form of an order: one save keeps all of it or nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from webapp.costing import book as b
from webapp.costing.changes import Put
from webapp.costing.checks import faults_of
from webapp.costing.entry import read
from webapp.costing.shapes import MATERIAL, SUPPLIER, Shape
from webapp.pages.drawn import Form
from webapp.pages.rendering import Desk
from webapp.pages.typed import Typed

NEW_SUPPLIER = -1000
NEW, NEW_KIND = "new", "new_kind"


@dataclass(frozen=True, slots=True)
class Prepared:
    """The form as the order's own fields, what is to be made with it, and the texts and faults of what is made."""

    typed: Typed
    puts: tuple[Put, ...] = ()
    texts: Mapping[str, str] | None = None
    faults: tuple[tuple[str, str], ...] = ()
    readable: bool = True
    """Whether every new thing could be read. A name that is taken is refused when it is stored, not here: the same
    form sent twice finds its own names there, and gets its first answer."""

    def shown(self, form: Form) -> Form:
        """The form with what was typed for new things in it, and their faults."""
        texts = {name: text for name, text in form.texts.items() if not (_refers(name) and text.startswith("-"))}
        faults = tuple((at, words) for at, words in form.faults if at not in ("", "name"))
        other = tuple((at, words) for at, words in form.faults if not at)
        return replace(form, texts={**texts, **(self.texts or {})}, faults=(*self.faults, *faults, *other))


def prepared(desk: Desk, typed: Typed) -> Prepared:
    """Take the fields of new things out of an order's form, and make those things."""
    data = dict(typed.data)
    making = _Making(desk)
    name = _text(data.pop("new_supplier", ""))
    if name:
        making.texts["new_supplier"] = name
        given = {"name": name, "currency": _text(data.get("currency")) or desk.book.workshop.currency}
        data["supplier"] = str(NEW_SUPPLIER)
        making.make(SUPPLIER, given, NEW_SUPPLIER, "new_supplier")
    if isinstance(data.get("lines"), list):
        data["lines"] = making.lines(data["lines"])
    return Prepared(replace(typed, data=data), tuple(making.puts), making.texts, tuple(making.faults), making.readable)


class _Making:
    """The new things of one form while it is read."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.texts: dict[str, str] = {}
        self.puts: list[Put] = []
        self.faults: list[tuple[str, str]] = []
        self.readable = True
        self.made: dict[str, int] = {}

    def lines(self, lines: list[Any]) -> list[Any]:
        """The lines with new materials under their temporary identity; blank ones are left out."""
        kept: list[Any] = []
        for line in lines:
            if isinstance(line, Mapping) and not _blank(line):
                kept.append(self._line(line, f"lines-{len(kept)}"))
        return kept

    def _line(self, line: Mapping[str, Any], at: str) -> dict[str, Any]:
        name = _text(line.get(NEW))
        own = {key: value for key, value in line.items() if key not in (NEW, NEW_KIND)}
        if not name:
            return own
        kind = _text(line.get(NEW_KIND)) or "ingredient"
        self.texts |= {f"{at}-{NEW}": name, f"{at}-{NEW_KIND}": kind}
        key = " ".join(name.casefold().split())
        if key not in self.made:
            self.made[key] = -2 - len(self.made)
            self.make(MATERIAL, {"name": name, "kind": kind}, self.made[key], f"{at}-{NEW}")
        return {**own, "material": str(self.made[key])}

    def make(self, shape: Shape, given: dict[str, str], ident: int, at: str) -> None:
        """One new thing, or its faults at the field where its name was typed."""
        entry = read(shape, given, self.desk.notation, today=self.desk.today, given={"id": ident})
        found = entry.faults or faults_of(self.desk.book, entry.record)
        self.faults.extend((at, fault.sentence) for fault in found)
        if entry.record is None:
            self.readable = False
        else:
            self.puts.append(Put(entry.record))


def _blank(line: Mapping[str, Any]) -> bool:
    names = ("material", NEW, "packs", "size", "price", "total")
    return all(not _text(line.get(name)) for name in names)


def _refers(name: str) -> bool:
    """Whether a field names a thing, which may stand there under its temporary identity."""
    return name == "supplier" or name.endswith("-material")


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
