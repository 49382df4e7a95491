"""What a new book can take over from the one before: results whose records, and the results they lean on, are the same.

Asked only while a reckoning is made; the one before may be asked by other threads meanwhile.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from itertools import compress, repeat
from operator import is_not
from typing import TYPE_CHECKING, Any, TypeVar

from webapp.costing.book import Book, Id, OrderLine
from webapp.costing.gaps import Figure, Gap
from webapp.costing.leaning import SHELVES_OF, Key, leaning_on, with_such_parts
from webapp.costing.purchases import counting_with, window

if TYPE_CHECKING:
    from webapp.costing.basis import MaterialCost
    from webapp.costing.batches import Batch
    from webapp.costing.formulas import FormulaCost
    from webapp.costing.jars import CostSheet
    from webapp.costing.orders import Invoice, Landed
    from webapp.costing.purchases import Purchase
    from webapp.costing.reckoning import Reckoning
    from webapp.costing.rows import Row

Result = TypeVar("Result")
_NONE_HERE = object()


@dataclass(slots=True)
class Kept:
    """What was worked out on one book, by id.

    `anew`: where all of the line before (its `mark` is `carried_from`) was worked out, the products whose sheet or rows
    were not taken over. To look through all of ten thousand, whose results lie far apart, takes long.
    `outdated_…`: of the book before, of products that a price of a material moved and nothing else: half of it holds.
    `same_parts`: those of them whose parts cost what they did.
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
    outdated_sheets: dict[Id, CostSheet] = field(default_factory=dict)
    outdated_rows: dict[Id, tuple[Row, ...]] = field(default_factory=dict)
    same_parts: set[Id] = field(default_factory=set)
    uses: dict[Key, frozenset[Key]] = field(default_factory=dict)
    users: Mapping[Key, Sequence[Key]] | None = None
    mark: object = field(default_factory=object)
    carried_from: object | None = None
    anew: frozenset[Id] = frozenset()


def keep(kept: dict[Any, Result], key: Any, result: Result) -> Result:
    """One assignment; of two threads that worked out the same, both go on with what was kept first."""
    return kept.setdefault(key, result)


# --- taken over ----------------------------------------------------------------------------------------------------


def _moved(old: Mapping[Any, Any], new: Mapping[Any, Any]) -> set[Any]:
    """Keys whose record is not the same object in both."""
    if old is new:
        return set()
    moved = others(new, new, old)
    added = sum([key not in old for key in moved])
    return set(moved) if len(new) - added == len(old) else {*moved, *(old.keys() - new.keys())}


def not_carried(now: Reckoning, before: Reckoning, what: str) -> list[Id]:
    """Products of which the same "rows" or "sheets" are not in both; of those that are not sold perhaps not all."""
    remembered = now.kept.carried_from is before.kept.mark
    among = sorted(now.kept.anew) if remembered else now.book.products
    return others(among, getattr(now.kept, what), getattr(before.kept, what))


def others(keys: Collection[Any], now: Mapping[Any, object], was: Mapping[Any, object]) -> list[Any]:
    """The keys under which the two do not hold one and the same object, as where one of them holds none.

    Of ten thousand nearly all are carried over, so it is one sweep without a step in between.
    """
    return list(compress(keys, map(is_not, map(now.get, keys, repeat(_NONE_HERE)), map(was.get, keys))))


