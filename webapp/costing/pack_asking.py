"""What is asked about packs: what a person types, and what the book adds where nothing is typed.

A material without a typed offer has those of the book; a supplier without typed freight has that of its newest order
with any. Needs are typed in any unit, or come from planned batches. Money is as in pack_facts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.costing import limits as lim
from webapp.costing.amounts import JSON_NOTATION, ZERO, snap
from webapp.costing.book import Id
from webapp.costing.describing import Field, Rows, Shape
from webapp.costing.gaps import Gap, Ref, surely
from webapp.costing.limits import Fault
from webapp.costing.pack_facts import Break, Freight, Need, Offer, Plans
from webapp.costing.pack_faults import faults_of
from webapp.costing.pack_offers import Known, last_freight, offers_of
from webapp.costing.pack_use import Use, keeps, planned, use
from webapp.costing.packs import MOST_BREAKS, MOST_MATERIALS, MOST_OFFERS, plans
from webapp.costing.quantities import usable
from webapp.costing.units import PURCHASE_UNITS

if TYPE_CHECKING:
    from webapp.costing.reckoning import Reckoning


@dataclass(frozen=True, slots=True)
class TypedNeed:
    """So much of a material; its use in a month and the months it keeps, where the book is to be overruled.

    Both amounts are in `unit`; without one in grams, or pieces of what is counted.
    """

    material: Id
    amount: Decimal | None = None
    a_month: Decimal | None = None
    months: Decimal | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Batches:
    """So many batches of a formula are planned."""

    formula: Id
    batches: Decimal


@dataclass(frozen=True, slots=True)
class TypedOffer:
    """A pack of `size` `unit` at a price, and its price breaks."""

    material: Id
    supplier: Id
    size: Decimal
    unit: str
    price: Decimal
    breaks: tuple[Break, ...] = ()


@dataclass(frozen=True, slots=True)
class Asking:
    """All that is typed."""

    needs: tuple[TypedNeed, ...] = ()
    batches: tuple[Batches, ...] = ()
    offers: tuple[TypedOffer, ...] = ()
    freights: tuple[Freight, ...] = ()


class Taken(NamedTuple):
    """All that is reckoned with.

    `typed` are the offers that were typed and then those of the book, `offers` the same for the search, `freights`
    likewise. `sources` are the book's own prices behind `typed`, None where the book has none that is so. `left_out`
    says what could not be used, `unsold` which products are not in the use of a material.
    """

    needs: tuple[Need, ...]
    typed: tuple[TypedOffer, ...]
    offers: tuple[Offer, ...]
    freights: tuple[Freight, ...]
    left_out: tuple[Gap, ...]
    unsold: Mapping[Id, tuple[Id, ...]]
    sources: tuple[Known | None, ...] = ()


PRICE = lim.Number(lim.MONEY.low, lim.MONEY.high, lim.MONEY.places, above=True, money=True)
MONTHS = lim.Number(ZERO, Decimal(240), 2, above=True)
BREAK = Shape(
    Break,
    (
        Field("packs", lim.Number(Decimal(2), lim.COUNT.high, 0), True, "Type from how many packs on."),
        Field("price", PRICE, True, "Type the price of one pack then."),
    ),
)
NEED = Shape(
    TypedNeed,
    (
        Field("material", lim.CalledReference("material"), True, "Choose what is needed."),
        Field("amount", lim.QUANTITY),
        Field("a_month", lim.QUANTITY_OR_NONE),
        Field("months", MONTHS),
        Field("unit", lim.Choice(("", *PURCHASE_UNITS))),
    ),
)
BATCHES = Shape(
    Batches,
    (
        Field("formula", lim.Reference("formula"), True, "Choose the formula."),
        Field("batches", lim.PIECES, True, "Type how many batches."),
    ),
)
OFFER = Shape(
    TypedOffer,
    (
        Field("material", lim.CalledReference("material"), True, "Choose the material."),
        Field("supplier", lim.Reference("supplier"), True, "Choose who sells it."),
        Field("size", lim.QUANTITY, True, "Type how much is in one pack."),
        Field("unit", lim.Choice(PURCHASE_UNITS), True, "Choose the unit of the pack."),
        Field("price", PRICE, True, "Type the price of one pack."),
        Field("breaks", Rows(BREAK, ("packs", "price"), 0, MOST_BREAKS)),
    ),
)
FREIGHT = Shape(
    Freight,
    (
        Field("supplier", lim.Reference("supplier"), True, "Choose the supplier."),
        Field("amount", lim.MONEY),
        Field("free_from", lim.MONEY),
        Field("least", lim.MONEY),
    ),
)
ASKING = Shape(
    Asking,
    (
        Field("needs", Rows(NEED, ("material", "amount"), 0, MOST_MATERIALS)),
        Field("batches", Rows(BATCHES, ("formula", "batches"), 0, MOST_MATERIALS)),
        Field("offers", Rows(OFFER, ("material", "size", "price"), 0, MOST_OFFERS)),
        Field("freights", Rows(FREIGHT, ("supplier", "amount", "free_from", "least"))),
    ),
)


def answered(known: Reckoning, taken: Taken, most: int = 3) -> Plans | Gap:
    """The cheapest plans for what is asked; a gap that says why there is none."""
    if not taken.needs:
        return Gap("Nobody offers any of this yet. Add an offer: the pack, its price and who sells it.")
    names = {one.material: known.book.materials[one.material].name for one in taken.needs}
    return plans(taken.needs, taken.offers, taken.freights, names, most)


def taken(known: Reckoning, asking: Asking) -> Taken | tuple[Fault, ...]:
    """What is reckoned with, or what is wrong with what was typed, at its fields."""
    faults = tuple(faults_of(known, asking))
    if faults:
        return faults
    asking = replace(asking, needs=tuple(_reckoned(known, one) for one in asking.needs))
    wanted = _wanted(known, asking)
    return (wanted,) if isinstance(wanted, Fault) else _taken(known, asking, wanted)


def taken_for(known: Reckoning, material: Id, amount: Decimal) -> Taken:
    """What is reckoned with for so much of one material, above zero, in grams or pieces; all else is the book's own."""
    asking = Asking(needs=(TypedNeed(material, amount),))
    return _taken(known, asking, {material: _Wanted(amount, ZERO)})


