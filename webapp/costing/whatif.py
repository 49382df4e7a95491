"""What if: suppositions, one after another, as changes of the book; nothing is stored.

Method.md section 7. Each supposition becomes changes on the book as the ones before it leave it, so their order
matters, and accepting a what-if is saving these same changes. All are dated on the book's day.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, TypeAlias

from webapp.costing.amounts import HUNDRED, ONE, half_up, minor_places
from webapp.costing.book import (
    Book,
    Fill,
    Formula,
    Id,
    Material,
    Part,
    PartGroup,
    Price,
    Product,
    Quote,
    Review,
    Sales,
    StartingPrice,
    Wage,
)
from webapp.costing.changes import Change, Put, apply_all, swapped
from webapp.costing.decisions import with_reasons
from webapp.costing.endings import next_ending
from webapp.costing.gaps import Figure, Gap, Ref, from_known
from webapp.costing.limits import MONEY, Fault
from webapp.costing.overhead import is_living
from webapp.costing.quantities import usable
from webapp.costing.reckoning import Reckoning
from webapp.costing.renewing import pack_of, valid_until
from webapp.costing.rows import Row
from webapp.costing.supposing import DOWN, KINDS, REGISTERED, SUPPOSITIONS, Supposition

WHY = "After a what-if"
Changes: TypeAlias = tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Unfit:
    """Why a supposition does not fit the book as it stands, at its own fields."""

    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Supposed:
    """What suppositions come to: the book afterwards as reckoned, and the changes of each that lead there.

    With `faults`, at the lines they are about, those lines are left out of it.
    """

    known: Reckoning
    changes: tuple[tuple[int, Changes], ...]
    faults: tuple[Fault, ...] = ()

    @property
    def together(self) -> Changes:
        """All changes, in order: saving them is accepting the what-if."""
        return tuple(change for _, some in self.changes for change in some)


def suppose(known: Reckoning, suppositions: Iterable[tuple[int, Supposition]], why: str = WHY) -> Supposed:
    """One supposition after another, each with the number of its line. `why` is kept with prices that it sets."""
    now = known
    found: list[tuple[int, Changes]] = []
    faults: list[Fault] = []
    for place, one in suppositions:
        changes = changes_of(now, one, why)
        if isinstance(changes, Unfit):
            faults += _at_line(place, one, changes.faults)
            continue
        after = apply_all(now.book, changes)
        if isinstance(after, Book):
            found.append((place, changes))
            now = Reckoning(after, now)
        else:
            faults += _at_line(place, one, after)
    return Supposed(now, tuple(found), tuple(faults))


def _at_line(place: int, one: Supposition, faults: Iterable[Fault]) -> Iterator[Fault]:
    """Faults of the record that would change, at the fields of the supposition where they can be put right."""
    own = {field.name for field in KINDS[one.kind].fields}
    for fault in faults:
        at = fault.field if fault.field in own else KINDS[one.kind].at
        yield Fault(f"{SUPPOSITIONS}-{place}-{at}", fault.code, fault.sentence)


def changes_of(known: Reckoning, one: Supposition, why: str = WHY) -> Changes | Unfit:
    """What one supposition changes of the book as it stands, or why it does not fit there."""
    missing = tuple(_missing(known.book, one))
    return Unfit(missing) if missing else _CHANGES[one.kind](known, one, why)


def _unfit(field: str, code: str, sentence: str) -> Unfit:
    return Unfit((Fault(field, code, sentence),))


_SHELVES = {
    "product": "products",
    "channel": "channels",
    "material": "materials",
    "other": "materials",
    "formula": "formulas",
    "group": "groups",
    "person": "people",
    "bill": "bills",
}


def _missing(book: Book, one: Supposition) -> Iterator[Fault]:
    for name, shelf in _SHELVES.items():
        ident = getattr(one, name)
        held = getattr(book, shelf).get(ident) if ident is not None else None
        if ident is not None and held is None:
            yield Fault(name, "reference", "This isn't there any more. Choose another, or take the line out.")
        elif held is not None and not is_living(book, held):
            yield Fault(name, "reference", f"{held.name} is put away. Choose another, or take the line out.")


def _factor(one: Supposition) -> Decimal:
    share = (one.percent or Decimal(0)) / HUNDRED
    return ONE - share if one.way == DOWN else ONE + share


# --- prices ---


def _prices(known: Reckoning, one: Supposition, why: str) -> Changes | Unfit:
    """Accepted prices moved by a percent; a price that is only suggested follows its cost by itself."""
    rows = [row for row in _rows(known, one) if row.accepted]
    if not rows:
        return _unfit("percent", "nothing", "No price is accepted there that could move. Accept one first.")
    priced = [(row, _moved(known, row, one)) for row in rows]
    over = [row for row, amount in priced if amount > MONEY.high]
    if over:
        return _unfit("percent", "number-range", "A price would be more than can be kept. Type less.")
    return tuple(Put(_dated(known, row, amount, why)) for row, amount in priced)


def _rows(known: Reckoning, one: Supposition) -> Iterator[Row]:
    book = known.book
    products = book.products if one.product is None else (one.product,)
    for product in products:
        if is_living(book, book.products[product]):
            yield from (row for row in known.rows(product) if one.channel in (None, row.channel))


def _moved(known: Reckoning, row: Row, one: Supposition) -> Decimal:
    """The price moved by the percent: up to the channel's next ending, or half-up to the minor unit."""
    amount = known.book.prices[row.product, row.channel].amount * _factor(one)
    endings = row.terms.endings
    if one.endings and not isinstance(endings, Gap):
        return next_ending(amount, endings)
    return half_up(amount, minor_places(known.book.workshop.currency))