def carry_over(now: Reckoning, before: Reckoning) -> None:
    """Take over what still holds, from what was bought up to the rows; the rest is worked out when asked.

    What leans on a material only by its price keeps how it is made.
    """
    was = _as_it_is(before.kept)
    old, new = before.book, now.book
    moved: set[Key] = set()
    for kind, shelf in (("formula", "formulas"), ("group", "groups"), ("product", "products"), ("person", "people")):
        moved.update((kind, key) for key in _moved(getattr(old, shelf), getattr(new, shelf)))
    records = _moved(old.materials, new.materials)
    moved.update(("material", key) for key in records)
    otherwise = leaning_on(before, moved)
    dearer = {("material", key) for key in _carry_materials(now, before, was, records) - records}
    leaning = otherwise | leaning_on(before, dearer)
    _carry_mixed(now, was, otherwise, leaning)
    if _same_sheets(now, before):
        repriced = {key for kind, key in leaning - otherwise if kind == "product"}
        now.kept.same_parts = repriced and repriced - with_such_parts(before, dearer | leaning)
        _carry_sheets(now, before, was, leaning | moved, repriced)
    _carry_uses(now, was, _edges(moved))


def _as_it_is(kept: Kept) -> Kept:
    """Copies of what is kept by now, which other threads may add to meanwhile.

    What leans on others is copied before them, so that whatever is in a copy has all that it leans on in the others: a
    formula that comes in once its materials have been looked through would be taken over at its old cost.
    """
    return replace(
        kept,
        rows=kept.rows.copy(),
        sheets=kept.sheets.copy(),
        batches=kept.batches.copy(),
        leaves=kept.leaves.copy(),
        groups=kept.groups.copy(),
        formulas=kept.formulas.copy(),
        materials=kept.materials.copy(),
        landed=kept.landed.copy(),
        invoices=kept.invoices.copy(),
        uses=kept.uses.copy(),
    )


def _edges(moved: set[Key]) -> set[Key]:
    """Only records that name others can change what depends on what."""
    return {key for key in moved if key[0] in SHELVES_OF}


def _carry_uses(now: Reckoning, was: Kept, edges: set[Key]) -> None:
    if not edges:
        now.kept.uses.update(was.uses)
        now.kept.users = was.users
    else:
        now.kept.uses.update((key, used) for key, used in was.uses.items() if used.isdisjoint(edges))


def _carry_mixed(now: Reckoning, was: Kept, otherwise: set[Key], leaning: set[Key]) -> None:
    kept = now.kept
    kept.formulas = _carried(was.formulas, "formula", leaning)
    kept.groups = _carried(was.groups, "group", leaning)
    kept.leaves.update((one, leaves) for one, leaves in was.leaves.items() if one in kept.formulas)
    kept.batches = _carried(was.batches, "formula", otherwise)


def _carried(before: dict[Id, Result], kind: str, leaning: set[Key]) -> dict[Id, Result]:
    """All that was kept, but for what leans on something that moved; what is gone from the book has moved too."""
    kept = before.copy()
    for one, number in leaning:
        if one == kind:
            kept.pop(number, None)
    return kept


def _same_sheets(now: Reckoning, before: Reckoning) -> bool:
    """Whether the settings that every sheet depends on are the same."""
    old, new = before.book.terms, now.book.terms
    same = (old.overhead, old.making_hours, old.planned_jars) == (new.overhead, new.making_hours, new.planned_jars)
    return same and before.overhead == now.overhead


def _carry_sheets(now: Reckoning, before: Reckoning, was: Kept, leaning: set[Key], repriced: set[Id]) -> None:
    now.kept.sheets = _carried(was.sheets, "product", leaning)
    now.kept.outdated_sheets = _some_of(was.sheets, repriced)
    old, new = before.book, now.book
    if not _same_selling(old, new):
        return
    now.kept.rows = _carried(was.rows, "product", leaning)
    now.kept.outdated_rows = _some_of(was.rows, repriced)
    sold_otherwise: set[Id] = set()
    for shelf in ("prices", "targets", "sales"):
        sold_otherwise.update(product for product, _ in _moved(getattr(old, shelf), getattr(new, shelf)))
    for product in sold_otherwise:
        now.kept.rows.pop(product, None)
        now.kept.outdated_rows.pop(product, None)
    now.terms = before.terms
    if before.has_line:
        anew = sold_otherwise.union(number for kind, number in leaning if kind == "product")
        now.kept.anew = frozenset(new.products.keys() & anew)
        now.kept.carried_from = was.mark


