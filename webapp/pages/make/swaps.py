"""Swap one ingredient of a formula for another: what it does to 100 g and to every jar, before anything is stored."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Query
from starlette.responses import Response

from webapp.costing.book import Book, Formula
from webapp.costing.changes import Put, apply, swapped
from webapp.costing.formula_working import hundred
from webapp.costing.gaps import Figure
from webapp.costing.reckoning import Reckoning
from webapp.errors import Fault, NotFound, Unprocessable
from webapp.pages import addresses, forms
from webapp.pages.drawn import Form
from webapp.pages.forms import TypedNow
from webapp.pages.rendering import Desk, DeskNow, Ident, View, show
from webapp.routes import Routes

router = Routes()
SWAP = f"{addresses.ONE['formula']}/swap"


@dataclass(frozen=True, slots=True)
class Jar:
    """What a jar costs before and after."""

    name: str
    href: str
    before: Figure
    after: Figure


@dataclass(frozen=True, slots=True)
class SwapView:
    """What stands on the page of a swap."""

    formula: Formula
    inside: list[tuple[str, str]]
    others: list[tuple[str, str]]
    old: str
    new: str
    before: Figure
    after: Figure | None
    jars: tuple[Jar, ...]
    save: Form
    faults: tuple[str, ...] = ()


@router.get(SWAP)
def swap(desk: DeskNow, ident: Ident, old: Annotated[str, Query()] = "", new: Annotated[str, Query()] = "") -> Response:
    """What a swap would do; without a choice, the choosers."""
    formula = desk.thing("formula", ident)
    return show(
        desk, View("make/formulas/swap.html", f"Swap in {formula.name}", "make", view_of(desk, formula, old, new))
    )


def view_of(desk: Desk, formula: Formula, old: str, new: str) -> SwapView:
    """The choosers, and where both are chosen, what comes of it."""
    materials = {str(line.material) for line in formula.lines if line.material is not None}
    inside = [(ident, desk.book.materials[int(ident)].name) for ident in sorted(materials, key=int)]
    others = [(str(one.id), one.name) for one in desk.things("material") if not one.by_piece]
    before = hundred(desk.reckoning.formula(formula.id).per_gram)
    save = forms.press(desk, SWAP.format(ident=formula.id))
    view = SwapView(formula, inside, others, old, new, before, None, (), save)
    if old not in materials or new not in dict(others) or old == new:
        return view
    after = apply(desk.book, Put(swapped(formula, int(old), int(new), desk.today)))
    if not isinstance(after, Book):
        faults = tuple(fault.sentence for fault in after)
        return SwapView(formula, inside, others, old, new, before, None, (), save, faults)
    known = Reckoning(after, desk.reckoning)
    return SwapView(
        formula, inside, others, old, new, before, hundred(known.formula(formula.id).per_gram), _jars(desk, known), save
    )


def _jars(desk: Desk, known: Reckoning) -> tuple[Jar, ...]:
    """Every jar whose cost moves."""
    found = []
    for product in desk.things("product"):
        before, after = desk.reckoning.sheet(product.id).full, known.sheet(product.id).full
        if before != after:
            found.append(Jar(product.name, addresses.thing("product", product.id), before, after))
    return tuple(found)


@router.post(SWAP)
def save_swap(desk: DeskNow, typed: TypedNow, ident: Ident) -> Response:
    """Keep the swap: the formula is made like that from today on."""
    formula = desk.thing("formula", ident)
    old, new = typed.data.get("old", ""), typed.data.get("new", "")
    if not all(isinstance(one, str) and one.isascii() and one.isdigit() and len(one) <= 9 for one in (old, new)):
        raise Unprocessable([Fault("new", "reference", "Choose what to swap for what.")])
    if int(old) not in {line.material for line in formula.lines}:
        raise NotFound
    put = Put(swapped(formula, int(old), int(new), desk.today))
    return forms.act(desk, typed, put, said=f"Formula saved: {formula.name}")
