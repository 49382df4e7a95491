"""What a new book can take over from the one before: results whose records, and the results they lean on, are the same.

Asked only while a reckoning is made; the one before may be asked by other threads meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Any, TypeVar

from webapp.costing.book import Book, Formula, Id, OrderLine, PartGroup, Product
from webapp.costing.gaps import Figure, Gap
from webapp.costing.purchases import counting_with

if TYPE_CHECKING:
    from webapp.costing.basis import MaterialCost
    from webapp.costing.batches import Batch
    from webapp.costing.formulas import FormulaCost
    from webapp.costing.jars import CostSheet
    from webapp.costing.orders import Invoice, Landed
    from webapp.costing.purchases import Purchase
    from webapp.costing.reckoning import Reckoning
    from webapp.costing.rows import Row

Key = tuple[str, Id]
Result = TypeVar("Result")


@dataclass(slots=True)
class Kept:
    """What was worked out on one book, by id.

    `uses`: every record that a formula's, group's or product's costs lean on, through everything in it; `users`: the
    formulas, groups and products that name a record themselves.
    """

    invoices: dict[Id, Invoice] = field(default_factory=dict)
    landed: dict[Id, Landed] = field(default_factory=dict)
    counting: dict[Id, list[Purchase]] | None = None
    history: dict[Id, list[Purchase]] | None = None
    materials: dict[Id, MaterialCost] = field(default_factory=dict)
    formulas: dict[Id, FormulaCost] = field(default_factory=dict)
    leaves: dict[Id, Mapping[Id, Decimal] | Gap] = field(default_factory=dict)
    groups: dict[Id, Figure] = field(default_factory=dict)
    batches: dict[Id, Batch] = field(default_factory=dict)
    sheets: dict[Id, CostSheet] = field(default_factory=dict)
    rows: dict[Id, tuple[Row, ...]] = field(default_factory=dict)
    uses: dict[Key, frozenset[Key]] = field(default_factory=dict)
    users: Mapping[Key, Sequence[Key]] | None = None


def keep(kept: dict[Any, Result], key: Any, result: Result) -> Result:
    """One assignment; of two threads that worked out the same, both go on with what was kept first."""
    return kept.setdefault(key, result)


# --- what depends on what ------------------------------------------------------------------------------------------


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
_SHELVES = {"formula": "formulas", "group": "groups", "product": "products"}


def _used(book: Book, top: Key) -> frozenset[Key]:
    found = {top}
    waiting = [top]
    while waiting:
        kind, one = waiting.pop()
        record = getattr(book, _SHELVES[kind])[one]
        for key in _INSIDE[kind](record):
            if key not in found:
                found.add(key)
                if key[0] in _SHELVES:
                    waiting.append(key)
    return frozenset(found)


def uses(known: Reckoning, key: Key) -> frozenset[Key]:
    """Every record that a formula's or a product's costs lean on, itself included, through everything in it."""
    kept = known.kept.uses.get(key)
    return kept if kept is not None else keep(known.kept.uses, key, _used(known.book, key))


def _users(known: Reckoning) -> Mapping[Key, Sequence[Key]]:
    """For every record of the book, the formulas, groups and products that name it.

    One pass over what is named; to gather for each product all that it leans on takes ten times as long, and the first
    look at a change would wait for it.
    """
    if known.kept.users is None:
        found: dict[Key, list[Key]] = {}
        for kind, shelf in _SHELVES.items():
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


def _leaning(before: Reckoning, moved: set[Key]) -> set[Key]:
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


# --- taken over ----------------------------------------------------------------------------------------------------


def _moved(old: Mapping[Any, Any], new: Mapping[Any, Any]) -> set[Any]:
    """Keys whose record is not the same object in both."""
    if old is new:
        return set()
    moved = {key for key, record in new.items() if old.get(key) is not record}
    return moved.union(key for key in old if key not in new)


def carry_over(now: Reckoning, before: Reckoning) -> None:
    """Take over what still holds, from what was bought up to the rows; the rest is worked out when asked."""
    old, new = before.book, now.book
    moved: set[Key] = set()
    for kind, shelf in (("formula", "formulas"), ("group", "groups"), ("product", "products"), ("person", "people")):
        moved.update((kind, key) for key in _moved(getattr(old, shelf), getattr(new, shelf)))
    moved.update(("material", key) for key in _carry_materials(now, before))
    leaning = _leaning(before, moved)
    _carry_made(now, before, leaning)
    if _same_sheets(now, before):
        _carry_sheets(now, before, leaning)
    _carry_uses(now, before, _edges(moved))


def _edges(moved: set[Key]) -> set[Key]:
    """Only records that name others can change what depends on what."""
    return {key for key in moved if key[0] in _SHELVES}


def _carry_uses(now: Reckoning, before: Reckoning, edges: set[Key]) -> None:
    kept = before.kept.uses.copy()
    if not edges:
        now.kept.uses.update(kept)
        now.kept.users = before.kept.users
    else:
        now.kept.uses.update((key, used) for key, used in kept.items() if used.isdisjoint(edges))


def _carry_made(now: Reckoning, before: Reckoning, leaning: set[Key]) -> None:
    kept, was = now.kept, before.kept
    _carry(kept.formulas, was.formulas, "formula", leaning)
    _carry(kept.groups, was.groups, "group", leaning)
    kept.leaves.update((one, leaves) for one, leaves in was.leaves.copy().items() if one in kept.formulas)
    _carry(kept.batches, was.batches, "formula", leaning)


def _carry(kept: dict[Id, Any], before: dict[Id, Any], kind: str, leaning: set[Key]) -> None:
    """All that was kept, but for what leans on something that moved; what is gone from the book has moved too."""
    kept.update(before.copy())
    for one, number in leaning:
        if one == kind:
            kept.pop(number, None)


def _same_sheets(now: Reckoning, before: Reckoning) -> bool:
    """Whether the settings that every sheet depends on are the same."""
    old, new = before.book.terms, now.book.terms
    same = (old.overhead, old.making_hours, old.planned_jars) == (new.overhead, new.making_hours, new.planned_jars)
    return same and before.overhead == now.overhead


def _carry_sheets(now: Reckoning, before: Reckoning, leaning: set[Key]) -> None:
    _carry(now.kept.sheets, before.kept.sheets, "product", leaning)
    old, new = before.book, now.book
    if not _same_selling(old, new):
        return
    _carry(now.kept.rows, before.kept.rows, "product", leaning)
    for shelf in ("prices", "targets", "sales"):
        for product, _ in _moved(getattr(old, shelf), getattr(new, shelf)):
            now.kept.rows.pop(product, None)
    now.terms = before.terms


def _same_selling(old: Book, new: Book) -> bool:
    """Whether the channels, and all that their terms depend on, are the same."""
    return (
        old.channels is new.channels
        and old.people is new.people
        and (old.terms is new.terms or (old.terms.cost, old.terms.target) == (new.terms.cost, new.terms.target))
        and old.workshop.currency == new.workshop.currency
        and old.day == new.day
        and old.registered_on(old.day) == new.registered_on(new.day)
    )


def _carry_materials(now: Reckoning, before: Reckoning) -> set[Id]:
    """Take over orders and material costs; gives the materials whose record or cost is another."""
    old, new = before.book, now.book
    records = _moved(old.materials, new.materials)
    orders_moved = _moved(old.orders, new.orders)
    as_landed = old.registrations is new.registrations and old.workshop.currency == new.workshop.currency
    touched = _carry_landed(now, before, orders_moved, records if as_landed else set(old.materials))
    for order in orders_moved:
        touched.update(line.material for book in (old, new) for line in _lines_of(book, order))
    _carry_purchases(now, before, orders_moved)
    quotes = _moved(old.quotes, new.quotes)
    if quotes:
        touched.update(key for key, one in new.materials.items() if one.quote in quotes)
    touched.update(_moved(old.reviews, new.reviews))
    if not as_landed or old.day != new.day or old.workshop is not new.workshop:
        touched.update(new.materials)
    return records | _recosted(now, before, touched | records)


def _lines_of(book: Book, order: Id) -> tuple[OrderLine, ...]:
    return book.orders[order].lines if order in book.orders else ()


def _carry_landed(now: Reckoning, before: Reckoning, orders_moved: set[Id], records: set[Id]) -> set[Id]:
    """An order with a changed material is landed anew; the other lines in it may bear another share of its freight."""
    touched: set[Id] = set()
    landed = before.kept.landed
    if not records:
        now.kept.invoices.update(before.kept.invoices.copy())
        now.kept.landed.update(landed.copy())
        for order in orders_moved:
            gone = now.kept.invoices.pop(order, None)
            now.kept.landed.pop(order, None)
            touched.update(line.material for line in (gone.order.lines if gone else ()))
        return touched
    for order, invoice in before.kept.invoices.copy().items():
        bought = [line.material for line in invoice.order.lines]
        if order in orders_moved or not records.isdisjoint(bought):
            touched.update(bought)
        else:
            now.kept.invoices[order] = invoice
            if order in landed:
                now.kept.landed[order] = landed[order]
    return touched


def _carry_purchases(now: Reckoning, before: Reckoning, orders_moved: set[Id]) -> None:
    """Which lines count depends on the materials' bases and on the day as well. An order that only comes is added."""
    old, new = before.book, now.book
    if not orders_moved:
        now.kept.history = before.kept.history
    counted = before.kept.counting
    if counted is None or not (old.materials is new.materials and old.workshop is new.workshop and old.day == new.day):
        return
    if orders_moved.isdisjoint(old.orders):
        now.kept.counting = counting_with(new, counted, [new.orders[one] for one in orders_moved])


def _recosted(now: Reckoning, before: Reckoning, touched: set[Id]) -> set[Id]:
    """Costs of materials taken over where nothing touched them, or where they came out the same again."""
    moved: set[Id] = set()
    for material, cost in before.kept.materials.copy().items():
        if material in touched and material in now.book.materials:
            anew = now.material_cost(now.book.materials[material])
            if anew == cost:
                now.kept.materials[material] = cost
            elif anew._replace(stale=cost.stale) == cost:
                now.kept.materials[material] = anew  # nothing that is reckoned leans on how old it is
            else:
                moved.add(material)
        elif material in now.book.materials:
            now.kept.materials[material] = cost
    return moved
