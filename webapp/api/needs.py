"""What needs the maker now: what loses money, what cannot be reckoned, what has no price, what is old."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.responses import JSONResponse, Response

from webapp.api.answers import picked, value
from webapp.api.asking import Asked, AskedNow
from webapp.api.interface import Interface
from webapp.costing.dependence import dependents
from webapp.costing.gaps import Gap
from webapp.costing.kept import kept_knowingly
from webapp.costing.rows import Row

router = Interface()
BELOW = ("margin", "target", "distance", "lost_a_month")
#: what is said of the decision that keeps a price below its target
DECIDED = ("since", "amount", "why", "suggested")
#: what is said of what depends on an old price: ids, how many rows of the line, the largest share of a jar's cost
DEPENDS = ("formulas", "products", "prices", "share", "most")


@router.get("/needs", tags=["line"], summary="What needs the maker now", operation_id="get_needs")
def needs(asked: AskedNow) -> Response:
    """As on the first page, but all of it: prices below target, gaps, prices not decided, materials with old prices.

    A price below its target is `kept` where that was decided with a reason and no more is suggested now than then.
    """
    rows = asked.reckoning.line()
    below = [row for row in rows if row.accepted and row.reaches is False]
    known = [(row, price) for row in below if (price := kept_knowingly(asked.book, row)) is not None]
    short = [row for row in below if kept_knowingly(asked.book, row) is None]
    open_prices = [row for row in rows if not row.accepted and not isinstance(row.suggested, Gap)]
    told = {
        "below_target": [named(row, *BELOW) for row in short],
        "kept": [{**named(row, *BELOW), "decided": picked(price, DECIDED)} for row, price in known],
        "missing": missing(rows),
        "unpriced": [named(row, "suggested") for row in open_prices],
        "stale": stale(asked),
    }
    return JSONResponse(told)


def named(row: Row, *figures: str) -> dict[str, Any]:
    """Which row, and some of its figures."""
    return {"product": row.product, "channel": row.channel, **picked(row, figures)}


def missing(rows: Sequence[Row]) -> list[dict[str, Any]]:
    """Each reason once, with the products that wait for it."""
    waiting: dict[Gap, list[int]] = {}
    for row in rows:
        gap = row.sheet.gap or row.gap
        if gap is not None:
            products = waiting.setdefault(gap, [])
            if row.product not in products:
                products.append(row.product)
    return [{**value(gap), "products": products} for gap, products in waiting.items()]


def stale(asked: Asked) -> list[dict[str, Any]]:
    """Materials whose price is older than the workshop wants, oldest first, each with what depends on it."""
    found = []
    for material in asked.book.materials.values():
        cost = asked.reckoning.material(material.id)
        if material.retired is None and cost.stale and cost.day:
            found.append((cost.day, material.id, material.name))
    hanging = dependents(asked.reckoning, [ident for _, ident, _ in found]) if found else {}
    return [
        {"material": ident, "name": name, "day": value(day), **picked(hanging[ident], DEPENDS)}
        for day, ident, name in sorted(found)
    ]