def _taken(known: Reckoning, asking: Asking, wanted: Mapping[Id, _Wanted]) -> Taken:
    typed = list(asking.offers)
    left_out: list[Gap] = []
    for material in wanted:
        if not any(one.material == material for one in asking.offers):
            typed += _from_book(known, material, left_out)
    offered = {one.material for one in typed}
    left_out += [_nobody(known, material) for material in wanted if material not in offered]
    uses = {material: use(known, material) for material in wanted if material in offered}
    needs = tuple(_need(known, asking, wanted, material, uses[material].a_month) for material in uses)
    return Taken(
        needs,
        tuple(typed),
        tuple(_offer(known, one) for one in typed),
        _freights(known, asking, typed, left_out),
        tuple(left_out),
        _unsold(asking, uses),
        sources_of(known, typed),
    )


def _unsold(asking: Asking, uses: Mapping[Id, Use]) -> dict[Id, tuple[Id, ...]]:
    """Products that are not in the use of a material where that is known and was not typed."""
    said = {one.material for one in asking.needs if one.a_month is not None}
    known = {one: each for one, each in uses.items() if one not in said and not isinstance(each.a_month, Gap)}
    return {material: one.unsold for material, one in known.items() if one.unsold}


# --- what is needed


class _Wanted(NamedTuple):
    amount: Decimal
    at_once: Decimal