def _price(known: Reckoning, one: Supposition, why: str) -> Changes | Unfit:
    product, channel = _pair(one)
    rows = [row for row in known.rows(product) if row.channel == channel]
    if not rows:
        return _unfit("channel", "reference", "It is not sold there. Choose another channel.")
    return (Put(_dated(known, rows[0], _amount(one), why)),)


def _dated(known: Reckoning, row: Row, amount: Decimal, why: str) -> Price:
    return with_reasons(Price(row.product, row.channel, known.book.day, amount, why), row)


def _pair(one: Supposition) -> tuple[Id, Id]:
    return one.product or 0, one.channel or 0


def _amount(one: Supposition) -> Decimal:
    return one.amount if one.amount is not None else Decimal(0)


def _sold(known: Reckoning, one: Supposition, why: str) -> Changes:
    del why
    return (Put(Sales(*_pair(one), known.book.day, one.amount)),)


# --- what is bought ---


def _cost(known: Reckoning, one: Supposition, why: str) -> Changes | Unfit:
    """A material by a percent of what counts now, as the price of the pack in which it was bought last."""
    material = known.book.materials[one.material or 0]
    pack, cost = pack_of(known, material.id), known.material(material.id).unit_cost
    if isinstance(cost, Gap) or pack is None:
        reason = cost.reason if isinstance(cost, Gap) else "It has no price yet."
        return _unfit("material", "missing", f"{reason} Suppose what it costs instead.")
    return _renewed(known, material, (pack.size, pack.unit), _pack_price(material, cost, pack) * _factor(one), why)


def _pack_price(material: Material, cost: Decimal, pack: Any) -> Any:
    quantity: Figure = usable(material, pack.size, pack.unit, Ref("material", material.id, "density"))
    return from_known(lambda known: cost * known, quantity)


def _cost_to(known: Reckoning, one: Supposition, why: str) -> Changes | Unfit:
    material = known.book.materials[one.material or 0]
    return _renewed(known, material, (ONE, one.unit), _amount(one), why)


def _renewed(
    known: Reckoning, material: Material, pack: tuple[Decimal, str], price: Figure, why: str
) -> Changes | Unfit:
    """The new price as it is kept when prices are checked: a quote of the last supplier, else the starting price.

    A pack's price has four decimals, as any that is typed; it is rounded half-up to them.
    """
    if isinstance(price, Gap):
        return _unfit("material", "missing", price.reason)
    book, amount = known.book, half_up(price, MONEY.places)
    if amount > MONEY.high:
        return _unfit("percent", "number-range", "It would cost more than can be kept. Type less.")
    bought = known.purchases(material.id)
    if not bought:  # then the pack is one of its unit, as a starting price has it
        starting = replace(material, starting=StartingPrice(amount, pack[1]))
        return Put(starting), Put(Review(material.id, book.day, reason=why))
    supplier, number = book.orders[bought[-1][0]].supplier, min((*book.quotes, 0)) - 1
    made = Quote(
        number, material.id, supplier, book.day, valid_until(book), *pack, amount, book.workshop.currency, None, why
    )
    return Put(made), Put(replace(material, quote=made.id))


