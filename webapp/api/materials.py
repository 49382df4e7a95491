"""What of a material was bought, where it is used, and how its cost came about."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from starlette.responses import JSONResponse, Response

from webapp.api.answers import picked, value, working
from webapp.api.asking import Asked, AskedNow, Ident
from webapp.api.interface import Interface
from webapp.costing.book import Book
from webapp.costing.material_history import Bought, material_history

router = Interface()
PURCHASE = ("goods", "net", "landed", "quantity", "unit_cost")
BOUGHT = ("packs", "size", "unit")
WEIGHED = ("counts", "why", "tax_in_cost")
QUOTED = ("unit_cost", "valid", "chosen", "counts")


@router.get(
    "/materials/{ident}/working", tags=["materials"], summary="Its cost in full", operation_id="material_working"
)
def material_working(asked: AskedNow, ident: Ident) -> Response:
    """How the cost of a material came about, down to the lines of orders."""
    asked.thing("material", ident)
    return JSONResponse(working(asked.reckoning.material_working(ident)))


@router.get(
    "/materials/{ident}/purchases", tags=["materials"], summary="Its purchases", operation_id="material_purchases"
)
def purchases(asked: AskedNow, ident: Ident) -> Response:
    """Every line of an order that sets its price, with its share of freight and charges, newest first."""
    asked.thing("material", ident)
    found = [purchase(asked, order, index) for order, index in asked.reckoning.purchases(ident)]
    return JSONResponse({"items": found[::-1]})


def purchase(asked: Asked, ident: int, index: int) -> dict[str, Any]:
    """One line of an order: what was bought, from whom, and what it cost."""
    order, landed = asked.book.orders[ident], asked.reckoning.landed(ident).lines[index]
    bought = {"order": ident, "line": index, "day": value(order.day), "supplier": order.supplier}
    return {**bought, **picked(order.lines[index], BOUGHT), "currency": order.currency, **picked(landed, PURCHASE)}


@router.get(
    "/materials/{ident}/prices", tags=["materials"], summary="Its price history", operation_id="material_prices"
)
def price_history(asked: AskedNow, ident: Ident) -> Response:
    """Every purchase and quote, whether it counts and why, the cost by the basis in use over time, offers by cost."""
    asked.thing("material", ident)
    found = material_history(asked.reckoning, ident)
    told = {
        "bought": [_bought(asked, one) for one in found.bought],
        "quotes": [{"quote": one.quote.id, **picked(one, QUOTED)} for one in found.quotes],
        "steps": value(found.steps),
        "thinned": found.thinned,
        "offers": value(found.offers),
        "tax": value(found.tax),
    }
    return JSONResponse(told)


def _bought(asked: Asked, one: Bought) -> dict[str, Any]:
    return {**purchase(asked, one.line.order, one.line.index), **picked(one, WEIGHED)}


@router.get("/materials/{ident}/uses", tags=["materials"], summary="Where it is used", operation_id="material_uses")
def uses(asked: AskedNow, ident: Ident) -> Response:
    """The formulas, groups of parts and products that it stands in, by name."""
    asked.thing("material", ident)
    found = sorted(users(asked.book, ident), key=lambda one: (one["name"], one["kind"], one["id"]))
    return JSONResponse({"items": found})


def users(book: Book, material: int) -> Iterator[dict[str, Any]]:
    """Everything that names the material in one of its lines."""
    inside: list[tuple[str, Any, Any]] = [("formula", one, one.lines) for one in book.formulas.values()]
    inside += [("group", one, one.parts) for one in book.groups.values()]
    inside += [("product", one, one.parts) for one in book.products.values()]
    for kind, thing, lines in inside:
        if any(line.material == material for line in lines):
            yield {"kind": kind, "id": thing.id, "name": thing.name}
