"""What depends on what: the records that a cost leans on, and the costs that lean on a record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, TypeAlias

from webapp.costing.book import Book, Formula, Id, PartGroup, Product

if TYPE_CHECKING:
    from webapp.costing.carrying import Kept
    from webapp.costing.reckoning import Reckoning

#: (kind, number) of a record
Key: TypeAlias = tuple[str, Id]


def _in_formula(formula: Formula) -> Iterable[Key]:
    for one in formula.lines:
        if one.material is not None:
            yield "material", one.material
        if one.formula is not None:
            yield "formula", one.formula
    for work in formula.work:
        yield "person", work.person


def _in_parts(holder: PartGroup | Product) -> Iterable[Key]:
    for part in holder.parts:
        if part.material is not None:
            yield "material", part.material
        if part.group is not None:
            yield "group", part.group


def _in_product(product: Product) -> Iterable[Key]:
    yield from (("formula", fill.formula) for fill in product.fills)
    yield from _in_parts(product)
    yield from (("product", member.product) for member in product.members)
    yield from (("person", work.person) for work in product.work)


_INSIDE: dict[str, Callable[[Any], Iterable[Key]]] = {
    "formula": _in_formula,
    "group": _in_parts,
    "product": _in_product,
}
SHELVES_OF = {"formula": "formulas", "group": "groups", "product": "products"}
_KIND = {Formula: "formula", PartGroup: "group", Product: "product"}


def named_by(record: Formula | PartGroup | Product) -> Iterable[Key]:
    """The materials, formulas, groups, products and people that a record names itself."""
    return _INSIDE[_KIND[type(record)]](record)


def _used(book: Book, top: Key) -> frozenset[Key]:
    found = {top}
    waiting = [top]
    while waiting:
        kind, one = waiting.pop()
        record = getattr(book, SHELVES_OF[kind])[one]
        for key in _INSIDE[kind](record):
            if key not in found:
                found.add(key)
                if key[0] in SHELVES_OF:
                    waiting.append(key)
    return frozenset(found)


def uses(known: Reckoning, key: Key) -> frozenset[Key]:
    """Every record that a formula's or a product's costs lean on, itself included, through everything in it."""
    kept = known.kept.uses.get(key)
    return kept if kept is not None else known.kept.uses.setdefault(key, _used(known.book, key))


def _users(known: Reckoning) -> Mapping[Key, Sequence[Key]]:
    """For every record of the book, the formulas, groups and products that name it.

    One pass over what is named; to gather for each product all that it leans on takes ten times as long, and the first
    look at a change would wait for it.
    """
    if known.kept.users is None:
        found: dict[Key, list[Key]] = {}
        for kind, shelf in SHELVES_OF.items():
            inside = _INSIDE[kind]
            for one, record in getattr(known.book, shelf).items():
                user = (kind, one)
                for used in inside(record):
                    found.setdefault(used, []).append(user)
        known.kept.users = found
    return known.kept.users


def _upwards(known: Reckoning, moved: set[Key]) -> set[Key]:
    """What moved, and everything that leans on it, through however many others."""
    users = _users(known)
    found, waiting = set(moved), list(moved)
    while waiting:
        for user in users.get(waiting.pop(), ()):
            if user not in found:
                found.add(user)
                waiting.append(user)
    return found


def leaning_on(before: Reckoning, moved: set[Key]) -> set[Key]:
    """What was kept before and leans on something that moved.

    Where most of a book was worked out, looking up who uses what is much quicker than asking each; where little was,
    it is the other way round.
    """
    kept = before.kept
    if not moved:
        return set()
    asked = len(kept.sheets) + len(kept.formulas) + len(kept.groups)
    if before.kept.users is None and asked * 2 < len(before.book.products):
        keys = [(kind, one) for kind, of in _kept_by(kept) for one in of.copy()]
        return {key for key in keys if not uses(before, key).isdisjoint(moved)}
    return _upwards(before, moved)


def _kept_by(kept: Kept) -> tuple[tuple[str, dict[Id, Any]], ...]:
    return ("formula", kept.formulas), ("group", kept.groups), ("product", kept.sheets)


def with_such_parts(before: Reckoning, moved: set[Key]) -> set[Id]:
    """The products that have one of these things among their parts."""
    users = _users(before)
    found: set[Id] = set()
    for key in moved:
        if key[0] in {"material", "group"}:
            found.update(number for kind, number in users.get(key, ()) if kind == "product")
    return found