# --- who works, what selling costs, what is paid every month ---


def _wage(known: Reckoning, one: Supposition, why: str) -> Changes:
    del why
    person = known.book.people[one.person or 0]
    extra = person.wage.extra if person.wage else Decimal(0)
    return (Put(replace(person, wage=Wage(known.book.day, _amount(one), extra))),)


def _channel(known: Reckoning, one: Supposition, why: str) -> Changes | Unfit:
    del why
    channel = known.book.channels[one.channel or 0]
    if one.part == "tax_rate" and channel.tax == "none":
        return _unfit("part", "choice", "No sales tax is charged there. Change that in the channel first.")
    return (_held(known, channel, **{one.part: _amount(one)}),)


def _registered(known: Reckoning, one: Supposition, why: str) -> Changes:
    del why
    return (_held(known, known.book.terms, registered=one.part == REGISTERED),)


def _bill(known: Reckoning, one: Supposition, why: str) -> Changes:
    del why
    return (_held(known, known.book.bills[one.bill or 0], a_month=_amount(one)),)


def _held(known: Reckoning, record: Any, **changed: Any) -> Put:
    """The record as it would hold from the book's day on."""
    return Put(replace(record, since=known.book.day, **changed))


# --- how it is made ---


def _formula(known: Reckoning, one: Supposition, why: str) -> Changes:
    del why
    return (_held(known, known.book.formulas[one.formula or 0], **{one.part: _amount(one)}),)


def _product(known: Reckoning, one: Supposition, why: str) -> Changes:
    del why
    product = known.book.products[one.product or 0]
    if one.part == "set_aside":
        return (_held(known, product, set_aside=_amount(one)),)
    fills: tuple[Fill, ...] = tuple(replace(fill, overfill=_amount(one)) for fill in product.fills)
    return (_held(known, product, fills=fills),)


def _swap(known: Reckoning, one: Supposition, why: str) -> Changes | Unfit:
    del why
    book, old, new = known.book, one.material or 0, one.other or 0
    formulas = book.formulas.values() if one.formula is None else (book.formulas[one.formula],)
    inside = [formula for formula in formulas if is_living(book, formula) and _holds(formula, old)]
    if not inside:
        return _unfit("material", "reference", "It is not in there, so it can't be swapped. Choose another.")
    if book.materials[new].by_piece:
        return _unfit("other", "reference", "This is counted, not weighed. Choose an ingredient.")
    return tuple(Put(swapped(formula, old, new, book.day)) for formula in inside)


def _holds(formula: Formula, material: Id) -> bool:
    return any(line.material == material for line in formula.lines)


def _pack(known: Reckoning, one: Supposition, why: str) -> Changes | Unfit:
    """One jar, lid or label for another: in a product, in parts that go together, or wherever it stands."""
    del why
    book, old, new = known.book, one.material or 0, one.other or 0
    found = [record for record in _packed(book, one) if any(part.material == old for part in record.parts)]
    if not found:
        return _unfit("material", "reference", "It is not a part of that. Choose another.")
    return tuple(_held(known, record, parts=_instead(record.parts, old, new)) for record in found)


def _packed(book: Book, one: Supposition) -> list[Product | PartGroup]:
    if one.product is not None:
        return [book.products[one.product]]
    if one.group is not None:
        return [book.groups[one.group]]
    every: list[Product | PartGroup] = [*book.groups.values(), *book.products.values()]
    return [record for record in every if is_living(book, record)]


def _instead(parts: tuple[Part, ...], old: Id, new: Id) -> tuple[Part, ...]:
    return tuple(replace(part, material=new) if part.material == old else part for part in parts)


_CHANGES: dict[str, Callable[[Reckoning, Supposition, str], Changes | Unfit]] = {
    "prices": _prices,
    "price": _price,
    "cost": _cost,
    "cost to": _cost_to,
    "wage": _wage,
    "channel": _channel,
    "registered": _registered,
    "formula": _formula,
    "product": _product,
    "swap": _swap,
    "pack": _pack,
    "bill": _bill,
    "sold": _sold,
}
