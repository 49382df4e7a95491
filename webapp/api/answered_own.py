"""The schemas of what is answered about a maker's own sheets."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from webapp.api.schemas import Schema
from webapp.api.typed_schemas import TEXT, WHOLE, exactly, of_type, several
from webapp.costing.gaps import Gap

_YES = of_type(bool)
_AMOUNT, _FIGURE = of_type(Decimal | None), of_type(Decimal | Gap | None)


def _read(_: str) -> Schema:
    texts = several(TEXT)
    material = {"row": WHOLE, "name": TEXT, "known": _YES, "size": _AMOUNT, "unit": TEXT, "price": _AMOUNT}
    formula = {"row": WHOLE, "name": TEXT, "known": _YES, "lines": WHOLE, "way": TEXT, "batch_grams": _AMOUNT}
    cell = {
        "sheet": WHOLE,
        "row": WHOLE,
        "column": WHOLE,
        **dict.fromkeys(("cell", "read", "sentence", "choice"), TEXT),
    }
    return exactly(
        {
            "good": _YES,
            "sign": TEXT,
            "prices": TEXT,
            "sheets": several(exactly({"title": TEXT, "holds": TEXT, "heads": WHOLE, "columns": texts})),
            "materials": several(
                exactly(
                    {
                        **material,
                        **dict.fromkeys(("packs", "currency", "kept_as"), TEXT),
                        "unit_cost": _FIGURE,
                        "remarks": texts,
                    }
                )
            ),
            "formulas": several(exactly({**formula, "per_gram": _FIGURE, "remarks": texts})),
            "products": several(
                exactly(
                    {
                        "row": WHOLE,
                        "name": TEXT,
                        "known": _YES,
                        "size": _AMOUNT,
                        "unit": TEXT,
                        "minutes": _AMOUNT,
                        "prices": several(exactly({"channel": TEXT, "price": of_type(Decimal)})),
                        "ingredients": _FIGURE,
                        "packaging": _FIGURE,
                        "remarks": texts,
                    }
                )
            ),
            "channels": several(exactly({"sheet": WHOLE, "column": WHOLE, "head": TEXT, "channel": TEXT})),
            "new_without_price": texts,
            "formulas_without_batch": texts,
            "without_density": texts,
            "published_densities": several(exactly(dict.fromkeys(("name", "density", "source"), TEXT))),
            "by_price": several(exactly({"name": TEXT, "density": TEXT})),
            "assumed": several(exactly({"choice": TEXT, "taken_for": TEXT})),
            "wrong": several(exactly(cell)),
            "faults": several(exactly({"field": TEXT, "sentence": TEXT})),
            "names": several(exactly({"name": TEXT, "near": texts, "likely": TEXT})),
            "may_be": several(exactly({"name": TEXT, "names": texts})),
            "read_so": several(exactly({"sheet": WHOLE, "said": TEXT})),
            "passed_over": several(exactly({"sheet": WHOLE, "row": WHOLE, "what": TEXT})),
        }
    )


def _kept(_: str) -> Schema:
    return exactly({"version": WHOLE})


ANSWERS: dict[str, Callable[[str], Schema]] = {"read_own_sheet": _read, "keep_own_sheet": _kept}
