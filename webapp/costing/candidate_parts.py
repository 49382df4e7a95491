"""The jar and the lid of a size that is thought of: known ones, or new ones, in the place of those of the present jar.

A group of parts is opened only where one of its parts is replaced; the others stay together. Pieces and spoiled per 100
are as the part in whose place it comes; what comes in addition is one piece, none of it spoiled.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from itertools import count
from typing import NamedTuple

from webapp.costing.amounts import HUNDRED, ONE, half_up
from webapp.costing.book import SHELVES, Book, Id, Material, Part, StartingPrice
from webapp.costing.limits import SPOILED, Fault, name_key
from webapp.costing.size_facts import Candidate
from webapp.costing.units import PIECES


class TypedPart(NamedTuple):
    """The jar or the lid of a candidate as it was asked for; `which` begins the names of its fields."""

    which: str
    material: Id | None
    instead: Id | None
    name: str
    price: Decimal | None
    least: Decimal | None
    breaks: tuple[tuple[Decimal | None, Decimal | None], ...]

    @property
    def is_new(self) -> bool:
        """Whether it was typed on the spot."""
        return bool(self.name)

    @property
    def is_asked(self) -> bool:
        """Whether anything is asked for; else the present jar's stays."""
        return self.is_new or self.material is not None


@dataclass
class Numbers:
    """Numbers for what is new, below all of the book; the same new part in two candidates is one material."""

    book: Book
    new: dict[str, Material] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Things of every kind share one row of numbers until they are stored."""
        held = [shelf for kind, shelf in SHELVES.values() if kind not in ("workshop", "terms")]
        lowest = min((number for shelf in held for number in getattr(self.book, shelf)), default=0)
        self._count = count(min(lowest, 0) - 1, -1)

    def next(self) -> Id:
        """A number that nothing has."""
        return next(self._count)

    def material(self, typed: TypedPart) -> Material:
        """The new part as packaging at its price for a piece."""
        key = name_key(typed.name)
        if key not in self.new:
            starting = StartingPrice(typed.price or Decimal(0), PIECES)
            self.new[key] = Material(self.next(), typed.name, "packaging", starting=starting)
        return self.new[key]


def typed_parts(one: Candidate) -> tuple[TypedPart, TypedPart]:
    """The jar and the lid."""
    jar_breaks = ((one.jar_from, one.jar_then), (one.jar_from_2, one.jar_then_2))
    lid_breaks = ((one.lid_from, one.lid_then), (one.lid_from_2, one.lid_then_2))
    return (
        TypedPart("jar", one.jar, one.jar_instead, one.jar_name, one.jar_price, one.jar_least, jar_breaks),
        TypedPart("lid", one.lid, one.lid_instead, one.lid_name, one.lid_price, one.lid_least, lid_breaks),
    )


# --- what is wrong with it


def part_faults(book: Book, present: tuple[Part, ...], one: Candidate) -> Iterator[Fault]:
    """What is wrong with the jar and the lid of a candidate, at its fields."""
    jar, lid = typed_parts(one)
    inside = {part.material for part in opened(book, present)}
    for typed in (jar, lid):
        yield from _typed_faults(typed)
        if typed.material is not None and not book.materials[typed.material].by_piece:
            yield Fault(typed.which, "reference", "This is weighed, not counted. Choose one that is counted.")
        yield from _break_faults(typed)
        if typed.instead is not None and typed.instead not in inside:
            words = "That is no part of the present jar. Choose one of its parts, or leave this empty."
            yield Fault(f"{typed.which}_instead", "reference", words)
        elif typed.instead is not None and not typed.is_asked:
            yield Fault(typed.which, "required", "Say what takes its place, or leave the other field empty.")
    if lid.is_asked and lid.instead is not None and lid.instead == _replaced(book, present, jar):
        yield Fault("lid_instead", "choice", "The jar takes the place of that already. Choose another part.")


def _typed_faults(typed: TypedPart) -> Iterator[Fault]:
    which = typed.which
    if typed.material is not None and typed.is_new:
        yield Fault(f"{which}_name", "choice", "Choose one that is known, or type a new one, not both.")
    elif typed.is_new and not typed.price:
        yield Fault(f"{which}_price", "required", "Type what one piece costs.")
    elif not typed.is_new and any(one is not None for one in (typed.price, typed.least, *sum(typed.breaks, ()))):
        told = "It is known what this one costs. Leave its price, least order and price breaks empty."
        words = told if typed.material is not None else "Give it a name."
        yield Fault(f"{which}_name" if typed.material is None else f"{which}_price", "required", words)


def _break_faults(typed: TypedPart) -> Iterator[Fault]:
    """Each break is for more pieces than the least order and the break before it, at a lower price."""
    pieces, price = typed.least or ONE, typed.price
    for (start, then), mark in zip(typed.breaks, ("", "_2"), strict=True):
        if (start is None) != (then is None):
            missing = "from" if start is None else "then"
            ask = "Type from how many pieces on." if start is None else "Type the price of one piece then."
            yield Fault(f"{typed.which}_{missing}{mark}", "required", ask)
        elif start is not None and then is not None and price is not None:
            if start <= pieces:
                words = "A price break needs more pieces than the least order and the break before it. Type more."
                yield Fault(f"{typed.which}_from{mark}", "number-range", words)
            if not Decimal(0) < then < price:
                words = "A price break is a lower price, above 0. Type what one piece costs then."
                yield Fault(f"{typed.which}_then{mark}", "number-range", words)
            pieces, price = start, then


def same_faults(numbers: Numbers, one: Candidate) -> Iterator[Fault]:
    """A new part that an earlier candidate has at another price."""
    for typed in typed_parts(one):
        held = numbers.new.get(name_key(typed.name)) if typed.is_new else None
        if held is not None and held.starting is not None and held.starting.amount != typed.price:
            words = "It stands above at another price. Type the same price, or give this one another name."
            yield Fault(f"{typed.which}_price", "choice", words)


# --- the parts


def opened(book: Book, parts: tuple[Part, ...], only: frozenset[Id] | None = None) -> tuple[Part, ...]:
    """The parts with groups opened, all of them or those with one of `only` in them.

    Spoiled on both levels multiply, half-up to the places that are typed.
    """
    found: list[Part] = []
    for part in parts:
        inside = book.groups[part.group].parts if part.group is not None else ()
        if part.group is None or (only is not None and not only & {one.material for one in inside}):
            found.append(part)
        else:
            found += [_multiplied(one, part) for one in inside]
    return tuple(found)


def _multiplied(one: Part, group: Part) -> Part:
    if not group.spoiled:
        return replace(one, pieces=one.pieces * group.pieces)
    paid = (HUNDRED + one.spoiled) * (HUNDRED + group.spoiled) / HUNDRED
    return replace(one, pieces=one.pieces * group.pieces, spoiled=half_up(paid - HUNDRED, SPOILED.places))


def _replaced(book: Book, present: tuple[Part, ...], typed: TypedPart) -> Id | None:
    """Which part of the present jar it takes the place of: a jar that of the only part that holds something."""
    if typed.instead is not None or typed.which != "jar" or not typed.is_asked:
        return typed.instead
    inside = {part.material for part in opened(book, present) if part.material is not None}
    holding = [one for one in inside if book.materials[one].holds_ml is not None]
    return holding[0] if len(holding) == 1 else None


def with_parts(book: Book, present: tuple[Part, ...], asked: Mapping[TypedPart, Id]) -> tuple[Part, ...]:
    """The parts of the present jar with what was asked for; `asked` says which material each is."""
    taken = {old: new for typed, new in asked.items() if (old := _replaced(book, present, typed)) is not None}
    added = [Part(new) for new in asked.values() if new not in taken.values()]
    kept = opened(book, present, frozenset(taken))
    return (*(replace(one, material=taken[one.material]) if one.material in taken else one for one in kept), *added)