def _some_of(kept: dict[Id, Result], wanted: set[Id]) -> dict[Id, Result]:
    return {key: kept[key] for key in wanted if key in kept}


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


def _carry_materials(now: Reckoning, before: Reckoning, was: Kept, records: set[Id]) -> set[Id]:
    """Take over orders and material costs, `records` being the materials that are others; gives those that cost so."""
    old, new = before.book, now.book
    orders_moved = _moved(old.orders, new.orders)
    as_landed = old.registrations == new.registrations and old.workshop.currency == new.workshop.currency
    touched = _carry_landed(now, was, orders_moved, records if as_landed else set(old.materials))
    for order in orders_moved:
        touched.update(line.material for book in (old, new) for line in _lines_of(book, order))
    _carry_purchases(now, before, was, orders_moved, records)
    quotes = _moved(old.quotes, new.quotes)
    if quotes:
        touched.update(key for key, one in new.materials.items() if one.quote in quotes)
    touched.update(_moved(old.reviews, new.reviews))
    if not as_landed or old.day != new.day or old.workshop is not new.workshop:
        touched.update(new.materials)
    return _recosted(now, was, touched | records)


def _lines_of(book: Book, order: Id) -> tuple[OrderLine, ...]:
    return book.orders[order].lines if order in book.orders else ()


def _carry_landed(now: Reckoning, was: Kept, orders_moved: set[Id], records: set[Id]) -> set[Id]:
    """An order with a changed material is landed anew; the other lines in it may bear another share of its freight."""
    touched: set[Id] = set()
    landed = was.landed
    if not records:
        now.kept.invoices.update(was.invoices)
        now.kept.landed.update(landed)
        for order in orders_moved:
            gone = now.kept.invoices.pop(order, None)
            now.kept.landed.pop(order, None)
            touched.update(line.material for line in (gone.order.lines if gone else ()))
        return touched
    for order, invoice in was.invoices.items():
        bought = [line.material for line in invoice.order.lines]
        if order in orders_moved or not records.isdisjoint(bought):
            touched.update(bought)
        else:
            now.kept.invoices[order] = invoice
            if order in landed:
                now.kept.landed[order] = landed[order]
    return touched


def _carry_purchases(now: Reckoning, before: Reckoning, was: Kept, orders_moved: set[Id], records: set[Id]) -> None:
    """Which lines count depends on the materials' bases and on the day as well. An order that only comes is added."""
    old, new = before.book, now.book
    if not orders_moved:
        now.kept.history = was.history
    counted = was.counting
    if counted is None or not orders_moved.isdisjoint(old.orders) or not _looks_back_as_far(old, new, records):
        return
    now.kept.counting = counting_with(new, counted, [new.orders[one] for one in orders_moved])


def _looks_back_as_far(old: Book, new: Book, records: set[Id]) -> bool:
    """Whether every material that was there looks at the lines that it looked at; a new one has none yet."""
    if old.workshop is not new.workshop or old.day != new.day:
        return False
    both = [key for key in records if key in old.materials]
    return all(
        key in new.materials and window(old, old.materials[key]) == window(new, new.materials[key]) for key in both
    )


def _recosted(now: Reckoning, was: Kept, touched: set[Id]) -> set[Id]:
    """Costs of materials taken over where nothing touched them, or where they came out the same again."""
    moved: set[Id] = set()
    kept, held = was.materials.copy(), now.book.materials
    for material in touched.intersection(kept):
        cost = kept.pop(material)
        if material not in held:
            continue
        anew = now.material_cost(held[material])
        if anew == cost:
            kept[material] = cost
        elif anew._replace(stale=cost.stale) == cost:
            kept[material] = anew  # nothing that is reckoned leans on how old it is
        else:
            moved.add(material)
    now.kept.materials = kept
    return moved
