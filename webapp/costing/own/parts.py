"""Jar, lid, label and minutes in a maker's own list of products: pieces by any of their names, and who works."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from webapp.costing import book as b
from webapp.costing.amounts import ONE, Unreadable
from webapp.costing.book import Book, Id
from webapp.costing.called import Names, known
from webapp.costing.changes import Put
from webapp.costing.limits import name_key
from webapp.costing.own import cells
from webapp.costing.own.columns import BLANK, MOST_COLUMNS, Layout, OwnTable, sort_of
from webapp.costing.own.minutes import ROLES as MINUTES
from webapp.costing.own.names import NameAsked, likely_of
from webapp.costing.own.plan import NEW, Numbers, Planned, found_for
from webapp.costing.own.price_heads import plain_words
from webapp.costing.own.rows import OwnRow, mark_of

_COUNT = r"([0-9]{1,3})"
_PIECES = re.compile(rf"{_COUNT}\s*[x\u00d7*]\s*(\S.*)|(.*\S)\s*[x\u00d7*]\s*{_COUNT}", re.IGNORECASE)
_LABEL = re.compile(
    r"\b(?:\w*labels?|stickers?|\w*etikett(?:en)?|etiquettes?|etiquetas?|etichett[ae]|etiket(?:ten)?|aufkleber)\b"
)
_ONLY_COUNT = re.compile(
    rf"{_COUNT}(?:[.,]0+)?\s*(?:[x\u00d7*]|pcs?\.?|pieces?|stk\.?|st\u00fcck|{_LABEL.pattern})?", re.IGNORECASE
)
_BETWEEN = re.compile(r"\s*[;,+&/]\s*")
_NOTHING = ("none", "no", "0", "without", "ohne", "keine", "sans", "sin", "senza", "zonder", "geen")


@dataclass
class Parting:
    """What is gathered while parts and work are looked for: names that are asked, new pieces, who works."""

    book: Book
    names: Names
    """What ingredients and formulas are called, too."""
    means: Mapping[str, str]
    numbers: Numbers
    person: str = ""
    asked: dict[str, NameAsked] = field(default_factory=dict)
    new: dict[str, b.Material] = field(default_factory=dict)
    somebody: b.Person | None = None
    first: dict[Id, tuple[int, int, int]] = field(default_factory=dict)
    """Of what is new the cell that names it first: sheet, row, column."""

    def __post_init__(self) -> None:
        pieces = [one for one in self.book.materials.values() if one.by_piece]
        self.pieces = Names((*known(pieces, "material"), *known(self.book.groups.values(), "group")))

    @property
    def unsettled(self) -> frozenset[Id]:
        """New pieces whose names have to be settled first."""
        return frozenset(one.id for one in self.new.values() if mark_of(one.name) in self.asked)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """New pieces that have no price."""
        return tuple(one.name for one in self.new.values() if one.id not in self.unsettled)


def with_parts(parting: Parting, table: OwnTable, layout: Layout) -> Layout:
    """The layout of a list of products with each column that is left out and names nothing but known parts as one."""
    width = min(max(table.width, len(layout.roles)), MOST_COLUMNS)
    roles = [*layout.roles, *[""] * (width - len(layout.roles))]
    for place in [place for place, role in enumerate(roles) if not role]:
        below = (table.cell(row, place) for row in range(layout.heads + 1, len(table.rows) + 1))
        names = [name for text in below if text not in BLANK for _, name in _named(parting, text)]
        if names and all(parting.pieces.meant_alike(name).value for name in names):
            roles[place] = "part"
    return layout if "".join(roles) == "".join(layout.roles) else replace(layout, roles=tuple(roles))


def parts_of(parting: Parting, row: OwnRow) -> tuple[b.Part, ...]:
    """What the cells of a row name, each in pieces; a name that can't be one is wrong at its cell."""
    found: list[b.Part] = []
    for place in row.layout.places("part"):
        text = row.read_at(place, lambda text, _: text)
        for pieces, name in _named(parting, text or ""):
            part = _counts(parting, row, place, name) if _is_number(parting, name) else _part(parting, row, place, name)
            if part is not None:
                found.append(replace(part, pieces=part.pieces * pieces))
    return tuple(found)


def _named(parting: Parting, text: str) -> Sequence[tuple[Decimal, str]]:
    """The names in a cell: all of it, or several where one of them is known."""
    if not text or text.casefold() in _NOTHING:
        return ()
    several = [_counted(one) for one in _BETWEEN.split(text) if one]
    if _is_known(parting, _counted(text)[1]) or not any(_is_known(parting, name) for _, name in several):
        return (_counted(text),)
    return several