def _wanted(known: Reckoning, asking: Asking) -> dict[Id, _Wanted] | Fault:
    """What is needed of each material, typed and planned together."""
    wanted = {one.material: _Wanted(one.amount or ZERO, ZERO) for one in asking.needs}
    for place, one in enumerate(asking.batches):
        grams = planned(known, one.formula, one.batches)
        if isinstance(grams, Gap):
            return Fault(f"batches-{place}-formula", "missing", grams.reason)
        for material, amount in grams.items():
            before = wanted.get(material, _Wanted(ZERO, ZERO))
            wanted[material] = _Wanted(before.amount + amount, before.at_once + amount)
    for place, need in enumerate(asking.needs):
        if not wanted[need.material].amount:
            return Fault(f"needs-{place}-amount", "required", "Type how much of it is needed.")
    return wanted


def _reckoned(known: Reckoning, need: TypedNeed) -> TypedNeed:
    """The same in grams or pieces; where that can't be, it is refused as a fault before."""
    held, at = known.book.materials[need.material], Ref("material", need.material)
    amounts: dict[str, Any] = {}
    for name, typed in (("amount", need.amount), ("a_month", need.a_month)):
        if typed is not None and need.unit:
            amounts[name] = snap(surely(usable(held, typed, need.unit, at)))
    return replace(need, unit="", **amounts)


def _need(known: Reckoning, asking: Asking, wanted: Mapping[Id, _Wanted], material: Id, a_month: Decimal | Gap) -> Need:
    typed = next((one for one in asking.needs if one.material == material), None)
    made = Need(material, wanted[material].amount, a_month, keeps(known, material), wanted[material].at_once)
    if typed is not None and typed.a_month is not None:
        made = replace(made, a_month=typed.a_month)
    return replace(made, months=typed.months) if typed is not None and typed.months is not None else made


# --- what is offered


def _from_book(known: Reckoning, material: Id, left_out: list[Gap]) -> Iterator[TypedOffer]:
    name = known.book.materials[material].name
    for one in offers_of(known, material):
        gap = next((figure for figure in (one.price, one.quantity) if isinstance(figure, Gap)), None)
        if gap is not None:
            left_out.append(Gap(f"{_pack(known, one)} is left out: {gap.reason}", gap.cure))
        elif isinstance(one.price, Decimal) and one.price > 0:
            yield TypedOffer(material, one.supplier, one.size, one.unit, one.price)
        else:
            left_out.append(
                Gap(f"{_pack(known, one)} is left out: {name} cost nothing there. Type its price.", one.source)
            )


def sources_of(known: Reckoning, offers: Sequence[TypedOffer]) -> tuple[Known | None, ...]:
    """The book's own price behind each offer: the same pack of the same supplier at the same price."""
    held = {
        (one.material, one.supplier, one.size, one.unit, one.price): one
        for material in {offer.material for offer in offers}
        for one in offers_of(known, material)
    }
    return tuple(held.get((one.material, one.supplier, one.size, one.unit, one.price)) for one in offers)


def _pack(known: Reckoning, one: Known) -> str:
    size = lim.QUANTITY.show(one.size, JSON_NOTATION)
    return f"{known.book.materials[one.material].name}, {size} {one.unit} of {known.book.suppliers[one.supplier].name},"


def _nobody(known: Reckoning, material: Id) -> Gap:
    name = known.book.materials[material].name
    return Gap(f"{name} is not in these plans: no offer of it can be used yet. Add one.", Ref("material", material))


def _offer(known: Reckoning, one: TypedOffer) -> Offer:
    quantity = usable(known.book.materials[one.material], one.size, one.unit, Ref("material", one.material))
    return Offer(one.material, one.supplier, surely(quantity), one.price, one.breaks)


def _freights(known: Reckoning, asking: Asking, offers: list[TypedOffer], left_out: list[Gap]) -> tuple[Freight, ...]:
    typed = {one.supplier for one in asking.freights}
    found = list(asking.freights)
    for supplier in dict.fromkeys(one.supplier for one in offers):
        if supplier not in typed:
            last = last_freight(known, known.book.suppliers[supplier]).amount
            if isinstance(last, Gap):
                left_out.append(Gap(f"These plans are without freight of one supplier. {last.reason}", last.cure))
            found.append(Freight(supplier, ZERO if isinstance(last, Gap) else last))
    return tuple(found)
