"""The schemas of what is answered about a material: purchases, price history, uses, published densities."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from webapp.api import densities, materials
from webapp.api.schemas import Schema, named
from webapp.api.typed_schemas import NULL, TEXT, WHOLE, exactly, items, joined, of_fields, of_type, several
from webapp.costing.densities import Suggestion
from webapp.costing.material_history import Bought, MaterialHistory, Quoted
from webapp.costing.orders import LandedLine


def _purchase() -> Schema:
    line = of_fields(LandedLine, materials.PURCHASE)
    bought = dict.fromkeys(materials.BOUGHT, TEXT) | {"packs": named("amount"), "size": named("amount")}
    told = {"order": WHOLE, "line": WHOLE, "day": of_type(date), "supplier": WHOLE, "currency": TEXT}
    return joined(line, **told, **bought)


def _purchases(_: str) -> Schema:
    return items(_purchase())


def _prices_of_material(_: str) -> Schema:
    told = of_fields(MaterialHistory, ("steps", "thinned", "offers", "tax"))["properties"]
    bought = joined(_purchase(), **of_fields(Bought, materials.WEIGHED)["properties"])
    quotes = joined(of_fields(Quoted, materials.QUOTED), quote=WHOLE)
    return exactly({"bought": several(bought), "quotes": several(quotes), **told})


def _uses(_: str) -> Schema:
    return items(exactly({"kind": TEXT, "id": WHOLE, "name": TEXT}))


def _densities(_: str) -> Schema:
    suggested = of_fields(Suggestion, densities.SUGGESTED)
    return exactly({"items": several(suggested), "warning": {"anyOf": [TEXT, NULL]}})


#: an operation, by the name that its route gives it -> the schema of its answer
ANSWERS: dict[str, Callable[[str], Schema]] = {
    "material_purchases": _purchases,
    "material_prices": _prices_of_material,
    "material_uses": _uses,
    **dict.fromkeys(("material_densities", "find_densities"), _densities),
}