def _is_number(parting: Parting, text: str) -> bool:
    """Whether a cell says how many, or an amount of money, and names nothing: "2", "2 labels", "\u20ac0.70"."""
    number = _ONLY_COUNT.fullmatch(text) or re.fullmatch("[0-9]+[.,][0-9]+", text) or sort_of(text) == "money"
    return bool(number) and mark_of(text) not in parting.means and not _is_known(parting, text)


def _counts(parting: Parting, row: OwnRow, place: int, text: str) -> b.Part | None:
    """So many of the only label there is, where its column or the cell speaks of labels; else the part is to be named.

    Money is none of a part at all.
    """
    count = _ONLY_COUNT.fullmatch(text)
    head = row.table.cell(row.layout.heads, place) if row.layout.heads else ""
    labels = [one for one in parting.pieces.all if _LABEL.search(plain_words(one.name))]
    named = (labels or parting.pieces.all)[:1]
    example = named[0].name if named else "Front label"
    if count is not None and not int(count[1]):
        return None  # none of it
    if count is None:
        words = f"{text[:24]} names no part. Name it, such as {example}, or choose for this column what it holds."
        row.fault_at(place, words, f"sheets-{row.sheet}-columns-{place}")
    elif len(labels) == 1 and labels[0].value.startswith("material") and _LABEL.search(plain_words(f"{head} {text}")):
        row.remarks.append(f"{text[:24]} below {head[:40]} is read as {count[1]} x {example}.")
        return b.Part(int(labels[0].value.partition(":")[2]), pieces=Decimal(count[1]))
    else:
        row.fault_at(place, f"{text[:24]} of what? Name the part; {count[1]} of it are “{count[1]} x {example}”.")
    return None


def _counted(text: str) -> tuple[Decimal, str]:
    found = _PIECES.fullmatch(text)
    return (Decimal(found[1] or found[4]), found[2] or found[3]) if found else (ONE, text)


def _is_known(parting: Parting, name: str) -> bool:
    found = parting.pieces.meant(name)
    return bool(found.value or found.near)


def _part(parting: Parting, row: OwnRow, place: int, text: str) -> b.Part | None:
    """The piece or the group of pieces that is called so, or a new one; None where it is no piece at all."""
    told = parting.means.get(mark_of(text), "")
    found = found_for(parting.pieces, told, text)
    if found.value:
        kind, _, number = found.value.partition(":")
        return b.Part(int(number)) if kind == "material" else b.Part(group=int(number))
    other = parting.names.meant(text).value
    if other and told != NEW:
        what = "a formula" if other.startswith("formula") else "an ingredient, and is weighed"
        row.fault_at(place, f"{text[:60]} is {what}. Name what is counted, such as a jar, or choose for this column.")
        return None
    try:
        name = cells.words(text)
    except Unreadable as unreadable:
        row.fault_at(place, unreadable.sentence)
        return None
    mark = mark_of(text)
    if found.near and (told or mark not in parting.asked):
        best = likely_of(name, found.near, ())
        parting.asked[mark] = NameAsked(mark, name, found.near, told, (row.sheet, row.number), best=best)
    if name_key(name) not in parting.new:
        made = b.Material(parting.numbers.new(), name, "packaging")
        parting.new[name_key(name)], parting.first[made.id] = made, (row.sheet, row.number, place)
    return b.Part(parting.new[name_key(name)].id)


def new_pieces(parting: Parting) -> list[Planned]:
    """The pieces and the person that are new, before the products that need them."""
    found = [Planned(Put(one), *parting.first[one.id]) for one in parting.new.values()]
    who = parting.somebody
    return found if who is None else [*found, Planned(Put(who), *parting.first[who.id])]


# --- work


def work_of(parting: Parting, row: OwnRow, minutes: Decimal | None) -> tuple[b.Work, ...]:
    """The minutes as work of whoever does it: the only one there is, or who was said; else that is asked."""
    if minutes is None:
        return ()
    there = [one for one in parting.book.people.values() if one.retired is None]
    found = Names(known(there)).meant(parting.person) if parting.person else None
    if found and found.value:
        return (b.Work(int(found.value), per_jar=minutes),)
    if found:
        if parting.somebody is None:
            parting.somebody = b.Person(parting.numbers.new(), parting.person)
            parting.first[parting.somebody.id] = row.sheet, row.number, _place(row)
        return (b.Work(parting.somebody.id, per_jar=minutes),)
    if len(there) == 1:
        return (b.Work(there[0].id, per_jar=minutes),)
    words = "Choose whose minutes these are." if there else "Say whose minutes these are; your own name will do."
    row.fault_at(_place(row), words, "person")
    return ()


def _place(row: OwnRow) -> int:
    """The column that the minutes stand in."""
    return next((place for one in MINUTES if row.text(one) and (place := row.layout.place(one)) is not None), 0)
