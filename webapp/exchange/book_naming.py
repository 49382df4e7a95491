"""Which thing a name in a file means: one of the book, or one that the file itself brings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import count
from typing import Any

from webapp.costing import limits as lim
from webapp.costing.amounts import JSON_NOTATION, Unreadable
from webapp.costing.book import WORKSHOP_ID, Id
from webapp.costing.everything import Everything
from webapp.exchange.book_rows import Document, names_of
from webapp.exchange.book_sheets import CALLED, ORDER, SINGLE, UNNAMED, main_sheet
from webapp.exchange.book_words import SHEETS

_LONGEST = lim.Text(400)


@dataclass(slots=True)
class Naming:
    """Names by kind, without regard to case. What the file brings has negative numbers, in its order."""

    names: dict[Id, str]
    known: dict[str, dict[str, Id]] = field(default_factory=dict)

    def find(self, kind: str, text: str) -> Id:
        """The thing of that name; Unreadable, with a sentence, where there is none."""
        one = self.known[kind].get(key_of(text))
        if one is None:
            noun = SHEETS[kind][1]
            raise Unreadable("reference", f"There is no {noun} called {text}, in this file or in the book.")
        return one


@lru_cache(maxsize=4096)
def key_of(text: str) -> str:
    """What makes two names the same; Unreadable where a text can't be a name."""
    return lim.name_key(_LONGEST.read(text, JSON_NOTATION))


def naming(document: Document, held: Everything) -> Naming:
    """The names of the book, and those that are new in the file. Names that can't be read are left to their rows."""
    found = Naming(names_of(held))
    numbers = count(-1, -1)
    for kind in ORDER:
        known = found.known[kind] = {}
        if kind in SINGLE:
            continue
        if "id" in main_sheet(kind).shape.given:
            known.update((lim.name_key(found.names[one]), one) for one in held.of(kind))
            _bring(found, kind, document, known, numbers)
    return found


def _bring(found: Naming, kind: str, document: Document, known: dict[str, Id], numbers: Any) -> None:
    for row in document.sheets.get(main_sheet(kind).key, ()):
        text = row.cells.get(name_column(kind), "")
        try:
            key = key_of(text) or unnamed_key(kind, row.number)
        except Unreadable:
            continue
        if key not in known:
            known[key] = one = next(numbers)
            found.names[one] = text


def name_column(kind: str) -> str:
    """The column that says which thing a row is about."""
    return CALLED if kind in UNNAMED else "name"


def unnamed_key(kind: str, number: int) -> str:
    """What an order or a quote without a name is known by, so that it is one of its own."""
    return f"\n{number}" if kind in UNNAMED else ""


def identity(kind: str, cells: Mapping[str, str], number: int, found: Naming) -> Any:
    """Which thing, or pair, a row is about; Unreadable where it does not say one."""
    if kind in SINGLE:
        return WORKSHOP_ID
    given = main_sheet(kind).shape.given
    if "id" not in given:
        ids = tuple(_given(name, cells, found) for name in given)
        return ids if len(ids) > 1 else ids[0]
    key = key_of(cells.get(name_column(kind), "")) or unnamed_key(kind, number)
    if not key:
        raise Unreadable("required", "Give it a name.")
    return found.known[kind][key]


def _given(kind: str, cells: Mapping[str, str], found: Naming) -> Id:
    text = cells.get(kind, "")
    if not text.strip():
        raise Unreadable("required", f"Name the {kind}.")
    return found.find(kind, text)
