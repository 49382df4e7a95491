"""What is wrong with what is asked about packs, as far as its fields alone don't show it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from webapp.costing.book import Id
from webapp.costing.gaps import Gap, Ref
from webapp.costing.limits import Fault
from webapp.costing.quantities import usable
from webapp.costing.units import PIECES

if TYPE_CHECKING:
    from webapp.costing.pack_asking import Asking, TypedNeed, TypedOffer
    from webapp.costing.reckoning import Reckoning

NOT_THERE = ("reference", "Choose one from the list.")


def faults_of(known: Reckoning, asking: Asking) -> Iterator[Fault]:
    """What is wrong with it beside the book, at its fields."""
    if not asking.needs and not asking.batches:
        yield Fault("needs", "required", "Say how much of what is needed, or which batches are planned.")
    seen: set[Id] = set()
    for place, need in enumerate(asking.needs):
        if need.material not in known.book.materials:
            yield Fault(f"needs-{place}-material", *NOT_THERE)
        elif need.material in seen:
            yield Fault(
                f"needs-{place}-material", "duplicate", "This stands above already. Type all of it in one line."
            )
        elif (fault := _fault_of_unit(known, need, f"needs-{place}-unit")) is not None:
            yield fault
        seen.add(need.material)
    for place, one in enumerate(asking.batches):
        if one.formula not in known.book.formulas:
            yield Fault(f"batches-{place}-formula", *NOT_THERE)
    for place, offer in enumerate(asking.offers):
        yield from _faults_of_offer(known, offer, f"offers-{place}")
    yield from _faults_of_freights(known, asking)


def _fault_of_unit(known: Reckoning, need: TypedNeed, at: str) -> Fault | None:
    held = known.book.materials[need.material]
    if not need.unit:
        return None
    if held.by_piece and need.unit != PIECES:
        return Fault(at, "unit", f"{held.name} is counted by the piece. Choose pieces.")
    found = usable(held, Decimal(1), need.unit, Ref("material", held.id))
    if not isinstance(found, Gap):
        return None
    if need.unit == PIECES:
        return Fault(at, "missing", f"{found.reason} Or choose a unit of mass.")
    words = f"The density of {held.name} is not known yet. Add it at the material, or choose a unit of mass."
    return Fault(at, "missing", words)


def _faults_of_freights(known: Reckoning, asking: Asking) -> Iterator[Fault]:
    suppliers: set[Id] = set()
    for place, freight in enumerate(asking.freights):
        if freight.supplier not in known.book.suppliers:
            yield Fault(f"freights-{place}-supplier", *NOT_THERE)
        elif freight.supplier in suppliers:
            yield Fault(f"freights-{place}-supplier", "duplicate", "This supplier stands above already. Take one out.")
        suppliers.add(freight.supplier)


def _faults_of_offer(known: Reckoning, offer: TypedOffer, at: str) -> Iterator[Fault]:
    if offer.supplier not in known.book.suppliers:
        yield Fault(f"{at}-supplier", *NOT_THERE)
    if offer.material not in known.book.materials:
        yield Fault(f"{at}-material", *NOT_THERE)
        return
    quantity = usable(known.book.materials[offer.material], offer.size, offer.unit, Ref("material", offer.material))
    if isinstance(quantity, Gap):
        yield Fault(f"{at}-unit", "missing", quantity.reason)
    packs, price = Decimal(1), offer.price
    for place, one in enumerate(offer.breaks):
        if one.packs <= packs:
            yield Fault(f"{at}-breaks-{place}-packs", "order", "Type more packs than in the break before it.")
        if one.price >= price:
            yield Fault(
                f"{at}-breaks-{place}-price", "order", "A price break must be cheaper than what stands before it."
            )
        packs, price = one.packs, one.price
