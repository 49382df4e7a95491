"""How many things a maker's own sheets hold, how many are saved and how many stay as they are, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from webapp.costing.book import SHELVES, Formula, Id, Material, Order, Price, Product, Quote
from webapp.costing.changes import Put

if TYPE_CHECKING:
    from webapp.costing.own.reading import OwnReading


def understood(reading: OwnReading) -> str:
    """The materials, formulas and products that the sheets hold, each once: "2 materials and 1 formula"."""
    return counted([len(one) for one in _all(reading)], always=True)


def saved(reading: OwnReading) -> str:
    """Those of which something is saved: they are new, or a price or what they are made of is; "" for nothing."""
    return counted([len(moved) for moved in _moved(reading)], always=False)


def kept_as_they_are(reading: OwnReading) -> str:
    """Those that stand in the book already and change in nothing; "" for none."""
    both = zip(_all(reading), _moved(reading), strict=True)
    return counted([sum(known and one not in moved for one, known in here.items()) for here, moved in both])


def counted(of: Sequence[int], *, always: bool = False) -> str:
    """How many of what: "2 materials, 1 formula and 3 products"; `always` says materials and formulas also at 0."""
    counts = zip(of, ("material", "formula", "product"), (always, always, False), strict=True)
    said = [f"{count} {word}{'' if count == 1 else 's'}" for count, word, wanted in counts if count or wanted]
    return f"{', '.join(said[:-1])} and {said[-1]}" if len(said) > 1 else "".join(said)


def _all(reading: OwnReading) -> tuple[dict[Id, bool], ...]:
    """The materials, formulas and products that the sheets hold, and whether the book has each."""
    return (
        {one.said.material: one.said.known for one in reading.materials},
        {one.said.formula: one.said.known for one in reading.formulas},
        {one.said.product: one.said.known for one in reading.products},
    )


def _moved(reading: OwnReading) -> tuple[set[Id], ...]:
    """The materials, formulas and products that something is saved of; new ones without a price are among them."""
    moved: dict[str, set[Id]] = {"material": set(), "formula": set(), "product": set()}
    for change in reading.changes:
        record = change.record if isinstance(change, Put) else None
        if isinstance(record, Material | Formula | Product):
            moved[SHELVES[type(record)][0]].add(record.id)
        elif isinstance(record, Quote):
            moved["material"].add(record.material)
        elif isinstance(record, Order):
            moved["material"].update(line.material for line in record.lines)
        elif isinstance(record, Price):
            moved["product"].add(record.product)
    return tuple(moved.values())
